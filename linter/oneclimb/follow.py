"""A plan followed as it is edited: the first answer at once, the whole answer when it is there.

The first answer measures everything again in a world that asks the earlier one, and tells what is as it was in the
words it had; the rest is told without the search for remedies. It is an answer in haste, and its page says so: the
full review that is made meanwhile takes its place.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from oneclimb.api import Finding, Rule, Told, finding_path
from oneclimb.engine.again import Again, Untried
from oneclimb.review import Review, review, shared_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from oneclimb.engine.measure import Past
    from oneclimb.engine.trial import Bench
    from oneclimb.packs import Packs
    from oneclimb.plan.owner import Owner
    from oneclimb.plan.read import Loaded


class Follower:
    """One plan through its edits. ``world`` is the last one that could be built and ``last`` its
    answer, None before the first.
    """

    def __init__(self, packs: Packs, owner: Owner | None, today: dt.date) -> None:
        self.packs, self.owner, self.today = packs, owner, today
        self.world: Again | None = None
        self.last: Review | None = None
        self._told: dict[str, Finding] = {}

    def settle(self, findings: Iterable[Finding]) -> None:
        """The findings of a full review, with the remedies that were tried."""
        self._told = {one.path: one for one in findings}

    def hasten(self, loaded: Loaded) -> Review:
        """The first answer to a plan that has been read; one with faults is answered with these."""
        if loaded.plan is None or loaded.document is None:
            return review(loaded, self.packs, self.owner, today=self.today)
        world = Again(loaded, shared_of(loaded, self.packs, self.today), self.world)
        answer = review(loaded, self.packs, self.owner, today=self.today, world=world, tell=self._tell)
        if answer.loaded.plan is not None:
            world.stand_alone()
            self.world, self.last = world, answer
        return answer

    def _tell(self, rule: Rule[Any], past: Past, bench: Bench, settings: Any) -> Told:
        """In the words of the last full review where the reading is as it was; else without trying remedies."""
        reading = past.reading
        old = self._told.get(finding_path(rule.info.code, reading.at, reading.key))
        if old and _same(old, past):
            return Told(old.text, old.remedies, old.caution, old.steps, bare=old.figure is None)
        return rule.tell(reading, Untried(bench), settings)


def _same(old: Finding, past: Past) -> bool:
    """Whether a reading is what a finding was told of."""
    reading = past.reading
    figure = old.figure is None or old.figure == reading.figure
    return figure and (old.level, old.at, old.related, old.softened) == (
        past.level,
        reading.at,
        reading.related,
        past.softened,
    )
