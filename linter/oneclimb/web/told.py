"""A review's parts in the words a page shows, each finding with its number, its line and its pictures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import Finding, Level, Ref
from oneclimb.plan.faults import Span
from oneclimb.plan.model import Plan
from oneclimb.report import facts, words
from oneclimb.report.facts import Alike
from oneclimb.report.quote import quote
from oneclimb.review import Review
from oneclimb.web.plate import Plate

LONGEST = 240
"""characters of a plan's line that are shown"""


class Place(Struct, frozen=True):
    """A place in the plan: what it is, its line and how that reads, and where on the page it has a part of its own."""

    thing: str
    line: int
    source: str = ""
    anchor: str = ""


class Told(Struct, frozen=True):
    """One finding. ``do``: its best remedy in few words; ``marked``: the drawing of the site has its mark; ``path``:
    its name, whatever its number.
    """

    level: Level
    code: str
    place: Place
    text: str
    figure: str
    doubt: str
    same: str
    see: tuple[tuple[Place, str], ...]
    remedies: tuple[str, ...]
    do: str
    care: str
    steps: tuple[str, ...]
    number: int = 0
    plates: tuple[Plate, ...] = ()
    marked: bool = False
    path: str = ""


class Open(Struct, frozen=True):
    """A question that is open, where, and what an answer settles."""

    asks: str
    where: str
    settles: str = ""


def anchors(plan: Plan) -> dict[Ref, str]:
    """Where on the page each camera's card is; never a plan's own words."""
    return {Ref("camera", camera.id): f"camera-{number}" for number, camera in enumerate(plan.cameras, 1)}


def findings(
    review: Review, numbered: Sequence[tuple[int, Alike]], plates: Sequence[Plate], marks: frozenset[int]
) -> list[Told]:
    """Every finding, in the report's order."""
    explained: dict[int, list[Plate]] = {}
    for one in plates:
        explained.setdefault(one.finding, []).append(one)
    home = _homes(review)
    return [
        replace(
            _told(review, one, home),
            number=n,
            plates=tuple(explained.get(n, ())),
            marked=n in marks,
            path=one.finding.path,
        )
        for n, one in numbered
    ]


def _told(review: Review, one: Alike, home: Mapping[Ref, str]) -> Told:
    item, tape = one.finding, facts.tape(review)
    return Told(
        item.level,
        item.code,
        _place(review, item.at, home),
        item.text,
        words.figure(item.figure, tape) if item.figure else "",
        words.SOFTENED if item.softened else "",
        f"the same of {words.listed(one.others)}" if one.others else "",
        tuple((_place(review, r.at, home), r.text.removeprefix(f"{r.at.id}, ")) for r in item.related),
        tuple(words.remedy(remedy, item.figure, tape) for remedy in item.remedies),
        _do(item),
        words.care(item),
        item.steps,
    )


def _do(item: Finding) -> str:
    if not item.remedies:
        return ""
    best = words.best(item.remedies)
    return quote(best.text).rstrip(".") + ("" if best.edits else " (advice)")


def _place(review: Review, ref: Ref, home: Mapping[Ref, str]) -> Place:
    span = facts.span(review, ref)
    return Place(words.thing(ref.kind, ref.id), span.line, source(review, span), home.get(ref.thing, ""))


def _homes(review: Review) -> dict[Ref, str]:
    """The card of each camera, and of what belongs to one."""
    plan = review.loaded.plan
    cards = anchors(plan) if plan else {}
    return cards | {ref: cards[camera] for ref, camera in facts.homes(review).items() if camera in cards}


def source(review: Review, span: Span) -> str:
    """A line of the plan as it is written, shortened where it is long."""
    document = review.loaded.document
    lines = document.text.splitlines() if document else []
    text = lines[span.line - 1].strip() if 0 < span.line <= len(lines) else ""
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}…"


def by_level(told: Sequence[Told]) -> list[tuple[Level, list[Told]]]:
    """Findings by level, worst first."""
    return [(level, [one for one in told if one.level == level]) for level in dict.fromkeys(one.level for one in told)]


def glance(review: Review, told: Sequence[Told]) -> list[tuple[Place, list[Told]]]:
    """The findings of each thing, the thing with the worst first; a cable's and a connector's with their camera's."""
    numbered = {id(one.finding): told for one, told in zip(facts.alike(review), told, strict=True)}
    home = _homes(review)
    return [
        (_place(review, ref, home), [numbered[id(one.finding)] for one in listed])
        for ref, listed in facts.grouped(review).items()
    ]


def mark_words(numbered: Sequence[tuple[int, Alike]]) -> dict[int, str]:
    """What the drawing's mark of a finding is called where it can't be seen."""
    return {n: f"finding {n}, {_short(one.finding)}" for n, one in numbered}


def _short(item: Finding) -> str:
    return f"{item.level}, {words.thing(item.at.kind, item.at.id)}"


def leading(review: Review) -> list[Open]:
    """The answers that would settle most."""
    questions = facts.questions(review)
    made = []
    for asks, _, many in facts.leading(review):
        where = [f"{q.at.id} (line {facts.span(review, q.at).line})" for q in questions if q.asks == asks]
        made.append(Open(asks, facts.some(where), words.count(many, "check")))
    return made


def also_open(review: Review) -> list[tuple[Place, list[Open]]]:
    """What else could not be told, by the thing it is about."""
    done = {asks for asks, _, _ in facts.leading(review)}
    home, cards = facts.homes(review), _homes(review)
    rest: dict[Ref, dict[str, list[str]]] = {}
    for question in facts.questions(review):
        if question.asks not in done:
            thing = home.get(question.at.thing, question.at.thing)
            rest.setdefault(thing, {}).setdefault(question.asks, []).extend(question.codes)
    return [
        (_place(review, ref, cards), [Open(asks, ", ".join(dict.fromkeys(codes))) for asks, codes in asked.items()])
        for ref, asked in rest.items()
    ]


class Accord(Struct, frozen=True):
    """A deviation, and the findings it accepts."""

    terms: str
    safety: bool
    findings: tuple[tuple[str, Place, str], ...]


def accords(review: Review) -> list[Accord]:
    """Deviations in force, those from safety rules first."""
    return list(_accords(review))


def _accords(review: Review) -> Iterator[Accord]:
    items, home = facts.accepted(review), _homes(review)
    safe = {item.finding.path for item in items if item.safety}
    for deviation, found in facts.by_deviation(items).items():
        told = tuple((one.code, _place(review, one.at, home), one.text) for one in found)
        yield Accord(words.deviation(deviation), any(one.path in safe for one in found), told)


class FaultTold(Struct, frozen=True):
    """A fault of the plan: its code, its line and how that reads, what is wrong, what may help."""

    code: str
    line: int
    source: str
    text: str
    hint: str


def faults(review: Review) -> list[FaultTold]:
    """What keeps the plan from being used."""
    found = review.loaded.faults
    return [FaultTold(f.code, f.span.line, quote(source(review, f.span)), f.text, f.hint) for f in found]
