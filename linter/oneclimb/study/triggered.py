"""The triggered study: what of a trigger's zone is a public way, and how the wanted ways lie to its sensor.

The zone is taken as the sector of the camera's own view across, out to the trigger's range, as far as nothing solid
hides a person's middle there: the plan tells no angle of the sensor (estimate).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.study import COVER

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera
    from oneclimb.study.cover import Cover

RINGS, RAYS = 24, 48
MIDDLE = 1.0
"""m above the ground: a standing person's middle"""
LONG = 2.0
"""an area this many times longer than wide is a way that people go along (estimate)"""
USUAL = 12.0
"""m: how far heat sensors reach where the plan does not say (common practice: 8 to 12)"""


class Towards(Struct, frozen=True):
    """A wanted area that is a way: the angle between it and the line of sight to its middle, 0 to 90 degrees."""

    area: str
    angle: float
    distance: float


class Triggered(Struct, frozen=True):
    """``road``: the share of the zone that lies on a public way, 0 to 1; ``reached`` the wanted areas that it gets to;
    ``ways`` those of them that are ways, the most head-on first; ``pace`` the fastest that the plan names on wanted
    ground, m/s, None where it names none.
    """

    road: float
    reached: tuple[str, ...]
    ways: tuple[Towards, ...]
    pace: float | None


def compute(camera: Camera, q: Query) -> Triggered:
    """Look over the zone, and at the wanted areas in it."""
    cover = q.of(COVER, camera)
    reach = (camera.trigger.range if camera.trigger else None) or USUAL
    areas = {area.id: area for area in q.plan.areas}
    paces = [pace for name in cover.watched if (pace := areas[name].pace) is not None]
    here = np.array(cover.sight.eye.origin[:2])
    near = {name: np.linalg.norm(cover.areas[name].ground[:, :2] - here, axis=1).min() for name in cover.watched}
    reached = tuple(name for name, distance in near.items() if distance <= reach)
    ways = sorted(_ways(cover, reached), key=lambda way: (way.angle, way.area))
    return Triggered(_road(camera, cover, reach, q), reached, tuple(ways), max(paces, default=None))


def _road(camera: Camera, cover: Cover, reach: float, q: Query) -> float:
    """Equal parts of the sector, of which those count that are not hidden."""
    ways = [shapely.Polygon(land.outline) for land in q.plan.land if land.kind == "public-way"]
    if not ways:
        return 0.0
    eye = cover.sight.eye
    ahead = math.atan2(eye.forward[1], eye.forward[0])
    half = math.radians(min(camera.view.across, 180.0)) / 2
    away = reach * np.sqrt((np.arange(RINGS) + 0.5) / RINGS)
    turn = ahead + half * ((np.arange(RAYS) + 0.5) / RAYS * 2 - 1)
    x = eye.origin[0] + np.outer(away, np.cos(turn)).ravel()
    y = eye.origin[1] + np.outer(away, np.sin(turn)).ravel()
    ground = next((b.base for b in q.plan.buildings if b.id == camera.mount.spot.building), 0.0)
    path = np.stack([x, y, np.full(len(x), ground + MIDDLE)], axis=1) - np.array(eye.origin)
    clear = cover.sight.hidden(path, np.linalg.norm(path, axis=1)) < 0
    road = shapely.contains_xy(shapely.union_all(ways), x, y)
    return float((clear & road).sum() / clear.sum()) if clear.any() else 0.0


def _ways(cover: Cover, names: Iterable[str]) -> Iterator[Towards]:
    """Those of the areas that are much longer than wide."""
    here = np.array(cover.sight.eye.origin[:2])
    for name in names:
        ground = cover.areas[name].ground[:, :2]
        middle = ground.mean(axis=0)
        distance = float(np.linalg.norm(middle - here))
        along = _along(ground - middle)
        if along is None or distance == 0.0:
            continue
        cosine = abs(float(along @ (middle - here))) / distance
        yield Towards(name, math.degrees(math.acos(min(1.0, cosine))), distance)


def _along(offsets: NDArray[np.float64]) -> NDArray[np.float64] | None:
    """The long way of points about their middle, a unit vector; None where they are not much longer than wide."""
    if len(offsets) < 3:
        return None
    _, sizes, axes = np.linalg.svd(offsets, full_matrices=False)
    return np.asarray(axes[0]) if sizes[0] >= LONG * sizes[1] and sizes[0] > 0 else None
