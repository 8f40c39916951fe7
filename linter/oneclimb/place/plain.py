"""The plain numpy caster, where Embree has no wheel: slower, the same answers.

A tree of boxes over triangles sorted along a Morton curve, walked for many rays at once
one level at a time; then Möller and Trumbore's test (Fast, minimum storage ray-triangle
intersection, J. Graphics Tools 2(1), 1997) on what is left.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Single = NDArray[np.float32]
    Index = NDArray[np.int64]

LEAF = 4
"""triangles a leaf"""
CHUNK = 2048
"""rays walked at once"""
EDGE = 1e-9
"""A ray this close to an edge, as a share of the triangle, meets both its triangles."""
WIDE = 0.25
"""A triangle wider than this share of the place (the ground) is tested by every ray: it
would make every box about it useless."""


class Plain:
    """Casts at triangles (m, 3, 3), float32; reckons in float64."""

    def __init__(self, triangles: Single) -> None:
        corners = triangles.astype(np.float64)
        self._a = corners[:, 0]
        self._ab = corners[:, 1] - corners[:, 0]
        self._ac = corners[:, 2] - corners[:, 0]
        low, high = corners.min(axis=1), corners.max(axis=1)
        size = np.ptp(corners.reshape(-1, 3), axis=0).max()
        wide = (high - low).max(axis=1) > WIDE * size
        self._wide = np.flatnonzero(wide)
        small = np.flatnonzero(~wide)
        self._order = small[np.argsort(_morton((low + high)[small] / 2))]
        self._levels = _boxes(low[self._order], high[self._order])

    def nearest(self, origins: Single, rays: Single) -> tuple[Single, NDArray[np.int32]]:
        """Distance (n,), inf for none, and triangle (n,), -1 for none, of the first surface on each ray."""
        return self._cast(origins, rays, np.full(len(rays), np.inf))

    def blocked(self, origins: Single, rays: Single, reach: Single) -> NDArray[np.bool_]:
        """Whether anything lies on each ray before ``reach`` (n,)."""
        return np.asarray(self._cast(origins, rays, reach.astype(np.float64))[1] >= 0)

    def _cast(self, origins: Single, rays: Single, reach: Array) -> tuple[Single, NDArray[np.int32]]:
        far = np.full(len(rays), np.inf, dtype=np.float32)
        met = np.full(len(rays), -1, dtype=np.int32)
        for start in range(0, len(rays), CHUNK):
            part = slice(start, start + CHUNK)
            t, triangle = self._chunk(origins[part].astype(np.float64), rays[part].astype(np.float64), reach[part])
            found = t < reach[part]
            far[part][found] = t[found]
            met[part][found] = triangle[found]
        return far, met

    def _chunk(self, origins: Array, rays: Array, reach: Array) -> tuple[Array, Index]:
        best, triangle = np.full(len(rays), np.inf), np.full(len(rays), -1)
        everyone = np.arange(len(rays))
        for wide in self._wide:
            _keep(best, triangle, *self._meet(origins, rays, everyone, np.full(len(rays), wide)))
        if len(self._order):
            ray, leaf = self._walk(origins, rays, np.minimum(best, reach))
            slot = (leaf[:, None] * LEAF + np.arange(LEAF)).ravel()
            ray = np.repeat(ray, LEAF)
            real = slot < len(self._order)
            _keep(best, triangle, *self._meet(origins, rays, ray[real], self._order[slot[real]]))
        return best, triangle

    def _walk(self, origins: Array, rays: Array, reach: Array) -> tuple[Index, Index]:
        """Pairs of a ray and a leaf whose box it crosses before ``reach``."""
        with np.errstate(divide="ignore"):
            inverse = 1.0 / rays
        ray, node = np.arange(len(rays)), np.zeros(len(rays), dtype=np.int64)
        for depth, (low, high) in enumerate(self._levels):
            if depth:
                ray, node = np.repeat(ray, 2), (2 * node[:, None] + (0, 1)).ravel()
            with np.errstate(invalid="ignore"):
                one = (low[node] - origins[ray]) * inverse[ray]
                two = (high[node] - origins[ray]) * inverse[ray]
            enter = np.fmax.reduce(np.fmin(one, two), axis=1)
            leave = np.fmin.reduce(np.fmax(one, two), axis=1)
            through = (leave >= np.maximum(enter, 0.0) * (1 - 1e-12)) & (enter < reach[ray])
            ray, node = ray[through], node[through]
        return ray, node

    def _meet(self, origins: Array, rays: Array, ray: Index, tri: Index) -> tuple[Index, Array, Index]:
        """Of pairs of a ray and a triangle those that meet: ray, distance, triangle; farthest first."""
        d, ab, ac = rays[ray], self._ab[tri], self._ac[tri]
        p = np.cross(d, ac)
        with np.errstate(divide="ignore", invalid="ignore"):
            inverse = 1.0 / np.einsum("ij,ij->i", ab, p)
            s = origins[ray] - self._a[tri]
            u = np.einsum("ij,ij->i", s, p) * inverse
            q = np.cross(s, ab)
            v = np.einsum("ij,ij->i", d, q) * inverse
            t = np.einsum("ij,ij->i", ac, q) * inverse
            met = np.flatnonzero((u >= -EDGE) & (v >= -EDGE) & (u + v <= 1 + EDGE) & (t > 0))
        met = met[np.argsort(t[met])[::-1]]
        return ray[met], t[met], tri[met]


def _keep(best: Array, triangle: Index, ray: Index, t: Array, tri: Index) -> None:
    """Keep each ray's nearest, in place; of pairs of one ray the last given is the nearest."""
    nearest, which = np.full(len(best), np.inf), np.full(len(best), -1)
    nearest[ray], which[ray] = t, tri
    closer = nearest < best
    best[closer], triangle[closer] = nearest[closer], which[closer]


def _morton(points: Array) -> Index:
    """Places along a Morton curve: the bits of x, y and z interleaved, 21 of each."""
    if not len(points):
        return np.zeros(0, dtype=np.int64)
    low = points.min(axis=0)
    cell = max(float(np.ptp(points, axis=0).max()), 1e-9) / 0x1FFFFF
    code = np.zeros(len(points), dtype=np.int64)
    for axis in range(3):
        code |= _spread(((points[:, axis] - low[axis]) / cell).astype(np.int64)) << axis
    return code


def _spread(x: Index) -> Index:
    """21 bits, each followed by two empty ones."""
    for shift, mask in (
        (32, 0x1F00000000FFFF),
        (16, 0x1F0000FF0000FF),
        (8, 0x100F00F00F00F00F),
        (4, 0x10C30C30C30C30C3),
        (2, 0x1249249249249249),
    ):
        x = (x | (x << shift)) & mask
    return x


def _boxes(low: Array, high: Array) -> list[tuple[Array, Array]]:
    """Boxes of a full binary tree, root level first; the last level's are the leaves'."""
    if not len(low):
        return []
    leaves = 1
    while leaves * LEAF < len(low):
        leaves *= 2
    spare = leaves * LEAF - len(low)
    low = np.concatenate([low, np.full((spare, 3), np.inf)]).reshape(leaves, LEAF, 3).min(axis=1)
    high = np.concatenate([high, np.full((spare, 3), -np.inf)]).reshape(leaves, LEAF, 3).max(axis=1)
    levels = [(low, high)]
    while len(low) > 1:
        low, high = low.reshape(-1, 2, 3).min(axis=1), high.reshape(-1, 2, 3).max(axis=1)
        levels.append((low, high))
    return levels[::-1]
