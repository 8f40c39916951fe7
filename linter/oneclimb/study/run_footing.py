"""Where someone can stand, and what gives no shelter: found once for the whole site."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref, Study
from oneclimb.trade.reach import REACH_SIDEWAYS, within_reach

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.plan.model import Building, Object, Site

INSIDE = 0.05
"""m: a point further than this inside a building's outline is in the building, not on its wall"""


class Footing(Struct, frozen=True):
    """Surfaces someone can stand on, in plan, and the insides of buildings."""

    refs: tuple[Ref, ...]
    """what each surface is part of"""
    heights: NDArray[np.float64]
    """each surface's height, m"""
    surfaces: shapely.STRtree
    insides: shapely.STRtree
    tops: NDArray[np.float64]
    """height of each building's walls, m: above it one is on the roof, not inside"""
    airy: frozenset[Ref]
    """what rain comes through or goes away: crowns of trees, and things that are there sometimes"""

    def above(
        self, points: NDArray[np.float64], ground: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """Height of each point above the surface from which it is in reach, and that surface.

        ``points`` (k, 3), ``ground`` (k,) the ground's height at each. The surface is the highest
        at or below the point within arm's reach, otherwise the lowest one above it; its index
        into ``refs``, or −1 for the ground. Height is nan where the point is out of reach.
        """
        z = points[:, 2]
        flat = shapely.points(points[:, :2])
        on = np.full(len(points), np.nan)
        which = np.full(len(points), -1)
        outside = np.ones(len(points), dtype=bool)
        at, building = self.insides.query(flat, predicate="within")
        outside[at[z[at] < self.tops[building]]] = False
        rise = z - ground
        near = outside & within_reach(rise)
        on[near] = rise[near]
        at, surface = self.surfaces.query(flat, predicate="dwithin", distance=REACH_SIDEWAYS + 1e-6)
        rise = z[at] - self.heights[surface]
        near = outside[at] & within_reach(rise)
        for p, s, height in sorted(zip(at[near].tolist(), surface[near].tolist(), rise[near].tolist(), strict=True)):
            if _nearer(height, float(on[p])):
                on[p], which[p] = height, s
        return on, which


def _nearer(new: float, old: float) -> bool:
    """Whether a surface ``new`` below the point is rather stood on than one ``old`` below it."""
    return math.isnan(old) or (new >= 0 and (old < 0 or new < old)) or (new < 0 and old < new)


def footprint(thing: Object) -> shapely.Polygon:
    """The outline of an object, seen from above."""
    if thing.shape in ("cylinder", "crown"):
        return shapely.Point(thing.spot.x, thing.spot.y).buffer(thing.diameter / 2)
    u = np.array([math.cos(math.radians(thing.yaw)), math.sin(math.radians(thing.yaw))]) * thing.wide / 2
    v = np.array([-math.sin(math.radians(thing.yaw)), math.cos(math.radians(thing.yaw))]) * thing.deep / 2
    centre = np.array([thing.spot.x, thing.spot.y])
    return shapely.Polygon([centre - u - v, centre + u - v, centre + u + v, centre - u + v])


def top(building: Building) -> float:
    """Height of a building's walls above the site's zero, m."""
    return building.base + building.height


def footing(_site: Site, q: Query) -> Footing:
    """Collect every surface someone can stand on besides the ground."""
    steps: list[Object] = [o for o in q.all("object") if o.stand]
    buildings: list[Building] = list(q.all("building"))
    roofs = [b for b in buildings if b.flat_roof]
    polygons = [footprint(o) for o in steps] + [shapely.Polygon(b.outline) for b in roofs]
    airy = frozenset(Ref("object", o.id) for o in q.all("object") if o.there == "sometimes" or o.shape == "crown")
    return Footing(
        tuple([Ref("object", o.id) for o in steps] + [Ref("building", b.id) for b in roofs]),
        np.array([o.spot.z + o.tall for o in steps] + [top(b) for b in roofs]),
        shapely.STRtree(polygons),
        shapely.STRtree([shapely.Polygon(b.outline).buffer(-INSIDE) for b in buildings]),
        np.array([top(b) for b in buildings]),
        airy,
    )


FOOTING: Study[Site, Footing] = Study("footing", footing, keep="run")
