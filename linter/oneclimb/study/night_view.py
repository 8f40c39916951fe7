"""One picture after dark: its exposure, its veil, and where a person is usable in it."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.study.doubt import Doubt
from oneclimb.study.night_field import ENDS
from oneclimb.study.night_sums import Corner, Solved
from oneclimb.study.night_targets import AXIS
from oneclimb.trade import exposure, light

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.study.night_sums import Habits, Sums
    from oneclimb.study.night_targets import Targets

    Array = npt.NDArray[np.float64]

MOST_GAIN = 10.0
"""a figure that was nothing and is something has become better by this much, at most"""
NOTHING = 1e-3
Added = tuple[float, float, float]
"""a veil's signal at the low, usual and high end of the doubt"""
NO_VEIL: Added = (0.0, 0.0, 0.0)


class NightView:
    """The picture in one state of the lights. Figures with doubt find their ends when asked."""

    def __init__(
        self,
        sums: Callable[[str], Sums],
        *,
        found: Targets,
        habits: Habits,
        pruned: Array,
        watched: tuple[str, ...],
        size: tuple[int, int],
        added: Added = NO_VEIL,
    ) -> None:
        """``sums(end)`` gives the light; ``pruned`` (T,) the stops by which light left out could lift the targets;
        ``watched`` the night-wanted areas with places in sight; ``added`` a veil over the whole frame besides.
        """
        self._added = dict(zip(ENDS, added, strict=True))
        self._sums = functools.cache(sums)
        self._found = found
        self._habits = habits
        self._pruned = pruned
        self._watched = watched
        self._size = size
        self._solved: dict[tuple[str, bool], Solved] = {}
        self._figures: dict[tuple[str, str, Corner], float] = {}

    # ------------------------------------------------------------------ as it is taken

    def solved(self, corner: Corner = Corner()) -> Solved:  # noqa: B008 a named tuple does not change
        """The picture at a corner of the doubt, before stops are taken off."""
        key = (corner.end, corner.other_metering)
        if key not in self._solved:
            self._solved[key] = self._solve(*key)
        return self._solved[key]

    def _solve(self, end: str, other_metering: bool) -> Solved:
        sums, habits = self._sums(end), self._habits
        centre = habits.centre != other_metering
        weights = exposure.centre_weights(*self._size) if centre else None
        kept = 1.0
        if habits.dims:
            kept = exposure.dimmed(
                lambda share: share * sums.own + sums.rest + self._veil(sums, end, share),
                habits.full_scale,
                habits.dim_white,
                habits.dim_floor,
            )
        veil = self._veil(sums, end, kept)
        signals = sums.own + sums.rest if kept == 1.0 else kept * sums.own + sums.rest
        gain = exposure.gain(signals + veil, habits.exposure, habits.full_scale, weights)
        return Solved(gain, veil, kept, self._margins(sums, gain, veil, kept))

    def _veil(self, sums: Sums, end: str, kept: float) -> float:
        habits = self._habits
        stray = light.veil(
            habits.glare_inside[end],
            habits.glare_outside[end],
            kept * sums.own_inside + sums.rest_inside,
            kept * sums.own_outside + sums.rest_outside,
        )
        return float(stray) + self._added[end]

    def _margins(self, sums: Sums, gain: float, veil: float, kept: float) -> Array:
        habits = self._habits
        target = kept * sums.own_targets + sums.rest_targets
        return exposure.margins(
            target, veil, gain=gain, full_scale=habits.full_scale, white=habits.white, contrast=habits.contrast
        )

    @property
    def gain(self) -> float:
        """Gain k: full scale is reached at the signal 1/k."""
        return self.solved().gain

    @property
    def veil(self) -> float:
        """Signal of the veil over the whole frame."""
        return self.solved().veil

    @property
    def dimmed(self) -> float:
        """Share of its own infrared the camera keeps."""
        return self.solved().dimmed

    @functools.cached_property
    def signals(self) -> Array:
        """(rows, cols) signal of the samples of the frame, without the veil."""
        sums, (cols, rows) = self._sums("usual"), self._size
        return np.asarray(self.dimmed * sums.own + sums.rest).reshape(rows, cols)

    @property
    def picture(self) -> Array:
        """(rows, cols) the picture as taken, 0 black to 1 white, linear."""
        return np.minimum(1.0, self.gain * (self.signals + self.veil))

    @property
    def white(self) -> float:
        """Share of the frame at full scale."""
        return float((self.picture >= 1.0).mean())

    # ----------------------------------------------------------------- where it serves

    def corners(self) -> list[Corner]:
        """The corners of the doubt."""
        stops = self._habits.stops
        return [Corner(e, m, s) for e, m, s in itertools.product(("low", "high"), (False, True), (-stops, stops))]

    def _doubt(self, value: Callable[[Corner], float]) -> Doubt:
        return Doubt(value(Corner()), lambda: (value(corner) for corner in self.corners()))

    def _at(self, corner: Corner) -> Array:
        lifted = self._pruned if corner.stops < 0.0 else 0.0
        return self.solved(corner).margins - corner.stops + lifted

    @property
    def margins(self) -> Array:
        """(T,) margin of every target, stops; usable where positive."""
        return self.solved().margins

    def _reach(self, corner: Corner, name: str) -> float:
        key = ("reach", name, corner)
        if key not in self._figures:
            along, places = self._found.ways[name]
            self._figures[key] = reach(along, self._at(corner)[places])
        return self._figures[key]

    @property
    def reach(self) -> Doubt:
        """How far along its axis a standing person is usable, m along the ground."""
        return self._doubt(lambda corner: self._reach(corner, AXIS))

    @property
    def reach_to(self) -> dict[str, Doubt]:
        """The same along the line to each night-wanted area, up to its far side."""
        return {
            name: self._doubt(functools.partial(self._reach, name=name)) for name in self._found.lines if name != AXIS
        }

    def _usable(self, corner: Corner, name: str) -> float:
        key = ("usable", name, corner)
        if key not in self._figures:
            self._figures[key] = share_usable(self._at(corner)[self._found.seen[name]])
        return self._figures[key]

    def places(self, name: str, corner: Corner) -> tuple[Array, npt.NDArray[np.bool_]]:
        """How far each of a night-wanted area's samples is usable, 0 to 1, and which are in sight."""
        span = self._found.areas[name]
        shown = self._found.shown[span]
        return np.where(shown, np.clip(self._at(corner)[span] + 0.5, 0.0, 1.0), 0.0), shown

    @property
    def usable(self) -> dict[str, Doubt]:
        """Share of each night-wanted area's places in sight that are usable, 0 where none is in sight."""
        return {name: self._doubt(functools.partial(self._usable, name=name)) for name in self._found.areas}

    def usable_after(self, name: str, stops: float) -> float:
        """Share of a night-wanted area's places in sight that are usable with that many stops less light, as with a
        shorter shutter: what gain is left makes up for it first.
        """
        habits, now, left = self._habits, self.solved(), 0.5**stops
        margins = self._margins(self._sums("usual"), min(now.gain, left / habits.full_scale), now.veil, now.dimmed)
        return share_usable(margins[self._found.seen[name]])

    def _wanted(self, corner: Corner) -> float:
        if self._watched:
            return sum(self._usable(corner, name) for name in self._watched) / len(self._watched)
        return self._reach(corner, AXIS) / max(self.clear_reach, NOTHING)

    @property
    def wanted(self) -> Doubt:
        """0 to 1: the share of watched night ground that is usable, areas counting alike; where the camera
        watches none, its reach over what it would be without stray light and at full gain.
        """
        return self._doubt(self._wanted)

    @functools.cached_property
    def clear_reach(self) -> float:
        """Reach along the axis, m, were there no veil and full gain."""
        margins = self._margins(self._sums("usual"), 1.0 / self._habits.full_scale, 0.0, 1.0)
        along, places = self._found.ways[AXIS]
        return reach(along, margins[places])

    @property
    def headroom(self) -> Doubt:
        """Mean margin, stops, of the watched places in sight; along the axis where no area is watched."""
        return self._doubt(self._headroom)

    def _headroom(self, corner: Corner) -> float:
        places = [self._found.seen[name] for name in self._watched] or [self._found.ways[AXIS][1]]
        chosen = self._at(corner)[np.concatenate(places)]
        return float(np.clip(chosen, -10.0, 10.0).mean()) if len(chosen) else 0.0

    # -------------------------------------------------------------- against another world

    def kept(self, without: NightView) -> Doubt:
        """What is left of the night view there would be ``without``: 1 where nothing is lost, above 1 for a gain.

        The worse of two: the whole of the watched ground less the share of it that stops being usable, and the
        reach towards it, with over without. Both worlds are taken at the same corner each time, so it is firmer
        than what it is made of.
        """
        return self._doubt(lambda corner: self._kept(without, corner))

    def _kept(self, without: NightView, corner: Corner) -> float:
        mine, theirs = self._wanted(corner), without._wanted(corner)
        left = 1.0 + mine - theirs if self._watched else ratio(mine, theirs)
        reaches = (ratio(self._reach(corner, name), without._reach(corner, name)) for name in self._watched)
        return min(left, *reaches) if self._watched else left


def ratio(with_it: float, without: float) -> float:
    """With over without; 1 where there was nothing to lose, at most ten for a gain out of nothing."""
    if without < NOTHING:
        return 1.0 if with_it < NOTHING else MOST_GAIN
    return min(with_it / without, MOST_GAIN)


def share_usable(margins: Array) -> float:
    """Share of places that are usable by their margins, stops; one at the very limit counts half, half a stop
    either side of it makes it whole or nothing. 0 of no places.
    """
    return float(np.clip(margins + 0.5, 0.0, 1.0).sum()) / max(len(margins), 1)


def reach(along: Array, margins: Array) -> float:
    """Distance, m, of the first place on a line that stops being usable, between places by the margin; ``along``
    (s,) the distances and ``margins`` (s,) of those in sight. The last where it never stops, 0 where it never is.
    """
    good = margins > 0.0
    if not good.any():
        return 0.0
    first = int(good.argmax())
    lost = ~good[first:]
    if not lost.any():
        return float(along[-1])
    j = first + int(lost.argmax())
    share = margins[j - 1] / (margins[j - 1] - margins[j])
    return float(along[j - 1] + share * (along[j] - along[j - 1]))
