"""The filmed study: how near a recorder stands to the ground that its own cameras film."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely
from msgspec import Struct

from oneclimb.study import COVERED, LOAD

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Recorder


class Filmed(Struct, frozen=True):
    """The nearest wanted area that a camera of this recorder is for, and how far off on the plan, m."""

    area: str
    distance: float


def compute(recorder: Recorder, q: Query) -> Filmed | None:
    """The nearest; None where the plan does not say where the recorder is, or its cameras are for no area."""
    if recorder.spot is None:
        return None
    site = q.plan.site
    looks = q.of(COVERED, site).looks
    cameras = q.of(LOAD, site).kept.get(recorder.id, ())
    named = {name for camera in cameras for name in looks[camera.id].areas}
    here = shapely.Point(recorder.spot.x, recorder.spot.y)
    shapes = {1: lambda points: shapely.Point(points[0]), 2: shapely.LineString}
    near = [
        Filmed(area.id, float(shapely.distance(here, shapes.get(len(area.outline), shapely.Polygon)(area.outline))))
        for area in q.plan.areas
        if area.id in named
    ]
    return min(near, key=lambda one: (one.distance, one.area), default=None)
