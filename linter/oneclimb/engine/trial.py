"""Remedies tried in the model before they are offered.

A rule names steps from least to most; the bench finds the first that clears the finding,
and proves that nothing new appears there. The search is coarse (doubling, then halving)
and every review has a fixed number of trials to spend.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Literal, TypeVar

from oneclimb.api import LEVELS, Change, Figure, Level, Query, Reading, Ref, Remedy, Rule, Say, Study, Unknown
from oneclimb.engine.measure import Measurer
from oneclimb.engine.world import World
from oneclimb.plan.model import Cable, Camera, Connector, Plan, Spot

R = TypeVar("R")
S = TypeVar("S")

NEAR = 15.0
"""cameras within this distance (m) are looked at again when another one moves: beyond it a
camera's infrared is a small part of anyone's light (estimate)"""
FURTHER = (1, 2, 4)
"""how many steps past the least are looked at, besides the last, when the least brings something new"""


class Bench:
    """One reading past its limit, with the world it was taken in and the means to try remedies (``api.Trial``)."""

    def __init__(self, world: World, measurer: Measurer, rule: Rule[Any], subject: Any, reading: Reading) -> None:
        self.world = world
        self.say: Say = world.say
        self._measurer = measurer
        self._rule = rule
        self._subject = world.ref(subject)
        self._reading = reading

    def least(
        self,
        text: Callable[[int], str],
        steps: Sequence[Sequence[Change]],
        *,
        keeps: Callable[[Query], bool] | None = None,
        ladder: bool = False,
    ) -> Remedy | None:
        """The first step that clears the reading and brings nothing new; None when none does."""
        figures: dict[int, tuple[Figure | None, Level | None]] = {}

        def clears(i: int) -> bool:
            if i not in figures:
                figures[i] = self._after(steps[i])
            return figures[i][1] is None

        def stands(i: int) -> bool:
            return (keeps is None or keeps(self.world.vary(*steps[i]))) and not self._brings(steps[i])

        first = self._first(clears, len(steps))
        if first is None:
            return None
        last = len(steps) - 1
        looked = sorted({first, *(min(first + more, last) for more in FURTHER), last})
        i = self._least_of(lambda step: clears(step) and stands(step), looked)
        return None if i is None else Remedy(text(i), tuple(steps[i]), figures[i][0], ladder=ladder)

    def lessens(self, text: str, edits: Sequence[Change], *, ladder: bool = False) -> Remedy | None:
        """A remedy that may help only in part: a tenth or more, and nothing new."""
        figure, level = self._after(edits)
        before = self._reading.figure
        if figure is None or self._brings(edits):
            return None
        better = (before.value - figure.value) if before.good == "low" else (figure.value - before.value)
        if level is not None and better < 0.1 * abs(before.value):
            return None
        return Remedy(text, tuple(edits), figure, partial=level is not None, ladder=ladder)

    @staticmethod
    def _first(clears: Callable[[int], bool], count: int) -> int | None:
        """The first index that clears, found by doubling and then halving."""
        low, i = -1, 0
        while i < count and not clears(i):
            low, i = i, 2 * i + 1
        if i >= count:
            if not count or low == count - 1 or not clears(count - 1):
                return None
            i = count - 1
        while i - low > 1:
            mid = (low + i) // 2
            low, i = (low, mid) if clears(mid) else (mid, i)
        return i

    @staticmethod
    def _least_of(good: Callable[[int], bool], looked: Sequence[int]) -> int | None:
        """The first good one of some indices, and halving back from it to the one before, so that its
        neighbour is known not to be good.
        """
        i = next((step for step in looked if good(step)), None)
        if i is None:
            return None
        low = max((step for step in looked if step < i), default=i - 1)
        while i - low > 1:
            mid = (low + i) // 2
            low, i = (low, mid) if good(mid) else (mid, i)
        return i

    def _world(self, edits: Sequence[Change]) -> World | None:
        """The world after the edits, or None where the plan would not stand or the trials are spent."""
        if self.world.shared.trials <= 0:
            return None
        self.world.shared.trials -= 1
        try:
            return self.world.vary(*edits)
        except ValueError:
            return None

    def _after(self, edits: Sequence[Change]) -> tuple[Figure | None, Level | None]:
        """This reading's figure and level after the edits; the present level where they can't be made."""
        world = self._world(edits)
        now = self._measurer.judge.level(self._rule, self._reading)[0]
        if world is None:
            return None, now
        subject = world.get(self._subject)
        settings = self._measurer.judge.settings(self._rule)
        silent = False
        try:
            for item in self._rule.measure(subject, world, settings):
                if isinstance(item, Unknown):
                    silent = True
                elif item.key == self._reading.key and item.at.thing == self._reading.at.thing:
                    return item.settled().figure, self._measurer.judge.level(self._rule, item)[0]
        except Unknown:
            silent = True
        return None, now if silent else None

    def _brings(self, edits: Sequence[Change]) -> bool:
        """Whether the edits bring a finding that was not there, or make one worse."""
        world = self.world.vary(*edits)
        touched = {change.at.thing for change in edits}
        for ref in self._near(touched):
            before = self._measurer.levels(self.world, ref)
            for path, level in self._measurer.levels(world, ref).items():
                if path not in before or LEVELS.index(level) > LEVELS.index(before[path]):
                    return True
        return False

    def _near(self, touched: set[Ref]) -> Iterator[Ref]:
        """The subjects a change may reach: the things themselves, the camera's cables and
        connectors, and the cameras close by.
        """
        world = self.world
        moved = [world.get(ref) for ref in touched]
        cameras = {thing.id for thing in moved if isinstance(thing, Camera)}
        spots = [spot for thing in moved if (spot := _lit_spot(thing))]
        for kind in self._measurer.by_subject:
            for thing in world.all(kind):
                ref = world.ref(thing)
                theirs = ref in touched or ref == self._subject or getattr(thing, "camera", None) in cameras
                if theirs or (isinstance(thing, Camera) and any(_apart(s, thing.mount.spot) <= NEAR for s in spots)):
                    yield ref

    # -- asking the world, unchanged

    @property
    def plan(self) -> Plan:
        """The plan in this world."""
        return self.world.plan

    @property
    def today(self) -> dt.date:
        """The date of the review."""
        return self.world.today

    @property
    def changes(self) -> tuple[Change, ...]:
        """What makes this world differ from the plan as written."""
        return self.world.changes

    def all(self, kind: str) -> Sequence[Any]:
        """Every thing of a kind."""
        return self.world.all(kind)

    def get(self, ref: Ref) -> Any:
        """The thing a reference names."""
        return self.world.get(ref)

    def need(self, subject: Any, field: str) -> Any:
        """A field's value; ``Unknown`` where the plan is silent."""
        return self.world.need(subject, field)

    def known(self, ref: Ref) -> Literal["written", "default", "unknown"]:
        """Where a field's value comes from."""
        return self.world.known(ref)

    def of(self, study: Study[S, R], subject: S) -> R:
        """A study's result."""
        return self.world.of(study, subject)

    def vary(self, *changes: Change) -> Query:
        """The same plan under further changes."""
        return self.world.vary(*changes)


def _lit_spot(thing: Any) -> Spot | None:
    """Where a thing is that gives or returns light to cameras near it; None for what has no part in light."""
    if isinstance(thing, Cable | Connector):
        return None
    return thing.mount.spot if isinstance(thing, Camera) else getattr(thing, "spot", None)


def _apart(a: Spot, b: Spot) -> float:
    """Distance on the plan, m."""
    return math.hypot(a.x - b.x, a.y - b.y)
