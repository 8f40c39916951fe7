"""The schema that checks a plan: the base file, packs' nouns and rules' settings; and the checking."""

from __future__ import annotations

import copy
import importlib.resources
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path as File
from typing import TYPE_CHECKING, Any

import jsonschema_rs

from oneclimb.api import LEVELS, Rule, settings_fields
from oneclimb.plan.faults import Fault
from oneclimb.plan.here import Path, nearest
from oneclimb.plan.limits import Limits
from oneclimb.plan.origins import bounded, span_at
from oneclimb.plan.text import Document

if TYPE_CHECKING:
    from oneclimb.api import Kind

PLAN = "plan-1.schema.json"
OWNER = "owner-1.schema.json"


def schema_text(name: str) -> str:
    """A published schema, from the wheel or the checkout."""
    packed = importlib.resources.files("oneclimb") / "_schemas" / name
    if packed.is_file():
        return packed.read_text(encoding="utf-8")
    return (File(__file__).parents[3] / "schemas" / name).read_text(encoding="utf-8")


@lru_cache(maxsize=4)
def _base(name: str) -> Any:
    return json.loads(schema_text(name))


def compose(kinds: Mapping[str, Kind[Any]], rules: Iterable[Rule[Any]] | Mapping[str, Rule[Any]], name: str = PLAN) -> dict[str, Any]:
    """The base schema with the packs' nouns and the rules' settings in their slots."""
    schema: dict[str, Any] = copy.deepcopy(_base(name))
    slot = schema["properties"]["settings"]
    listed = rules.values() if isinstance(rules, Mapping) else rules
    slot["properties"] = {rule.info.code: _settings(rule) for rule in listed}
    if slot["properties"]:
        del slot["patternProperties"]
    if name == PLAN:
        for key, kind in kinds.items():
            schema["properties"][key] = {
                "title": key.replace("-", " "),
                "description": (type(kind).__doc__ or key).strip().splitlines()[0],
                "examples": [],
                "type": "array",
                "maxItems": 10_000,
                "items": dict(kind.schema),
            }
    return schema


def _settings(rule: Rule[Any]) -> dict[str, Any]:
    """A rule's settings: its limits by level, a fixed level, and its own."""
    limits = rule.settings().limits
    properties: dict[str, Any] = {
        level: {
            "title": f"limit of the level {level}",
            "description": f"From where a figure of {rule.info.code} is {'an' if level == 'error' else 'a'} {level}.",
            "default": getattr(limits, level),
            "examples": ["20 %"],
            "$ref": "#/$defs/limit",
        }
        for level in LEVELS
    }
    properties["level"] = {
        "title": "fixed level",
        "description": "One level for every finding of this rule, or none.",
        "examples": ["note"],
        "enum": [*LEVELS, "none"],
    }
    for field, about in settings_fields(rule.settings).items():
        properties[field.replace("_", "-")] = _setting(field, about)
    return {
        "title": rule.info.title,
        "description": f"Settings of {rule.info.code}: {rule.info.title}.",
        "examples": [{"level": "note"}],
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
    }


def _setting(field: str, about: Mapping[str, Any]) -> dict[str, Any]:
    default = about["default"]
    out: dict[str, Any] = {
        "title": field.replace("_", " "),
        "description": about["about"],
        "default": list(default) if isinstance(default, tuple) else default,
        "examples": [about["example"]],
    }
    if isinstance(default, bool):
        return {**out, "type": "boolean"}
    if isinstance(default, str):
        return {**out, "type": "string", "maxLength": 200}
    if isinstance(default, tuple):
        return {**out, "type": "array", "items": {"type": ["string", "number"]}, "maxItems": 100}
    out |= {"type": ["number", "string"], "unit": about["unit"], "pattern": _base(PLAN)["$defs"]["limit"]["pattern"]}
    out |= {key: about[key] for key in ("minimum", "maximum") if about[key] is not None}
    return out


def check(schema: Mapping[str, Any], document: Document, limits: Limits | None = None) -> tuple[Fault, ...]:
    """A document's faults against the schema, by line: none where it is valid.

    A fast validator answers the question whether there is any; what they are is judged by jsonschema.
    """
    limits = limits or Limits()
    return () if is_valid(schema, document.data) else faults_of(schema, document, document.data, limits.faults)


