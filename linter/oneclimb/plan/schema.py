"""The schema that checks a plan: the base file, packs' nouns and rules' settings."""

from __future__ import annotations

import importlib.resources
import json
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path as File
from typing import TYPE_CHECKING, Any

from oneclimb.api import LEVELS, Rule, Setting
from oneclimb.plan.judge import check

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


class Schemas:
    """The base schema with the packs' nouns and the rules' settings in their slots.

    A rule's settings are composed only for a file that names the rule, so that no rule is imported for it.
    """

    def __init__(self, kinds: Mapping[str, Kind[Any]], rules: Mapping[str, Rule[Any]], name: str = PLAN) -> None:
        self._kinds, self._rules, self._name = kinds, rules, name
        self._made: dict[frozenset[str], dict[str, Any]] = {}

    def of(self, data: Mapping[str, Any]) -> Mapping[str, Any]:
        """The schema that checks a file's data."""
        written = data.get("settings")
        return self._with(frozenset(written) & frozenset(self._rules) if isinstance(written, dict) else frozenset())

    def whole(self) -> Mapping[str, Any]:
        """The schema with the settings of every rule."""
        return self._with(frozenset(self._rules))

    def _with(self, named: frozenset[str]) -> dict[str, Any]:
        if named not in self._made:
            settings = {code: _settings(self._rules[code]) if code in named else {} for code in self._rules}
            self._made[named] = _composed(self._kinds, settings, self._name)
        return self._made[named]


def _composed(kinds: Mapping[str, Kind[Any]], settings: Mapping[str, Any], name: str) -> dict[str, Any]:
    base = _base(name)
    slot = {**base["properties"]["settings"], "properties": settings}
    if settings:
        del slot["patternProperties"]
    nouns = {key: _noun(key, kind) for key, kind in kinds.items()} if name == PLAN else {}
    return {**base, "properties": {**base["properties"], "settings": slot, **nouns}}


def _noun(key: str, kind: Kind[Any]) -> dict[str, Any]:
    """A list of a pack's own noun."""
    return {
        "title": key.replace("-", " "),
        "description": (type(kind).__doc__ or key).strip().splitlines()[0],
        "examples": [],
        "type": "array",
        "maxItems": 10_000,
        "items": dict(kind.schema),
    }


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
    for field, about in rule.settings.described.items():
        properties[field.replace("_", "-")] = _setting(field, about)
    return {
        "title": rule.info.title,
        "description": f"Settings of {rule.info.code}: {rule.info.title}.",
        "examples": [{"level": "note"}],
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
    }


def _setting(field: str, about: Setting) -> dict[str, Any]:
    default = about.default
    out: dict[str, Any] = {
        "title": field.replace("_", " "),
        "description": about.about,
        "default": list(default) if isinstance(default, tuple) else default,
        "examples": [about.example],
    }
    if isinstance(default, bool):
        return {**out, "type": "boolean"}
    if isinstance(default, str):
        return {**out, "type": "string", "maxLength": 200}
    if isinstance(default, tuple):
        return {**out, "type": "array", "items": {"type": ["string", "number"]}, "maxItems": 100}
    out |= {"type": ["number", "string"], "unit": about.unit, "pattern": _base(PLAN)["$defs"]["limit"]["pattern"]}
    bounds = {"minimum": about.minimum, "maximum": about.maximum}
    out |= {key: bound for key, bound in bounds.items() if bound is not None}
    return out


__all__ = ["OWNER", "PLAN", "Schemas", "check", "schema_text"]
