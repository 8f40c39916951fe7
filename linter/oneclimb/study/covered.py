"""The covered study: every wanted area as all cameras together show it, in small arrays kept for the run.

What is only sometimes there (a parked car) is taken away first: what it hides is another
question. Places where something solid stands are left out: nobody can stand there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place import lens
from oneclimb.study import SAMPLES, SCENE
from oneclimb.study.cover import Areas, Sight, first
from oneclimb.study.covered_ground import SIDES, Ground, Seen
from oneclimb.study.raster import absent_in

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.api import Change, Query
    from oneclimb.place.scene import Scene
    from oneclimb.plan.model import Area, Camera, Mask, Site, View
    from oneclimb.study.cover import AreaCover
    from oneclimb.study.samples import Samples

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]


class Asked(NamedTuple):
    """What of a camera its view of the areas depends on."""

    eye: lens.Eye
    watches: tuple[str, ...]
    masks: tuple[Mask, ...]
    recorded: tuple[int, int] | None


class Look(NamedTuple):
    """One camera's view of all areas it is for."""

    asked: Asked
    areas: Mapping[str, Seen]


class Covered(Struct, frozen=True, dict=True, eq=False):
    """Every camera's view of the wanted areas, and the same area by area."""

    scene: Scene
    samples: Samples
    absent: frozenset[Ref]
    free: Flags
    """(n,) samples of all areas at which nothing solid stands"""
    looks: Mapping[str, Look]
    grounds: dict[str, Ground]

    def ground(self, area: Area) -> Ground:
        """An area as all cameras that are for it show it."""
        if area.id not in self.grounds:
            i = self.samples.areas.row[area.id]
            rows = slice(self.samples.areas.start[i], self.samples.areas.start[i + 1])
            views = {name: look.areas[area.id] for name, look in self.looks.items() if area.id in look.areas}
            self.grounds[area.id] = Ground(views, self.samples.areas.ground[rows], self.free[rows], self.scene.owners)
        return self.grounds[area.id]


def wanted(area: Area) -> bool:
    """Whether an area is to be seen at all."""
    return area.task != "avoid"


def compute(site: Site, q: Query) -> Covered:
    """Look at all wanted areas through all cameras."""
    scene, samples, absent = q.of(SCENE, site), q.of(SAMPLES, site), _absent(q)
    names = _names(q)
    looks = {
        camera.id: _look(asked, scene, samples, absent, names)
        for camera in q.all("camera")
        for asked in [_asked(camera, site)]
    }
    return Covered(scene, samples, absent, _free(scene, samples, absent), looks, {})


def vary(base: Covered, site: Site, changes: tuple[Change, ...], q: Query) -> Covered | None:
    """The base's views, those of changed cameras made anew, and those past which something else now stands.

    None where the ground itself has changed.
    """
    del changes  # the world itself says what is so
    scene, samples, absent = q.of(SCENE, site), q.of(SAMPLES, site), _absent(q)
    if samples is not base.samples:
        return None
    ball = _changed(base, scene, absent)
    names = _names(q)
    looks: dict[str, Look] = {}
    for camera in q.all("camera"):
        asked, before = _asked(camera, site), base.looks.get(camera.id)
        if before is None or before.asked != asked or (ball is not None and _past(before, samples, ball)):
            looks[camera.id] = _look(asked, scene, samples, absent, names)
        else:
            looks[camera.id] = before
    free = base.free if ball is None else _free(scene, samples, absent)
    same = ball is None and looks.keys() == base.looks.keys()
    if same and all(looks[name] is base.looks[name] for name in looks):
        return base
    return Covered(scene, samples, absent, free, looks, {})


def _names(q: Query) -> frozenset[str]:
    return frozenset(area.id for area in q.plan.areas if wanted(area))


def _asked(camera: Camera, site: Site) -> Asked:
    return Asked(lens.eye(camera, site), camera.watches, camera.masks, camera.recorded)


def _absent(q: Query) -> frozenset[Ref]:
    """What is not there, and what is only there sometimes."""
    return absent_in(q) | {Ref("object", thing.id) for thing in q.plan.objects if thing.there == "sometimes"}


def _look(asked: Asked, scene: Scene, samples: Samples, absent: frozenset[Ref], names: frozenset[str]) -> Look:
    sight = Sight(asked.eye, scene, absent)
    areas = Areas(sight, samples.areas, first(sight, samples, asked.watches))
    meant = [name for name in asked.watches or areas.near if name in names and name in areas]
    found = ((name, areas[name]) for name in meant)
    return Look(asked, {name: _seen(asked, area) for name, area in found if asked.watches or area.in_frame.any()})


