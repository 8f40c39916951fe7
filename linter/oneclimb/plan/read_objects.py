"""Reading objects: kinds with usual sizes, things drawn as a line, pipes that run."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from oneclimb.plan.here import Here
from oneclimb.plan.kinds import KINDS, Usual
from oneclimb.plan.model import Building, Object, Shape, Spot, Vec2, Wall
from oneclimb.plan.where import PLACE, direction, distance, ground, is_placed, off, spot, wall_of

_CLEAR = 0.02
"""m: a pipe's usual gap to the wall (common practice: its clips)"""


def read_object(here: Here) -> tuple[Object, ...]:
    """An object; one a segment where it is drawn as a line (``fence``, ``fence~2`` …)."""
    usual = KINDS[here.data["kind"]]
    line = _line(here, usual)
    if line is not None:
        return _segments(here, usual, line)
    placed = spot(here, usual.height, _flush(usual, here))
    if placed is None:
        return ()
    sizes = _sizes(here, usual, placed)
    if sizes is None:
        return ()
    tall, wide, deep, diameter = sizes
    trunk = _trunk(here, usual, tall)
    if trunk:
        placed = _raised(placed, trunk[0])
        tall -= trunk[0]
    to = spot(here.at("to")) if here.has("to") else None
    return (_made(here, usual, here.thing[1], placed, tall, wide, deep, diameter, _yaw(here, placed), to, trunk),)


def _flush(usual: Usual, here: Here) -> float:
    """How far out the middle of a thing lies that touches its wall (a pipe stands off a little)."""
    if usual.shape == "cylinder":
        size = here.data.get("diameter", usual.diameter)
    else:
        size = here.data.get("deep", usual.deep if usual.shape != "crown" else usual.diameter)
    half = (usual.diameter if usual.shape in ("cylinder", "crown") else usual.deep) or 0.0
    if size is not None and isinstance(size, (int, float, str)):
        half = here.tried("out", lambda: _metres(here, size)) or half
    return half / 2 + (_CLEAR if usual.shape == "cylinder" else 0.0)


def _metres(here: Here, size: float | str) -> float:
    from oneclimb.plan.units import quantity

    return quantity(size, "length", here.c.units)


def _sizes(here: Here, usual: Usual, placed: Spot) -> tuple[float, float, float, float] | None:
    """Tall, wide, deep and diameter; ``None`` with the fault on record where one is missing or nothing."""
    needed = ("diameter", "tall") if usual.shape in ("cylinder", "crown") else ("wide", "deep", "tall")
    runs = here.has("to")
    found: dict[str, float] = {"wide": 0.0, "deep": 0.0, "diameter": 0.0, "tall": 0.0}
    for key in needed:
        default = getattr(usual, key)
        if key == "tall" and runs:
            continue
        if key == "tall" and usual.to_eave:
            default = _to_eave(here, placed)
        if default is None and not here.has(key):
            here.fault("", "PLAN-12", f"a {here.data['kind']} needs `{key}`: it has no usual size")
            return None
        size = here.size(key, default or 0.0)
        if size <= 0:
            here.fault(key if here.has(key) else "", "PLAN-26", f"`{key}` is nothing: it must be more than 0")
            return None
        found[key] = size
    return found["tall"], found["wide"], found["deep"], found["diameter"]


def _to_eave(here: Here, placed: Spot) -> float:
    """From where it begins up to the eave over its wall, or the wall's top."""
    house = here.c.buildings.get(placed.building)
    if house is None:
        return 2.5
    top = house.eave.height if house.eave and placed.wall in house.eave.walls else house.height
    return max(house.base + top - placed.z, 0.1)


def _trunk(here: Here, usual: Usual, tall: float) -> Vec2 | None:
    if usual.trunk is None:
        return None
    trunk = here.at("trunk")
    height = trunk.size("height", min(usual.trunk[0], tall / 2))
    if height >= tall:
        trunk.fault("height", "PLAN-32", "the trunk is as tall as the whole tree")
        return None
    return height, trunk.size("diameter", usual.trunk[1])


def _raised(spot: Spot, by: float) -> Spot:
    return Spot(spot.x, spot.y, spot.z + by, spot.building, spot.wall, spot.along, spot.out, spot.normal)


def _yaw(here: Here, placed: Spot) -> float:
    """Degrees anticlockwise from +x of the wide side: along the wall, turned from it, or a bearing."""
    turned = here.maybe("turned", "angle")
    if placed.normal != (0.0, 0.0):
        along = math.degrees(math.atan2(placed.normal[0], -placed.normal[1]))
        if turned is None:
            here.note("turned", "its wide side along the wall")
        return _round(along + (turned or 0.0))
    if turned is None:
        here.note("turned", "its wide side along x")
        return 0.0
    dx, dy = here.c.unit(turned)
    return _round(math.degrees(math.atan2(dy, dx)))


