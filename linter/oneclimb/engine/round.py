"""The round: all rules over all subjects, subject by subject, by as many hands as there are.

A camera's raster lives only as long as that camera is being looked at. No subject's turn depends on another's, so the
outcome is the same whoever takes which.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from typing import Any

from msgspec import Struct, field

from oneclimb.api import Finding, Ref, Rule, Told
from oneclimb.engine.hands import shared_out
from oneclimb.engine.measure import CannotTell, Measurer, Past
from oneclimb.engine.trial import Bench
from oneclimb.engine.world import World


class Crash(Struct, frozen=True):
    """A rule that raised (``ref`` its subject), or a pack that could not load (``ref`` None)."""

    code: str
    ref: Ref | None
    text: str
    trace: str


class Outcome(Struct):
    """What the round gave."""

    findings: list[Finding] = field(default_factory=list)
    cannot_tell: list[CannotTell] = field(default_factory=list)
    crashes: list[Crash] = field(default_factory=list)


Tell = Callable[[Rule[Any], Past, Bench, Any], Told]
"""how a reading past its limit is told: rule, reading, bench, the rule's settings"""


def told_by_rule(rule: Rule[Any], past: Past, bench: Bench, settings: Any) -> Told:
    """The rule's own words, with the remedies it tries."""
    return rule.tell(past.reading, bench, settings)


def go_round(
    world: World,
    measurer: Measurer,
    step: Callable[[int, int], None] | None = None,
    hands: int = 1,
    tell: Tell = told_by_rule,
) -> Outcome:
    """Measure and tell everything. ``step(done, all)`` is called as it goes on; ``hands`` processes work at it."""
    kinds = sorted(measurer.by_subject, key=lambda kind: (kind != "camera", kind))
    subjects = [thing for kind in kinds for thing in world.all(kind)]

    def turn(i: int) -> Outcome:
        return look_at(world, measurer, subjects[i], tell)

    out = Outcome()
    for one in shared_out(len(subjects), turn, hands, (lambda done: step(done, len(subjects))) if step else None):
        out.findings += one.findings
        out.cannot_tell += one.cannot_tell
        out.crashes += one.crashes
    return out


def look_at(world: World, measurer: Measurer, subject: Any, tell: Tell) -> Outcome:
    """All rules on one subject, which has its own share of trials to spend."""
    out = Outcome()
    world.shared.trials = world.shared.each
    for rule in measurer.by_subject[world.ref(subject).kind]:
        look(world, measurer, rule, subject, out, tell=tell)
    world.forget()
    return out


def look(
    world: World, measurer: Measurer, rule: Rule[Any], subject: Any, out: Outcome, *, tell: Tell = told_by_rule
) -> None:
    """One rule on one subject; a rule that raises is kept as a crash and the others go on."""
    try:
        for past in measurer.past(world, rule, subject, out.cannot_tell):
            bench = Bench(world, measurer, rule, subject, past.reading)
            told = tell(rule, past, bench, measurer.judge.settings(rule))
            out.findings.append(finding(rule.info.code, past, told))
    except Exception as error:
        text = f"{type(error).__name__}: {error}"
        out.crashes.append(Crash(rule.info.code, world.ref(subject), text, traceback.format_exc()))


def finding(code: str, past: Past, told: Told) -> Finding:
    """A reading past its limit, in its rule's words."""
    r = past.reading
    return Finding(
        code,
        past.level,
        r.at,
        told.text,
        None if told.bare else r.figure,
        r.key,
        r.related,
        told.remedies,
        told.steps,
        told.caution,
        past.softened,
        r.welcome,
    )
