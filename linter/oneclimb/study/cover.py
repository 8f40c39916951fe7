"""The cover study: which of the world's samples a camera shows, how finely, and what hides the rest.

px/m are pixels per metre across the line of sight at the target (see ``place.lens``).
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from oneclimb.place import lens
from oneclimb.place.scene import Scene, tolerance
from oneclimb.study import SAMPLES, SCENE
from oneclimb.study.numbers import distinct
from oneclimb.study.raster import absent_in
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.api import Change, Query, Ref
    from oneclimb.plan.model import Camera, Mask
    from oneclimb.study.samples import Group, Samples

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]
    Index = NDArray[np.int64]

FARTHEST = 60.0
"""People on land beyond the boundary are looked for up to here, m, or to where *monitor* ends."""
LEAST = CATEGORIES["monitor"]


BODY = (0.8, 0.1)
"""heights of a standing person's middle and feet, m, below the face at which people are sampled"""


class AreaCover(Struct, frozen=True, dict=True, eq=False):
    """Samples as one camera sees them. All arrays have a row a sample."""

    points: Array
    """(k, 3) what is looked at, site coordinates"""
    ground: Array
    """(k, 3) the ground below it"""
    in_frame: Flags
    hidden_by: NDArray[np.int32]
    """number in ``scene.owners`` of what stands before it, -1 for nothing or outside the frame"""
    seen: Flags
    """in the frame and not hidden"""
    pxm: Array
    """pixels per metre there, 0 where the lens cannot see"""
    distance: Array
    """from the front glass, m"""
    down: Array
    """the line of sight's angle below the horizontal, degrees"""
    xy: Array
    """(k, 2) frame position, 0 to 1 to the right and down; nan outside the frame"""

    def part(self, rows: slice) -> dict[str, Any]:
        """Some of the samples, field by field."""
        return {name: getattr(self, name)[rows] for name in AreaCover.__struct_fields__}


class LandCover(AreaCover, frozen=True, dict=True):
    """People on a piece of land, or a window, as far as they lie in the frame."""

    masked: Flags
    """all of it that shows lies under masks set in the camera: of a person head, middle and feet"""
    covered_by_planned: Flags
    """only under a mask that does not count: planned, set in the recorder, or on a camera that moves"""
    lowest: Array
    """(k, 2) frame position of the lowest part that shows: a person's feet where nothing hides them"""


class Areas(Mapping[str, AreaCover]):
    """Every area of the plan by id. Those ``near`` are looked at together, any other when asked for."""

    def __init__(self, sight: Sight, group: Group, near: Index) -> None:
        self._sight = sight
        self._group = group
        rows, self._ends = _rows(group, near)
        self._batch = sight.look(group.points[rows], group.ground[rows])
        self._near = {int(i): k for k, i in enumerate(near)}
        self._found: dict[str, AreaCover] = {}

    def __getitem__(self, name: str) -> AreaCover:
        """The area's samples; ``KeyError`` where the plan has no such area."""
        if name not in self._found:
            self._found[name] = self._look(self._group.row[name])
        return self._found[name]

    def _look(self, i: int) -> AreaCover:
        if i in self._near:
            k = self._near[i]
            return AreaCover(**self._batch.part(slice(self._ends[k], self._ends[k + 1])))
        rows = slice(self._group.start[i], self._group.start[i + 1])
        return self._sight.look(self._group.points[rows], self._group.ground[rows])

    def __iter__(self) -> Iterator[str]:
        return iter(self._group.ids)

    def __len__(self) -> int:
        return len(self._group.ids)

    @property
    def near(self) -> tuple[str, ...]:
        """Ids of the areas looked at together."""
        return tuple(self._group.ids[i] for i in self._near)

    @functools.cached_property
    def hiding(self) -> frozenset[int]:
        """Owner numbers of what hides a sample of the areas looked at together."""
        return frozenset(distinct(self._batch.hidden_by[self._batch.hidden_by >= 0]).tolist())

    @functools.cached_property
    def seen(self) -> tuple[str, ...]:
        """Ids of the areas looked at together of which at least one sample is seen, in the plan's order."""
        if not self._near:
            return ()
        any_seen = np.logical_or.reduceat(self._batch.seen, self._ends[:-1])
        return tuple(self._group.ids[i] for i, k in self._near.items() if any_seen[k])


