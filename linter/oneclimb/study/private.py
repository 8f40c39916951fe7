"""The private study: how well a camera shows private areas, and windows of private rooms, unmasked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.plan.model.site import PRIVATE
from oneclimb.study import COVER
from oneclimb.study.samples import panes_of
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Plan
    from oneclimb.study.cover import AreaCover, Cover

    Flags = NDArray[np.bool_]

LEAST = CATEGORIES["monitor"]
"""px/m: a window shown more coarsely than this shows nobody in it"""


class Private(Struct, frozen=True):
    """A private area, or the window of a private room, as one camera shows it.

    ``detail`` is the most px/m of what shows unmasked, 0 where nothing does; ``share`` how much of it shows;
    ``box`` where in the frame, 0 to 1: left, top, right, bottom; ``distance`` to the nearest of it, m.
    """

    ref: Ref
    room: str
    detail: float
    share: float
    distance: float
    box: tuple[float, float, float, float]
    planned: bool
    """a mask lies over it that does not count: planned, set in the recorder, or on a camera that moves"""
    drawn: bool = False
    """a window at which a curtain or blind is drawn by night"""


def compute(camera: Camera, q: Query) -> tuple[Private, ...]:
    """Every private area and window of the plan, seen or not."""
    cover = q.of(COVER, camera)
    return (*_areas(cover, q.plan), *_windows(cover, q.plan))


def _areas(cover: Cover, plan: Plan) -> Iterator[Private]:
    for area in plan.areas:
        if area.private:
            found = cover.areas[area.id]
            yield _shown(cover, found, found.seen, Ref("area", area.id), "private room")


def _windows(cover: Cover, plan: Plan) -> Iterator[Private]:
    panes = [(b, wall, pane) for b in plan.buildings for wall in b.walls for pane in wall.windows]
    private = [(b, wall, pane) for b, wall, pane in panes if pane.room in PRIVATE]
    if not private:
        return
    group = panes_of(private)
    for i, (building, _, pane) in enumerate(private):
        rows = slice(group.start[i], group.start[i + 1])
        found = cover.sight.look(group.points[rows], group.ground[rows])
        way = group.points[rows] - np.array(cover.sight.eye.origin)
        facing = np.einsum("ij,ij->i", way, group.normals[rows]) < 0.0
        seen = found.seen & facing & (found.pxm >= LEAST)
        shown = _shown(cover, found, seen, Ref("building", building.id, f"windows.{pane.id}"), str(pane.room))
        yield replace(shown, drawn=pane.curtain == "drawn")


def _shown(cover: Cover, found: AreaCover, seen: Flags, ref: Ref, room: str) -> Private:
    counts, planned = _masked(cover, found)
    shows = seen & ~counts
    if not shows.any():
        return Private(ref, room, 0.0, 0.0, 0.0, (0.0, 0.0, 0.0, 0.0), planned=False)
    x, y = found.xy[shows].T
    return Private(
        ref,
        room,
        float(found.pxm[shows].max()),
        float(shows.mean()),
        float(found.distance[shows].min()),
        (float(x.min()), float(y.min()), float(x.max()), float(y.max())),
        bool((shows & planned).any()),
    )


def _masked(cover: Cover, found: AreaCover) -> tuple[Flags, Flags]:
    """Which samples lie under a mask set in a camera that keeps still, and which under another."""
    counts = np.zeros(len(found.xy), dtype=np.bool_)
    planned = counts.copy()
    for mask in cover.masks:
        under = counts if mask.set == "in-camera" and not cover.moves else planned
        under |= shapely.contains_xy(shapely.Polygon(mask.outline), found.xy[:, 0], found.xy[:, 1])
    return counts, planned
