"""The place ready to be cast at: nearest surfaces, and whether two points see each other."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Protocol

import numpy as np
from msgspec import Struct

from oneclimb.place.plain import Plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from oneclimb.api import Ref
    from oneclimb.place.mesh import Solids
    from oneclimb.trade.materials import Material

    Array = NDArray[np.float64]
    Single = NDArray[np.float32]
    Index = NDArray[np.int32]
    Flags = NDArray[np.bool_]

STEP = 2e-4
"""A ray goes on this far, m, behind a surface that is taken away; less than solids stand off
what they touch (``objects.SHY``)."""
MOST_STEPS = 64
"""A ray that meets surfaces taken away more often than this runs along one of them, and is free."""


class Caster(Protocol):
    """What Embree and the plain caster both do; float32, coordinates near the origin."""

    def __init__(self, triangles: Single) -> None:
        """Casts at triangles (m, 3, 3)."""

    def nearest(self, origins: Single, rays: Single) -> tuple[Single, Index]:
        """Distance (n,), inf for none, and triangle (n,), -1 for none, of the first surface on each ray."""

    def blocked(self, origins: Single, rays: Single, reach: Single) -> Flags:
        """Whether anything lies on each ray before ``reach`` (n,)."""


try:
    from oneclimb.place.embree import Embree
except ImportError:  # embreex has no wheel for this machine
    BEST: type[Caster] = Plain
else:
    BEST = Embree


class Hits(Struct, frozen=True, eq=False):
    """What rays meet first: distance ``t`` (n,) m, inf for none; triangle ``tri`` (n,), -1 for none."""

    t: Array
    tri: Index


class Scene(Struct, frozen=True, dict=True, eq=False):
    """The solids, with a caster built over them once.

    ``origin`` (3,) is taken off all coordinates before they become float32; every argument
    and result is in site coordinates. Rays need not start outside things, but their
    directions must have length 1.
    """

    solids: Solids
    origin: Array
    caster: Caster

    @property
    def owners(self) -> tuple[Ref, ...]:
        """Who the owner numbers stand for."""
        return self.solids.owners

    @property
    def materials(self) -> tuple[Material, ...]:
        """What the material numbers stand for."""
        return self.solids.materials

    @property
    def triangles(self) -> Array:
        """(m, 3, 3) site coordinates, m."""
        return self.solids.triangles

    @property
    def owner(self) -> Index:
        """(m,) owner number of each triangle."""
        return self.solids.owner

    @property
    def material(self) -> Index:
        """(m,) material number of each triangle."""
        return self.solids.material

    @property
    def normals(self) -> Array:
        """(m, 3) unit normals, outward."""
        return self.solids.normals

    @functools.cached_property
    def numbers(self) -> dict[Ref, int]:
        """Owner numbers by reference."""
        return {ref: i for i, ref in enumerate(self.owners)}

    @functools.cached_property
    def panes(self) -> NDArray[np.intp]:
        """(g,) numbers of the triangles that are glass."""
        glass = np.array([material.glass for material in self.materials], dtype=np.bool_)
        return np.flatnonzero(glass[self.material])

    def owned_by(self, refs: frozenset[Ref]) -> Index:
        """Numbers of the owners that ``refs`` name: each exactly, or all parts of a thing named whole."""
        if refs not in self._owned:
            self._owned[refs] = self._look_up(refs)
        return self._owned[refs]

    @functools.cached_property
    def _owned(self) -> dict[frozenset[Ref], Index]:
        return {}

    def _look_up(self, refs: frozenset[Ref]) -> Index:
        if not refs:
            return np.zeros(0, dtype=np.int32)
        exact = [self.numbers[ref] for ref in refs if ref in self.numbers]
        whole = {ref for ref in refs if not ref.field and ref not in self.numbers}
        parts = [i for i, ref in enumerate(self.owners) if ref.thing in whole] if whole else []
        return np.array(sorted({*exact, *parts}), dtype=np.int32)

    def owner_of(self, hits: Hits) -> Index:
        """(n,) owner numbers of what was met, -1 for the sky."""
        return np.where(hits.tri >= 0, self.owner[hits.tri], np.int32(-1))

    def cast(self, origins: ArrayLike, directions: Array | Single, absent: frozenset[Ref] = frozenset()) -> Hits:
        """First surfaces on rays from ``origins`` (n, 3) or (3,) along unit ``directions`` (n, 3).

        Surfaces of ``absent`` owners are passed through.
        """
        start, rays = self._single(origins, directions)
        t, tri = self.caster.nearest(start, rays)
        distance = t.astype(np.float64)
        gone = self.owned_by(absent)
        if len(gone):
            self._pass(start, rays, distance, tri, gone)
        return Hits(distance, tri)

    def _pass(self, start: Single, rays: Single, t: Array, tri: Index, gone: Index) -> None:
        """Go on behind surfaces that are not there, in place."""
        missing = np.zeros(len(self.owners), dtype=np.bool_)
        missing[gone] = True
        for _ in range(MOST_STEPS):
            again = np.flatnonzero((tri >= 0) & missing[self.owner[tri]])
            if not len(again):
                return
            passed = t[again] + np.maximum(STEP, 1e-6 * t[again])
            onward = start[again] + passed[:, None].astype(np.float32) * rays[again]
            more, tri[again] = self.caster.nearest(onward, rays[again])
            t[again] = passed + more
        stuck = (tri >= 0) & missing[self.owner[tri]]
        t[stuck], tri[stuck] = np.inf, -1

    def visible(self, a: ArrayLike, b: ArrayLike, absent: frozenset[Ref] = frozenset()) -> Flags:
        """Whether nothing stands between ``a`` (n, 3) or (3,) and ``b`` (n, 3) or (3,).

        ``a`` is the free end (a lens, a lamp); ``b`` may lie on a surface: what is within
        max(1 mm, 2e-5 of the distance) of it does not count.
        """
        start, end = np.broadcast_arrays(np.asarray(a, dtype=np.float64), np.asarray(b, dtype=np.float64))
        path = np.atleast_2d(end - start)
        far = np.linalg.norm(path, axis=1)
        reach = far - tolerance(far)
        sees: Flags = np.ones(len(path), dtype=np.bool_)
        apart = np.flatnonzero(reach > 0)
        origins, rays = self._single(np.atleast_2d(start)[apart], path[apart] / far[apart, None])
        met = self.caster.blocked(origins, rays, reach[apart].astype(np.float32))
        sees[apart[met]] = False
        if absent and met.any():
            unsure = apart[met]
            hits = self.cast(np.atleast_2d(start)[unsure], path[unsure] / far[unsure, None], absent)
            sees[unsure] = hits.t >= reach[unsure]
        return sees

    def _single(self, origins: ArrayLike, directions: Array | Single) -> tuple[Single, Single]:
        rays = np.ascontiguousarray(directions, dtype=np.float32)
        start = np.asarray(origins, dtype=np.float64) - self.origin
        if start.ndim == 1:
            return np.broadcast_to(start.astype(np.float32), rays.shape), rays
        return np.ascontiguousarray(start, dtype=np.float32), rays


def tolerance(distance: Array) -> Array:
    """How near its end a ray may meet a surface and still reach it, m."""
    return np.maximum(1e-3, 2e-5 * distance)


def scene(solids: Solids, make: type[Caster] | None = None) -> Scene:
    """A scene over solids, with Embree where it is installed, or the caster ``make``."""
    ends = solids.triangles.reshape(-1, 3)
    origin = np.round((ends.min(axis=0) + ends.max(axis=0)) / 2) * (1.0, 1.0, 0.0)
    triangles = np.ascontiguousarray(solids.triangles - origin, dtype=np.float32)
    return Scene(solids, origin, (make or BEST)(triangles))
