"""CABLE-04 and CABLE-05: what is on the pins, and whether anybody has tested it."""

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Reading
from oneclimb.register import page_path
from oneclimb.trade.wire_map import STANDARDS
from oneclimb_rules.cable.never_tested import NeverTested
from oneclimb_rules.cable.wire_map import WireMap

MAP, TESTED = "CABLE-04", "CABLE-05"
A, B = (list(STANDARDS[name]) for name in ("T568A", "T568B"))
IN_ORDER = ["white/orange", "orange", "white/green", "green", "white/blue", "blue", "white/brown", "brown"]
STRAIGHT = "1-1 2-2 3-3 4-4 5-5 6-6 7-7 8-8"


def plan(cable: str, *, stage: str = "design", more: str = "") -> str:
    """A cable and its ends."""
    return f"""
site: {{stage: {stage}}}
house: {{front: {{faces: 0, width: 12}}, depth: 7, height: 5}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none}}
cables:
  - {{id: c, length: 9, {cable}}}
{more}
"""


def colours(one: list[str], other: list[str]) -> str:
    """Both ends' colours."""
    return f"wires: [[{', '.join(one)}], [{', '.join(other)}]]"


def swapped(end: list[str], one: int, other: int) -> list[str]:
    """An end with the wires on two pins changed over."""
    new = list(end)
    new[one - 1], new[other - 1] = new[other - 1], new[one - 1]
    return new


