"""The round: all rules over all subjects, subject by subject.

A camera's raster lives only as long as that camera is being looked at.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from typing import Any

from msgspec import Struct, field

from oneclimb.api import Finding, Ref, Rule, Told
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


def go_round(world: World, measurer: Measurer, step: Callable[[int, int], None] | None = None) -> Outcome:
    """Measure and tell everything. ``step(done, all)`` is called after each subject."""
    out = Outcome()
    kinds = sorted(measurer.by_subject, key=lambda kind: (kind == "camera", kind))
    subjects = [thing for kind in kinds for thing in world.all(kind)]
    for done, subject in enumerate(subjects, 1):
        for rule in measurer.by_subject[world.ref(subject).kind]:
            look(world, measurer, rule, subject, out)
        world.forget()
        if step:
            step(done, len(subjects))
    return out


def look(world: World, measurer: Measurer, rule: Rule[Any], subject: Any, out: Outcome) -> None:
    """One rule on one subject; a rule that raises is kept as a crash and the others go on."""
    try:
        for past in measurer.past(world, rule, subject, out.cannot_tell):
            bench = Bench(world, measurer, rule, subject, past.reading)
            out.findings.append(
                finding(rule.info.code, past, rule.tell(past.reading, bench, measurer.judge.settings(rule)))
            )
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