def _round(degrees: float) -> float:
    return round(degrees, 9) % 360.0


def _line(here: Here, usual: Usual) -> tuple[tuple[Vec2, ...], float, tuple[Building, Wall] | None] | None:
    """The points of a thing drawn as a line, and the height of its foot; ``None`` where it is not drawn so."""
    if here.has("points"):
        if is_placed(here):
            here.fault("points", "PLAN-21", "`points` and a wall or `at` both say where this is: keep one", at_key=True)
            return ((), 0.0, None)
        return (here.points("points") or (), here.size("height", 0.0), None)
    along, out = here.data.get("along"), here.data.get("out")
    if not any(isinstance(v, str) and " to " in v for v in (along, out)):
        if usual.drawn and not here.has("wide"):
            here.fault("", "PLAN-21", f"a {here.data['kind']} is drawn as a line", "write `along: 0 to 6`, or `points:`, or `wide`")
            return ((), 0.0, None)
        return None
    found = wall_of(here)
    if not found:
        if not is_placed(here):
            here.fault("", "PLAN-21", "this has no place", PLACE)
        return ((), 0.0, None)
    house, wall = found
    a, o = here.range("along"), here.range("out")
    if (a is None and here.has("along")) or (o is None and here.has("out")):
        return ((), 0.0, None)
    if a is None:
        here.note("along", "the middle of the wall")
        a = (wall.length / 2, wall.length / 2)
    if o is None:
        here.note("out", here.c.say.tape((usual.deep or 0.0) / 2))
        o = ((usual.deep or 0.0) / 2, (usual.deep or 0.0) / 2)
    z = ground(here, house) + here.size("height", 0.0)
    return ((off(wall, a[0], o[0]), off(wall, a[1], o[1])), z, found)


def _segments(
    here: Here, usual: Usual, line: tuple[tuple[Vec2, ...], float, tuple[Building, Wall] | None]
) -> tuple[Object, ...]:
    points, z, found = line
    if not points:
        return ()
    if usual.shape not in ("box", "panel"):
        here.fault("", "PLAN-21", f"a {here.data['kind']} can't be drawn as a line")
        return ()
    deep, tall = here.size("deep", usual.deep or 0.0), here.size("tall", usual.tall or 0.0)
    for key, value in (("deep", deep), ("tall", tall)):
        if value <= 0:
            here.fault(key if here.has(key) else "", "PLAN-26", f"`{key}` is nothing: it must be more than 0")
            return ()
    made = []
    for i, (a, b) in enumerate(zip(points, points[1:], strict=False)):
        length = distance(a, b)
        if length < 0.01:
            here.fault("points" if here.has("points") else "along", "PLAN-26", "a stretch of the line has no length")
            return ()
        middle = _middle(a, b, z, found)
        yaw = _round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])))
        name = here.thing[1] if i == 0 else f"{here.thing[1]}~{i + 1}"
        made.append(_made(here, usual, name, middle, tall, length, deep, 0.0, yaw, None, None))
    return tuple(made)


def _middle(a: Vec2, b: Vec2, z: float, found: tuple[Building, Wall] | None) -> Spot:
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    if found is None:
        return Spot(x, y, z)
    house, wall = found
    u = direction(wall)
    dx, dy = x - wall.a[0], y - wall.a[1]
    out = dx * wall.normal[0] + dy * wall.normal[1]
    return Spot(x, y, z, house.id, wall.id, dx * u[0] + dy * u[1], out, wall.normal)


def _made(
    here: Here,
    usual: Usual,
    name: str,
    placed: Spot,
    tall: float,
    wide: float,
    deep: float,
    diameter: float,
    yaw: float,
    to: Spot | None,
    trunk: Vec2 | None,
) -> Object:
    shape: Shape = usual.shape
    return Object(
        id=name,
        kind=here.data["kind"],
        shape=shape,
        spot=placed,
        surface=here.surface("surface", usual.surface),
        tall=tall,
        wide=wide,
        deep=deep,
        diameter=diameter,
        yaw=yaw,
        to=to,
        trunk=trunk,
        there=here.word("there", usual.there),
        wanted=here.flag("wanted", "not meant to be seen"),
        stand=bool(here.word("stand", usual.stand, "can be stood on" if usual.stand else "can't be stood on")),
        grows=here.size("grows", 0.0, taken="no growth"),
        fixed_by=here.word("fixed-by", usual.fixed_by),
    )


def object_ids(entry: Mapping[str, Any]) -> int:
    """How many objects an entry becomes: one, or one a segment."""
    return max(len(entry.get("points", ())) - 1, 1)
