"""Reading what is said of the model and of the rules: materials, constants, settings, deviations."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType
from typing import Any

from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Context, Here, nearest
from oneclimb.plan.model import Deviation
from oneclimb.plan.units import any_quantity, quantity, span
from oneclimb.trade.constants import CONSTANTS
from oneclimb.trade.materials import BUILT_IN, Band, Material

LEVELS = ("note", "warning", "error")


def read_materials(c: Context, data: Mapping[str, Any]) -> Mapping[str, Material]:
    """The built-in materials and the plan's own, which come before them."""
    own = {name: _material(c, name, entry) for name, entry in data.get("materials", {}).items()}
    c.materials = frozenset(BUILT_IN) | frozenset(own)
    return MappingProxyType({**BUILT_IN, **own}) if own else BUILT_IN


def _material(c: Context, name: str, entry: Mapping[str, Any]) -> Material:
    here = Here(c, entry, ("materials", name), ("material", name))
    c.paths["material", name] = here.path
    bands = {}
    reflectance = here.at("reflectance")
    for key, value in reflectance.data.items():
        band = reflectance.tried(key, partial(_band, value))
        if band:
            bands[int(key)] = band
    return Material(
        name,
        MappingProxyType(bands),
        here.flag("foliage", "not foliage"),
        here.flag("glass", "not glass"),
        here.data.get("source", ""),
        float(here.word("retro", 0.0, "throws no light straight back")),
    )


def _band(value: Any) -> Band:
    if isinstance(value, dict):
        low, usual, high = (quantity(value[key], "share") for key in ("low", "usual", "high"))
    else:
        low, high = span(value, "share")
        usual = (low + high) / 2
    if not 0 <= low <= usual <= high <= 1:
        raise UnreadableError("PLAN-22", "a reflectance goes from low over usual to high, each between 0 and 1")
    return Band(low, usual, high)


def read_constants(c: Context, data: Mapping[str, Any]) -> Mapping[str, float | tuple[float, float, float]]:
    """The light model's constants that the plan sets itself, SI."""
    here = Here(c, data.get("model", {}), ("model",), ("model", "model"))
    c.paths["model", "model"] = here.path
    values: dict[str, float | tuple[float, float, float]] = {}
    for key, value in here.data.items():
        if key not in CONSTANTS:
            here.fault(key, "PLAN-19", f"the light model has no constant `{key}`", nearest(key, CONSTANTS), at_key=True)
            continue
        got = here.tried(key, partial(_constant, value))
        if got is not None:
            values[key] = got
    return MappingProxyType(values)


def _constant(value: Any) -> float | tuple[float, float, float]:
    if not isinstance(value, dict):
        return any_quantity(value)
    low, usual, high = (any_quantity(value[key]) for key in ("low", "usual", "high"))
    if not low <= usual <= high:
        raise UnreadableError("PLAN-22", "a constant goes from low over usual to high")
    return low, usual, high


def read_settings(c: Context, data: Mapping[str, Any], schema: Mapping[str, Any]) -> Mapping[str, Mapping[str, Any]]:
    """The settings of rules, quantities in SI. The composed schema says what each is a quantity of."""
    rules = schema.get("properties", {}).get("settings", {}).get("properties", {})
    return MappingProxyType(
        {code: _rule(c, code, given, rules.get(code, {})) for code, given in data.get("settings", {}).items()}
    )


def _rule(c: Context, code: str, given: Mapping[str, Any], schema: Mapping[str, Any]) -> Mapping[str, Any]:
    here = Here(c, given, ("settings", code), ("settings", code))
    c.paths["settings", code] = here.path
    known = schema.get("properties", {})
    values = {}
    for key, value in given.items():
        if key == "level" or isinstance(value, (bool, list)) or value is None:
            values[key] = tuple(value) if isinstance(value, list) else value
            continue
        text = isinstance(value, str)
        if text and not (key in LEVELS or "unit" in known.get(key, {})):
            values[key] = value
            continue
        values[key] = here.tried(key, partial(_setting, value, known.get(key, {}).get("unit"), c))
    return MappingProxyType(values)


def _setting(value: str | float, unit: str | None, c: Context) -> float:
    return quantity(value, "length", c.units) if unit == "m" else any_quantity(value, c.units)


def read_deviations(c: Context, data: Mapping[str, Any]) -> tuple[Deviation, ...]:
    """Accepted findings, in order; each is known by its place in the list."""
    return tuple(_deviation(c, i, entry) for i, entry in enumerate(data.get("deviations", ())))


def _deviation(c: Context, i: int, entry: Mapping[str, Any]) -> Deviation:
    here = Here(c, entry, ("deviations", i), ("deviation", str(i + 1)))
    c.paths[here.thing] = here.path
    return Deviation(entry["code"], entry["at"], entry["reason"], entry["agreed"], here.date("until"))
