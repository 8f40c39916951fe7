"""The straight lines from a camera's aerial to the access points, and what of the buildings each goes through.

Geometry only: what a wall takes depends on the band, and is reckoned by whoever asks.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref, Unknown

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from oneclimb.plan.model import AccessPoint, Building, Camera, Spot, Vec, Wall

OFF = 0.1
"""m that an aerial stands off the wall it is fixed to, to the side it is on"""
SLANTED = 80.0
"""degrees: what meets a wall flatter than this finds its way in by an opening (estimate)"""

What = Literal["wall", "window", "roof", "floor"]


class Crossing(Struct, frozen=True):
    """One surface gone through: whose, what it is, and the angle from its normal, degrees, at most ``SLANTED``."""

    at: Ref
    what: What
    angle: float


class Path(Struct, frozen=True):
    """The way to one access point: its ``length``, m, straight; how much of that lies ``indoors``; and what it goes
    through, from the camera on.
    """

    to: AccessPoint
    length: float
    indoors: float
    crossed: tuple[Crossing, ...]


def compute(camera: Camera, q: Query) -> tuple[Path, ...]:
    """The ways to the access point a camera is tied to, or to each that has a place; none where the plan has none.

    Raises ``Unknown`` where the plan does not say where it is.
    """
    tied = camera.wireless.to if camera.wireless else ""
    points = [point for point in q.all("access-point") if tied in ("", point.id)]
    placed = [(point, point.spot) for point in points if point.spot]
    if points and not placed:
        raise Unknown(Ref("access-point", points[0].id, "wall"), "where is the access point?")
    start, buildings = _aerial(camera), q.all("building")
    return tuple(_path(start, point, _off_its_wall(spot), buildings) for point, spot in placed)


def _aerial(camera: Camera) -> Vec:
    """A little off what the camera is fixed to; of one indoors on the inner side of its wall."""
    spot, (x, y, z) = camera.mount.spot, camera.mount.normal
    off = -OFF if camera.sits == "indoors" and spot.wall and spot.out < OFF else OFF
    return (spot.x + x * off, spot.y + y * off, spot.z + z * off)


def _off_its_wall(spot: Spot) -> Vec:
    """An access point on a wall's face is outside."""
    off = OFF - spot.out if spot.wall and 0.0 <= spot.out < OFF else 0.0
    return (spot.x + spot.normal[0] * off, spot.y + spot.normal[1] * off, spot.z)


def _path(start: Vec, point: AccessPoint, end: Vec, buildings: Sequence[Building]) -> Path:
    met: list[tuple[float, Crossing]] = []
    indoors = 0.0
    for building in buildings:
        share, crossed = _through(building, start, end)
        indoors += share
        met += crossed
    length = math.dist(start, end)
    return Path(point, length, min(indoors, 1.0) * length, tuple(one for _, one in sorted(met, key=lambda m: m[0])))


def _through(building: Building, start: Vec, end: Vec) -> tuple[float, list[tuple[float, Crossing]]]:
    """The share of the way that is within a building, and what it meets of it: how far on the way, and what.

    A wall or roof counts where the way goes in or out there, a floor where it stays within.
    """
    met = sorted(_surfaces(building, start, end), key=lambda m: m[0])
    ways = np.array([0.0, *(way for way, _ in met), 1.0])
    x, y, z = (a + (ways[:-1] + ways[1:]) / 2 * (b - a) for a, b in zip(start, end, strict=True))
    within = shapely.contains_xy(shapely.Polygon(building.outline), x, y) & (z < building.base + building.height)
    crossed = [
        one
        for one, (before, after) in zip(met, pairwise(within.tolist()), strict=True)
        if ((before and after) if one[1].what == "floor" else before != after)
    ]
    return float(np.diff(ways)[within].sum()), crossed


def _surfaces(building: Building, start: Vec, end: Vec) -> Iterator[tuple[float, Crossing]]:
    """Every wall's line, the roof's plane and the floors' that the way meets, how far on it (0 to 1)."""
    length = math.dist(start, end)
    rise = end[2] - start[2]
    for wall in building.walls:
        yield from _wall(building, wall, start, end)
    if abs(rise) < 1e-9:
        return
    planes: list[tuple[What, str, float]] = [("roof", "roof", building.height)]
    planes += [("floor", "storeys", k * building.storey_height) for k in range(1, building.storeys)]
    for what, field, up in planes:
        way = (building.base + up - start[2]) / rise
        if 0.0 < way < 1.0:
            yield way, Crossing(Ref("building", building.id, field), what, _angle(abs(rise) / length))


def _wall(building: Building, wall: Wall, start: Vec, end: Vec) -> Iterator[tuple[float, Crossing]]:
    """Where the way meets a wall's line, between its ends; a pane there instead of the wall."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    wx, wy = wall.b[0] - wall.a[0], wall.b[1] - wall.a[1]
    across = dx * wy - dy * wx
    if abs(across) < 1e-12:
        return
    ax, ay = wall.a[0] - start[0], wall.a[1] - start[1]
    way, along = (ax * wy - ay * wx) / across, (ax * dy - ay * dx) / across * wall.length
    if not (0.0 < way < 1.0 and 0.0 <= along <= wall.length):
        return
    up = start[2] + way * (end[2] - start[2]) - building.base
    pane = next(
        (w for w in wall.windows if w.along[0] <= along <= w.along[1] and w.height[0] <= up <= w.height[1]), None
    )
    ref = Ref("building", building.id, f"windows.{pane.id}" if pane else f"walls.{wall.id}")
    cosine = abs(dx * wall.normal[0] + dy * wall.normal[1]) / math.dist(start, end)
    yield way, Crossing(ref, "window" if pane else "wall", _angle(cosine))


def _angle(cosine: float) -> float:
    """From the normal, degrees."""
    return min(math.degrees(math.acos(min(cosine, 1.0))), SLANTED)