def read(text: str, code: str = MAP) -> tuple[Reading, str | None]:
    """The one reading."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def finding(text: str, code: str = MAP) -> Finding:
    """The one finding."""
    (found,) = (f for f in kit.look(text).findings if f.code == code)
    return found


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


# -------------------------------------------------------------------------------- wires


def test_the_page_of_wires_holds() -> None:
    kit.hold_page(WireMap)


def test_the_worked_example_of_wires_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(WireMap).read_text("utf-8").split())
    text = plan(colours(IN_ORDER, IN_ORDER))
    reading, level = read(text)
    assert (reading.figure.value, level) == (2, "error")
    assert "2 of 4 pairs, split, an error" in page
    found = finding(text)
    assert found.text.startswith("c has split pairs")
    assert [r.text for r in found.remedies[:2]] == [
        "at the first end change over green (pin 4) and blue (pin 6)",
        "at the second end change over green (pin 4) and blue (pin 6)",
    ]
    assert swapped(IN_ORDER, 4, 6) == B


@pytest.mark.parametrize("end", [A, B])
def test_either_standard_at_both_ends_is_right(end: list[str]) -> None:
    """ANSI/TIA-568 A and B, from the reproduced tables the formulas are tested against."""
    assert read(plan(colours(end, end)))[1] is None


def test_two_standards_make_a_crossover_and_a_note() -> None:
    reading, level = read(plan(colours(A, B)))
    assert (reading.figure.value, level) == (2, "note")
    assert "T568A at one end and T568B at the other" in finding(plan(colours(A, B))).text


@pytest.mark.parametrize(
    ("pins", "kind", "pairs", "level"),
    [
        (STRAIGHT, None, 0, None),
        (STRAIGHT.replace("8-8", "8-open"), "does not arrive", 1, "warning"),
        (STRAIGHT + " short 1-3", "touch", 2, "error"),
        (STRAIGHT.replace("4-4 5-5", "4-5 5-4"), "the wrong way round", 1, "warning"),
        ("1-1 2-2 3-3 4-7 5-8 6-6 7-4 8-5", "pairs on each other's pins", 2, "error"),
        ("1-1 2-3 3-2 4-4 5-5 6-6 7-7 8-8", "single wires", 2, "error"),
        ("1-3 2-6 3-1 4-4 5-5 6-2 7-7 8-8", "is a crossover", 2, "note"),
    ],
)
def test_each_fault_is_named_counted_and_weighed(pins: str, kind: str | None, pairs: int, level: str | None) -> None:
    text = plan(f"pins: {pins}")
    reading, got = read(text)
    assert (reading.figure.value, got) == (pairs, level)
    if kind:
        assert kind in finding(text).text


def test_the_two_colours_and_the_end_are_named() -> None:
    text = plan(colours(B, swapped(B, 2, 7)))
    assert finding(text).remedies[0].text == ("at the second end change over white/brown (pin 2) and orange (pin 7)")


def test_a_testers_reading_outranks_colours_and_their_split_pairs_are_seen() -> None:
    assert read(plan(f"pins: {STRAIGHT}, {colours(B, swapped(B, 2, 7))}"))[1] is None
    assert read(plan(f"pins: {STRAIGHT}, {colours(IN_ORDER, IN_ORDER)}"))[1] == "error"


def test_a_test_of_continuity_says_what_it_cannot_see() -> None:
    assert any(
        "cannot show split pairs" in step for step in finding(plan("pins: 1-2 2-1 3-3 4-4 5-5 6-6 7-7 8-8")).steps
    )


def test_no_remedy_writes_a_reading() -> None:
    for text in (plan(colours(IN_ORDER, IN_ORDER)), plan(f"pins: {STRAIGHT.replace('8-8', '8-open')}")):
        assert not any(remedy.edits for remedy in finding(text).remedies)


def test_a_cable_whose_wires_are_not_told_is_left_alone() -> None:
    assert not kit.readings(plan("made: self"), MAP)
    assert asked(plan("made: self"), MAP) == set()


# ------------------------------------------------------------------------------- tested


OWN = "connectors: [{id: plug, sits: indoors, terminated: true}], made: self"


def test_the_page_of_tests_holds() -> None:
    kit.hold_page(NeverTested)


def test_the_worked_example_of_tests_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(NeverTested).read_text("utf-8").split())
    early, late = (read(plan(f"{OWN}, tested: false", stage=stage), TESTED) for stage in ("design", "ready"))
    assert (early[0].figure.value, early[1]) == (1, "note")
    assert (late[0].figure.value, late[1]) == (2, "warning")
    assert "At `design` that is 1 of 3, a note; at `ready` 2 of 3, a warning." in page


@pytest.mark.parametrize(
    ("cable", "stage", "level"),
    [
        ("made: self, tested: false", "design", None),
        ("made: factory, tested: false", "design", None),
        ("made: self, tested: false", "ready", "warning"),
        ("made: self, tested: false", "as-built", "warning"),
        ("tested: false", "ready", "warning"),
        ("made: factory, tested: false", "ready", "note"),
        ("made: self, tested: true", "as-built", None),
        ("made: self, tested: false, kind: fibre", "ready", None),
    ],
)
def test_the_stage_and_who_made_it_matter(cable: str, stage: str, level: str | None) -> None:
    found = [f.level for f in kit.look(plan(cable, stage=stage)).findings if f.code == TESTED]
    assert found == ([level] if level else [])


@pytest.mark.parametrize(
    ("proof", "level"),
    [
        ("of: [c], passed: true", None),
        ("passed: true", None),
        ("of: [c], passed: false", "warning"),
        ("of: [d], passed: true", "warning"),
    ],
)
def test_a_proof_that_covers_the_cable_counts_as_tested(proof: str, level: str | None) -> None:
    more = f"  - {{id: d, length: 3}}\nproofs: [{{id: p, kind: cable, when: 2026-05-01, {proof}}}]"
    found = [
        f.level
        for f in kit.look(plan("made: self, tested: false", stage="ready", more=more)).findings
        if f.code == TESTED
    ]
    assert found == ([level] if level else [])


def test_whether_it_was_tested_is_asked_once_it_hangs() -> None:
    assert asked(plan("made: self", stage="ready"), TESTED) == {"cable/c/tested"}
    assert asked(plan("made: self"), TESTED) == set()
    assert asked(plan("conductor: copper", stage="ready"), TESTED) == {"cable/c/tested"}
    assert asked(plan("kind: fibre", stage="ready"), TESTED) == set()


def test_no_remedy_records_a_test() -> None:
    found = finding(plan("made: self, tested: false", stage="ready"), TESTED)
    assert found.remedies
    assert not any(remedy.edits for remedy in found.remedies)
