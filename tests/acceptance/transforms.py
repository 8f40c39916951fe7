"""The same site written another way: moved, turned with its north, listed in another order, under other
names, in other units. Each takes a plan's data as read from its file and gives new data.

Which keys are lengths, coordinates, bearings, names and lists without an order is said here once, and
held against the schema by the tests.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from oneclimb.plan.units import INCH, quantity

Path = tuple[str, ...]
"""keys from the top of a plan to a value; lists are passed through"""
Data = dict[str, Any]

SIDES = ("front", "right", "back", "left")
LENGTHS = frozenset(
    {"along", "out", "height", "width", "depth", "thickness", "storey-height", "base", "coast", "tall", "wide", "deep"}
    | {"diameter", "grows", "range", "length", "gap", "arm", "infrared"}
    | {"bend", "bore", "clamps", "cords", "high", "mains"}
)
"""keys of lengths and of ranges of lengths (``boundary``'s sides are lengths too)"""
POINTS = frozenset({"at", "outline", "points"})
"""keys of a pair of coordinates, or of a list of pairs"""
ASIDE = frozenset(
    {"settings", "deviations", "materials", "model", "masks", "lens", "surfaces", "build", "beyond", "wireless"}
)
"""keys below which nothing is measured on the site"""
LOOSE = frozenset(
    {
        "buildings",
        "windows",
        "neighbours",
        "objects",
        "areas",
        "lamps",
        "cameras",
        "masks",
        "watches",
        "rated",
        "cables",
    }
    | {"connectors", "weather", "deviations", "hills"}
    | {"conduits", "bends", "contents", "joins", "boxes", "suits", "through", "between"}
    | {"switches", "injectors", "supplies", "recorders", "disks", "ups", "feeds", "access-points", "proofs", "of"}
)
"""keys of lists whose order means nothing (but for the first of ``buildings``)"""


def text(data: Mapping[str, Any]) -> str:
    """Plan data as a plan's text: JSON is YAML."""
    return json.dumps(data, indent=1, ensure_ascii=False)


def is_length(path: Path) -> bool:
    """Whether the value at a path is a length, or a range of lengths."""
    if ASIDE & set(path):
        return False
    return path[-1] in LENGTHS or (path[-1] in SIDES and path[-2:-1] == ("boundary",))


def is_point(path: Path, value: Any) -> bool:
    """Whether it is one pair of coordinates."""
    pair = isinstance(value, list) and len(value) == 2 and not isinstance(value[0], list | dict)
    return pair and path[-1] in POINTS and not ASIDE & set(path)


def each(value: Any, change: Callable[[Path, Any], Any], path: Path = ()) -> Any:
    """A copy with ``change(path, value)`` in place of every plain value and of every pair of coordinates."""
    if path and is_point(path, value):
        return change(path, value)
    if isinstance(value, dict):
        return {key: each(inner, change, (*path, key)) for key, inner in value.items()}
    if isinstance(value, list):
        return [each(inner, change, path) for inner in value]
    return change(path, value)


def _metres(value: Any, data: Data) -> float:
    return quantity(value, "length", data.get("units", "metres"))


def _points(data: Data, change: Callable[[float, float], tuple[float, float]]) -> Data:
    """Every pair of coordinates changed; taken and given in metres."""

    def moved(path: Path, value: Any) -> Any:
        if not is_point(path, value):
            return value
        return [f"{size:.12f} m" for size in change(*(_metres(v, data) for v in value))]

    return dict(each(data, moved))


# ------------------------------------------------------------------------ moved, turned


def moved(data: Data, east: float, north: float) -> Data:
    """The whole site this many metres along x and y. A building without a place stands at the origin."""
    out = _points(data, lambda x, y: (x + east, y + north))
    for building in [out["house"]] if "house" in out else out.get("buildings", ()):
        if "outline" not in building:
            building.setdefault("at", [f"{east} m", f"{north} m"])
    return out


def turned(data: Data, degrees: float) -> Data:
    """The same site on a sheet turned under it: coordinates go round anticlockwise, +y to another bearing.

    Whatever is written as a compass bearing stays. What lies along x because nothing else
    is written is given the bearing that x had.
    """
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    out = _points(data, lambda x, y: (c * x - s * y, s * x + c * y))
    site = dict(out.get("site", {}))
    before = quantity(site.get("plus-y", 0.0), "angle")
    site["plus-y"] = (before + degrees) % 360.0
    out["site"] = site
    for thing in out.get("objects", ()):
        if "at" in thing:
            thing.setdefault("turned", (before + 90.0) % 360.0)
    return out


# --------------------------------------------------------------------- order and names


def reordered(value: Any, path: Path = ()) -> Any:
    """Every list without an order the other way round, and the keys of every mapping."""
    if isinstance(value, dict):
        return {key: reordered(inner, (*path, key)) for key, inner in reversed(value.items())}
    if not isinstance(value, list):
        return value
    inner = [reordered(one, path) for one in value]
    if path[-1] == "buildings":
        return [*inner[:1], *inner[:0:-1]]
    return inner[::-1] if path[-1] in LOOSE or path[-2:] == ("eave", "walls") else inner


USES = frozenset(
    {"id", "names", "edges", "wall", "building", "neighbour", "side", "aim", "watches", "camera", "walls"}
    | {"to", "conduit", "box", "between", "held-by", "supply", "recorder", "feeds", "of", "lamps", "cameras", "within"}
)
"""keys whose text is the name of a thing"""
_NAMED = re.compile(r"n\d\d\d\.")
FIXED = frozenset({*SIDES, "house", "others"})
"""names that the language itself gives"""


def renamed(data: Data) -> Data:
    """Every name the plan gives, and wherever it is used, changed so that names sort the other way round."""
    ids = _other(_names(data))
    surfaces, types = _other(data.get("materials", ())), _other(data.get("types", ()))
    keys = {"materials": surfaces, "types": types, "surfaces": ids, "build": ids, "beyond": ids}

    def text(path: Path, value: Any) -> Any:
        names = {"surface": surfaces, "type": types, **dict.fromkeys(USES, ids)}.get(path[-1], {})
        if path[-2:-1] == ("surfaces",):
            names = surfaces
        if path[-1] == "to" and path[-2:-1] in (("mount",), ("fixing",), ("hole",)):
            return value  # what it is fixed to, what air is behind it: words of the language
        if path == ("deviations", "at"):
            return _path(value, ids)
        return names.get(value, value) if isinstance(value, str) else value

    return dict(_keys(each(data, text), keys))


def original(path: str) -> str:
    """A finding's path with the names as they were before ``renamed``."""
    return _NAMED.sub("", path)


def _other(names: Iterable[str]) -> dict[str, str]:
    return {name: f"n{999 - i:03}.{name}" for i, name in enumerate(sorted(names))}


def _names(data: Data) -> set[str]:
    found: set[str] = set()

    def keep(path: Path, value: Any) -> None:
        if path[-1] in ("id", "names", "edges"):
            found.add(value)

    each(data, keep)
    return found - FIXED


def _keys(value: Any, keys: Mapping[str, Mapping[str, str]], under: str = "") -> Any:
    """A copy with the keys renamed of mappings whose keys are names."""
    if isinstance(value, list):
        return [_keys(one, keys, under) for one in value]
    if not isinstance(value, dict):
        return value
    return {keys.get(under, {}).get(key, key): _keys(one, keys, key) for key, one in value.items()}


def _path(path: str, ids: Mapping[str, str]) -> str:
    """A deviation's path: names are its parts, and the beginning of the names of a camera's own cable and plug."""
    ends = ("-cable", "-plug", "")

    def part(name: str) -> str:
        stems = ((name.removesuffix(end), end) for end in ends if name.endswith(end))
        return next((ids[stem] + end for stem, end in stems if stem in ids), name)

    return "/".join(part(name) for name in path.split("/"))


# ------------------------------------------------------------------------------- units


def other_units(data: Data) -> Data:
    """Every bare number with its unit, and the plan's units the other ones."""
    feet = data.get("units", "metres") == "feet"
    unit = "ft" if feet else "m"
    out = _lengths(data, lambda one: one if re.search(r"[a-z'\"]", one) else f"{one} {unit}")
    return {**out, "units": "metres" if feet else "feet"}


def feet_and_inches(data: Data) -> Data:
    """Every length in feet and inches, coordinates too, whatever the plan's units."""
    return _lengths(data, lambda one: _in_feet(_metres(one, data)))


def _in_feet(metres: float) -> str:
    inches = round(abs(metres) / INCH, 10)
    feet = int(inches // 12)
    return f"{'-' if metres < 0 else ''}{feet} ft {inches - 12 * feet:.10f} in"


def _lengths(data: Data, change: Callable[[str], str]) -> Data:
    """Every length changed, both ends of a range, coordinates too; taken and given as text."""

    def one(path: Path, value: Any) -> Any:
        if is_point(path, value):
            return [change(str(size)) for size in value]
        if not is_length(path) or not isinstance(value, str | int | float):
            return value
        low, to, high = str(value).partition(" to ")
        unit = re.search(r"[a-z'\"]+$", high)
        if unit and not re.search(r"[a-z'\"]", low):
            low = f"{low} {unit[0]}"
        return change(low) + (to + change(high) if to else "")

    return dict(each(data, one))
