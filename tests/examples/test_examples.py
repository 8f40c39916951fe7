"""Every plan under examples, through the real command, against the report beside it."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

import pytest

from examples.expected import AS_DRAWN, CORRECTED, EXAMPLES, FORMS, PLANS, comparable, file, name, report
from oneclimb.packs import load_packs

FOUND = re.compile(r"^[^:]+:\d+:\d+: (?P<level>error|warning|note): (?P<code>[A-Z]+-\d\d) ", re.MULTILINE)
STATUS = {
    "harbour-house/as-drawn.plan.yaml": 1,
    "harbour-house/corrected.plan.yaml": 0,
    "hill-farm/as-drawn.plan.yaml": 1,
    "hill-farm/corrected.plan.yaml": 0,
    "shared-drive/shared-drive.plan.yaml": 1,
    "two-cameras/cottage.plan.yaml": 1,
}
AS_DRAWN_SHOWS = {
    ("error", "SEAL-01"),
    ("error", "LINK-01"),
    ("error", "GLARE-03"),
    ("warning", "GLARE-01"),
    ("warning", "GLARE-02"),
    ("note", "GLARE-02"),
    ("warning", "CABLE-01"),
    ("warning", "VIEW-01"),
    ("warning", "VIEW-02"),
    ("note", "VIEW-02"),
}
BY_NAME = pytest.mark.parametrize("plan", PLANS, ids=name)


def held(plan: Path) -> str:
    return file(plan, "text").read_text(encoding="utf-8")


def found(plan: Path) -> set[tuple[str, str]]:
    return {(hit["level"], hit["code"]) for hit in FOUND.finditer(held(plan))}


def test_every_plan_has_its_expected_status_and_no_expected_file_is_left_over() -> None:
    assert {name(plan) for plan in PLANS} == set(STATUS)
    assert set(EXAMPLES.rglob("*.expected.*")) == {file(p, form) for p, forms in FORMS.items() for form in forms}


@BY_NAME
def test_the_command_reports_what_is_expected(plan: Path) -> None:
    got = report(plan, "text")
    difference = difflib.unified_diff(
        held(plan).splitlines(), got.out.splitlines(), "expected", "got", lineterm="", n=0
    )
    assert got.out.encode() == file(plan, "text").read_bytes(), "\n".join(difference)
    assert got.errors == ""
    assert got.status == STATUS[name(plan)]


def test_the_sarif_log_is_what_is_expected() -> None:
    got = report(AS_DRAWN, "sarif")
    assert comparable(got.out) == comparable(file(AS_DRAWN, "sarif").read_text(encoding="utf-8"))
    assert got.errors == ""
    assert got.status == 1


def test_the_install_as_drawn_shows_every_mistake() -> None:
    assert found(AS_DRAWN) >= AS_DRAWN_SHOWS
    assert "(agreed with the keeper of the net loft" in held(AS_DRAWN)
    assert re.search(r"note: GLARE-02 .* helps: the wanted ground has \d\.\d stops more", held(AS_DRAWN))


@pytest.mark.parametrize("plan", CORRECTED, ids=name)
def test_a_corrected_install_has_nothing_above_a_note_and_leaves_nothing_open(plan: Path) -> None:
    assert {level for level, _ in found(plan)} == {"note"}
    assert "cannot tell" not in held(plan)


def test_every_rule_finds_something_in_some_example_that_is_not_put_right_yet() -> None:
    shown = {code for plan in PLANS if plan not in CORRECTED for _, code in found(plan)}
    assert set(load_packs().rules) - shown == set()


@BY_NAME
def test_reports_are_complete_and_name_no_place_of_the_machine(plan: Path) -> None:
    assert "internal fault" not in held(plan)
    assert "/" not in "".join(line.partition(":")[0] for line in held(plan).splitlines())
