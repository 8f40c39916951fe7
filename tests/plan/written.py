"""Plans as text, for the tests of the plan's room."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from oneclimb.plan.faults import Fault
from oneclimb.plan.limits import Limits
from oneclimb.plan.model import Plan
from oneclimb.plan.read import Loaded, load_document
from oneclimb.plan.schema import Schemas
from oneclimb.plan.text import Document, parse

DATA = Path(__file__).parent / "data"
SCHEMAS = Schemas({}, {})
SCHEMA = SCHEMAS.whole()
HOUSE = "house: {front: {faces: 180, width: 10}, depth: 7, eave: {height: 2.7, depth: 0.4}}\n"
CAMERA = "{id: cam, mount: {wall: front, along: 5, height: 2.6}}"


def read(text: str, limits: Limits | None = None, path: str = "test.plan.yaml") -> Loaded:
    """A plan's text, read."""
    document = parse(path, text, limits)
    if not isinstance(document, Document):
        return Loaded(path, None, None, tuple(document))
    return load_document(document, {}, SCHEMAS, limits)


def plan_of(text: str) -> Plan:
    """A plan that must have no fault."""
    loaded = read(text)
    assert loaded.plan is not None, loaded.faults
    return loaded.plan


def site(extra: str = "", camera: str = CAMERA) -> str:
    """A house facing south with one camera on its front, and more."""
    return f"{HOUSE}{extra}\ncameras: [{camera}]\n"


def faults(text: str, limits: Limits | None = None) -> tuple[Fault, ...]:
    """A plan's faults."""
    return read(text, limits).faults


def only(text: str, limits: Limits | None = None) -> Fault:
    """The one fault a plan has."""
    found = faults(text, limits)
    assert len(found) == 1, found
    return found[0]


def under(fault: Fault, text: str) -> str:
    """The text a fault points at (its first line)."""
    line = text.split("\n")[fault.span.line - 1]
    end = fault.span.end_column - 1 if fault.span.end_line == fault.span.line else len(line)
    return line[fault.span.column - 1 : end]


def near(points: Iterable[Sequence[float]], expected: Iterable[Sequence[float]]) -> bool:
    """Whether points are where they should be, to a micrometre."""
    return [tuple(round(v, 6) + 0.0 for v in p) for p in points] == [
        tuple(round(float(v), 6) for v in p) for p in expected
    ]
