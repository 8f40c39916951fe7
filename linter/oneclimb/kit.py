"""The test kit for whoever writes rules: the project's own rules are tested with it.

    from oneclimb import kit

    def test_the_page_holds():
        kit.hold_page(MyRule)

Everything goes through the real reader and the real round; nothing is mocked.
"""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct

from oneclimb.api import LEVELS, Finding, Level, Reading, Remedy, Rule
from oneclimb.engine.world import World
from oneclimb.packs import Packs, load_packs
from oneclimb.plan.edit import apply_text, text_edits
from oneclimb.plan.schema import Schemas
from oneclimb.policy import Policy
from oneclimb.register import page_path
from oneclimb.review import Review, check, world_of

HEADINGS = (
    "What it finds",
    "Why it matters",
    "How it is computed",
    "Levels and settings",
    "How to put it right",
    "How sure it is",
    "Sources",
    "A plan that fails",
    "A plan that passes",
)
LONGEST = 30
"""lines a page's plan may have"""
MARK = re.compile(r"#\s*->\s*(?P<found>[A-Z]+-\d\d \w+(?:\s*,\s*[A-Z]+-\d\d \w+)*)\s*$")
DAY = dt.date(2026, 6, 1)
"""the day on which pages' plans are reviewed"""


@cache
def packs() -> Packs:
    """The installed packs, loaded once."""
    return load_packs()


@cache
def schemas() -> Schemas:
    """The schemas composed with the installed packs."""
    return Schemas(packs().kinds, packs().rules)


def look(text: str, *, today: dt.date = DAY) -> Review:
    """Review a plan given as text."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "test.plan.yaml"
        path.write_text(text, encoding="utf-8")
        return check(str(path), packs(), schemas(), today=today)


class Mark(Struct, frozen=True, order=True):
    """An expected finding: its line in the plan, code and level."""

    line: int
    code: str
    level: str


def marks(text: str) -> set[Mark]:
    """The findings a plan's comments expect: ``# -> SEAL-01 warning, CABLE-01 note``."""
    return {
        Mark(number, *one.split())
        for number, line in enumerate(text.splitlines(), 1)
        if (found := MARK.search(line))
        for one in re.split(r"\s*,\s*", found["found"])
    }


def found(review: Review) -> set[Mark]:
    """The findings of a review, as marks."""
    origins = review.loaded.origins
    if origins is None:
        return {Mark(fault.span.line, fault.code, "error") for fault in review.loaded.faults}
    return {Mark(origins.span(f.at).line, f.code, f.level) for f in review.findings}


def sections(page: str) -> dict[str, str]:
    """A page's sections by heading, in order."""
    parts = re.split(r"^## (.+)$", page, flags=re.MULTILINE)
    return {heading.strip(): body.strip() for heading, body in zip(parts[1::2], parts[2::2], strict=True)}


def plans(page: str) -> tuple[str, str]:
    """The failing and the passing plan of a page."""
    return _fence(sections(page)["A plan that fails"]), _fence(sections(page)["A plan that passes"])


def _fence(body: str) -> str:
    blocks: list[str] = re.findall(r"^```yaml\n(.*?)^```$", body, flags=re.MULTILINE | re.DOTALL)
    if len(blocks) != 1:
        raise AssertionError(f"one yaml block is wanted here, there are {len(blocks)}")
    return blocks[0]


def hold_page(rule: type[Rule[Any]]) -> None:
    """A rule's page has its headings, and its two plans give what they say."""
    page = page_path(rule).read_text(encoding="utf-8")
    title = page.splitlines()[0]
    assert title == f"# {rule.info.code}: {rule.info.title}", title
    assert tuple(sections(page)) == HEADINGS, tuple(sections(page))
    failing, passing = plans(page)
    for text in (failing, passing):
        assert len(text.splitlines()) <= LONGEST, f"a page's plan has at most {LONGEST} lines"
    expected = marks(failing)
    assert any(mark.code == rule.info.code for mark in expected), "the failing plan marks no finding of this rule"
    assert found(look(failing)) == expected
    assert marks(passing) == set(), "the passing plan marks a finding"
    assert found(look(passing)) == set()


def readings(text: str, code: str) -> list[tuple[Reading, Level | None]]:
    """Every reading of one rule in a plan, past a limit or not, with its level."""
    review = look(text)
    assert not review.loaded.faults, review.loaded.faults
    rule = packs().rules[code]
    plan = review.loaded.plan
    assert plan is not None
    policy = Policy((rule,), plan.settings, {})
    world = world_of(review.loaded, packs(), DAY)
    return [
        (item, policy.level(rule, item)[0])
        for subject in world.all(rule.subject)
        for item in _measured(rule, subject, world, policy)
    ]


def _measured(rule: Rule[Any], subject: Any, world: World, policy: Policy) -> Iterable[Reading]:
    return [item for item in rule.measure(subject, world, policy.settings(rule)) if isinstance(item, Reading)]


def sweep(
    code: str, plan: Callable[[float], str], values: Sequence[float], *, key: str = ""
) -> list[tuple[float, Level | None]]:
    """A parameter swept: the figure and level at each value, in order.

    Asserts that the figure moves one way only, and that the level changes step by step the
    same way (so at most once from one level to the next).
    """
    swept: list[tuple[float, Level | None]] = []
    for value in values:
        got = [(r, level) for r, level in readings(plan(value), code) if r.key == key or not key]
        assert len(got) == 1, f"at {value}: {len(got)} readings"
        swept.append((got[0][0].figure.value, got[0][1]))
    figures = [figure for figure, _ in swept]
    ranks = [LEVELS.index(level) if level else -1 for _, level in swept]
    for series in (figures, ranks):
        assert list(series) in (sorted(series), sorted(series, reverse=True)), series
    return swept


def mend(text: str, finding: Finding, remedy: Remedy, review: Review) -> str:
    """The plan's text with a remedy's edits made, nothing else touched."""
    assert remedy.edits, f"{finding.code}: {remedy.text!r} is advice, it has nothing to apply"
    return apply_text(text, text_edits(review.loaded, remedy.edits))


def hold_remedies(text: str, code: str) -> int:
    """Each tried remedy of a rule's findings, applied as printed, clears its finding (or, in
    part, lessens it) and brings nothing new. Returns how many were tried.
    """
    review = look(text)
    before = {f.path: f for f in review.findings}
    tried = 0
    for finding in (f for f in review.findings if f.code == code):
        for remedy in (r for r in finding.remedies if r.edits):
            after = {f.path: f for f in look(mend(text, finding, remedy, review)).findings}
            worse = [
                p
                for p, f in after.items()
                if not f.welcome and (p not in before or LEVELS.index(f.level) > LEVELS.index(before[p].level))
            ]
            assert not worse, f"{remedy.text!r} brings {worse}"
            assert remedy.partial == (finding.path in after), remedy.text
            tried += 1
    return tried
