"""A plan's data held against its schema, and what is wrong in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import jsonschema_rs

from oneclimb.plan.faults import Fault
from oneclimb.plan.limits import Limits
from oneclimb.plan.origins import bounded
from oneclimb.plan.slips import told
from oneclimb.plan.text import Document


def check(schema: Mapping[str, Any], document: Document, limits: Limits | None = None) -> tuple[Fault, ...]:
    """A document's faults against the schema, by line: none where it is valid.

    A fast validator answers the question whether there is any; what they are is judged by jsonschema.
    """
    limits = limits or Limits()
    return () if is_valid(schema, document.data) else faults_of(schema, document, document.data, limits.faults)


def faults_of(schema: Mapping[str, Any], document: Document, data: Mapping[str, Any], most: int) -> tuple[Fault, ...]:
    """The faults of data (the document's own, or an edit of it), by line."""
    faults = [fault for error in _errors(schema, data, most) for fault in told(error, document, data, schema)]
    ordered = sorted(dict.fromkeys(faults), key=lambda fault: (fault.span, fault.code, fault.text))
    return bounded(tuple(ordered), most)


_FAST: dict[int, tuple[Mapping[str, Any], Any]] = {}


def is_valid(schema: Mapping[str, Any], data: Any) -> bool:
    """Whether data is certainly valid. ``False`` may be wrong where a number is too large for the fast validator."""
    key = id(schema)
    if key not in _FAST or _FAST[key][0] is not schema:
        _FAST.clear()
        _FAST[key] = (schema, jsonschema_rs.Draft202012Validator(dict(schema)))
    try:
        return bool(_FAST[key][1].is_valid(data))
    except (ValueError, OverflowError):
        return False


def _errors(schema: Mapping[str, Any], data: Mapping[str, Any], most: int) -> Iterator[Any]:
    """Jsonschema's errors. Entries of the plan's lists are judged one by one, and only those the fast
    validator doubts, so that a large plan with one slip is told as soon as a small one.
    """
    import jsonschema

    lists = {
        key: part for key, part in schema["properties"].items() if isinstance(data.get(key), list) and "items" in part
    }
    outer = {
        **schema,
        "properties": {k: _without_items(p) if k in lists else p for k, p in schema["properties"].items()},
    }
    count = 0
    for error in jsonschema.Draft202012Validator(outer).iter_errors(data):
        yield error
        count += 1
    for key, part in lists.items():
        entry_schema = {"$defs": schema.get("$defs", {}), **part["items"]}
        fast = jsonschema_rs.Draft202012Validator(entry_schema)
        judge = jsonschema.Draft202012Validator(entry_schema)
        for i, entry in enumerate(data[key]):
            if count > 2 * most:
                return
            if _surely(fast, entry):
                continue
            for error in judge.iter_errors(entry):
                error.path.extendleft((i, key))
                yield error
                count += 1


def _surely(fast: Any, entry: Any) -> bool:
    try:
        return bool(fast.is_valid(entry))
    except (ValueError, OverflowError):
        return False


def _without_items(part: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in part.items() if key != "items"}