def faults_of(
    schema: Mapping[str, Any], document: Document, data: Mapping[str, Any], most: int
) -> tuple[Fault, ...]:
    """The faults of data (the document's own, or an edit of it), by line."""
    faults = [fault for error in _errors(schema, data, most) for fault in _told(error, document, data, schema)]
    ordered = sorted(dict.fromkeys(faults), key=lambda fault: (fault.span, fault.code, fault.text))
    return bounded(tuple(ordered), most)


_FAST: dict[int, tuple[Mapping[str, Any], Any]] = {}


def is_valid(schema: Mapping[str, Any], data: Any) -> bool:
    """Whether data is certainly valid. ``False`` may be wrong where a number is too large for the fast validator."""
    key = id(schema)
    if key not in _FAST or _FAST[key][0] is not schema:
        _FAST.clear()
        _FAST[key] = (schema, jsonschema_rs.Draft202012Validator(schema))
    try:
        return bool(_FAST[key][1].is_valid(data))
    except (ValueError, OverflowError):
        return False


def _errors(schema: Mapping[str, Any], data: Mapping[str, Any], most: int) -> Iterator[Any]:
    """jsonschema's errors. Entries of the plan's lists are judged one by one, and only those the fast
    validator doubts, so that a large plan with one slip is told as soon as a small one.
    """
    import jsonschema  # noqa: PLC0415 - dear to import, and only a faulty plan needs it

    lists = {
        key: part
        for key, part in schema["properties"].items()
        if isinstance(data.get(key), list) and "items" in part
    }
    outer = {**schema, "properties": {k: _without_items(p) if k in lists else p for k, p in schema["properties"].items()}}
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


_TYPES = {
    "object": "keys of its own",
    "array": "a list",
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "null": "nothing",
}


def _told(
    error: Any, document: Document, data: Mapping[str, Any], schema: Mapping[str, Any]
) -> Iterator[Fault]:
    """One error of the validator in plain words, one fault for each slip it stands for."""
    path: Path = tuple(error.absolute_path)

    def at(code: str, text: str, hint: str = "", *, below: str | None = None) -> Fault:
        where = path if below is None else (*path, below)
        return Fault(code, text, span_at(document, data, where, key=below is not None), hint)

    name = f"`{path[-1]}`" if path and isinstance(path[-1], str) else "this"
    kind, value, says = error.validator, error.instance, error.schema.get("says", "")
    if kind == "additionalProperties":
        known = list(error.schema.get("properties", ()))
        for key in value:
            if key not in known and not _matches(error.schema, key):
                yield at("PLAN-11", f"no key `{key}` here", nearest(key, known), below=key)
    elif kind == "required":
        for key in error.validator_value:
            if key not in value and f"'{key}'" in error.message:
                yield at("PLAN-12", f"`{key}` is missing", _example(error.schema, schema, key))
    elif kind == "dependentRequired":
        yield at("PLAN-12", f"{name}: {error.message}")
    elif kind == "type":
        wanted = says or " or ".join(_TYPES[t] for t in _listed(error.validator_value))
        yield at("PLAN-13", f"{name} takes {wanted}, not {_shown(value)}")
    elif kind in ("enum", "const"):
        words = [str(w) for w in _listed(error.validator_value)]
        yield at("PLAN-14", f"{name} is not {_shown(value)}", nearest(str(value), words))
    elif kind == "pattern":
        yield at("PLAN-15", f"{_shown(value)} is not {says or 'written as it should be'}")
    elif kind in ("propertyNames", "minLength", "maxLength", "format"):
        yield at("PLAN-15", f"{name} is not written as it should be: {error.message[:120]}")
    elif kind in _BOUNDS:
        yield at("PLAN-16", f"{name}: {_BOUNDS[kind].format(error.validator_value)}")
    else:
        yield at("PLAN-17", f"{name}: {error.message[:160]}")


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


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _matches(schema: Mapping[str, Any], key: str) -> bool:
    return any(re.search(pattern, key) for pattern in schema.get("patternProperties", ()))


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