def _seen(asked: Asked, cover: AreaCover) -> Seen:
    """One area in one camera's picture, pixels counted in the stream that is kept."""
    eye, (x, y) = asked.eye, cover.xy.T
    masks = {mask.id: cover.seen & shapely.contains_xy(shapely.Polygon(mask.outline), x, y) for mask in asked.masks}
    kept = asked.recorded[0] / eye.pixels[0] if asked.recorded else 1.0
    edge = np.hypot(2.0 * x - 1.0, 2.0 * y - 1.0) / np.sqrt(2.0)
    return Seen(
        origin=eye.origin,
        across=eye.view.across,
        in_frame=cover.in_frame,
        hidden_by=cover.hidden_by,
        seen=cover.seen,
        masks=masks,
        pxm=(cover.pxm * kept).astype(np.float32),
        edge=np.nan_to_num(edge, nan=1.0).astype(np.float32),
        side=_side(eye, cover),
    )


def _side(eye: lens.Eye, cover: AreaCover) -> NDArray[np.int8]:
    """Which edge of the frame each sample lies beyond, by number in ``SIDES``: the one it is farthest past."""
    local = eye.local(cover.points)
    right, up, ahead = local.T
    halves = _halves(eye.view)
    past_x, past_y = np.arctan2(np.abs(right), ahead) / halves[0], np.arctan2(np.abs(up), ahead) / halves[1]
    sideways = np.where(right < 0, SIDES.index("left"), SIDES.index("right"))
    upright = np.where(up < 0, SIDES.index("below"), SIDES.index("above"))
    beyond = np.where(past_x >= past_y, sideways, upright)
    return np.where(cover.in_frame, 0, np.where(ahead <= 0, SIDES.index("behind"), beyond)).astype(np.int8)


def _halves(view: View) -> tuple[float, float]:
    return float(np.radians(view.across / 2)), float(np.radians(view.down / 2))


def _free(scene: Scene, samples: Samples, absent: frozenset[Ref]) -> Flags:
    """At which samples of areas no object stands: what a ray straight up meets first, it does not meet from within."""
    points = samples.areas.points
    free = np.ones(len(points), dtype=np.bool_)
    if not len(points):
        return free
    hits = scene.cast(points, np.broadcast_to(np.array([0.0, 0.0, 1.0]), points.shape), absent)
    met = np.flatnonzero(hits.tri >= 0)
    objects = np.array([ref.kind not in {"building", "site"} for ref in scene.owners], dtype=np.bool_)
    within = objects[scene.owner[hits.tri[met]]] & (scene.normals[hits.tri[met], 2] > 0.0)
    free[met[within]] = False
    return free


def _changed(base: Covered, scene: Scene, absent: frozenset[Ref]) -> tuple[Array, float] | None:
    """Middle and radius of a ball round all that differs between two places; None where nothing does."""
    parts = [] if scene is base.scene else [*_only_in(scene, base.scene), *_only_in(base.scene, scene)]
    if absent != base.absent:
        parts += [s.triangles[np.isin(s.owner, s.owned_by(absent ^ base.absent))] for s in (scene, base.scene)]
    corners = np.concatenate([np.zeros((0, 3)), *(part.reshape(-1, 3) for part in parts)])
    if not len(corners):
        return None
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    return middle, float(np.linalg.norm(corners - middle, axis=1).max())


def _only_in(one: Scene, other: Scene) -> Iterator[Array]:
    """Triangles of one place that the other does not have, owner by owner."""
    theirs = _by_owner(other)
    for owner, mine in _by_owner(one).items():
        if owner not in theirs or not np.array_equal(mine, theirs[owner]):
            yield mine


def _by_owner(scene: Scene) -> dict[Ref, Array]:
    order = np.argsort(scene.owner, kind="stable")
    cuts = np.searchsorted(scene.owner[order], np.arange(1, len(scene.owners)))
    return dict(zip(scene.owners, np.split(scene.triangles[order], cuts), strict=True))


def _past(look: Look, samples: Samples, ball: tuple[Array, float]) -> bool:
    """Whether a line from the camera to a sample it is for passes through the ball."""
    middle, radius = ball
    origin = np.array(look.asked.eye.origin)
    for name in look.areas:
        i = samples.areas.row[name]
        way = samples.areas.points[samples.areas.start[i] : samples.areas.start[i + 1]] - origin
        length = np.maximum(np.einsum("ij,ij->i", way, way), 1e-12)
        along = np.clip(way @ (middle - origin) / length, 0.0, 1.0)
        if (np.linalg.norm(along[:, None] * way - (middle - origin), axis=1) <= radius).any():
            return True
    return False
