"""A plan's data held against its schema, and what is wrong in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice
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
    """The faults of data (the document's own, or an edit of it), by line; of very many the first that are met."""
    every = (fault for error in _errors(schema, data) for fault in told(error, document, data, schema))
    faults = dict.fromkeys(islice(every, 2 * most + 1))
    return bounded(tuple(sorted(faults, key=lambda fault: (fault.span, fault.code, fault.text))), most)


_LONGEST = 20_001
"""entries of a list inside another thing that are judged: no schema of a plan allows as many"""
_FAST: dict[int, tuple[Mapping[str, Any], Any]] = {}
"""the fast validators of the last few schemas; the schema is kept too, so that its id stays its own"""


def is_valid(schema: Mapping[str, Any], data: Any) -> bool:
    """Whether data is certainly valid. ``False`` may be wrong where a number is too large for the fast validator."""
    if id(schema) not in _FAST:
        if len(_FAST) > 3:
            _FAST.clear()
        _FAST[id(schema)] = (schema, _fast(schema))
    return _surely(_FAST[id(schema)][1], data)


def _fast(schema: Mapping[str, Any]) -> Any:
    return jsonschema_rs.Draft202012Validator(dict(schema))


def _surely(fast: Any, data: Any) -> bool:
    try:
        return bool(fast.is_valid(data))
    except (ValueError, OverflowError):
        return False


def _errors(schema: Mapping[str, Any], data: Mapping[str, Any]) -> Iterator[Any]:
    """Jsonschema's errors: of the top, then key by key, lists entry by entry. It is asked only where
    the fast validator doubts, so that a large plan with one slip is told as soon as a small one.
    """
    import jsonschema

    def of(part: Mapping[str, Any], value: Any, *path: str | int) -> Iterator[Any]:
        whole = {"$defs": schema.get("$defs", {}), **part}
        for error in jsonschema.Draft202012Validator(whole).iter_errors(_shortened(value)):
            error.path.extendleft(reversed(path))
            yield error

    yield from of({**schema, "properties": {key: {} for key in schema["properties"]}}, dict.fromkeys(data))
    for key, part in schema["properties"].items():
        if key not in data:
            continue
        value, items = data[key], part.get("items")
        if not isinstance(value, list) or items is None:
            yield from of(part, value, key)
            continue
        yield from of({name: one for name, one in part.items() if name != "items"}, [None] * len(value), key)
        fast = _fast({"$defs": schema.get("$defs", {}), **items})
        for i, entry in enumerate(value):
            if not _surely(fast, entry):
                yield from of(items, entry, key, i)


def _shortened(value: Any) -> Any:
    """A value with its lists cut where they are too long for any schema here: still too long, and soon judged."""
    if isinstance(value, dict):
        return {key: _shortened(one) for key, one in value.items()}
    return [_shortened(one) for one in value[:_LONGEST]] if isinstance(value, list) else value
