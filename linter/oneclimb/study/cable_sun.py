"""Sun on a cable's jacket: hours of the year in which the sun stands on its bare stretches outdoors."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref, Unknown
from oneclimb.study import SCENE, SUNS
from oneclimb.study.doubt import Doubt
from oneclimb.study.run_footing import FOOTING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from oneclimb.plan.model import Cable, Leg, Spot
    from oneclimb.study.sun import Suns

    Array = NDArray[np.float64]

SPACING = 1.0
"""m between the points of a stretch that are asked about"""
MOST = 8
"""points of one leg"""
EVERY = 5
"""of the year's moments, ten minutes apart, every so many: 50 minutes, so that they wander through the day"""
HIGH = 10.0
"""degrees: a lower sun has little ultraviolet left (estimate)"""
OFF = 0.03
"""m, how far off its wall a cable is taken to lie at least"""
COMPASS = 10.0
"""degrees a bearing taken with a compass may be out (common practice)"""
LONG = 100.0
"""hours a year from which a stretch counts as sunlit (estimate)"""
THIN = ("pole", "post")
"""what a cable is clipped to and that shades it from one side only"""


class Sunlit(Struct, frozen=True):
    """``hours`` a year, possible under a clear sky, that the sun stands on the sunniest point of the bare stretches;
    ``metres`` of them that get ``LONG`` hours and more; ``bare`` metres in all.
    """

    hours: Doubt
    metres: float
    bare: float


def compute(cable: Cable, q: Query) -> Sunlit:
    """The sun on a cable. ``Unknown`` where the plan does not say where it runs, or where the site is.

    Trees, what is there only sometimes, poles and posts give no shade here; walls, eaves, roofs and hills do.
    """
    if cable.legs is None:
        raise Unknown(Ref("cable", cable.id, "route"), "which way does the cable run, and how high?")
    cuts = [_points(leg) for leg in cable.legs if leg.cover == "none"]
    points = np.concatenate([np.zeros((0, 3)), *(cut for cut, _ in cuts)])
    lengths = np.concatenate([np.zeros(0), *(np.full(len(cut), each) for cut, each in cuts)])
    out = np.ones(len(points), dtype=np.bool_)
    flat = shapely.points(points[:, :2])
    out[q.of(FOOTING, q.plan.site).insides.query(flat, predicate="within")[0]] = False
    if not out.any():
        return Sunlit(Doubt(0.0), 0.0, 0.0)
    points, lengths = points[out], lengths[out]
    suns = q.of(SUNS, q.plan.site)
    hours = _hours(points, suns, 0.0, q)
    return Sunlit(
        Doubt(float(hours.max()), lambda: _ends(points, suns, q)),
        float(lengths[hours >= LONG].sum()),
        float(lengths.sum()),
    )


def _ends(points: Array, suns: Suns, q: Query) -> Iterator[float]:
    """The hours at bearings a compass's error out."""
    for turned in (-COMPASS, COMPASS):
        yield float(_hours(points, suns, turned, q).max())


def _points(leg: Leg) -> tuple[Array, float]:
    """The middles (k, 3) of a leg's equal pieces, off the wall it is on, and the length of each, m."""
    length = math.dist(leg.a.xyz, leg.b.xyz)
    k = min(MOST, max(1, math.ceil(length / SPACING)))
    a, b = _off(leg.a), _off(leg.b)
    return np.asarray(a + (np.arange(k) + 0.5)[:, None] / k * (b - a)), length / k


def _off(spot: Spot) -> Array:
    off = max(0.0, OFF - spot.out) if spot.out > -OFF else 0.0
    return np.array([spot.x + spot.normal[0] * off, spot.y + spot.normal[1] * off, spot.z])


def _hours(points: Array, suns: Suns, turned: float, q: Query) -> Array:
    """Hours (n,) of the year at each point (n, 3), every bearing ``turned`` degrees out."""
    use = np.arange(0, len(suns.elevation), EVERY)
    use = use[(suns.elevation[use] >= HIGH) & ~suns.hills[use]]
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    rays = suns.rays[use] @ np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    poles = {Ref("object", o.id) for o in q.all("object") if o.kind in THIN}
    absent = q.of(FOOTING, q.plan.site).airy | poles
    origins = np.repeat(points, len(rays), axis=0)
    hits = q.of(SCENE, q.plan.site).cast(origins, np.tile(rays, (len(points), 1)), absent)
    free = np.isinf(hits.t).reshape(len(points), len(rays)).sum(axis=1)
    return np.asarray(free * suns.each * EVERY)
