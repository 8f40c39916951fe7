"""What stands on the site, sorted once for all cameras: by what it does, and by where it stands."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref
from oneclimb.study.run_footing import footprint
from oneclimb.trade.materials import BUILT_IN

if TYPE_CHECKING:
    from collections.abc import Mapping

    from oneclimb.api import Change
    from oneclimb.plan.model import Building, Land, Object, Site
    from oneclimb.trade.materials import Material

HAZARDS = ("service-drop", "lightning-conductor", "meter", "gas-pipe", "flue", "vent")
"""kinds of object that a drill or a ladder keeps away from"""


class Things(Struct, frozen=True, dict=True, eq=False):
    """Objects, buildings and land, in the plan's order."""

    objects: tuple[Object, ...]
    buildings: tuple[Building, ...]
    land: tuple[Land, ...]
    materials: Mapping[str, Material]

    @functools.cached_property
    def sometimes(self) -> frozenset[Ref]:
        """What is there only sometimes."""
        return frozenset(Ref("object", thing.id) for thing in self.objects if thing.there == "sometimes")

    @functools.cached_property
    def hazards(self) -> tuple[Object, ...]:
        """What a drill or a ladder keeps away from."""
        return tuple(thing for thing in self.objects if thing.kind in HAZARDS)

    @functools.cached_property
    def reflectors(self) -> tuple[tuple[Object, float], ...]:
        """What sends light back to where it came from, with its coefficient R_A, cd/(lx m²)."""
        made = ((thing, self.materials.get(thing.surface) or BUILT_IN.get(thing.surface)) for thing in self.objects)
        return tuple((thing, material.retro) for thing, material in made if material and material.retro > 0.0)

    @functools.cached_property
    def _outlines(self) -> tuple[shapely.STRtree, tuple[Object | Building | Land, ...]]:
        standing = tuple(thing for thing in self.objects if thing.there == "always" and not thing.trunk)
        drawn = [place.outline for place in self.buildings] + [place.outline for place in self.land]
        tree = shapely.STRtree([*map(footprint, standing), *map(shapely.Polygon, drawn)])
        return tree, (*standing, *self.buildings, *self.land)

    def about(self, x: float, y: float, metres: float) -> list[tuple[float, Object | Building | Land]]:
        """What stands, or whose ground lies, within so many metres of a point seen from above, with its distance, m;
        neither trees nor what is there only sometimes.
        """
        tree, things = self._outlines
        spot = shapely.Point(x, y)
        found = sorted(tree.query(spot, predicate="dwithin", distance=metres).tolist())
        return [(float(spot.distance(tree.geometries[i])), things[i]) for i in found]


def compute(site: Site, q: Query) -> Things:
    """Sort what stands on the site."""
    del site
    return Things(tuple(q.all("object")), tuple(q.all("building")), tuple(q.all("land")), q.plan.materials)


def vary(base: Things, site: Site, changes: tuple[Change, ...], q: Query) -> Things:
    """The base where the same things stand."""
    del changes  # the world itself says what is so
    new = compute(site, q)
    return base if (new.objects, new.buildings, new.land) == (base.objects, base.buildings, base.land) else new
