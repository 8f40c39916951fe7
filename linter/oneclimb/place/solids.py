"""The whole place as triangles: ground, buildings, objects, and what packs' own nouns add.

Cameras and lamps are sources of light, not solids.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Ref
from oneclimb.place import buildings, objects
from oneclimb.place.mesh import PlaceError, Quads, Registry, Solids, gathered

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from oneclimb.place.mesh import Part
    from oneclimb.plan.model import Object, Plan

GROUND = Ref("site", "site", "ground")
GROUND_SURFACE = "ground"
BEYOND = 5_000.0
"""The ground goes on this far past the outermost thing, m: from 3 m up the horizon then lies
0.03 degrees too low."""
WIDEST = 5_000.0
"""A site wider than this, m, is refused: coordinates are cast in 32 bits."""


def solids(plan: Plan, extra: Iterable[tuple[Ref, Object]] = ()) -> Solids:
    """Triangles of everything in ``plan`` that light meets, and of ``extra`` objects under
    their own references. Raises ``PlaceError`` for a place that cannot be built.
    """
    registry = Registry(plan.materials)
    ground = registry.owner(GROUND), registry.material(GROUND_SURFACE, GROUND)
    owned = [(Ref("object", thing.id), thing) for thing in plan.objects]
    owned += extra
    parts = [*buildings.parts(registry, plan.buildings), *objects.parts(registry, owned)]
    return gathered(registry, [_ground(ground, plan, parts), *parts])


def _ground(ground: tuple[int, int], plan: Plan, parts: Sequence[Part]) -> Part:
    spots = [camera.mount.spot.xyz for camera in plan.cameras] + [lamp.spot.xyz for lamp in plan.lamps]
    ends = [part.triangles.reshape(-1, 3) for part in parts if len(part.triangles)]
    points = np.concatenate([np.array(spots, dtype=np.float64).reshape(-1, 3), *ends])
    low, high = (points.min(axis=0), points.max(axis=0)) if len(points) else (np.zeros(3), np.zeros(3))
    if not np.isfinite(low).all() or not np.isfinite(high).all():
        low, high = np.zeros(3), np.zeros(3)  # the faulty thing is named when all triangles are checked
    if max(high[:2] - low[:2]) > WIDEST:
        raise PlaceError(Ref("site", "site"), f"wider than {WIDEST:g} m")
    quads = Quads()
    (x, y), (u, v) = np.round(low[:2] - BEYOND), np.round(high[:2] + BEYOND)
    quads.add(*ground, (x, y, 0.0), (u, y, 0.0), (u, v, 0.0), (x, v, 0.0))
    return quads.part()
