"""How far a plan goes: the box round all that it has a place for, and to which ground is looked at."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from oneclimb.plan.model import Plan

    Array = npt.NDArray[np.float64]

ABOUT = 5.0
"""m round all that the plan has a place for: what stands farther off is not in the plan, so it is not charted"""

Box = tuple[float, float, float, float]
"""left, bottom, right, top, m"""


def extent(plan: Plan) -> Box:
    """The box round all that a plan has a place for, m."""
    points = [point for building in plan.buildings for point in building.outline]
    points += [*plan.boundary, *(point for area in plan.areas for point in area.outline)]
    spots = [thing.spot for thing in plan.objects] + [lamp.spot for lamp in plan.lamps]
    spots += [camera.mount.spot for camera in plan.cameras]
    spots += [spot for cable in plan.cables for leg in cable.legs or () for spot in (leg.a, leg.b)]
    points += [(spot.x, spot.y) for spot in spots]
    x, y = zip(*points, strict=True)
    return min(x), min(y), max(x), max(y)


def charted(plan: Plan) -> Box:
    """The box to which ground is charted, m; no end to it where the plan says nothing of its own ground's."""
    if len(plan.boundary) < 3:
        return -math.inf, -math.inf, math.inf, math.inf
    left, bottom, right, top = extent(plan)
    return left - ABOUT, bottom - ABOUT, right + ABOUT, top + ABOUT


def within(foot: Array, heading: Array, box: Box) -> tuple[float, float]:
    """Between which distances, back (0 or less) and ahead, a way from ``foot`` towards ``heading`` (2,) lies in a box;
    no farther than the foot where that lies outside.
    """
    back, ahead = -math.inf, math.inf
    for at, way, low, high in zip(foot[:2], heading, box[:2], box[2:], strict=True):
        if abs(way) > 1e-9:
            ends = sorted(((low - at) / way, (high - at) / way))
            back, ahead = max(back, ends[0]), min(ahead, ends[1])
    return min(back, 0.0), max(ahead, 0.0)
