"""The earshot study: how far a camera's microphone is from others' ground."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import shapely
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place import lens

if TYPE_CHECKING:
    from collections.abc import Iterator

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Plan, Vec2

MOUTH = 1.5
"""m above the ground: where people talk (common practice)"""


class Heard(Struct, frozen=True):
    """A place where others talk, and how far its nearest standing person's mouth is from the camera, m."""

    ref: Ref
    distance: float


def compute(camera: Camera, q: Query) -> tuple[Heard, ...]:
    """Others' ground, and the boundary where nothing is told of what lies past it, nearest first."""
    x, y, z = lens.glass(camera, q.plan.site)
    here, up = shapely.Point(x, y), z - MOUTH
    told = [Heard(ref, math.hypot(shapely.distance(here, ground), up)) for ref, ground in _grounds(q.plan)]
    return tuple(sorted(told, key=lambda one: one.distance))


def _grounds(plan: Plan) -> Iterator[tuple[Ref, shapely.Geometry]]:
    for land in plan.land:
        yield Ref("land", land.id), shapely.Polygon(land.outline)
    if plan.boundary and not plan.land:
        corners: tuple[Vec2, ...] = (*plan.boundary, plan.boundary[0])
        yield Ref("site", "site", "boundary"), shapely.LineString(corners)
