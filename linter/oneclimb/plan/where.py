"""Places: along a wall, straight out from it and up; or in coordinates."""

from __future__ import annotations

import math

from oneclimb.plan.here import Here
from oneclimb.plan.model import Building, Spot, Vec2, Wall

PLACE = "write `wall: front, along: 2` or `at: [x, y]`"


def direction(wall: Wall) -> Vec2:
    """The unit vector along a wall, from its left end to its right as seen from outside."""
    return (-wall.normal[1], wall.normal[0])


def off(wall: Wall, along: float, out: float) -> Vec2:
    """The point ``along`` a wall and ``out`` from its face, site coordinates."""
    u = direction(wall)
    return (
        wall.a[0] + u[0] * along + wall.normal[0] * out,
        wall.a[1] + u[1] * along + wall.normal[1] * out,
    )


def is_placed(here: Here) -> bool:
    """Whether the mapping says a place."""
    return here.has("wall") or here.has("at")


def wall_of(here: Here) -> tuple[Building, Wall] | None:
    """The wall a mapping names; ``None`` with the fault on record, or where it names none."""
    if here.has("wall") and here.has("at"):
        here.fault("at", "PLAN-21", "`wall` and `at` both say where this is: keep one", at_key=True)
        return None
    if not here.has("wall"):
        return None
    key = "building" if here.has("building") and here.data["building"] not in here.c.buildings else "wall"
    return here.tried(key, lambda: here.c.wall(here.data["wall"], here.data.get("building")))


def ground(here: Here, house: Building | None) -> float:
    """The height that ``height`` counts from: the ground, or a storey's floor."""
    base = house.base if house else 0.0
    storey = here.data.get("storey")
    if storey is None:
        if house and house.storeys > 1:
            here.note("storey", "heights from the ground")
        return base
    if house is None:
        here.fault("storey", "PLAN-33", "a storey needs a wall to count floors in")
        return base
    if storey > house.storeys:
        here.fault("storey", "PLAN-33", f"{house.id} has {house.storeys} storey{'s' if house.storeys > 1 else ''}")
    return float(base + (storey - 1) * house.storey_height)


def spot(here: Here, height: float = 0.0, out: float = 0.0) -> Spot | None:
    """One place. ``height`` and ``out`` are the defaults (m). ``None`` with the fault on record."""
    found = wall_of(here)
    if found:
        house, wall = found
        along = here.size("along", wall.length / 2, taken="the middle of the wall")
        away = here.size("out", out)
        x, y = off(wall, along, away)
        z = ground(here, house) + here.size("height", height)
        return Spot(x, y, z, house.id, wall.id, along, away, wall.normal)
    if here.has("at") and not here.has("wall"):
        point = here.tried("at", lambda: here.point("at", here.data["at"]))
        named = here.tried("building", lambda: here.c.building(here.data["building"])) if here.has("building") else None
        z = ground(here, named) + here.size("height", height)
        return Spot(*point, z) if point else None
    if not is_placed(here):
        here.fault("", "PLAN-21", "this has no place", PLACE)
    return None


def patch(here: Here) -> tuple[Vec2, ...] | None:
    """Ground: a spot, a line or a box by a wall, a point or corners in coordinates."""
    if here.has("points"):
        if is_placed(here):
            here.fault("points", "PLAN-21", "`points` and a wall or `at` both say where this is: keep one", at_key=True)
            return None
        return here.points("points")
    if here.has("at") and not here.has("wall"):
        point = here.tried("at", lambda: here.point("at", here.data["at"]))
        return (point,) if point else None
    found = wall_of(here)
    if not found:
        if not is_placed(here):
            here.fault("", "PLAN-21", "this has no place", PLACE)
        return None
    wall = found[1]
    along = here.range("along")
    if along is None and not here.has("along"):
        here.note("along", "the middle of the wall")
        along = (wall.length / 2, wall.length / 2)
    out = here.range("out")
    if out is None and not here.has("out"):
        here.note("out", "at the wall")
        out = (0.0, 0.0)
    return _corners(wall, along, out) if along and out else None


def _corners(wall: Wall, along: Vec2, out: Vec2) -> tuple[Vec2, ...]:
    """The corners of a range along a wall and a range out from it, each corner once.

    Seen from above they run anticlockwise.
    """
    (a0, a1), (o0, o1) = along, out
    if a0 == a1 and o0 == o1:
        return (off(wall, a0, o0),)
    if o0 == o1:
        return (off(wall, a0, o0), off(wall, a1, o0))
    if a0 == a1:
        return (off(wall, a0, o0), off(wall, a0, o1))
    return (off(wall, a0, o0), off(wall, a0, o1), off(wall, a1, o1), off(wall, a1, o0))


def centre(outline: tuple[Vec2, ...]) -> Vec2:
    """The middle of a spot, a line or a polygon (its centroid)."""
    if len(outline) < 3:
        return (sum(p[0] for p in outline) / len(outline), sum(p[1] for p in outline) / len(outline))
    x0, y0 = outline[0]
    area = cx = cy = 0.0
    for (xa, ya), (xb, yb) in zip(outline, (*outline[1:], outline[0]), strict=True):
        cross = (xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)
        area += cross
        cx += (xa + xb - 2 * x0) * cross
        cy += (ya + yb - 2 * y0) * cross
    if abs(area) < 1e-12:
        return (sum(p[0] for p in outline) / len(outline), sum(p[1] for p in outline) / len(outline))
    return (x0 + cx / (3 * area), y0 + cy / (3 * area))


def distance(a: Vec2, b: Vec2) -> float:
    """Between two points of the plan, m."""
    return math.hypot(b[0] - a[0], b[1] - a[1])
