"""A camera's own battery in figures: as the studies have it, asked of one world."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.study import SHADE, STORE
from oneclimb.trade import battery
from oneclimb.trade.months import MONTHS
from oneclimb.trade.streams import STORED

if TYPE_CHECKING:
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.trade.battery import Range

PARTS = 5
"""of a month, told apart"""
WORST, USUAL, BEST = range(3)


class Life(Struct, frozen=True):
    """A battery's figures. ``taken`` Wh a day; ``alone`` days from full at ``celsius``, None for one that records all
    day; ``given`` Wh a day that its panel brings by month, ``year`` the share of its charge left over two years from
    the month ``first`` on, worst, usual, best: both empty where it has no panel.
    """

    taken: Range
    alone: Range | None
    celsius: float
    given: tuple[Range, ...] = ()
    year: tuple[tuple[float, ...], ...] = ()
    first: int = 0

    @property
    def worst_month(self) -> int:
        """The month, 0 to 11, in which its panel usually gives least."""
        return min(range(12), key=lambda month: self.given[month][1])

    def empty(self, end: int) -> list[str]:
        """The months in which it is empty at some time, in their order from the first."""
        state = np.array(self.year[end]).reshape(24, PARTS).min(axis=1) <= 0.0
        return list(dict.fromkeys(MONTHS[(self.first + i) % 12] for i in np.flatnonzero(state)))


def of(camera: Camera, world: World) -> Life | None:
    """A camera's battery in figures; None where it has none that holds anything, ``Unknown`` where little is said."""
    power, always = camera.power, camera.records == "continuous"
    if power.source not in STORED or (always and power.panel is None):
        return None
    store = world.of(STORE, camera)
    if not store.capacity:
        return None
    taken, cold = store.day(), store.coldest
    alone = None if always else _alone(list(store.days(taken, cold).values()))
    if power.panel is None:
        return Life(taken, alone, cold)
    given = store.given(world.of(SHADE, camera).months)
    return Life(taken, alone, cold, tuple(given), store.year(given, taken, PARTS), battery.best(given))


def _alone(kinds: Sequence[Range]) -> Range:
    """Days of what it usually is, and the ends of all that it may be."""
    return min(low for low, _, _ in kinds), kinds[0][1], max(high for _, _, high in kinds)
