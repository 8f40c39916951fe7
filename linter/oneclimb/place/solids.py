"""The whole place as triangles: ground, buildings, objects, and what packs' own nouns add.

Cameras and lamps are sources of light, not solids.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from oneclimb.api import Ref
from oneclimb.place import buildings, objects
from oneclimb.place.mesh import PlaceError, Quads, Registry, Solids, gathered
from oneclimb.plan.limits import passed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.place.mesh import Part
    from oneclimb.plan.model import Object, Plan

GROUND = Ref("site", "site", "ground")
GROUND_SURFACE = "ground"
BEYOND = 50_000.0
"""The ground goes on this far past the outermost thing, m: from 3 m up the horizon then lies
0.003 degrees too low."""


def solids(plan: Plan) -> Solids:
    """Triangles of everything in ``plan`` that light meets; ``PlaceError`` for a place that cannot be built."""
    registry = Registry(plan.materials, plan.site.plus_y)
    ground = registry.owner(GROUND), registry.material(GROUND_SURFACE, GROUND)
    owned = [(Ref("object", thing.id), thing) for thing in plan.objects]
    owned += plan.added
    parts = [*buildings.parts(registry, plan.buildings), *objects.parts(registry, owned)]
    return gathered(registry, [_ground(ground, plan, owned), *parts], plan.limits.triangles, made_of(plan))


def made_of(plan: Plan) -> tuple[Any, ...]:
    """What of a plan the solids depend on: equal for two plans, so are their solids."""
    return plan.buildings, plan.objects, plan.added, plan.materials, plan.site.plus_y


def _ground(ground: tuple[int, int], plan: Plan, owned: Sequence[tuple[Ref, Object]]) -> Part:
    """Two triangles under everything; what is not finite is named when all triangles are checked."""
    spots = [(thing.spot.x, thing.spot.y) for _, thing in owned]
    corners = [corner for building in plan.buildings for corner in building.outline]
    points = np.array(spots + corners, dtype=np.float64).reshape(-1, 2)
    points = points[np.isfinite(points).all(axis=1)]
    low, high = (points.min(axis=0), points.max(axis=0)) if len(points) else (np.zeros(2), np.zeros(2))
    if max(high - low) > plan.limits.site_size:
        text = passed(
            "site_size", f"the site is {max(high - low):,.0f} m wide, at most {plan.limits.site_size:g} m is cast at"
        )
        raise PlaceError(Ref("site", "site"), text)
    quads = Quads()
    (x, y), (u, v) = np.round(low - BEYOND), np.round(high + BEYOND)
    quads.add(*ground, (x, y, 0.0), (u, y, 0.0), (u, v, 0.0), (x, v, 0.0))
    return quads.part()
