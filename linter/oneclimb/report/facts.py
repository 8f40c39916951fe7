"""What every form of the report needs from a review, worked out once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from oneclimb.api import LEVELS, Finding, Level, Ref
from oneclimb.engine.round import Crash
from oneclimb.plan.faults import Span
from oneclimb.plan.model import Deviation
from oneclimb.plan.say import Tape
from oneclimb.policy import Accepted
from oneclimb.review import Review

FIRST = Span(1, 1, 1, 1)
FIRST_ANSWERS = 3
"""how many of the answers that would unlock most are put first"""
SHOWN = 4
"""how many ids are named before the rest are only counted"""


class Question(Struct, frozen=True):
    """Something the plan does not say, and the rules that wait for it."""

    at: Ref
    asks: str
    codes: tuple[str, ...]


def span(review: Review, ref: Ref) -> Span:
    """Where a thing or field is written."""
    origins = review.loaded.origins
    return FIRST if origins is None else origins.span(ref)


def tape(review: Review) -> Tape:
    """Figures in the plan's own units."""
    plan = review.loaded.plan
    return Tape("metres" if plan is None else plan.units)


def counts(reviews: Iterable[Review]) -> dict[Level, int]:
    """Findings and the plan's own faults by level, worst first."""
    found = dict.fromkeys(reversed(LEVELS), 0)
    for review in reviews:
        found["error"] += len(review.loaded.faults)
        for finding in review.findings:
            found[finding.level] += 1
    return found


def grouped(review: Review) -> dict[Ref, list[Alike]]:
    """Findings by the thing they belong to; the group with the worst finding first."""
    home = homes(review)
    groups: dict[Ref, list[Alike]] = {}
    for one in alike(review):
        at = one.finding.at.thing
        groups.setdefault(home.get(at, at), []).append(one)
    return groups


class Alike(Struct, frozen=True):
    """A finding, and the ids of the other things of one type of which the very same is told at the same place."""

    finding: Finding
    others: tuple[str, ...]


def alike(review: Review) -> list[Alike]:
    """The findings in their order; what a type's line brings to several cameras alike is told once, of the first."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in review.findings:
        groups.setdefault(_sameness(review, finding), []).append(finding)
    return [Alike(first, tuple(dict.fromkeys(f.at.id for f in rest))) for first, *rest in groups.values()]


def _sameness(review: Review, finding: Finding) -> tuple[object, ...]:
    """What findings told as one have in common: all but the camera's name."""
    remedies = tuple(remedy.text.replace(finding.at.id, "…") for remedy in finding.remedies)
    words = finding.text.replace(finding.at.id, "…"), remedies, finding.figure, finding.related
    return finding.code, finding.level, span(review, finding.at), finding.at.field, finding.key, *words


def homes(review: Review) -> dict[Ref, Ref]:
    """The camera under which a reader looks for a cable or a connector."""
    plan = review.loaded.plan
    home: dict[Ref, Ref] = {}
    for cable in plan.cables if plan else ():
        for ref, camera in (
            (Ref("cable", cable.id), cable.camera),
            *((Ref("connector", joint.id), joint.camera or cable.camera) for joint in cable.connectors),
        ):
            if camera:
                home[ref] = Ref("camera", camera)
    return home


def questions(review: Review) -> list[Question]:
    """What could not be told, one entry a thing and question, in the plan's order."""
    asked: dict[tuple[Ref, str], list[str]] = {}
    for item in review.cannot_tell:
        asked.setdefault((item.ref, item.asks), []).append(item.code)
    found = [Question(ref, asks, tuple(dict.fromkeys(codes))) for (ref, asks), codes in asked.items()]
    return sorted(found, key=lambda q: (_line(review, q.at), q.asks))


def leading(review: Review) -> list[tuple[str, Ref, int]]:
    """The few answers that would settle most; none where each would settle one check only."""
    return [one for one in review.unlocks[:FIRST_ANSWERS] if one[2] > 1]


def accepted(review: Review) -> list[Accepted]:
    """Deviations in force, those from safety rules first."""
    return sorted(review.accepted, key=lambda a: (not a.safety, _line(review, a.finding.at), a.finding.path))


def by_deviation(items: Iterable[Accepted]) -> dict[Deviation, list[Finding]]:
    """The findings that each deviation accepts."""
    groups: dict[Deviation, list[Finding]] = {}
    for item in items:
        groups.setdefault(item.deviation, []).append(item.finding)
    return groups


def crashes(reviews: Iterable[Review]) -> list[Crash]:
    """Every crash once: a pack that can't load shows in each plan's review."""
    return list(dict.fromkeys(crash for review in reviews for crash in review.crashes))


def crash_lines(reviews: Iterable[Review]) -> list[str]:
    """The crashes for reading: one line for each rule and reason, the first place named, the rest counted."""
    places: dict[tuple[str, str], list[str]] = {}
    for crash in crashes(reviews):
        places.setdefault((crash.code, crash.text), []).append(crash.ref.path if crash.ref else "")
    return [f"{code}{f' at {some(where)}' if all(where) else ''}: {text}" for (code, text), where in places.items()]


def country(review: Review) -> str:
    """The country the plan names, or nothing."""
    plan = review.loaded.plan
    return (plan.site.country or "") if plan is not None else ""


def instruments(review: Review) -> list[str]:
    """The law that was held against the plan: of each rule of its country that was looked at and did not fail."""
    off = {crash.code for crash in review.crashes}
    force = review.policy.in_force if review.policy else {}
    off |= {code for code, one in force.items() if one.level == "none"}
    held = (rule.info for rule in review.rules if rule.info.holds(country(review)) and rule.info.code not in off)
    return list(dict.fromkeys(info.instrument for info in held if info.instrument))


def some(ids: Sequence[str]) -> str:
    """A few of many, the rest counted."""
    return ", ".join(ids) if len(ids) <= SHOWN else f"{', '.join(ids[:SHOWN])} and {len(ids) - SHOWN} more"


def _line(review: Review, ref: Ref) -> tuple[int, int]:
    at = span(review, ref)
    return at.line, at.column
