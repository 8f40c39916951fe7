"""Buildings as triangles: walls, windows, eaves and a plain lid for a roof."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from oneclimb.api import Ref
from oneclimb.place.mesh import THINNEST, Part, Quads, Registry
from oneclimb.place.objects import PROUD

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    from oneclimb.plan.model import Building, Eave, Vec2, Wall

    Array = NDArray[np.float64]

LONGEST_MITRE = 4.0
"""An eave's corner sticks out at most this many times its depth; past it the ends are square."""
ROOF = "concrete tile"
"""What a roof is covered with where nothing says so; seen from above only."""


def parts(registry: Registry, buildings: Iterable[Building]) -> Iterator[Part]:
    """The solids of buildings; walls, windows, eave and roof each under their own reference."""
    quads = Quads()
    for building in buildings:
        top = roof_height(building)
        _walls(quads, registry, building, top)
        if building.eave and building.eave.depth > 0:
            _eave(quads, registry, building, building.eave)
        yield _lid(registry, building, top)
    if quads.corners:
        yield quads.part()


def roof_height(building: Building) -> float:
    """Where the lid lies: on the walls, or on the eave where that is higher."""
    eave = building.eave
    return building.base + max(building.height, eave.height + eave.thickness if eave else 0.0)


def _walls(quads: Quads, registry: Registry, building: Building, top: float) -> None:
    foot = min(0.0, building.base)
    for wall in building.walls:
        ref = Ref("building", building.id, f"walls.{wall.id}")
        owner, material = registry.owner(ref), registry.material(wall.surface, ref)
        (ax, ay), (bx, by) = wall.a, wall.b
        quads.add(owner, material, (ax, ay, foot), (bx, by, foot), (bx, by, top), (ax, ay, top))
        _windows(quads, registry, building, wall)


def _windows(quads: Quads, registry: Registry, building: Building, wall: Wall) -> None:
    """Panes a hair proud of their wall."""
    for pane in wall.windows:
        ref = Ref("building", building.id, f"windows.{pane.id}")
        (ax, ay), (bx, by) = (on_wall(wall, along, PROUD) for along in pane.along)
        low, high = (building.base + height for height in pane.height)
        corners = ((ax, ay, low), (bx, by, low), (bx, by, high), (ax, ay, high))
        quads.add(registry.owner(ref), registry.material(pane.surface, ref), *corners)


def on_wall(wall: Wall, along: float, out: float) -> Vec2:
    """The point ``along`` the wall from its left end and ``out`` from its face."""
    share = along / wall.length
    return (
        wall.a[0] + (wall.b[0] - wall.a[0]) * share + wall.normal[0] * out,
        wall.a[1] + (wall.b[1] - wall.a[1]) * share + wall.normal[1] * out,
    )


def _eave(quads: Quads, registry: Registry, building: Building, eave: Eave) -> None:
    """A slab on the outside of the walls that have one: soffit, fascia, top, and ends."""
    ref = Ref("building", building.id, "eave")
    owner, material = registry.owner(ref), registry.material(eave.surface, ref)
    low = building.base + eave.height
    high = low + eave.thickness
    walls, count = building.walls, len(building.walls)
    for i, wall in enumerate(walls):
        if wall.id not in eave.walls:
            continue
        before, after = walls[i - 1], walls[(i + 1) % count]
        (ax, ay), (bx, by) = wall.a, wall.b
        cx, cy = _corner(before, wall, eave, at=wall.a)
        dx, dy = _corner(wall, after, eave, at=wall.b)
        quads.add(owner, material, (ax, ay, low), (bx, by, low), (dx, dy, low), (cx, cy, low))
        quads.add(owner, material, (ax, ay, high), (cx, cy, high), (dx, dy, high), (bx, by, high))
        quads.add(owner, material, (cx, cy, low), (dx, dy, low), (dx, dy, high), (cx, cy, high))
        if before.id not in eave.walls:
            quads.add(owner, material, (ax, ay, low), (cx, cy, low), (cx, cy, high), (ax, ay, high))
        if after.id not in eave.walls:
            quads.add(owner, material, (dx, dy, low), (bx, by, low), (bx, by, high), (dx, dy, high))


def _corner(left: Wall, right: Wall, eave: Eave, at: Vec2) -> Vec2:
    """Where the eaves' outer edges of two walls meet: a mitre; flush with a wall that has none."""
    p, q = (eave.depth if wall.id in eave.walls else 0.0 for wall in (left, right))
    (a, b), (c, d) = left.normal, right.normal
    cross = a * d - b * c
    if abs(cross) > 1e-6:
        x, y = (p * d - q * b) / cross, (q * a - p * c) / cross
        if x * x + y * y <= (LONGEST_MITRE * eave.depth) ** 2:
            return at[0] + x, at[1] + y
    own, depth = (left.normal, p) if at == left.b and p else (right.normal, q)
    return at[0] + own[0] * depth, at[1] + own[1] * depth


def _lid(registry: Registry, building: Building, top: float) -> Part:
    ref = Ref("building", building.id, "roof")
    flat = triangulated(building.outline)
    triangles = np.insert(flat, 2, top, axis=2)
    surface = ROOF if ROOF in registry.known else building.walls[0].surface
    owner = np.full(len(flat), registry.owner(ref), dtype=np.int32)
    return Part(triangles, owner, np.full(len(flat), registry.material(surface, ref), dtype=np.int32))


def triangulated(outline: tuple[Vec2, ...]) -> Array:
    """A simple anticlockwise outline as triangles (k, 3, 2), anticlockwise."""
    corners = np.array(outline, dtype=np.float64)
    onward = np.roll(corners, -1, axis=0) - corners
    turns = _cross(onward, np.roll(onward, -1, axis=0))
    if (turns >= 0.0).all():
        fan = np.array([(0, i, i + 1) for i in range(1, len(corners) - 1)])
        triangles = corners[fan]
    else:
        pieces = shapely.get_parts(shapely.constrained_delaunay_triangles(shapely.Polygon(corners)))
        triangles = shapely.get_coordinates(pieces).reshape(-1, 4, 2)[:, :3]
    area = _cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    triangles[area < 0] = triangles[area < 0][:, ::-1]
    return np.asarray(triangles[np.abs(area) > THINNEST])


def _cross(a: Array, b: Array) -> Array:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
