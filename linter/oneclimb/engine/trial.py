"""Remedies tried in the model before they are offered.

A rule names steps from least to most; the bench finds the first that clears the finding,
and proves that nothing new appears there and no other warning gets worse. The search goes by halves, and
every subject has a fixed number of trials to spend.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Literal, TypeVar

from msgspec import Struct

from oneclimb.api import Change, Figure, Level, Query, Reading, Ref, Remedy, Rule, Say, Study, Unknown
from oneclimb.engine.measure import Measurer
from oneclimb.engine.world import World
from oneclimb.plan.model import AccessPoint, Area, Box, Cable, Camera, Connector, Plan, Recorder, Spot, Supply, Switch

R = TypeVar("R")
S = TypeVar("S")

NEAR = 8.0
"""cameras within this distance (m) are looked at again when another one moves. A lamp rated for R metres, D metres
away and straight in, leaves a camera like it the reach D / sqrt(2.5 g) = 4.5 D (g = 0.02): farther off than this it
costs a camera rated for 35 m nothing"""
SHOWN = 60.0
"""areas within this distance (m) of what is changed are looked at again: as far as people are looked for"""


PLACED = frozenset({"camera", "area", "cable", "connector", "object", "lamp", "building", "land", "conduit", "box"})
"""subjects that a change elsewhere reaches by light or sight, or not at all; site and gear it may reach anyhow"""


DARK = (AccessPoint, Box, Cable, Connector, Recorder, Supply, Switch)
"""things that give and return no light that matters"""


WHO_SHOWS = frozenset({"area"})


class Tried(Struct, frozen=True):
    """What a reading became: None where it is gone, or where the plan would no longer stand or tell; and its level by
    the middle value alone, so that a remedy is not owed to doubt.
    """

    reading: Reading | None
    level: Level | None

    @property
    def figure(self) -> Figure | None:
        """The figure with its doubt."""
        return self.reading.settled().figure if self.reading else None


class SpentError(Exception):
    """The subject's trials are spent: what is not proved is not offered."""


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
        seen: dict[int, Tried] = {}

        def clears(i: int) -> bool:
            if i not in seen:
                seen[i] = self._after(steps[i])
            return seen[i].level is None

        def stays(i: int) -> bool:
            world = self._world(steps[i])
            return world is not None and (keeps is None or keeps(world))

        try:
            i = _least(clears, lambda i: not self._brings(steps[i]), _most(stays, len(steps)))
        except SpentError:
            return None
        return None if i is None else Remedy(text(i), tuple(steps[i]), seen[i].figure, ladder=ladder)

    def lessens(self, text: str, edits: Sequence[Change], *, ladder: bool = False) -> Remedy | None:
        """A remedy that may help only in part: a tenth or more, and nothing new."""
        try:
            tried = self._after(edits)
        except SpentError:
            return None
        if tried.reading is None or self._brings(edits):
            return None
        before, after = self._reading.figure, tried.reading.figure
        better = (before.value - after.value) if before.good == "low" else (after.value - before.value)
        reads_the_same = self.say.figure(after) == self.say.figure(before)
        if tried.level is not None and (reads_the_same or better < 0.1 * abs(before.value)):
            return None
        return Remedy(text, tuple(edits), tried.figure, partial=tried.level is not None, ladder=ladder)

    def _world(self, edits: Sequence[Change]) -> World | None:
        """The world after the edits, None where the plan would not stand."""
        try:
            return self.world.vary(*edits)
        except ValueError:
            return None

    def _after(self, edits: Sequence[Change]) -> Tried:
        """This reading after the edits; ``SpentError`` when no trials are left."""
        if self.world.shared.trials <= 0:
            raise SpentError
        self.world.shared.trials -= 1
        world = self._world(edits)
        judge = self._measurer.judge
        silent = world is None
        try:
            for item in (
                self._rule.measure(world.get(self._subject), world, judge.settings(self._rule)) if world else ()
            ):
                if isinstance(item, Unknown):
                    silent = True
                elif item.key == self._reading.key and item.at.thing == self._reading.at.thing:
                    return Tried(item, judge.plain(self._rule, item))
        except Unknown:
            silent = True
        return Tried(None, judge.plain(self._rule, self._reading) if silent else None)

    def _brings(self, edits: Sequence[Change]) -> bool:
        """Whether the edits bring a finding that was not there, or make one worse."""
        changed = self.world.vary(*edits)
        touched = {change.at.thing for change in edits}
        about = sorted(self._about(touched), key=lambda one: (one[0] != self._subject, one[0].kind == "camera"))
        return any(self._measurer.worse(self.world, changed, ref, kinds) for ref, kinds in about)

    def _about(self, touched: set[Ref]) -> Iterator[tuple[Ref, frozenset[str] | None]]:
        """The subjects a change may reach, each with the kinds it is asked about: of the things themselves and a
        camera's cables and connectors, anything (``None``); of the site, the gear, the cameras close by and the
        areas about, the kinds touched; of cameras farther off only who shows an area.
        """
        kinds = frozenset(ref.kind for ref in touched)
        world = self.world
        moved = [world.get(ref) for ref in touched]
        cameras = {thing.id for thing in moved if isinstance(thing, Camera)}
        spots = [spot for thing in moved if (spot := _lit_spot(thing))]
        for kind in self._measurer.by_subject:
            for thing in world.all(kind):
                ref = world.ref(thing)
                own = ref in touched or ref == self._subject or getattr(thing, "camera", None) in cameras
                if own:
                    yield ref, None
                elif kind not in PLACED or any(_reached(thing, spot) for spot in spots):
                    yield ref, kinds
                elif isinstance(thing, Camera) and any(_apart(spot, thing.mount.spot) <= SHOWN for spot in spots):
                    yield ref, WHO_SHOWS

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
    if isinstance(thing, Camera):
        return thing.mount.spot
    return None if isinstance(thing, DARK) else getattr(thing, "spot", None)


def _reached(thing: Any, spot: Spot) -> bool:
    """Whether a camera or an area may be touched by a change there."""
    if isinstance(thing, Area):
        return any(math.hypot(x - spot.x, y - spot.y) <= SHOWN for x, y in thing.outline)
    return isinstance(thing, Camera) and _apart(spot, thing.mount.spot) <= NEAR


def _apart(a: Spot, b: Spot) -> float:
    """Distance on the plan, m."""
    return math.hypot(a.x - b.x, a.y - b.y)


def _most(stays: Callable[[int], bool], count: int) -> int:
    """The last index before the first that does not stay, -1 for none: a move goes so far and no farther."""
    if not count or stays(count - 1):
        return count - 1
    return _halved(lambda i: not stays(i), -1, count - 1) - 1


def _least(clears: Callable[[int], bool], stands: Callable[[int], bool], most: int) -> int | None:
    """The first index up to ``most`` that clears and stands, its neighbour below known not to; None when there is none.

    The most is asked first, then half and a quarter of it, so that a move that is hopeless costs three trials.
    """
    far = next((i for i in dict.fromkeys((most, most // 2, most // 4)) if i >= 0 and clears(i)), None)
    if far is None:
        return None
    first, most = _halved(clears, -1, far), far
    if stands(first):
        return first
    if most == first or not stands(most):
        return None
    return _halved(lambda i: clears(i) and stands(i), first, most)


def _halved(good: Callable[[int], bool], low: int, i: int) -> int:
    """From a good index ``i`` back by halves towards ``low``, not good: the neighbour below is known not to be good."""
    while i - low > 1:
        mid = (low + i) // 2
        low, i = (low, mid) if good(mid) else (mid, i)
    return i
