"""From a file to a plan: text, schema, then every noun."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from oneclimb.plan.faults import Fault
from oneclimb.plan.here import Context
from oneclimb.plan.limits import Limits
from oneclimb.plan.model import Area, Object, Plan
from oneclimb.plan.origins import Origins, locate, span_at
from oneclimb.plan.read_plan import read_plan, targets_of
from oneclimb.plan.schema import Schemas, check
from oneclimb.plan.sense import Solids
from oneclimb.plan.text import Document, read_document

if TYPE_CHECKING:
    from oneclimb.api import Kind


class Source(Struct, frozen=True):
    """What a plan was read from, kept so that one thing of it can be read again."""

    data: Mapping[str, Any]
    context: Context
    kinds: Mapping[str, Kind[Any]]
    schema: Mapping[str, Any]
    solids: Solids
    targets: Mapping[str, Area | Object]
    """what can be aimed at, by id"""


class Loaded(Struct, frozen=True):
    """A plan's file, read: the plan, or the faults that keep it from being one."""

    path: str
    document: Document | None
    plan: Plan | None
    faults: tuple[Fault, ...] = ()
    origins: Origins | None = None
    source: Source | None = None


def load(path: str, kinds: Mapping[str, Kind[Any]], schemas: Schemas, limits: Limits | None = None) -> Loaded:
    """Read a plan's file. Never raises for what the file holds."""
    limits = limits or Limits()
    document = read_document(path, limits)
    if not isinstance(document, Document):
        return Loaded(path, None, None, tuple(document))
    return load_document(document, kinds, schemas, limits)


def load_document(
    document: Document, kinds: Mapping[str, Kind[Any]], schemas: Schemas, limits: Limits | None = None
) -> Loaded:
    """Read a plan from its document."""
    limits = limits or Limits()
    schema = schemas.of(document.data)
    faults = check(schema, document, limits)
    if faults:
        return Loaded(document.path, document, None, _an_owners(document) or faults)
    c = Context(_units(document.data), limits)
    plan, solids = read_plan(c, document.data, kinds, schema)
    if c.faults:
        return Loaded(document.path, document, None, locate(c, document, document.data), None)
    source = Source(document.data, c, kinds, schema, solids, targets_of(plan.objects, plan.areas))
    return Loaded(document.path, document, plan, (), Origins(document, document.data, c, schema, kinds), source)


def _an_owners(document: Document) -> tuple[Fault, ...]:
    """The one fault of an owner's file that was given in a plan's place."""
    if not document.data or not document.data.keys() <= {"version", "settings", "deviations"}:
        return ()
    text = "this looks like an owner's file, not a plan: it has no `cameras`"
    span = span_at(document, document.data, ())
    return (Fault("PLAN-12", text, span, "give an owner's file with --owner, beside the plans"),)


def _units(data: Mapping[str, Any]) -> Any:
    return data.get("units", "metres")
