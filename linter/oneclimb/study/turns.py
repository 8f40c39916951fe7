"""The turns study: what a frame would be spent on if the camera were turned or tilted.

One cast over the wider field that all turned frames share, in cells of bearing and
elevation, is read off for each of them: the figures are good to about 0.01 of the frame.
A nose that moves with the aim is left where it is; whoever offers a turn tries it properly.
"""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place import lens
from oneclimb.place.solids import GROUND
from oneclimb.study import COVER
from oneclimb.study.cover import FARTHEST
from oneclimb.study.numbers import distinct
from oneclimb.trade.clutter import FENCES, NEAR

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from oneclimb.api import Change, Query
    from oneclimb.place.scene import Hits, Scene
    from oneclimb.plan.model import Area, Camera, View
    from oneclimb.study.cover import Areas, Cover

    Array = NDArray[np.float64]
    Index = NDArray[np.int64]

STEP = 5
"""degrees from one turn to the next"""
PANS = tuple(range(-30, 31, STEP))
TILTS = tuple(range(-15, 16, STEP))
CELLS = 3
"""cells a step of the shared cast"""
COLS, ROWS = 32, 18
"""rays each turned frame is judged by; more of them are no better: the cells are the limit"""
BEHIND = 1.2
"""m on the plan: a wall this near to watched ground stands right behind it (estimate)"""
SQUARE = 0.5
"""cosine of 60 degrees: a ray farther from the normal of the wall it meets looks along the wall (estimate)"""
MOST = 120
"""samples of an area that are asked about"""

HIGH, WIDE = 180 * CELLS // STEP, (360 + PANS[-1] - PANS[0]) * CELLS // STEP
"""cells of elevation and of bearing; past the whole round they repeat"""

OTHER, SKY, BARE, LEAVES, WALL, AVOIDED, WANTED = range(7)
KINDS = 7


