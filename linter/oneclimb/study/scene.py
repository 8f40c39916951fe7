"""The scene study: the solids of the place, built once a run."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from oneclimb.place.scene import Scene, scene
from oneclimb.place.solids import made_of, solids

if TYPE_CHECKING:
    from oneclimb.api import Change, Query
    from oneclimb.place.mesh import Solids
    from oneclimb.plan.model import Plan, Site


def compute(site: Site, q: Query) -> Scene:
    """Build the place. Raises ``PlaceError`` where it cannot be built."""
    del site
    plan: Plan = q.plan
    return scene(solids(plan))


def vary(base: Scene, site: Site, changes: tuple[Change, ...], q: Query) -> Scene | None:
    """The base scene where no solid differs; the base's caster where only surfaces do.

    What is taken away needs no scene of its own: casting passes through it.
    """
    del site
    del changes  # the world itself says what is so
    if made_of(q.plan) == base.solids.made_of:
        return base
    new = solids(q.plan)
    if _same_shape(new, base.solids):
        same = new.materials == base.materials and np.array_equal(new.material, base.material)
        return base if same else Scene(new, base.origin, base.caster)
    return scene(new)


def _same_shape(new: Solids, old: Solids) -> bool:
    return new.owners == old.owners and np.array_equal(new.triangles, old.triangles)