class Sight(Struct, frozen=True, dict=True):
    """An eye in a scene, and how it looks at points."""

    eye: lens.Eye
    scene: Scene
    absent: frozenset[Ref]

    def look(self, points: Array, ground: Array) -> AreaCover:
        """Points (k, 3) as seen by the eye."""
        local = self.eye.local(points)
        x, y, in_frame = self.eye.project_local(local)
        path = points - np.array(self.eye.origin)
        distance = np.linalg.norm(path, axis=1)
        down = np.degrees(np.arctan2(-path[:, 2], np.hypot(path[:, 0], path[:, 1])))
        hidden = np.full(len(points), -1, dtype=np.int32)
        hidden[in_frame] = self.hidden(path[in_frame], distance[in_frame])
        xy = np.stack([x, y], axis=1)
        xy[~in_frame] = np.nan
        seen = in_frame & (hidden < 0)
        return AreaCover(points, ground, in_frame, hidden, seen, self.eye.density(local), distance, down, xy)

    def hidden(self, path: Array, distance: Array) -> NDArray[np.int32]:
        """Owner numbers of what stands between the glass and the ends of ``path`` (k, 3), -1 for nothing."""
        if not len(path):
            return np.zeros(0, dtype=np.int32)
        rays = np.divide(path, distance[:, None], out=np.zeros_like(path), where=distance[:, None] > 0)
        hits = self.scene.cast(self.eye.origin, rays, self.absent)
        owner = self.scene.owner_of(hits)
        owner[hits.t >= distance - tolerance(distance)] = -1
        return owner

    def near(self, group: Group, reach: float) -> Index:
        """Which sets of a group may have a sample in the frame no farther ahead than ``reach``."""
        path = group.centre - np.array(self.eye.origin)
        away = np.linalg.norm(path, axis=1)
        ahead = path @ np.array(self.eye.forward)
        inside = away <= group.radius
        apart = np.where(inside, 1.0, away)
        off = np.arccos(np.clip(ahead / apart, -1, 1)) - np.arcsin(np.minimum(group.radius / apart, 1.0))
        return np.flatnonzero((inside | (off <= self.eye.spread)) & (ahead - group.radius <= reach))


