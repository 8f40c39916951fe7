"""Reading objects: kinds with usual sizes, things drawn as a line, pipes that run."""

from __future__ import annotations

import math
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import STRETCH
from oneclimb.plan.heights import check_height
from oneclimb.plan.here import Here
from oneclimb.plan.kinds import KINDS, Usual
from oneclimb.plan.model import Building, Object, Shape, Spot, Vec2, Wall
from oneclimb.plan.where import PLACE, direction, distance, ground, is_placed, off, spot, wall_of

_CLEAR = 0.02
"""m: a pipe's usual gap to the wall (common practice: its clips)"""
_EAVE = 2.5
"""m: the height of an eave where there is no wall to tell (common practice)"""


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
    check_height(here, placed.z, placed.building, placed.out, tall=sizes.tall)
    trunk = _trunk(here, usual, sizes.tall)
    if trunk:
        sizes = replace(sizes, tall=sizes.tall - trunk[0])
    thing = _made(here, usual, placed, sizes, _yaw(here, placed))
    return (replace(thing, to=spot(here.at("to"), usual.height) if here.has("to") else None, trunk=trunk),)


def _flush(usual: Usual, here: Here) -> float:
    """How far out the middle of a thing lies that touches its wall (a pipe stands off a little)."""
    key = "diameter" if usual.shape in ("cylinder", "crown") else "deep"
    size = here.maybe(key) or getattr(usual, key) or 0.0
    return float(size / 2 + (_CLEAR if usual.shape == "cylinder" else 0.0))


class Sizes(Struct, frozen=True):
    """An object's sizes, m; 0 for those its shape doesn't have."""

    tall: float = 0.0
    wide: float = 0.0
    deep: float = 0.0
    diameter: float = 0.0


def _sizes(here: Here, usual: Usual, placed: Spot) -> Sizes | None:
    """The sizes; ``None`` with the fault on record where one is missing or nothing."""
    needed = ("diameter", "tall") if usual.shape in ("cylinder", "crown") else ("wide", "deep", "tall")
    runs = here.has("to")
    found: dict[str, float] = {}
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
    return Sizes(**found)


def _to_eave(here: Here, placed: Spot) -> float:
    """From where it begins up to the eave over its wall, or the wall's top."""
    house = here.c.buildings.get(placed.building)
    if house is None:
        return _EAVE
    return max(house.base + _top(house, placed.wall) - placed.z, 0.1)


def _top(house: Building, wall: str) -> float:
    """The height of the eave over a wall, or of the wall's own top."""
    return house.eave.height if house.eave and wall in house.eave.walls else house.height


def _trunk(here: Here, usual: Usual, tall: float) -> Vec2 | None:
    if usual.trunk is None:
        return None
    trunk = here.at("trunk")
    height = trunk.size("height", min(usual.trunk[0], tall / 2))
    if height >= tall:
        trunk.fault("height", "PLAN-32", "the trunk is as tall as the whole tree")
        return None
    return height, trunk.size("diameter", usual.trunk[1])


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


class Drawn(Struct, frozen=True):
    """A thing drawn as a line: its points, the height of its foot, the wall it was measured from."""

    points: tuple[Vec2, ...] = ()
    z: float = 0.0
    found: tuple[Building, Wall] | None = None


def _line(here: Here, usual: Usual) -> Drawn | None:
    """A thing's line, empty with the fault on record; ``None`` where it is not drawn as one."""
    if here.has("points"):
        if is_placed(here):
            here.fault("points", "PLAN-21", "`points` and a wall or `at` both say where this is: keep one", at_key=True)
            return Drawn()
        return Drawn(here.points("points") or (), here.size("height", _EAVE if usual.to_eave else usual.height))
    if any(isinstance(v, str) and " to " in v for v in (here.data.get("along"), here.data.get("out"))):
        return _by_wall(here, usual)
    if usual.drawn and not here.has("wide"):
        hint = "write `along: 0 to 6`, or `points:`, or `wide:`"
        here.fault("", "PLAN-21", f"a {here.data['kind']} is drawn as a line", hint)
        return Drawn()
    return None


def _by_wall(here: Here, usual: Usual) -> Drawn:
    """A line by a wall: along it, or straight out from it."""
    found = wall_of(here)
    if not found:
        if not is_placed(here):
            here.fault("", "PLAN-21", "this has no place", PLACE)
        return Drawn()
    house, wall = found
    middle, flush, height = wall.length / 2, (usual.deep or 0.0) / 2, usual.height
    if usual.to_eave:
        flush += house.eave.depth if house.eave and wall.id in house.eave.walls else 0.0
        height = _top(house, wall.id)
    along = _ends(here, "along", middle, "the middle of the wall")
    out = _ends(here, "out", flush, here.c.say.fine(flush))
    if along is None or out is None:
        return Drawn()
    z = ground(here, house) + here.size("height", height)
    return Drawn((off(wall, along[0], out[0]), off(wall, along[1], out[1])), z, found)


def _ends(here: Here, key: str, default: float, taken: str) -> Vec2 | None:
    if here.has(key):
        return here.range(key)
    here.note(key, taken)
    return default, default


def _segments(here: Here, usual: Usual, line: Drawn) -> tuple[Object, ...]:
    """A box for each stretch of the line."""
    if not line.points:
        return ()
    if usual.shape not in ("box", "panel"):
        here.fault("", "PLAN-21", f"a {here.data['kind']} can't be drawn as a line")
        return ()
    deep, tall = here.size("deep", usual.deep or 0.0), here.size("tall", usual.tall or 0.0)
    for key, value in (("deep", deep), ("tall", tall)):
        if value <= 0:
            here.fault(key if here.has(key) else "", "PLAN-26", f"`{key}` is nothing: it must be more than 0")
            return ()
    check_height(here, line.z, tall=tall)
    made = []
    for i, (a, b) in enumerate(pairwise(line.points)):
        length = distance(a, b)
        if length < 0.01:
            here.fault("points" if here.has("points") else "along", "PLAN-26", "a stretch of the line has no length")
            return ()
        middle = _middle(a, b, line)
        yaw = _round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])))
        name = here.thing[1] if i == 0 else f"{here.thing[1]}{STRETCH}{i + 1}"
        made.append(replace(_made(here, usual, middle, Sizes(tall, length, deep), yaw), id=name))
    return tuple(made)


def _middle(a: Vec2, b: Vec2, line: Drawn) -> Spot:
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    if line.found is None:
        return Spot(x, y, line.z)
    house, wall = line.found
    u = direction(wall)
    dx, dy = x - wall.a[0], y - wall.a[1]
    out = dx * wall.normal[0] + dy * wall.normal[1]
    return Spot(x, y, line.z, house.id, wall.id, dx * u[0] + dy * u[1], out, wall.normal)


def _made(here: Here, usual: Usual, placed: Spot, sizes: Sizes, yaw: float) -> Object:
    shape: Shape = usual.shape
    return Object(
        id=here.thing[1],
        kind=here.data["kind"],
        shape=shape,
        spot=placed,
        surface=here.surface("surface", usual.surface),
        tall=sizes.tall,
        wide=sizes.wide,
        deep=sizes.deep,
        diameter=sizes.diameter,
        yaw=yaw,
        there=here.word("there", usual.there),
        wanted=here.flag("wanted", "not meant to be seen"),
        stand=bool(here.word("stand", usual.stand, "can be stood on" if usual.stand else "can't be stood on")),
        grows=here.size("grows", 0.0, taken="no growth"),
        fixed_by=here.word("fixed-by", usual.fixed_by),
    )
