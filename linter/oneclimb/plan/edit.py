"""Edits: the plan as it would be read with some fields changed, and the same in its text.

The reader that reads a plan reads an edit, so that what is tried is what is printed. Only
what an edit touches is read again, where that can be; the rest stays the same objects.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from oneclimb.api import Change
from oneclimb.plan.again import Again, as_loaded
from oneclimb.plan.changes import changed
from oneclimb.plan.faults import Fault, UnreadableError
from oneclimb.plan.here import Context, Path
from oneclimb.plan.judge import faults_of, is_valid
from oneclimb.plan.model import Plan
from oneclimb.plan.origins import locate
from oneclimb.plan.read import Loaded, Source
from oneclimb.plan.read_gear import GEAR
from oneclimb.plan.read_plan import read_plan, targets_of
from oneclimb.plan.text_edit import TextEdit, apply_text, text_edits

if TYPE_CHECKING:
    from oneclimb.plan.text import Document

_ALONE = frozenset({"cameras", "objects", "areas", "lamps", "cables"})
"""keys whose entries can be read again by themselves"""


def edited(loaded: Loaded, changes: Iterable[Change]) -> Loaded:
    """The plan with ``replace`` changes applied. Where it can't be read any more, the faults say why.

    Raises ``ValueError`` for a plan that has faults to begin with.
    """
    plan, source, origins, document = loaded.plan, loaded.source, loaded.origins, loaded.document
    if plan is None or source is None or origins is None or document is None:
        raise ValueError("a plan with faults can't be edited")
    try:
        data, paths = changed(source.data, plan, origins, changes)
    except UnreadableError as error:
        return Loaded(loaded.path, document, None, (Fault(error.code, error.text, hint=error.hint),))
    faults = _judged(source, document, data, paths)
    if faults:
        return Loaded(loaded.path, document, None, faults)
    if all(_alone(path, source.data, data) for path in paths):
        return Again(loaded, plan, source, document, data).read(paths)
    return _whole(loaded, source, document, data)


def _alone(path: Path, before: Mapping[str, Any], after: Mapping[str, Any]) -> bool:
    """Whether an entry can be read again by itself: it stays the thing it was, with the cable and joints it had."""
    if path[0] not in _ALONE or len(path) < 3 or path[2] == "id" or path[2:] == ("connectors",):
        return False
    key, index = str(path[0]), int(path[1])
    return ("cable" in before[key][index]) == ("cable" in after[key][index])


def _judged(source: Source, document: Document, data: dict[str, Any], paths: Iterable[Path]) -> tuple[Fault, ...]:
    """The schema's word on the entries touched: the rest was judged before."""
    part: dict[str, Any] = {"cameras": data.get("cameras", [])[:1]}
    listed: dict[str, set[int]] = {}
    for path in paths:
        if len(path) > 1 and isinstance(path[1], int):
            listed.setdefault(str(path[0]), set()).add(path[1])
        elif path[0] in data:
            part[str(path[0])] = data[path[0]]
    part.update({key: [data[key][i] for i in sorted(places)] for key, places in listed.items()})
    return (
        () if is_valid(source.schema, part) else faults_of(source.schema, document, data, source.context.limits.faults)
    )


def _whole(loaded: Loaded, source: Source, document: Document, data: dict[str, Any]) -> Loaded:
    """Every noun read again: a wall or a type has moved."""
    c = Context(data.get("units", "metres"), source.context.limits)
    plan, solids = read_plan(c, data, source.kinds, source.schema)
    if c.faults:
        return Loaded(loaded.path, document, None, locate(c, document, data))
    plan = _same(loaded.plan, plan)
    return as_loaded(
        loaded, replace(source, data=data, context=c, solids=solids, targets=targets_of(plan.objects, plan.areas)), plan
    )


def _same(before: Plan | None, after: Plan) -> Plan:
    """The new plan with the old one's tuples where they are equal."""
    if before is None:
        return after
    names = ("site", "buildings", "boundary", "land", "objects", "areas", "lamps", "cameras", "cables", "assumed")
    every = (*names, "conduits", "boxes", *(key.replace("-", "_") for key in GEAR))
    kept = {name: getattr(before, name) for name in every if getattr(before, name) == getattr(after, name)}
    return replace(after, **kept)


__all__ = ["TextEdit", "apply_text", "edited", "text_edits"]
