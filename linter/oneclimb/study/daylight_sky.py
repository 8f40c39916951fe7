"""How much of the sky every place of a frame sees: looked for on few places, shared out along each surface."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from oneclimb.trade import glass

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]
    Index = npt.NDArray[np.intp]

EVERY = 4
"""the sky is looked for on every 4th ray each way"""
RAYS = (4, 10)
"""rings and sectors of rays to the sky from one place"""
OFF = 0.002
"""m: rays start this far off a surface"""
ALIKE = 0.95
"""cosine between the normals of places that share what they see of the sky"""
FAINT = 1e-3
"""weight of the open sky where no place near is of the same surface"""


def open_sky(raster: Raster, normals: Array, sky: Callable[[Array], Array], *, every: int = EVERY) -> Array:
    """(n,) illuminance by the sky on every place, its normal (n, 3) towards the camera; ``sky`` gives its luminance
    by the sine of the elevation.
    """
    row, col = np.arange(every // 2, raster.rows, every), np.arange(every // 2, raster.cols, every)
    chosen = (row[:, None] * raster.cols + col[None, :]).ravel()
    found = _looked(raster, chosen, normals[chosen], sky)
    return _shared(raster, normals, (found, chosen, len(col)), _open(normals, sky), every)


def _looked(raster: Raster, chosen: Index, normals: Array, sky: Callable[[Array], Array]) -> Array:
    """(c,) illuminance by the sky on chosen places."""
    local = glass.flat_rays(*RAYS)
    rays = np.einsum("kj,cji->cki", local, _about(normals))
    start = np.where(raster.tri[chosen, None] < 0, 0.0, raster.points[chosen] + OFF * normals)
    hits = raster.scene.cast(np.repeat(start, len(local), axis=0), rays.reshape(-1, 3), raster.absent)
    up = rays[..., 2]
    seen = (hits.tri.reshape(up.shape) < 0) & (up > 0.0)
    return np.asarray(np.pi * (seen * sky(np.maximum(up, 0.0))).mean(axis=1))


def _about(normals: Array) -> Array:
    """(c, 3, 3) three unit vectors, rows, the last along each normal (c, 3); the same for all of one wall."""
    side = np.where(np.abs(normals[:, 2:]) < 0.9, np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0]))
    u = np.cross(side, normals)
    u = u / np.maximum(np.linalg.norm(u, axis=1, keepdims=True), 1e-9)
    return np.stack([u, np.cross(normals, u), normals], axis=1)


def _open(normals: Array, sky: Callable[[Array], Array]) -> Array:
    """(n,) illuminance where nothing stands before the sky: by the share of it that lies before the surface."""
    level = float(np.pi * sky(glass.flat_rays(*RAYS)[:, 2]).mean())
    return level * (1.0 + normals[:, 2]) / 2.0


def _shared(raster: Raster, normals: Array, looked: tuple[Array, Index, int], unshaded: Array, every: int) -> Array:
    """(n,) shared out from the four chosen places round each ray, as far as they are of one owner and one slope."""
    found, chosen, wide = looked
    high = len(found) // wide
    down, across = (
        np.clip((np.arange(count) - every // 2) / every, 0.0, most - 1.0)
        for count, most in ((raster.rows, high), (raster.cols, wide))
    )
    total, weight = FAINT * unshaded, np.full(len(unshaded), FAINT)
    owner, mine = raster.owner[chosen], raster.owner
    for low in (0, 1):
        for left in (0, 1):
            row, by = _side(down, low, high)
            col, over = _side(across, left, wide)
            place = (row[:, None] * wide + col[None, :]).ravel()
            alike = (owner[place] == mine) & (np.einsum("ij,ij->i", normals[chosen[place]], normals) > ALIKE)
            share = (by[:, None] * over[None, :]).ravel() * alike
            total, weight = total + share * found[place], weight + share
    return np.asarray(total / weight)


def _side(at: Array, side: int, most: int) -> tuple[Index, Array]:
    """The place before or after each position, and its part in it."""
    first = np.minimum(np.floor(at), most - 1.0)
    part = at - first
    return np.minimum(first + side, most - 1.0).astype(np.intp), part if side else 1.0 - part
