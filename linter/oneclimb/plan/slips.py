"""What the schema's validator says, in plain words: one fault for each slip."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from oneclimb.plan.faults import Fault
from oneclimb.plan.here import Path, nearest
from oneclimb.plan.origins import span_at
from oneclimb.plan.text import Document
from oneclimb.plan.units import comma_hint

_SEE = "`oneclimb schema` lists them"
_TYPES = {
    "object": "keys of its own",
    "array": "a list",
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "null": "nothing",
}


_BOUNDS = {
    "minimum": "at least {}",
    "maximum": "at most {}",
    "exclusiveMinimum": "more than {}",
    "exclusiveMaximum": "less than {}",
    "minItems": "at least {} entries",
    "maxItems": "at most {} entries",
    "minProperties": "at least {} keys",
    "maxProperties": "at most {} keys",
    "uniqueItems": "each entry once",
}


class Slip(Struct, frozen=True):
    """One error of the validator, and what its words need."""

    error: Any
    document: Document
    data: Mapping[str, Any]
    schema: Mapping[str, Any]

    @property
    def path(self) -> Path:
        """Where it is in the data."""
        return tuple(self.error.absolute_path)

    @property
    def name(self) -> str:
        """The key it is about."""
        return next((f"`{part}`" for part in reversed(self.path) if isinstance(part, str)), "this")

    @property
    def says(self) -> str:
        """What to write, by the schema."""
        return str(self.error.schema.get("says", ""))

    def fault(self, code: str, text: str, hint: str = "", *, below: str | None = None) -> Fault:
        """A fault at the value, or at a key below it."""
        where = self.path if below is None else (*self.path, below)
        return Fault(code, text, span_at(self.document, self.data, where, key=below is not None), hint)


def told(error: Any, document: Document, data: Mapping[str, Any], schema: Mapping[str, Any]) -> Iterator[Fault]:
    """One error in plain words, one fault for each slip it stands for."""
    slip = Slip(error, document, data, schema)
    kind = str(error.validator)
    if kind in _BOUNDS:
        yield slip.fault("PLAN-16", f"{slip.name}: {_BOUNDS[kind].format(error.validator_value)}")
    elif kind in _WORDS:
        yield from _WORDS[kind](slip)
    else:
        yield slip.fault("PLAN-17", f"{slip.name}: {error.message[:160]}")


def _unknown(slip: Slip) -> Iterator[Fault]:
    part = slip.error.schema
    known = list(part.get("properties", ()))
    for key in slip.error.instance:
        if key not in known and not any(re.search(pattern, key) for pattern in part.get("patternProperties", ())):
            hint = _split(slip.error.instance, key) or nearest(key, known, _SEE)
            yield slip.fault("PLAN-11", f"no key `{key}` here", hint, below=key)


def _split(instance: Mapping[str, Any], key: str) -> str:
    """Where ``{height: 2,8}`` has made a key of the decimals: how to write the number."""
    keys = list(instance)
    before = keys[keys.index(key) - 1] if key != keys[0] else ""
    number = instance.get(before)
    if instance[key] is not None or not isinstance(number, int) or isinstance(number, bool):
        return ""
    hint = comma_hint(f"{number},{key}")
    return f"{hint} for `{before}`" if hint else ""


def _missing(slip: Slip) -> Iterator[Fault]:
    for key in slip.error.validator_value:
        if key not in slip.error.instance and f"'{key}'" in slip.error.message:
            yield slip.fault("PLAN-12", f"`{key}` is missing", _example(slip.error.schema, slip.schema, key))


def _type(slip: Slip) -> Iterator[Fault]:
    wanted = slip.says or " or ".join(_TYPES[t] for t in _listed(slip.error.validator_value))
    yield slip.fault("PLAN-13", f"{slip.name} takes {wanted}, not {_shown(slip.error.instance)}")


def _word(slip: Slip) -> Iterator[Fault]:
    words = [str(word) for word in _listed(slip.error.validator_value)]
    value = slip.error.instance
    yield slip.fault("PLAN-14", f"{slip.name} is not {_shown(value)}", nearest(str(value), words, _SEE))


def _form(slip: Slip) -> Iterator[Fault]:
    value = slip.error.instance
    says = slip.says or "written as it should be"
    yield slip.fault("PLAN-15", f"{_shown(value)} is not {says}", comma_hint(str(value)))


def _length(slip: Slip) -> Iterator[Fault]:
    most = slip.error.validator_value
    size = "longer than it may be" if slip.error.validator == "maxLength" else "shorter than it may be"
    yield slip.fault("PLAN-15", f"{slip.name} is {size} ({most} characters)")


_WORDS: Mapping[str, Callable[[Slip], Iterator[Fault]]] = {
    "additionalProperties": _unknown,
    "required": _missing,
    "type": _type,
    "enum": _word,
    "const": _word,
    "pattern": _form,
    "maxLength": _length,
    "minLength": _length,
}


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _example(part: Mapping[str, Any], schema: Mapping[str, Any], key: str) -> str:
    """A hint with the key's own example."""
    found = part.get("properties", {}).get(key, {})
    examples = found.get("examples") or schema.get("properties", {}).get(key, {}).get("examples")
    return f"such as `{key}: {_yaml(examples[0])}`" if examples else ""


def _yaml(value: Any) -> str:
    """A value as one would write it in a plan, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_yaml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_yaml(one) for one in value) + "]"
    return str(value).lower() if isinstance(value, bool) else str(value)


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, (dict, list)):
        return "a list" if isinstance(value, list) else "keys of its own"
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return f"`{text[:60]}{'…' if len(text) > 60 else ''}`"
