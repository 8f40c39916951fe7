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

    from oneclimb.api import Change, Query
    from oneclimb.place.scene import Scene
    from oneclimb.plan.model import Mask, Site
    from oneclimb.study.cover import LandCover
    from oneclimb.study.samples import Samples


class Other(Struct, frozen=True):
    """A piece of others' ground, or a window of theirs, as one camera shows it unmasked.

    ``detail`` is the most px/m of a person there.
    """

    ref: Ref
    detail: float


class Look(Struct, frozen=True):
    """What one camera shows of others, and what that hangs on: its eye, its masks, whether it moves."""

    asked: tuple[lens.Eye, tuple[Mask, ...], bool]
    shown: tuple[Other, ...]


class Others(Struct, frozen=True, eq=False):
    """What every camera shows of others, in one place and through one set of samples."""

    scene: Scene
    samples: Samples
    absent: frozenset[Ref]
    looks: Mapping[str, Look]

    @property
    def shown(self) -> dict[str, tuple[Other, ...]]:
        """By the camera's id, only those that show something."""
        return {name: look.shown for name, look in self.looks.items() if look.shown}


def compute(site: Site, q: Query) -> Others:
    """Look at all others' ground and windows through every camera."""
    return _looked(site, q, None)


def vary(base: Others, site: Site, changes: tuple[Change, ...], q: Query) -> Others:
    """The base's looks where camera and place are the same."""
    del changes  # the world itself says what is so
    return _looked(site, q, base)


def _looked(site: Site, q: Query, base: Others | None) -> Others:
    samples, scene, absent = q.of(SAMPLES, site), q.of(SCENE, site), absent_in(q)
    same = base is not None and (base.scene, base.samples, base.absent) == (scene, samples, absent)
    before = base.looks if same and base is not None else {}
    looks: dict[str, Look] = {}
    for camera in q.all("camera") if samples.land.ids or samples.panes.ids else ():
        asked = lens.eye(camera, site), camera.masks, camera.moves
        old = before.get(camera.id)
        looks[camera.id] = old if old and old.asked == asked else Look(asked, _all(asked, scene, samples, absent))
    return Others(scene, samples, absent, looks)


def _all(
    asked: tuple[lens.Eye, tuple[Mask, ...], bool], scene: Scene, samples: Samples, absent: frozenset[Ref]
) -> tuple[Other, ...]:
    eye, masks, moves = asked
    sight = Sight(eye, scene, absent)
    nothing = Areas(sight, samples.areas, np.zeros(0, dtype=np.int64))
    return tuple(_shown(Cover(sight, samples, masks, moves, (), nothing)))


def _shown(cover: Cover) -> Iterator[Other]:
    for name, shown in cover.land.items():
        yield from _other(Ref("land", name), shown)
    for path, shown in cover.panes.items():
        building, _, window = path.partition("/")
        yield from _other(Ref("building", building, f"windows.{window}"), shown)


def _other(ref: Ref, shown: LandCover) -> Iterator[Other]:
    """It, where anything of it shows unmasked."""
    open_to = shown.seen & ~shown.masked
    if open_to.any():
        yield Other(ref, float(shown.pxm[open_to].max()))