class Turns(Struct, frozen=True, dict=True, eq=False):
    """Shares of the frame, 0 to 1, by tilt (7 rows, -15 to 15 degrees further down) and pan
    (13 columns, -30 to 30 degrees clockwise seen from above). Row 3, column 6 is the aim as it is.
    """

    areas: Areas
    """as the camera shows them now"""
    made_of: tuple[object, ...]
    watched: tuple[str, ...]
    sky: Array
    ground: Array
    """ground that is not to be avoided"""
    foliage: Array
    """leaves that are not wanted"""
    walls: Array
    """walls, eaves and fences nearer than ``NEAR`` that are not wanted: nor do those count that stand right behind
    watched ground and face the camera"""
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
    aim, plus_y = camera.aim, q.plan.site.plus_y
    axes, cells = _frames(camera.view, aim.tilt, aim.turned)
    frames = cells[:, None, :] + (np.array(PANS) // STEP * CELLS)[None, :, None]
    touched = np.zeros(HIGH * WIDE, dtype=np.bool_)
    touched[frames] = True
    asked = np.flatnonzero(touched)
    near = _near(q, cover)
    kinds = np.zeros(len(touched), dtype=np.int64)
    kinds[asked] = _met(camera, q, cover, near, _rays(asked, aim.bearing - plus_y))
    turns = len(TILTS) * len(PANS)
    each = np.arange(turns).reshape(len(TILTS), len(PANS), 1) * KINDS
    counts = np.bincount((kinds[frames] + each).ravel(), minlength=turns * KINDS).reshape(len(TILTS), len(PANS), KINDS)
    sky, ground, foliage, walls, avoid = np.moveaxis(counts[..., 1:6] / frames.shape[-1], -1, 0)
    seen = _seen(cover, [area.id for area in near], axes, aim.bearing - plus_y)
    return Turns(cover.areas, _made_of(q), cover.watched, sky, ground, foliage, walls, avoid, seen)


def vary(base: Turns, camera: Camera, changes: tuple[Change, ...], q: Query) -> Turns | None:
    """The base's where the camera sees the same and is for the same."""
    del changes  # the world itself says what is so
    return base if q.of(COVER, camera).areas is base.areas and _made_of(q) == base.made_of else None


def _made_of(q: Query) -> tuple[object, ...]:
    return q.plan.objects, q.plan.buildings


@functools.lru_cache(maxsize=256)
def _frames(view: View, tilt: float, turned: float) -> tuple[Array, Index]:
    """For each tilt, looking north: the axes (7, 3, 3), and the cells (7, rays) the frame falls on."""
    axes = np.array([lens.axes(0.0, tilt + more, turned, 0.0) for more in TILTS])
    x, y, z = np.moveaxis(lens.grid(view, COLS, ROWS).rays @ axes, -1, 0)
    row = ((np.degrees(np.arcsin(np.clip(z, -1, 1))) + 90) * CELLS / STEP).astype(np.int64)
    col = np.floor(np.degrees(np.arctan2(x, y)) * CELLS / STEP).astype(np.int64) + WIDE // 2
    return axes, np.minimum(row, HIGH - 1) * WIDE + col


def _rays(cells: Index, north: float) -> Array:
    """Unit directions through the middles of cells, for frames that look north at ``north`` degrees clockwise of +y."""
    row, col = np.divmod(cells, WIDE)
    up = np.radians((np.arange(HIGH) + 0.5) * STEP / CELLS - 90)
    across = np.radians((np.arange(WIDE) + 0.5 - WIDE // 2) * STEP / CELLS + north)
    level = np.cos(up)[row]
    return np.stack([level * np.sin(across)[col], level * np.cos(across)[col], np.sin(up)[row]], axis=1)


def _near(q: Query, cover: Cover) -> list[Area]:
    """Areas to avoid that are near enough to matter."""
    group = cover.samples.areas
    away = np.linalg.norm(group.centre - np.array(cover.sight.eye.origin), axis=1) - group.radius
    areas: tuple[Area, ...] = q.plan.areas
    return [areas[i] for i in np.flatnonzero(cover.samples.avoid & (away <= FARTHEST))]


def _met(camera: Camera, q: Query, cover: Cover, near: Sequence[Area], rays: Array) -> NDArray[np.uint8]:
    """What kind of thing each ray meets."""
    scene, eye = cover.sight.scene, cover.sight.eye
    hits = scene.cast(eye.origin, rays, cover.sight.absent)
    owner = scene.owner_of(hits)
    kinds = np.full(len(rays), SKY, dtype=np.uint8)
    for number in distinct(owner[owner >= 0]):
        kinds[owner == number] = _kind(scene.owners[number], camera, q)
    kinds[(kinds == WALL) & (hits.t > NEAR)] = OTHER
    close = np.flatnonzero(kinds == WALL)
    places = np.array(eye.origin)[:2] + hits.t[close, None] * rays[close, :2]
    faced = _squarely(rays[close], scene.normals[hits.tri[close]])
    kinds[close[faced][_behind(places[faced], q.plan.areas, cover.watched)]] = WANTED
    kinds[_leaves(scene, hits) & (kinds == OTHER)] = LEAVES
    ground = np.flatnonzero(kinds == BARE)
    places = np.array(eye.origin)[:2] + hits.t[ground, None] * rays[ground, :2]
    for area in near:
        if len(area.outline) > 2:
            kinds[ground[shapely.contains_xy(shapely.Polygon(area.outline), places[:, 0], places[:, 1])]] = AVOIDED
    return kinds


def _squarely(rays: Array, normals: Array) -> NDArray[np.bool_]:
    """Whether upright surfaces are met squarely; others never are."""
    return np.asarray((np.abs(normals[:, 2]) < SQUARE) & (-np.einsum("ij,ij->i", rays, normals) >= SQUARE))


def _behind(places: Array, areas: Sequence[Area], watched: Sequence[str]) -> NDArray[np.bool_]:
    """Which places (k, 2) are right behind watched ground."""
    found = np.zeros(len(places), dtype=np.bool_)
    points = shapely.points(places)
    for area in areas:
        if area.id in watched:
            ground = (shapely.Point, shapely.LineString, shapely.Polygon)[min(len(area.outline), 3) - 1](area.outline)
            found |= shapely.dwithin(points, ground, BEHIND)
    return found


def _leaves(scene: Scene, hits: Hits) -> NDArray[np.bool_]:
    leaves = np.array([*(material.foliage for material in scene.materials), False])
    return np.asarray(leaves[np.where(hits.tri >= 0, scene.material[hits.tri], -1)])


def _kind(owner: Ref, camera: Camera, q: Query) -> int:
    if owner == GROUND:
        return BARE
    if owner.kind == "building":
        named = owner.field.removeprefix("walls.") in camera.watches
        return WANTED if named and not q.get(owner.thing).neighbour else WALL
    if owner.kind != "object":
        return OTHER
    thing = q.get(owner)
    if thing.wanted or thing.id in camera.watches:
        return WANTED
    return WALL if thing.kind in FENCES else OTHER


def _seen(cover: Cover, avoided: Sequence[str], axes: Array, north: float) -> dict[str, Array]:
    """For each turn the share of each watched or avoided area's samples in the frame and not hidden.

    The camera keeps still and looks north; the samples go round it.
    """
    turn = np.radians(np.array(PANS) + north)
    c, s, zero = np.cos(turn), np.sin(turn), np.zeros_like(turn)
    round_it = np.array([[c, s, zero], [-s, c, zero], [zero, zero, zero + 1]]).transpose(2, 0, 1)
    shares = {}
    for name in (*cover.watched, *avoided):
        found = cover.areas[name]
        some = slice(None, None, math.ceil(len(found.points) / MOST))
        path = found.points[some] - np.array(cover.sight.eye.origin)
        free = cover.sight.hidden(path, found.distance[some]) < 0
        in_frame = cover.sight.eye.project_local((path @ round_it)[None] @ axes.swapaxes(1, 2)[:, None])[2]
        shares[name] = np.asarray((in_frame & free).mean(axis=-1))
    return shares
