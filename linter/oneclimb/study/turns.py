"""The turns study: what a frame would be spent on if the camera were turned or tilted.

One cast over the wider field that all turned frames share, in cells of bearing and
elevation, is read off for each of them: the figures are good to about 0.01 of the frame.
A nose that moves with the aim is left where it is; whoever offers a turn tries it properly.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from oneclimb.api import Ref
from oneclimb.place import lens
from oneclimb.place.solids import GROUND
from oneclimb.study import COVER

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from oneclimb.api import Change, Query
    from oneclimb.place.scene import Hits, Scene
    from oneclimb.plan.model import Camera, View
    from oneclimb.study.cover import Cover, Sight

    Array = NDArray[np.float64]
    Index = NDArray[np.int64]

STEP = 5
"""degrees from one turn to the next"""
PANS = tuple(range(-30, 31, STEP))
TILTS = tuple(range(-15, 16, STEP))
CELLS = 3
"""cells a step of the shared cast"""
COLS, ROWS = 48, 27
"""rays each turned frame is judged by"""
NEAR = 5.0
"""A wall or fence nearer than this, m, is a near wall (common practice)."""
FENCES = frozenset({"garden-wall", "fence", "gate", "shed"})
MOST = 60
"""samples of an area that are asked about"""

OTHER, SKY, BARE, LEAVES, WALL, AVOIDED = range(6)


@dataclass(frozen=True, eq=False)
class Turns:
    """Shares of the frame, 0 to 1, by tilt (7 rows, -15 to 15 degrees further down) and pan
    (13 columns, -30 to 30 degrees clockwise seen from above). Row 3, column 6 is the aim as it is.
    """

    sight: Sight
    watched: tuple[str, ...]
    sky: Array
    ground: Array
    """ground that is not to be avoided"""
    foliage: Array
    """leaves that are not wanted"""
    walls: Array
    """walls, eaves and fences nearer than ``NEAR`` that are not wanted"""
    avoid: Array
    """ground of areas to avoid"""
    seen: Mapping[str, Array]
    """share of the samples in the frame and not hidden: of each watched area and each to avoid"""

    @property
    def pans(self) -> Array:
        """(13,) degrees, clockwise seen from above."""
        return np.array(PANS, dtype=np.float64)

    @property
    def tilts(self) -> Array:
        """(7,) degrees, further down."""
        return np.array(TILTS, dtype=np.float64)

    @property
    def waste(self) -> Array:
        """Sky, leaves, near walls and avoided ground together."""
        return self.sky + self.foliage + self.walls + self.avoid


def compute(camera: Camera, q: Query) -> Turns:
    """Look round from where the camera is."""
    cover = q.of(COVER, camera)
    up, across = _cells(camera.view, camera.aim.tilt, camera.aim.turned)
    pan = np.arange(PANS[0] // STEP, PANS[-1] // STEP + 1) * CELLS
    cells = _grid_size()
    across = (across[:, None, :] + pan[None, :, None]) % cells[1]
    flat = up[:, None, :] * cells[1] + across
    kinds = np.zeros(cells[0] * cells[1], dtype=np.uint8)
    touched = np.zeros(len(kinds), dtype=np.bool_)
    touched[flat] = True
    asked = np.flatnonzero(touched)
    kinds[asked] = _met(camera, q, cover, _rays(asked, camera.aim.bearing - q.plan.site.plus_y))
    frames = kinds[flat]
    sky, ground, foliage, walls, avoid = ((frames == kind).mean(axis=2) for kind in range(1, 6))
    return Turns(cover.sight, cover.watched, sky, ground, foliage, walls, avoid, _seen(camera, q, cover))


def vary(base: Turns, camera: Camera, changes: tuple[Change, ...], q: Query) -> Turns | None:
    """The base's where the camera sees the same and is for the same."""
    del changes  # the world itself says what is so
    cover = q.of(COVER, camera)
    return base if cover.sight == base.sight and cover.watched == base.watched else None


def _grid_size() -> tuple[int, int]:
    """Cells of elevation and of bearing, whole round."""
    return 180 * CELLS // STEP, 360 * CELLS // STEP


