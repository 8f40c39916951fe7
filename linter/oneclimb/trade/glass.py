"""What falls on a camera's front glass: flat windows and domes, and the rays that add it up.

A flat window collects with the cosine to the camera's axis, a half space. A dome's bubble
collects with its projected area, (1 + cos θ)/2 of its section, θ from the dome's own axis
(straight out of what it is fixed to): light from the side counts half, and some from
behind its mounting plane counts too. So the sum of the weights over all directions is
π for a flat window and 2π for a bubble.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]

RAYS = (25, 40)
"""rings and sectors: 1,000 stratified rays"""


def flat_share(cosine: Array, cut: float = 0.0) -> Array:
    """A flat window's share cos θ of light at the cosine θ off its axis, none beyond ``cut`` (a hood's cosine)."""
    return np.asarray(np.where(cosine > cut, np.maximum(cosine, 0.0), 0.0))


def dome_share(cosine: Array) -> Array:
    """A bubble's share (1 + cos θ)/2 of light at the cosine θ off the dome's axis (projected area of half a sphere)."""
    return np.asarray((1.0 + cosine) / 2.0)


@lru_cache(maxsize=8)
def flat_rays(rings: int = RAYS[0], sectors: int = RAYS[1]) -> Array:
    """Directions (n, 3) about +z, the middles of equal cosine-weighted cells: each stands for π/n.

    Source: Malley's method (a uniform disc lifted to the hemisphere).
    """
    radius, angle = _cells(rings, sectors)
    return _about_z(np.sqrt(1.0 - radius), angle)


@lru_cache(maxsize=8)
def dome_rays(rings: int = RAYS[0], sectors: int = RAYS[1]) -> Array:
    """Directions (n, 3) about +z over the whole sphere with density (1 + cos θ)/2: each stands for 2π/n."""
    share, angle = _cells(rings, sectors)
    return _about_z(2.0 * np.sqrt(1.0 - share) - 1.0, angle)


def _cells(rings: int, sectors: int) -> tuple[Array, Array]:
    ring, sector = np.meshgrid(np.arange(rings), np.arange(sectors), indexing="ij")
    twist = 0.5 * (ring % 2)
    return (ring.ravel() + 0.5) / rings, (sector + 0.5 + twist).ravel() * (2.0 * np.pi / sectors)


def _about_z(cosine: Array, angle: Array) -> Array:
    sine = np.sqrt(np.maximum(0.0, 1.0 - cosine * cosine))
    rays = np.stack([sine * np.cos(angle), sine * np.sin(angle), cosine], axis=-1)
    rays.flags.writeable = False
    return rays
