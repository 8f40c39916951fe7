"""One wanted area as all cameras that are for it show it together."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct

from oneclimb.study.numbers import distinct
from oneclimb.trade.face import FACE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.api import Ref
    from oneclimb.plan.model import Vec

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]

SIDES = ("", "left", "right", "above", "below", "behind")
"""what edge of a frame a place lies beyond"""


class Seen(Struct, frozen=True, eq=False):
    """One area in one camera's picture; a row a sample."""

    origin: Vec
    """the front glass"""
    across: float
    """angle of view, degrees"""
    in_frame: Flags
    hidden_by: NDArray[np.int32]
    seen: Flags
    masks: Mapping[str, Flags]
    """by the mask's id: seen but for that mask, whatever sets it"""
    pxm: NDArray[np.float32]
    """of the stream that is kept"""
    edge: NDArray[np.float32]
    """how far from the middle of the frame to its corner, 0 to 1"""
    side: NDArray[np.int8]
    """number in ``SIDES``"""

    @property
    def masked(self) -> Flags:
        """Seen but for a mask."""
        return _any(self.seen, self.masks.values())


class Gap(NamedTuple):
    """A part of an area that no camera shows: what hides it, or beyond which edge of the camera's picture it lies."""

    share: float
    """of the area"""
    hidden_by: Ref | None
    side: str
    """empty where it is in the frame"""
    camera: str
    nearest: float
    """along the ground from that camera, m"""
    farthest: float


class Stop(NamedTuple):
    """How far one camera serves an area, m along the ground: where it begins and ends for it, and serves up to."""

    camera: str
    nearest: float
    farthest: float
    serves_to: float
    """0 where it serves nowhere"""
    worst: float
    """px/m at the coarsest place it shows"""


