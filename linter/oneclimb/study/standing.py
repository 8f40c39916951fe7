"""Whether a camera is in reach from where someone can stand, and how near an eye comes into its infrared."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref
from oneclimb.place.lens import eye
from oneclimb.place.solids import GROUND
from oneclimb.study import SCENE
from oneclimb.study.run_footing import FOOTING, Footing
from oneclimb.trade.housing import HOUSINGS
from oneclimb.trade.led import led_exponent
from oneclimb.trade.reach import REACH_SIDEWAYS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.plan.model import Camera

EYES = (1.0, 1.9)
"""m above where someone stands: lowest and highest an eye is (a child, a tall person; estimate)"""
LOOK = 0.2
"""m: nearer than this nobody looks into a lamp; IEC 62471 assesses lamps from there (from memory)"""
FURTHEST = 0.6
"""m: an eye farther off gets less than a ninth of what it gets at 0.2 m, and is looked for no more"""
STEP = 0.02
RAYS = 400


class Standing(Struct, frozen=True):
    """``height``: of the housing above the surface ``above`` that it is best reached from, m; negative below it."""

    height: float
    above: Ref


class Peer(Struct, frozen=True):
    """Where infrared is strongest to an eye: ``distance`` from the glass, m, ``off`` degrees from the beam's middle.

    ``per`` is the irradiance there for each W/sr on the axis, 1/m². No eye comes within ``FURTHEST``: ``per`` is 0
    and ``distance`` inf.
    """

    per: float
    distance: float
    off: float


def standing(camera: Camera, q: Query) -> Standing:
    """Height of a camera's housing above where someone can stand: steps, low walls and flat roofs count."""
    foot = q.of(FOOTING, q.plan.site)
    point, ground = np.array([_housing(camera)]), _ground(camera, q)
    heights, which = foot.above(point, np.array([ground]))
    if not math.isnan(heights[0]):
        return Standing(float(heights[0]), GROUND if which[0] < 0 else foot.refs[int(which[0])])
    return min(_below(point[0], ground, foot), key=lambda one: one.height)


def _below(point: NDArray[np.float64], ground: float, foot: Footing) -> list[Standing]:
    """The surfaces under a point, all out of reach."""
    near = foot.surfaces.query(shapely.Point(point[:2]), predicate="dwithin", distance=REACH_SIDEWAYS)
    rises = [(float(point[2] - foot.heights[s]), foot.refs[s]) for s in sorted(near.tolist())]
    return [Standing(float(point[2]) - ground, GROUND), *(Standing(rise, ref) for rise, ref in rises if rise >= 0)]


def _housing(camera: Camera) -> tuple[float, float, float]:
    """The middle of the housing, just off what it is screwed to."""
    spot, normal, out = camera.mount.spot, camera.mount.normal, HOUSINGS[camera.shape].out
    return (spot.x + normal[0] * out, spot.y + normal[1] * out, spot.z + normal[2] * out)


def _ground(camera: Camera, q: Query) -> float:
    """The ground's height below a camera: that of the building whose wall it was measured from."""
    return next((b.base for b in q.plan.buildings if b.id == camera.mount.spot.building), 0.0)


def peer(camera: Camera, q: Query) -> Peer:
    """The most infrared an eye can get: of all places in the beam where an eye can be, with nothing between."""
    lens = eye(camera, q.plan.site)
    if not _near_eyes(lens.origin, camera, q):
        return Peer(0.0, math.inf, 0.0)
    rays, cos = _beam(lens.axes)
    glass = np.array(lens.origin)
    reach = np.arange(LOOK, FURTHEST + STEP / 2, STEP)
    can = _eye_there(glass + rays[:, None, :] * reach[None, :, None], camera, q)
    nearest = np.where(can.any(axis=1), reach[can.argmax(axis=1)], np.inf)
    hits = q.of(SCENE, q.plan.site).cast(np.broadcast_to(glass, rays.shape), rays)
    nearest[hits.t < nearest] = np.inf
    per = cos ** _exponent(camera) / nearest**2
    best = int(per.argmax())
    return Peer(float(per[best]), float(nearest[best]), math.degrees(math.acos(min(1.0, float(cos[best])))))


def _exponent(camera: Camera) -> float:
    """The pattern cosᵐ of the camera's infrared: as wide as the view where the plan names no beam."""
    beam = camera.infrared.beam if camera.infrared else None
    return led_exponent(min(beam or camera.view.across, 170.0) / 2)


def _beam(axes: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Directions (n, 3) evenly over the half of space ahead of the glass, and their cosines; the first is the axis."""
    i = np.arange(RAYS)
    cos = 1 - i / RAYS
    around = i * math.pi * (3 - math.sqrt(5))
    flat = np.sqrt(1 - cos**2)
    own = np.stack([flat * np.cos(around), flat * np.sin(around), cos], axis=1)
    return own @ axes, cos


def _near_eyes(glass: tuple[float, float, float], camera: Camera, q: Query) -> bool:
    """Whether any eye can come within ``FURTHEST``: most cameras hang too high, and there the search is spared."""
    foot = q.of(FOOTING, q.plan.site)
    near = foot.surfaces.query(shapely.Point(glass[:2]), predicate="dwithin", distance=FURTHEST)
    floors = [_ground(camera, q), *foot.heights[near].tolist()]
    return any(EYES[0] - FURTHEST <= glass[2] - floor <= EYES[1] + FURTHEST for floor in floors)


def _eye_there(points: NDArray[np.float64], camera: Camera, q: Query) -> NDArray[np.bool_]:
    """Whether someone's eye can be at points (n, k, 3): at eye height over the ground or what is stood on nearby."""
    foot = q.of(FOOTING, q.plan.site)
    flat = points.reshape(-1, 3)
    over = flat[:, 2] - _ground(camera, q)
    can = (over >= EYES[0]) & (over <= EYES[1])
    middle, reach = shapely.Point(points[0, 0, :2]), 2 * FURTHEST
    for surface in foot.surfaces.query(middle, predicate="dwithin", distance=reach).tolist():
        rise = flat[:, 2] - foot.heights[surface]
        level = np.flatnonzero((rise >= EYES[0]) & (rise <= EYES[1]))
        can[level[_within(flat[level], foot.surfaces.geometries[surface])]] = True
    for building in foot.insides.query(middle, predicate="dwithin", distance=reach).tolist():
        low = np.flatnonzero(can & (flat[:, 2] < foot.tops[building]))
        can[low[_within(flat[low], foot.insides.geometries[building])]] = False
    return np.asarray(can.reshape(points.shape[:2]))


def _within(points: NDArray[np.float64], shape: shapely.Polygon) -> NDArray[np.bool_]:
    return np.asarray(shapely.contains_xy(shape, points[:, 0], points[:, 1]))
