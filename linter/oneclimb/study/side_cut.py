"""An upright plane through the place: what it cuts, and where along it something begins and ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place.solids import GROUND

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    from oneclimb.place.scene import Scene

    Array = npt.NDArray[np.float64]
    Flags = npt.NDArray[np.bool_]

    Asked = Callable[[Array], Flags]
    """whether something is so at distances (k,) along a section"""

HALVINGS = 20
"""times an edge's place is halved: of a step of 0.2 m less than a thousandth of a millimetre is left"""

Stretch = tuple[float, float]
"""from where to where along a section, m"""


class Plane(Struct, frozen=True, eq=False):
    """An upright plane: distances along it are counted from ``foot`` (3,), the glass, towards ``heading`` (2,)."""

    foot: Array
    heading: Array

    def points(self, along: Array, height: float) -> Array:
        """(k, 3) places at distances (k,) along it and a height, m."""
        flat = self.foot[:2] + along[:, None] * self.heading
        return np.column_stack([flat, np.full(len(along), height)])

    def rays(self, down: Array) -> Array:
        """(k, 3) unit directions in it, ``down`` (k,) degrees below the level ahead; beyond 90 they lead back."""
        angle = np.radians(down)
        return np.column_stack([np.cos(angle)[:, None] * self.heading, -np.sin(angle)])


class Cut(Struct, frozen=True, eq=False):
    """One thing cut by a section: pieces (k, 2, 2), each from (along, height) to (along, height), m."""

    ref: Ref
    lines: Array


def cuts(scene: Scene, plane: Plane, absent: frozenset[Ref]) -> tuple[Cut, ...]:
    """All that a plane cuts but the ground, thing by thing, in the order of the scene's owners."""
    aside = np.array([plane.heading[1], -plane.heading[0], 0.0])
    off = (scene.triangles - plane.foot) @ aside
    gone = [*scene.owned_by(absent), *scene.owned_by(frozenset({GROUND}))]
    crossed = np.flatnonzero((off >= 0.0).any(axis=1) & (off < 0.0).any(axis=1) & ~np.isin(scene.owner, gone))
    lines = _crossings(scene.triangles[crossed], off[crossed], plane)
    owners = scene.owner[crossed]
    return tuple(Cut(scene.owners[i], lines[owners == i]) for i in np.unique(owners).tolist())


def _crossings(triangles: Array, off: Array, plane: Plane) -> Array:
    """(k, 2, 2) where triangles (k, 3, 3) cross a plane, ``off`` (k, 3) being how far aside their corners lie."""
    ends = np.empty((len(triangles), 3, 3))
    crosses = np.empty((len(triangles), 3), dtype=np.bool_)
    for i in range(3):
        j = (i + 1) % 3
        crosses[:, i] = (off[:, i] >= 0.0) != (off[:, j] >= 0.0)
        apart = np.where(crosses[:, i], off[:, i] - off[:, j], 1.0)
        ends[:, i] = triangles[:, i] + (off[:, i] / apart)[:, None] * (triangles[:, j] - triangles[:, i])
    two = ends[crosses].reshape(-1, 2, 3)
    return np.stack([(two[..., :2] - plane.foot[:2]) @ plane.heading, two[..., 2]], axis=-1)


def stretches(along: Array, asked: Asked) -> tuple[Stretch, ...]:
    """Where along a section (distances (n,), rising) something is so, the edges between two places found by halving."""
    flags = asked(along)
    turns = np.flatnonzero(flags[1:] != flags[:-1])
    low, high, first = along[turns].copy(), along[turns + 1].copy(), flags[turns]
    for _ in range(HALVINGS if len(turns) else 0):
        middle = (low + high) / 2.0
        same = asked(middle) == first
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    edges = [*(along[:1] if flags[0] else []), *((low + high) / 2.0), *(along[-1:] if flags[-1] else [])]
    return tuple((float(a), float(b)) for a, b in zip(edges[::2], edges[1::2], strict=True))
