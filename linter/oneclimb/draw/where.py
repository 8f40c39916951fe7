"""Where a thing is in a camera's frame: what of it it fills, the place to point at, or which way it lies beyond."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place import lens
from oneclimb.study import COVER

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.raster import Raster

    Array = NDArray[np.float64]

LEAST = 9
"""rays of a frame that a thing must fill to be outlined"""


class Spot(Struct, frozen=True, eq=False):
    """Where a thing is in a frame: ``at`` shares of it (2,), to be pointed at; ``shape`` (rows, cols) what of the frame
    it fills, None where that is too little; ``outside`` the direction to it in the frame (2,), a unit vector to the
    right and down, where it lies beyond the edge.
    """

    at: tuple[float, float]
    shape: NDArray[np.bool_] | None = None
    outside: tuple[float, float] | None = None


def spot(ref: Ref, world: World, camera: Camera, raster: Raster) -> Spot | None:
    """Where a thing is in a camera's frame; None for what is in no one place, or is the camera's own."""
    if ref.thing == Ref("camera", camera.id):
        return None
    shape = np.isin(raster.owner, raster.scene.owned_by(frozenset({solid(ref)}))).reshape(raster.rows, raster.cols)
    if shape.sum() >= LEAST:
        return Spot(_middle(shape), shape)
    shown = _shown(ref, world, camera)
    if shown is not None:
        return Spot(shown)
    point = place(ref, world, raster)
    return None if point is None else _projected(point, raster)


def solid(ref: Ref) -> Ref:
    """What of the place a reference names: of a building its part, of anything else all of it."""
    return ref if ref.kind == "building" else ref.thing


def _middle(shape: NDArray[np.bool_]) -> tuple[float, float]:
    """The place of a shape nearest to its middle."""
    rows, cols = np.nonzero(shape)
    best = int(np.argmin(np.hypot(rows - rows.mean(), cols - cols.mean())))
    return float((cols[best] + 0.5) / shape.shape[1]), float((rows[best] + 0.5) / shape.shape[0])


def _shown(ref: Ref, world: World, camera: Camera) -> tuple[float, float] | None:
    """Where a camera shows a piece of land or a window most finely."""
    cover = world.of(COVER, camera)
    name = "/".join([ref.id, *ref.field.split(".")[1:]])
    found = cover.land.get(ref.id) if ref.kind == "land" else cover.panes.get(name)
    if found is None or not found.seen.any():
        return None
    x, y = found.xy[int(np.argmax(np.where(found.seen, found.pxm, -1.0)))]
    return float(x), float(y)


def place(ref: Ref, world: World, raster: Raster) -> Array | None:
    """The point (3,) of a lamp, another camera's glass, or of a solid where it is nearest to the lens."""
    if ref.kind == "lamp":
        return np.array(world.get(ref.thing).spot.xyz)
    if ref.kind == "camera":
        return np.array(lens.glass(world.get(ref.thing), world.plan.site))
    numbers = raster.scene.owned_by(frozenset({solid(ref)}))
    corners = raster.scene.triangles[np.isin(raster.scene.owner, numbers)]
    return closest(corners, raster.origin) if len(corners) else None


def closest(corners: Array, point: Array) -> Array:
    """The place (3,) of triangles (k, 3, 3) that is nearest to a point (3,)."""
    a, b, c = np.moveaxis(corners, 1, 0)
    ends = [_on_line(start, end, point) for start, end in ((a, b), (b, c), (c, a))]
    normal = np.cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-12)
    foot = point - np.einsum("ij,ij->i", point - a, normal)[:, None] * normal
    sides = [np.einsum("ij,ij->i", np.cross(q - p, foot - p), normal) for p, q in ((a, b), (b, c), (c, a))]
    within = np.all(np.array(sides) >= 0.0, axis=0)
    places = np.concatenate([*ends, foot[within]])
    return np.asarray(places[int(np.argmin(np.linalg.norm(places - point, axis=1)))])


def _on_line(start: Array, end: Array, point: Array) -> Array:
    """(k, 3) the places of lines that are nearest to a point."""
    along = end - start
    share = np.einsum("ij,ij->i", point - start, along) / np.maximum(np.einsum("ij,ij->i", along, along), 1e-18)
    return np.asarray(start + np.clip(share, 0.0, 1.0)[:, None] * along)


def _projected(point: Array, raster: Raster) -> Spot:
    """A point in the frame, or the direction in which it lies beyond its edge."""
    local = raster.eye.local(point[None, :])
    x, y, inside = (one[0] for one in raster.eye.project_local(local))
    ahead = local[0, 2] > 0.0 or raster.eye.view.projection == "equidistant"
    if inside and ahead:
        return Spot((float(x), float(y)))
    across, down = float(local[0, 0]), -float(local[0, 1])
    length = math.hypot(across, down) or 1.0
    return Spot(at_edge(across / length, down / length, raster.eye.pixels), outside=(across / length, down / length))


def at_edge(across: float, down: float, pixels: tuple[int, int]) -> tuple[float, float]:
    """The place at a frame's edge in a direction from its middle."""
    wide, high = pixels
    reach = min(wide / 2.0 / max(abs(across), 1e-9), high / 2.0 / max(abs(down), 1e-9))
    return 0.5 + across * reach / wide, 0.5 + down * reach / high