class Ground(Struct, frozen=True, dict=True, eq=False):
    """An area: k samples, ``views`` of the cameras for it by camera id."""

    views: dict[str, Seen]
    ground: Array
    """(k, 3)"""
    free: Flags
    """(k,) nothing solid stands there"""
    owners: tuple[Ref, ...]

    @property
    def places(self) -> int:
        """Samples where somebody could stand."""
        return int(self.free.sum())

    @functools.cached_property
    def ranked(self) -> tuple[str, ...]:
        """Cameras for the area: those that show most of it first, of those alike the finest picture."""

        def order(name: str) -> tuple[int, float]:
            view = self.views[name]
            shown = view.seen & self.free
            return int(shown.sum()), float(view.pxm[shown].mean()) if shown.any() else 0.0

        return tuple(sorted(self.views, key=lambda name: (*(-part for part in order(name)), name)))

    @property
    def chief(self) -> str:
        """The camera that shows most of it; empty where none shows any."""
        shows = self.ranked and (self.views[self.ranked[0]].seen & self.free).any()
        return self.ranked[0] if shows else ""

    @functools.cached_property
    def shown(self) -> Flags:
        """(k,) places that some camera shows."""
        return _any(self.free, (view.seen for view in self.views.values()))

    @property
    def share(self) -> float:
        """Share of the places that some camera shows."""
        return float(self.shown.sum()) / max(self.places, 1)

    def distance(self, camera: str) -> Array:
        """(k,) from under a camera along the ground, m."""
        origin = self.views[camera].origin
        return np.asarray(np.hypot(self.ground[:, 0] - origin[0], self.ground[:, 1] - origin[1]))

    @functools.cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """What no camera shows, by what is in the way, the largest first."""
        left = self.free & ~self.shown
        found: dict[tuple[str, int, int], Flags] = {}
        for name in self.ranked:
            view = self.views[name]
            hidden = left & view.in_frame
            for owner in distinct(view.hidden_by[hidden]).tolist():
                found[name, owner, 0] = hidden & (view.hidden_by == owner)
            left = left & ~hidden
        if self.ranked:
            name = self.ranked[0]
            sides = self.views[name].side
            for side in distinct(sides[left]).tolist():
                found[name, -1, side] = left & (sides == side)
        gaps = (
            self._gap(name, self.owners[owner] if owner >= 0 else None, side, rows)
            for (name, owner, side), rows in found.items()
        )
        return tuple(sorted(gaps, key=lambda gap: -gap.share))

    def _gap(self, camera: str, hidden_by: Ref | None, side: int, rows: Flags) -> Gap:
        away = self.distance(camera)[rows]
        share = float(rows.sum()) / max(self.places, 1)
        return Gap(share, hidden_by, SIDES[side], camera, float(away.min()), float(away.max()))

    # ------------------------------------------------------------------------- pixels

    def enough(self, need: float, loss: float = 0.0, wide: float = 180.0) -> float:
        """Share of the places shown that some camera shows at ``need`` px/m or more; 0 where none is.

        Lenses of ``wide`` degrees or more lose the share ``loss`` in the corners, less towards the middle (with the
        square of the distance from it).
        """
        met = np.zeros_like(self.free)
        for view in self.views.values():
            lost = loss * view.edge**2 if view.across >= wide else 0.0
            met |= view.seen & (view.pxm * (1.0 - lost) >= need)
        return float((met & self.shown).sum()) / max(int(self.shown.sum()), 1)

    def stop(self, need: float) -> Stop:
        """How far the camera that serves most places at ``need`` px/m does so; needs a place that is shown."""
        views = {name: view.seen & self.free for name, view in self.views.items()}
        name = max(
            (name for name in self.ranked if views[name].any()),
            key=lambda name: int((views[name] & (self.views[name].pxm >= need)).sum()),
        )
        shown, pxm, away = views[name], self.views[name].pxm, self.distance(name)
        short = shown & (pxm < need)
        serves = shown & (pxm >= need)
        near = serves & (away < away[short].min()) if short.any() else serves
        reach = float(away[near].max()) if near.any() else 0.0
        return Stop(name, float(away[shown].min()), float(away[shown].max()), reach, float(pxm[shown].min()))

    # -------------------------------------------------------------------------- faces

    def steepness(self, face: float = FACE[1]) -> tuple[float, str]:
        """The angle down, degrees, at which half of the places that are shown show a face ``face`` m up or flatter, by
        the flattest camera at each; and the camera nearest to it. 0 where none is shown.
        """
        if not self.shown.any():
            return 0.0, ""
        angles = {name: self._down(name, face) for name in self.ranked}
        least = np.minimum.reduce(list(angles.values()))[self.shown]
        middle = float(np.sort(least)[(len(least) - 1) // 2])
        apart = {name: float(np.abs(down[self.shown] - middle).min()) for name, down in angles.items()}
        return middle, min(apart, key=lambda name: apart[name])

    def _down(self, camera: str, face: float) -> Array:
        view = self.views[camera]
        rise = view.origin[2] - self.ground[:, 2] - face
        down = np.degrees(np.arctan2(rise, self.distance(camera)))
        return np.asarray(np.where(view.seen, np.maximum(down, 0.0), np.inf))

    # -------------------------------------------------------------------------- masks

    def masked(self, camera: str) -> float:
        """Share of the places that a camera's masks hide, and that no other camera shows unmasked."""
        return float((self.views[camera].masked & self._only_by(camera)).sum()) / max(self.places, 1)

    def masked_by(self, camera: str) -> dict[str, float]:
        """The same mask by mask, those that hide any, the most first."""
        only, masks = self._only_by(camera), self.views[camera].masks
        shares = {name: float((flags & only).sum()) / max(self.places, 1) for name, flags in masks.items()}
        return dict(sorted(((k, v) for k, v in shares.items() if v > 0.0), key=lambda each: -each[1]))

    def _only_by(self, camera: str) -> Flags:
        """(k,) places that no other camera shows unmasked."""
        elsewhere = (view.seen & ~view.masked for name, view in self.views.items() if name != camera)
        return self.free & ~_any(self.free, elsewhere)


def _any(places: Flags, flags: Iterable[Flags]) -> Flags:
    """Of some places those at which any of the flags is set."""
    found = np.zeros_like(places)
    for each in flags:
        found |= each
    return np.asarray(found & places)
