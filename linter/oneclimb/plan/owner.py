"""The owner's file: settings and deviations that a plan can't loosen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from oneclimb.plan.faults import Fault
from oneclimb.plan.here import Context
from oneclimb.plan.limits import Limits
from oneclimb.plan.model import Deviation
from oneclimb.plan.origins import locate, span_at
from oneclimb.plan.read_policy import read_deviations, read_settings
from oneclimb.plan.schema import Schemas, check
from oneclimb.plan.text import Document, read_document


class Owner(Struct, frozen=True):
    """What an owner has settled for every plan."""

    path: str
    settings: Mapping[str, Mapping[str, Any]]
    deviations: tuple[Deviation, ...]


def load_owner(path: str, schemas: Schemas, limits: Limits | None = None) -> Owner | tuple[Fault, ...]:
    """Read an owner's file against its composed schema. Faults come back where it can't be used."""
    limits = limits or Limits()
    document = read_document(path, limits)
    if not isinstance(document, Document):
        return tuple(document)
    schema = schemas.of(document.data)
    faults = check(schema, document, limits)
    if faults:
        return _a_plan(document) or faults
    c = Context("metres", limits)
    owner = Owner(path, read_settings(c, document.data, schema), read_deviations(c, document.data))
    return locate(c, document, document.data) if c.faults else owner


def _a_plan(document: Document) -> tuple[Fault, ...]:
    """The one fault of a plan that was given in an owner's file's place."""
    if "cameras" not in document.data:
        return ()
    text = "this is a plan, not an owner's file: it has `cameras`"
    hint = "an owner's file has `settings` and `deviations` only; name a plan without --owner"
    return (Fault("PLAN-11", text, span_at(document, document.data, ("cameras",), key=True), hint),)
