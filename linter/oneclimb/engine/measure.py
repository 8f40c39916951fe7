"""Measuring: every rule's readings of a subject in a world, and how bad they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Protocol

from msgspec import Struct

from oneclimb.api import LEVELS, Figure, Level, Reading, Ref, Rule, Unknown, finding_path
from oneclimb.engine.world import World

WORSE = 0.1
"""share of itself by which a figure must be worse, and past its doubt, for its finding to count as a worse one"""
SHARE = 0.05
"""by which, at the least, a figure that is itself a share of something must be"""


class Judge(Protocol):
    """What the engine asks of the policy: a rule's settings, and how bad a reading is."""

    def settings(self, rule: Rule[Any]) -> Any:
        """The settings in force for a rule."""

    def plain(self, rule: Rule[Any], reading: Reading) -> Level | None:
        """The level of a reading by its middle value, the doubt left aside."""

    def level(self, rule: Rule[Any], reading: Reading) -> tuple[Level | None, bool]:
        """The level of a reading, and whether doubt lowered it."""


class CannotTell(Struct, frozen=True):
    """A figure the plan is silent about: the rule that asked, what it needs, the question."""

    code: str
    ref: Ref
    asks: str


class Past(Struct, frozen=True):
    """A reading past a limit, with its level, and whether doubt lowered it."""

    reading: Reading
    level: Level
    softened: bool


class Measurer:
    """All rules, by what they are about, with the policy that judges their figures."""

    def __init__(self, rules: Sequence[Rule[Any]], judge: Judge) -> None:
        self.judge = judge
        self.by_subject: dict[str, list[Rule[Any]]] = {}
        for rule in rules:
            self.by_subject.setdefault(rule.subject, []).append(rule)
        self._as_written: dict[tuple[Ref, str], dict[str, Past]] = {}

    def past(
        self, world: World, rule: Rule[Any], subject: Any, unknown: list[CannotTell] | None = None
    ) -> Iterator[Past]:
        """A rule's readings of a subject that are past a limit; what it cannot tell goes to ``unknown``."""
        silent: list[Unknown] = []
        try:
            for item in rule.measure(subject, world, self.judge.settings(rule)):
                if isinstance(item, Unknown):
                    silent.append(item)
                    continue
                if self.judge.plain(rule, item):
                    known = item.settled()
                    level, softened = self.judge.level(rule, known)
                    if level:
                        yield Past(known, level, softened)
        except Unknown as item:
            silent.append(item)
        if unknown is not None:
            unknown += [CannotTell(rule.info.code, item.ref, item.asks) for item in silent]

    def worse(self, world: World, changed: World, ref: Ref, touched: frozenset[str] | None) -> bool:
        """Whether a subject has, in the changed world, a finding it did not have, or a worse one.

        Of something that is only near, the rules that heed the kinds ``touched`` are asked; ``None`` asks every rule.
        """
        for rule in self.by_subject.get(ref.kind, ()):
            if touched is not None and rule.heeds is not None and not rule.heeds & touched:
                continue
            key = ref, rule.info.code
            if key not in self._as_written:
                self._as_written[key] = self._found(world, rule, ref)
            before = self._as_written[key]
            for path, past in self._found(changed, rule, ref).items():
                if path not in before or _worsened(before[path], past):
                    return True
        return False

    def _found(self, world: World, rule: Rule[Any], ref: Ref) -> dict[str, Past]:
        """A rule's findings on one subject, by path; one that raises counts as an error. Good news is left out."""
        found: dict[str, Past] = {}
        try:
            for past in self.past(world, rule, world.get(ref)):
                if not past.reading.welcome:
                    found[finding_path(rule.info.code, past.reading.at, past.reading.key)] = past
        except Exception:
            found[f"{rule.info.code} raised"] = Past(Reading(Figure("raised", 1.0, ""), ref), "error", softened=False)
        return found


def _worsened(before: Past, after: Past) -> bool:
    """Whether a finding is a worse one: of a higher level, of one thing more that it counts, or, where it is more than
    a note, past its doubt and by a tenth of its figure.
    """
    if LEVELS.index(after.level) > LEVELS.index(before.level) or after.reading.counted - before.reading.counted:
        return True
    was, now = before.reading.figure, after.reading.figure
    leeway = max(WORSE * abs(was.value), 0.0 if was.unit else SHARE)
    if was.good == "low":
        farther = now.value > max(was.high, was.value + leeway)
    else:
        farther = now.value < min(was.low, was.value - leeway)
    return farther and after.level != "note"
