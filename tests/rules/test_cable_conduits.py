"""CABLE-10, CABLE-12 and CABLE-15: what is in a conduit, how hard it is to pull, how tight a bend."""

import math

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Reading
from oneclimb.register import page_path
from oneclimb_rules.cable.mains_in_conduit import MainsInConduit
from oneclimb_rules.cable.tight_bend import TightBend
from oneclimb_rules.cable.tight_conduit import TightConduit

TIGHT, MAINS, BEND = "CABLE-10", "CABLE-12", "CABLE-15"


def plan(
    conduit: str = "bore: 20 mm", *, count: int = 1, each: float = 6.0, cable: str = "", stage: str = "design"
) -> str:
    """So many cables in a conduit."""
    size = f"diameter: {each} mm, " if each else ""
    cables = "\n".join(f"  - {{id: c{i}, length: 9, {size}conduit: pipe{cable}}}" for i in range(count))
    return f"""
site: {{stage: {stage}}}
house: {{front: {{faces: 0, width: 12}}, depth: 7, height: 5}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none}}
conduits: [{{id: pipe, {conduit}}}]
{"cables:" if count else ""}
{cables}
"""


def read(text: str, key: str) -> tuple[float, str | None]:
    """One figure of the conduit, and its level."""
    ((reading, level),) = ((r, at) for r, at in kit.readings(text, TIGHT) if r.key == key)
    return reading.figure.value, level


def one(text: str, code: str) -> tuple[Reading, str | None]:
    """The one reading of a rule that has one."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def findings(text: str, code: str) -> list[Finding]:
    """A rule's findings."""
    return [f for f in kit.look(text).findings if f.code == code]


def asked(text: str, code: str = TIGHT) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


# -------------------------------------------------------------------------------- fill


def test_the_page_of_conduits_holds() -> None:
    kit.hold_page(TightConduit)


def test_the_worked_example_of_conduits_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(TightConduit).read_text("utf-8").split())
    fill, level = read(plan(count=3), "fill")
    assert f"3 × 36 / 400 = {fill * 0.40:.1%}".replace("%", " %") in page
    assert level is None
    full, level = read(plan("bore: 16 mm", count=3, each=6.5), "fill")
    assert f"fill {full * 0.40:.1%}, {full:.0%} of what is allowed: a warning".replace("%", " %") in page
    assert level == "warning"


@pytest.mark.parametrize(("count", "share"), [(1, 0.53), (2, 0.31), (3, 0.40), (5, 0.40)])
def test_the_table_is_the_limit(count: int, share: float) -> None:
    """NEC chapter 9 table 1: 53, 31, 40 %."""
    bore = math.sqrt(count * 36 / share)
    assert read(plan(f"bore: {bore * 0.999} mm", count=count), "fill")[1] == "warning"
    assert read(plan(f"bore: {bore * 1.001} mm", count=count), "fill")[1] == "note"
    assert read(plan(f"bore: {bore * 1.05} mm", count=count), "fill")[1] is None


def test_a_short_nipple_may_be_fuller() -> None:
    """NEC chapter 9, note 4: 60 % up to 24 in."""
    assert read(plan("bore: 12 mm, length: 0.6", count=2), "fill")[0] == pytest.approx(0.5 / 0.6)
    assert read(plan("bore: 12 mm, length: 0.7", count=2), "fill")[1] == "warning"


def test_more_cables_are_never_better() -> None:
    swept = kit.sweep(TIGHT, lambda n: plan("bore: 25 mm", count=int(n)), [3, 4, 6, 7, 9], key="fill")
    assert [at for _, at in swept] == [None, None, None, "warning", "warning"]


def test_what_else_lies_in_it_counts() -> None:
    alone, beside = plan("bore: 20 mm", count=2), plan("bore: 20 mm, contents: [{diameter: 9 mm, count: 2}]", count=2)
    assert read(beside, "fill")[0] * 0.40 == pytest.approx(read(alone, "fill")[0] * 0.31 + 2 * 81 / 400)


@pytest.mark.parametrize(("bore", "jams"), [(16.7, False), (16.9, True), (19.1, True), (19.3, False)])
def test_three_cables_may_jam_between_two_point_eight_and_three_point_two(bore: float, jams: bool) -> None:
    """NEC chapter 9 table 1, informational note 2."""
    assert read(plan(f"bore: {bore} mm", count=3), "jam") == (3.0 * jams, "note" if jams else None)
    assert read(plan(f"bore: {bore} mm", count=2), "jam") == (0.0, None)


def test_in_a_laid_conduit_a_jam_is_cured_by_another_count_and_fullness_by_a_second_conduit() -> None:
    (jam,) = findings(plan("bore: 19 mm", count=3, stage="ready"), TIGHT)
    assert [remedy.text.partition(",")[0] for remedy in jam.remedies] == ["put one cable fewer in it"]
    for count in (2, 4):
        assert read(plan("bore: 19 mm", count=count), "jam")[1] is None
    (full,) = findings(plan("bore: 16 mm", count=3, each=6.5, stage="ready"), TIGHT)
    assert full.remedies[0].text.startswith("run a second conduit")


def test_the_next_bore_that_serves_is_offered_past_one_that_would_jam() -> None:
    text = plan("bore: 16 mm", count=3, each=6.5)
    (found,) = findings(text, TIGHT)
    assert found.remedies[0].edits[0].by == "25 mm"
    assert kit.hold_remedies(text, TIGHT) == 1
    assert kit.hold_remedies(plan("bore: 19 mm", count=3), TIGHT) == 1
    (laid,) = findings(plan("bore: 16 mm", count=3, each=6.5, stage="as-built"), TIGHT)
    assert not laid.remedies[0].edits


