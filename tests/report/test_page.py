"""A rule's page on a terminal."""

from __future__ import annotations

from pathlib import Path

from oneclimb.report.look import Look
from oneclimb.report.page import page

TEXT = (Path(__file__).parent / "shine.md").read_text(encoding="utf-8")


def test_a_page_is_filled_and_its_marks_are_gone() -> None:
    assert page(TEXT, Look(people=True, width=60)).splitlines() == [
        "SHINE-01: Light that comes back",
        "",
        "What it finds",
        "",
        "  A bright thing near the lens.",
        "",
        "Why it matters",
        "",
        "  The picture goes dark; see the trade (notes.md).",
        "",
        "  - one thing and its second line",
        "  - another",
        "",
        "    house: {front: {faces: 200}}",
        "",
    ]


def test_an_example_is_never_filled_or_marked() -> None:
    shown = page("```yaml\na: *b*  `c` " + "long " * 30 + "\n```\n", Look(people=True, width=40))
    assert shown.splitlines()[0] == ("    a: *b*  `c` " + "long " * 30).rstrip()


def test_a_table_keeps_its_lines() -> None:
    assert page("| a | b |\n|---|---|\n", Look(people=True, width=40)).splitlines()[:2] == [
        "  | a | b |",
        "  |---|---|",
    ]


def test_headings_are_set_off_in_colour() -> None:
    assert "\x1b[1mHead\x1b[0m" in page("## Head\n", Look(people=True, colour=True, width=40))