@functools.lru_cache(maxsize=256)
def _cells(view: View, tilt: float, turned: float) -> tuple[Index, Index]:
    """(7, rays) rows and columns of the cells that a frame at each tilt, looking north, falls on."""
    rays = lens.grid(view, COLS, ROWS).rays
    axes = np.array([lens.axes(0.0, tilt + more, turned, 0.0) for more in TILTS])
    x, y, z = np.moveaxis(rays @ axes, -1, 0)
    rows, cols = _grid_size()
    up = ((np.degrees(np.arcsin(np.clip(z, -1, 1))) + 90) * CELLS / STEP).astype(np.int64)
    across = np.floor(np.degrees(np.arctan2(x, y)) * CELLS / STEP).astype(np.int64)
    return np.minimum(up, rows - 1), across % cols


def _rays(cells: Index, north: float) -> Array:
    """Unit directions through the middles of cells, the first column at ``north`` degrees clockwise of +y."""
    row, col = np.divmod(cells, _grid_size()[1])
    up = np.radians((row + 0.5) * STEP / CELLS - 90)
    across = np.radians((col + 0.5) * STEP / CELLS + north)
    return np.stack([np.cos(up) * np.sin(across), np.cos(up) * np.cos(across), np.sin(up)], axis=1)


def _met(camera: Camera, q: Query, cover: Cover, rays: Array) -> NDArray[np.uint8]:
    """What kind of thing each ray meets."""
    scene, eye = cover.sight.scene, cover.sight.eye
    hits = scene.cast(eye.origin, rays, cover.sight.absent)
    owner = scene.owner_of(hits)
    kinds = np.full(len(rays), SKY, dtype=np.uint8)
    for number in np.unique(owner[owner >= 0]):
        kinds[owner == number] = _kind(scene.owners[number], camera, q)
    kinds[(kinds == WALL) & (hits.t > NEAR)] = OTHER
    kinds[_leaves(scene, hits) & (kinds == OTHER)] = LEAVES
    ground = np.flatnonzero(kinds == BARE)
    places = np.array(eye.origin)[:2] + hits.t[ground, None] * rays[ground, :2]
    for area in q.plan.areas:
        if area.task == "avoid" and len(area.outline) > 2:
            kinds[ground[shapely.contains_xy(shapely.Polygon(area.outline), places[:, 0], places[:, 1])]] = AVOIDED
    return kinds


def _leaves(scene: Scene, hits: Hits) -> NDArray[np.bool_]:
    leaves = np.array([*(material.foliage for material in scene.materials), False])
    return np.asarray(leaves[np.where(hits.tri >= 0, scene.material[hits.tri], -1)])


WANTED = 255
"""for the time being: something meant to be seen, so neither leaves nor wall"""


def _kind(owner: Ref, camera: Camera, q: Query) -> int:
    if owner == GROUND:
        return BARE
    if owner.kind == "building":
        return WANTED if owner.field.removeprefix("walls.") in camera.watches else WALL
    if owner.kind != "object":
        return OTHER
    thing = q.get(owner)
    if thing.wanted or thing.id in camera.watches:
        return WANTED
    return WALL if thing.kind in FENCES else OTHER


def _seen(camera: Camera, q: Query, cover: Cover) -> dict[str, Array]:
    """For each turn the share of each watched or avoided area's samples in the frame and not hidden."""
    aim, view, origin = camera.aim, cover.sight.eye, np.array(cover.sight.eye.origin)
    axes = np.array(
        [
            [lens.axes(aim.bearing + pan, aim.tilt + tilt, aim.turned, q.plan.site.plus_y) for pan in PANS]
            for tilt in TILTS
        ]
    )
    shares = {}
    for name in (*cover.watched, *(name for name in cover.areas.seen if name in cover.avoid)):
        found = cover.areas[name]
        some = slice(None, None, math.ceil(len(found.points) / MOST))
        local = (found.points[some] - origin) @ np.swapaxes(axes, -1, -2)
        in_frame = view.project_local(local)[2]
        shares[name] = np.asarray((in_frame & (found.hidden_by[some] < 0)).mean(axis=-1))
    return shares
