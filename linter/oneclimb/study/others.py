"""The others study: which cameras show neighbours' ground, their windows or the public way, and how well."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place import lens
from oneclimb.study import SAMPLES, SCENE
from oneclimb.study.cover import Areas, Cover, Sight
from oneclimb.study.raster import absent_in

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from oneclimb.api import Query
    from oneclimb.plan.model import Land, Plan, Site
    from oneclimb.study.cover import LandCover


class Other(Struct, frozen=True):
    """A piece of others' ground, or a window of theirs, as one camera shows it unmasked.

    ``detail`` is the most px/m of a person there; ``private`` a neighbour's own (not the public way, nor a frontage);
    ``agreed`` whether its owner's word is in the plan.
    """

    ref: Ref
    detail: float
    private: bool
    agreed: bool


def compute(site: Site, q: Query) -> Mapping[str, tuple[Other, ...]]:
    """By the camera's id, only those that show something of others."""
    plan: Plan = q.plan
    samples = q.of(SAMPLES, site)
    if not samples.land.ids and not samples.panes.ids:
        return {}
    scene, absent, none = q.of(SCENE, site), absent_in(q), np.zeros(0, dtype=np.int64)
    found = {}
    for camera in q.all("camera"):
        sight = Sight(lens.eye(camera, site), scene, absent)
        cover = Cover(sight, samples, camera.masks, camera.moves, (), Areas(sight, samples.areas, none))
        found[camera.id] = tuple(_shown(cover, plan))
    return {name: shown for name, shown in found.items() if shown}


def _shown(cover: Cover, plan: Plan) -> Iterator[Other]:
    lands: dict[str, Land] = {land.id: land for land in plan.land}
    for name, shown in cover.land.items():
        land = lands[name]
        private = land.kind == "neighbour" and not land.frontage
        yield from _other(Ref("land", name), shown, land, private=private)
    owners = {building.id: building.neighbour or "" for building in plan.buildings}
    for path, shown in cover.panes.items():
        building, _, window = path.partition("/")
        ref = Ref("building", building, f"windows.{window}")
        yield from _other(ref, shown, lands.get(owners[building]), private=True)


def _other(ref: Ref, shown: LandCover, land: Land | None, *, private: bool) -> Iterator[Other]:
    """It, where anything of it shows unmasked; ``land`` is it, or that of the window's owner."""
    open_to = shown.seen & ~shown.masked
    if open_to.any():
        yield Other(ref, float(shown.pxm[open_to].max()), private, bool(land and land.agrees))