# ------------------------------------------------------------------------------- pulling


def test_bends_add_up_to_a_full_turn_at_most() -> None:
    assert read(plan("bore: 20 mm, bends: [90, 90, 90]"), "bends") == (0.75, None)
    assert read(plan("bore: 20 mm, bends: [90, 90, 90, 90]"), "bends") == (1.0, "note")
    assert read(plan("bore: 20 mm, bends: [90, 90, 90, 90, 15]"), "bends")[1] == "warning"


def test_a_straight_pull_is_friction_alone() -> None:
    """Newton and Coulomb: mu · m · g · L, 0.425 · 0.045 · 9.81 · 100 N over 110 N."""
    value, level = read(plan("bore: 20 mm, bends: [], length: 100"), "pull")
    assert value == pytest.approx(0.425 * 0.045 * 9.81 * 100 / 110)
    assert level is None


def test_bends_multiply_the_pull() -> None:
    """The capstan equation (Euler, Eytelwein): e^(mu · angle)."""
    ((reading, _),) = (
        (r, at) for r, at in kit.readings(plan("bore: 20 mm, bends: [180], length: 40"), TIGHT) if r.key == "pull"
    )
    last = 0.5 * 0.045 * 9.81 * 40 * math.exp(0.5 * math.pi) / 110
    first = 0.35 * 0.045 * 9.81 * 40 / 110
    assert [reading.figure.low, reading.figure.high] == pytest.approx([first, last])


def test_a_longer_pull_is_never_better() -> None:
    swept = kit.sweep(
        TIGHT, lambda m: plan(f"bore: 20 mm, bends: [90, 90, 90], length: {m}"), [5, 30, 150, 400, 800], key="pull"
    )
    assert next(at for _, at in swept) is None
    assert [at for _, at in swept][-1] == "warning"
    found = [f for f in findings(plan("bore: 20 mm, bends: [90, 90, 90], length: 800"), TIGHT) if f.key == "pull"]
    assert "pull point" in found[0].remedies[0].text


def test_sizes_are_asked_for_and_bends_only_where_they_matter() -> None:
    assert asked(plan("runs: wall")) == {"conduit/pipe/bore"}
    assert asked(plan(each=0)) == {"cable/c0/diameter"}
    assert asked(plan("bore: 20 mm, length: 5")) == set()
    assert asked(plan("bore: 20 mm, length: 40")) == {"conduit/pipe/bends"}
    assert asked(plan("bore: 20 mm, bends: [90]")) == {"conduit/pipe/length"}
    assert asked(plan("runs: wall", count=0)) == set()


# ------------------------------------------------------------------------- mains in it


def test_the_page_of_mains_in_conduits_holds() -> None:
    kit.hold_page(MainsInConduit)


@pytest.mark.parametrize(
    ("contents", "count", "value", "level"),
    [
        ("{diameter: 6 mm, carries: mains}", 1, 1, "error"),
        ("{diameter: 6 mm, carries: mains, count: 3}", 1, 3, "error"),
        ("{diameter: 6 mm, carries: mains}, {diameter: 5 mm, carries: low-voltage}", 0, 1, "error"),
        ("{diameter: 6 mm, carries: mains}", 0, 0, None),
        ("{diameter: 6 mm, carries: low-voltage}", 2, 0, None),
    ],
)
def test_mains_beside_anything_else_is_an_error(contents: str, count: int, value: int, level: str | None) -> None:
    reading, at = one(plan(f"bore: 50 mm, contents: [{contents}]", count=count), MAINS)
    assert (reading.figure.value, at) == (value, level)


def test_nobody_is_told_to_open_it_and_the_plan_cannot_silence_it() -> None:
    text = plan("bore: 50 mm, contents: [{diameter: 6 mm, carries: mains}]")
    (found,) = findings(text, MAINS)
    assert "licensed electrician" in found.caution
    assert not any(remedy.edits for remedy in found.remedies)
    assert MainsInConduit.info.safety
    assert findings(text + "settings: {CABLE-12: {error: 5}}\n", MAINS)


# --------------------------------------------------------------------------------- bends


def test_the_page_of_bends_holds() -> None:
    kit.hold_page(TightBend)


def bent(radius: float, **more: str) -> str:
    """A cable 6.5 mm thick with one bend."""
    return plan(
        "bore: 50 mm", each=6.5, cable=f", bend: {radius} mm{more.get('cable', '')}", stage=more.get("stage", "design")
    )


def test_the_worked_example_of_bends_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(TightBend).read_text("utf-8").split())
    for radius, level in ((20, "a warning"), (12, "an error")):
        reading, at = one(bent(radius), BEND)
        assert f"{reading.figure.value:.0%}".replace("%", " %") in page
        assert at == level.split()[-1]


def test_a_wider_bend_is_never_worse() -> None:
    """TIA-568: four times the diameter, 26 mm for 6.5 mm."""
    swept = kit.sweep(BEND, bent, [5, 12.9, 13.1, 25.9, 26, 40])
    assert [at for _, at in swept] == ["error", "error", "warning", "warning", None, None]


def test_a_wider_bend_clears_it_and_a_kink_is_replaced() -> None:
    assert kit.hold_remedies(bent(20), BEND) == 1
    (built,) = findings(bent(20, stage="ready"), BEND)
    assert "kinked" in built.remedies[0].text
    assert not built.remedies[0].edits


def test_the_diameter_is_asked_for_where_a_bend_is_told() -> None:
    assert asked(plan("bore: 50 mm", each=0, cable=", bend: 20 mm"), BEND) == {"cable/c0/diameter"}
    assert not kit.readings(bent(20, cable=", kind: fibre"), BEND)
