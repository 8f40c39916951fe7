"""What a page says, and that the same plan gives the same bytes."""

from __future__ import annotations

import re
import subprocess
import sys
from html import unescape
from pathlib import Path

import html5lib
import pytest
from msgspec.structs import replace

from oneclimb import __version__, kit
from oneclimb.engine.round import Crash
from oneclimb.report import facts, words
from oneclimb.report.assumed import assumed
from oneclimb.web.page import page
from web.pages import plan, report, review, sitting

FAULTY = plan().replace("type: turret", "type: turet", 1)


def text(html: str) -> str:
    """The words of a page, on one line."""
    bare = re.sub(r"<(style|script|svg)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", bare)).replace("\u00a0", " ").split())


def faulty() -> str:
    return page(kit.look(FAULTY), kit.packs())


@pytest.mark.parametrize("make", [report, faulty])
def test_the_page_is_html_without_an_error_of_syntax(make: object) -> None:
    html = make() if callable(make) else ""
    html5lib.HTMLParser(strict=True).parse(html)
    ids = re.findall(r'\bid="([^"]*)"', html)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]*)"', html)) <= set(ids)
    assert set(re.findall(r'aria-labelledby="([^"]*)"', html)) <= set(ids)


def test_every_finding_is_told_with_its_number_line_figure_and_remedies() -> None:
    html, seen = report(), review()
    shown, tape = text(html), facts.tape(seen)
    lines = plan().splitlines()
    assert len(sitting().numbered) == len(re.findall('<li id="finding-', html)) > 5
    for number, one in sitting().numbered:
        item = one.finding
        part = text(html.split(f'<li id="finding-{number}"')[1].split("</h4>", 1)[1].split('<p class="ways">')[0])
        line = facts.span(seen, item.at).line
        assert item.text in part
        assert f"line {line}" in part
        assert " ".join(lines[line - 1].split())[:200] in part
        assert not item.figure or words.figure(item.figure, tape) in part
        assert all(words.remedy(remedy, item.figure, tape) in part for remedy in item.remedies)
        assert all(step in part for step in map(" ".join, map(str.split, item.steps)))
    for rule in {one.finding.code for _, one in sitting().numbered}:
        title = kit.packs().rules[rule].info.title
        assert f"{rule} {title}" in shown


def test_counts_cautions_law_and_versions_are_told() -> None:
    shown = text(report())
    assert words.summary(review()) in shown
    assert words.CAUTION in shown
    assert shown.index(words.CAUTION) < shown.index("Findings")
    assert words.law(review()) in shown
    assert words.UNPROVED in shown
    assert f"oneclimb {__version__}" in shown
    assert all(pack.version in shown for pack in kit.packs().packs)


def test_what_is_open_assumed_and_accepted_is_told() -> None:
    shown = text(report())
    questions = {question.asks for question in facts.questions(review())}
    assert len(questions) > 5
    assert all(asks in shown for asks in questions)
    for kind, defaults in assumed(review(), whole=True)[0]:
        assert all(f"{one}" in shown for one in defaults), kind
    (deviation,) = {item.deviation for item in review().accepted}
    assert f"because {words.deviation(deviation)}" in shown


def test_a_plan_that_cannot_be_used_shows_why_and_where() -> None:
    seen = kit.look(FAULTY)
    assert seen.loaded.faults
    shown = text(faulty())
    for fault in seen.loaded.faults:
        assert f"{fault.text}" in shown
        assert f"{fault.code}, line {fault.span.line}" in shown
        assert FAULTY.splitlines()[fault.span.line - 1].strip() in shown


def test_a_rule_that_failed_is_told_near_the_top() -> None:
    broken = replace(review(), crashes=(Crash("GLARE-01", None, "ZeroDivisionError: <b>", ""),))
    html = page(broken, kit.packs(), replace(sitting(), review=broken))
    assert "GLARE-01: ZeroDivisionError: &lt;b&gt;" in html
    assert text(html).index("ZeroDivisionError") < text(html).index("Findings")


def test_a_plan_in_which_nothing_is_found_says_so() -> None:
    clean = replace(review(), findings=(), accepted=(), cannot_tell=())
    shown = text(page(clean, kit.packs(), replace(sitting(), review=clean)))
    assert "Nothing was found." in shown
    assert "Could not be told" not in shown


def test_only_the_file_name_of_a_plan_is_shown() -> None:
    moved = replace(review(), path="/home/quince-and-sons/plans/heron.plan.yaml")
    html = page(moved, kit.packs(), replace(sitting(), review=moved))
    assert "heron.plan.yaml" in html
    assert "quince-and-sons" not in html


def test_the_same_plan_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    code = "import sys; from web.pages import report; sys.stdout.buffer.write(report().encode())"
    tests, made = Path(__file__).parents[1], []
    for seed in ("1", "2"):
        env = {"PYTHONHASHSEED": seed, "PYTHONPATH": str(tests), "PATH": "", "HOME": str(tmp_path)}
        made.append(subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, check=True).stdout)
    assert made[0] == made[1]
    assert made[0].decode() == report()


def test_at_a_glance_every_finding_stands_by_its_thing() -> None:
    part = report().split('<dl class="glance">')[1].split("</dl>")[0]
    numbers = [int(one) for one in re.findall(r'href="#finding-(\d+)"', part)]
    assert sorted(numbers) == [number for number, _ in sitting().numbered]
    things = [text(one) for one in re.findall(r"<dt>(.*?)</dt>", part)]
    assert things == [words.thing(ref.kind, ref.id) for ref in facts.grouped(review())]
    for number, one in sitting().numbered:
        (entry,) = re.findall(rf'<li><a href="#finding-{number}">(.*?)</li>', part, re.DOTALL)
        assert f"finding {number}, {one.finding.level}" in entry
        remedies = one.finding.remedies
        do = words.best(remedies).text.rstrip(".") if remedies else one.finding.text
        do += " (advice)" if remedies and not words.best(remedies).edits else ""
        assert " ".join(text(entry).split()).endswith(" ".join(do.split()))
    assert "by night, every lamp out: " in part