class Cover(Struct, frozen=True, dict=True, eq=False):
    """One camera's view of all samples."""

    sight: Sight
    samples: Samples
    masks: tuple[Mask, ...]
    moves: bool
    watches: tuple[str, ...]
    areas: Areas

    @functools.cached_property
    def watched(self) -> tuple[str, ...]:
        """Ids of the wanted areas the camera is for: those it names, or else all it sees something of."""
        named = tuple(name for name in self.watches if name in self.areas)
        wanted = named if self.watches else self.areas.seen
        return tuple(name for name in wanted if not self.avoided(name))

    def avoided(self, name: str) -> bool:
        """Whether an area is one to avoid."""
        return bool(self.samples.avoid[self.samples.areas.row[name]])

    @functools.cached_property
    def land(self) -> dict[str, LandCover]:
        """By the id of the land: standing people in the frame, to where *monitor* ends or 60 m."""
        return self._beyond(self.samples.land)

    @functools.cached_property
    def panes(self) -> dict[str, LandCover]:
        """By ``building/window``: neighbours' windows in the frame that face the camera, as far as people."""
        return self._beyond(self.samples.panes)

    def _beyond(self, group: Group) -> dict[str, LandCover]:
        if not group.ids:
            return {}
        eye = self.sight.eye
        reach = min(FARTHEST, eye.range_of(LEAST))
        rows = self._in_frame(group, _rows(group, self.sight.near(group, reach))[0])
        if not len(rows):
            return {}
        found = self.sight.look(group.points[rows], group.ground[rows])
        masked, planned = _masked(found.xy, self.masks, moves=self.moves)
        lowest = found.xy.copy()
        for height in BODY if group is self.samples.land else ():
            part = group.ground[rows] + np.array([0.0, 0.0, height])
            below = self.sight.look(part, group.ground[rows])
            under, unset = _masked(below.xy, self.masks, moves=self.moves)
            masked &= under | ~below.seen
            planned |= unset & below.seen
            lowest[below.seen] = below.xy[below.seen]
        which = np.searchsorted(group.start, rows, side="right") - 1
        cuts = np.flatnonzero(np.diff(which, prepend=-1, append=-1))
        return {
            group.ids[which[i]]: LandCover(
                **found.part(slice(i, j)),
                masked=masked[i:j],
                covered_by_planned=planned[i:j] & ~masked[i:j],
                lowest=lowest[i:j],
            )
            for i, j in itertools.pairwise(cuts)
        }

    def _in_frame(self, group: Group, rows: Index) -> Index:
        """Of samples those in the frame, finely enough, near enough, and facing the camera."""
        eye = self.sight.eye
        path = group.points[rows] - np.array(eye.origin)
        close = np.einsum("ij,ij->i", path, path) <= FARTHEST**2
        close &= (np.einsum("ij,ij->i", path, group.normals[rows]) < 0) | ~group.normals[rows].any(axis=1)
        local = path[close] @ eye.axes.T
        shown = eye.project_local(local)[2] & (eye.density(local) >= LEAST)
        return np.asarray(rows[close][shown])


def _rows(group: Group, sets: Index) -> tuple[Index, Index]:
    """Row numbers of the samples of some sets, and where each set's begin and the last's end."""
    sizes = group.start[sets + 1] - group.start[sets]
    ends = np.concatenate([[0], np.cumsum(sizes)])
    return np.arange(ends[-1]) + np.repeat(group.start[sets] - ends[:-1], sizes), ends


def _masked(xy: Array, masks: tuple[Mask, ...], *, moves: bool) -> tuple[Flags, Flags]:
    """Which frame positions (k, 2) lie under a mask that counts, and which only under one that does not."""
    counts = np.zeros(len(xy), dtype=np.bool_)
    planned = np.zeros(len(xy), dtype=np.bool_)
    for mask in masks:
        under = counts if mask.set == "in-camera" and not moves else planned
        under |= shapely.contains_xy(shapely.Polygon(mask.outline), xy[:, 0], xy[:, 1])
    return counts, planned & ~counts


def compute(camera: Camera, q: Query) -> Cover:
    """Look at all samples through a camera."""
    site = q.plan.site
    sight = Sight(lens.eye(camera, site), q.of(SCENE, site), absent_in(q))
    samples = q.of(SAMPLES, site)
    areas = Areas(sight, samples.areas, first(sight, samples, camera.watches))
    return Cover(sight, samples, camera.masks, camera.moves, camera.watches, areas)


def first(sight: Sight, samples: Samples, watches: tuple[str, ...]) -> Index:
    """Which areas to look at at once: what the camera is for and what it is to avoid."""
    near = sight.near(samples.areas, sight.eye.range_of(LEAST))
    if not watches:
        return near
    named = [samples.areas.row[name] for name in watches if name in samples.areas.row]
    return distinct(np.concatenate([near[samples.avoid[near]], np.array(named, dtype=np.int64)]))


def vary(base: Cover, camera: Camera, changes: tuple[Change, ...], q: Query) -> Cover | None:
    """The base cover where camera, what it is for, place and samples are the same; None where it is looked at anew."""
    del changes  # the world itself says what is so
    site = q.plan.site
    sight = Sight(lens.eye(camera, site), q.of(SCENE, site), absent_in(q))
    same = sight == base.sight and q.of(SAMPLES, site) is base.samples
    if not same or camera.watches != base.watches:
        return None
    return replace(base, masks=camera.masks, moves=camera.moves)
