"""SEAL-02 and SEAL-03: rain along the cable and through the hole behind the camera."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.seal.drip_loop import DripLoop
from oneclimb_rules.seal.entry_hole import EntryHole

LOOP, HOLE = "SEAL-02", "SEAL-03"
ROUTE = "route: [{wall: front, along: 20, height: 3, cover: wall}, {wall: front, along: 20, height: 2}]"


def plan(
    entry: str, *, weather: str = "frost", eave: str = "height: 20", height: float = 3, stage: str = "design",
    cable: bool = True, sits: str = "outdoors",
) -> str:  # fmt: skip
    """A camera on a wide wall, its cable and what the plan says of its entry."""
    return f"""
site: {{coast: 12 km, weather: [{weather}], stage: {stage}}}
house: {{front: {{faces: 180, width: 60}}, depth: 7, {eave}}}
cameras:
  - id: cam
    mount: {{wall: front, along: 20, height: {height}}}
    night: none
    sits: {sits}
    {f"cable: {{to: switch, sits: indoors, {ROUTE}}}" if cable else "link: wireless"}
    {entry}
"""


def score(text: str, code: str) -> float:
    """Rain led in."""
    ((reading, _),) = kit.readings(text, code)
    return reading.figure.value


def level(text: str, code: str) -> str | None:
    """The level of the camera's finding."""
    found = [f for f in kit.look(text).findings if f.code == code]
    return found[0].level if found else None


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


def words(rule: type) -> str:
    """A rule's page in one line."""
    return " ".join(page_path(rule).read_text(encoding="utf-8").split())


def entry(side: str, loop: str = "false") -> str:
    """The plan with the cable in on a side."""
    return plan(f"entry: {{side: {side}, loop: {loop}}}")


def hole(falls: str, sealed: str = "false") -> str:
    """The plan with a hole."""
    return plan(f"entry: {{side: below, hole: {{falls: {falls}, sealed: {sealed}, to: cavity}}}}")


def test_the_page_of_loops_holds() -> None:
    kit.hold_page(DripLoop)


def test_the_page_of_holes_holds() -> None:
    kit.hold_page(EntryHole)


def test_the_pages_example_of_loops_is_what_the_rule_computes() -> None:
    """Half of the sky is before an open high wall, by symmetry."""
    page = words(DripLoop)
    assert "10 × 0.50 = 5.00. In from above 5.00, an error; at the side 5.00 × 0.4 = 2.00, a warning" in page
    assert score(entry("above"), LOOP) == pytest.approx(5.0, abs=0.15)
    assert level(entry("above"), LOOP) == "error"
    assert score(entry("side"), LOOP) == pytest.approx(2.0, abs=0.06)
    assert level(entry("side"), LOOP) == "warning"
    assert "from above with a loop 5.00 × 0.08 = 0.40, silent" in page
    assert score(entry("above", "true"), LOOP) == pytest.approx(0.4, abs=0.015)


def test_the_ways_in_are_in_the_trades_order_and_a_loop_is_always_better() -> None:
    without = [score(entry(side), LOOP) for side in ("below", "behind", "side", "above")]
    assert without == sorted(without)
    assert without[0] == 0
    for side in ("behind", "side", "above"):
        assert score(entry(side, "true"), LOOP) == pytest.approx(score(entry(side), LOOP) * 0.08)


def test_further_under_an_eave_is_never_wetter() -> None:
    def under(depth: float) -> str:
        return plan("entry: {side: above, loop: false}", eave=f"eave: {{height: 3.2, depth: {depth}}}")

    swept = kit.sweep(LOOP, under, [0.05, 0.2, 0.3, 0.4, 0.6, 0.8])
    assert next(at for _, at in swept) == "error"
    assert [at for _, at in swept][-1] in (None, "note")


def test_the_weather_counts() -> None:
    text = "entry: {side: side, loop: false}"
    dry, frost, driving = (score(plan(text, weather=air), LOOP) for air in ("dry", "frost", "driving-rain"))
    assert dry == pytest.approx(frost / 2)
    assert driving == pytest.approx(frost + 0.4)


def test_side_and_loop_are_asked_for_where_they_matter() -> None:
    assert asked(plan("entry: {loop: false}"), LOOP) == {"camera/cam/entry/side"}
    assert asked(plan("entry: {side: above}"), LOOP) == {"camera/cam/entry/loop"}
    assert asked(plan("entry: {side: below}"), LOOP) == set()
    assert asked(plan(""), LOOP) == set(), "a plan that doesn't speak of entries isn't asked"
    assert asked(plan("entry: {loop: false}", cable=False), LOOP) == set()
    assert score(plan("entry: {side: above}", sits="indoors"), LOOP) == 0


@pytest.mark.parametrize("side", ["above", "side", "behind"])
def test_a_loop_and_the_way_from_below_are_tried(side: str) -> None:
    assert kit.hold_remedies(entry(side), LOOP) == 2
    built = plan(f"entry: {{side: {side}, loop: false}}", stage="as-built")
    (finding,) = (f for f in kit.look(built).findings if f.code == LOOP)
    assert not any(remedy.edits for remedy in finding.remedies)


def test_the_pages_example_of_holes_is_what_the_rule_computes() -> None:
    page = words(EntryHole)
    assert "5.00 × 0.5 = 2.50, a warning; falling to the inside 5.00, an error; sealed 0.50, a note still" in page
    for text, value, at in (
        (hole("level"), 2.5, "warning"),
        (hole("inside"), 5.0, "error"),
        (hole("inside", "true"), 0.5, "note"),
        (hole("outside"), 0.25, None),
    ):
        assert score(text, HOLE) == pytest.approx(value, rel=0.04)
        assert level(text, HOLE) == at


@pytest.mark.parametrize("falls", ["level", "inside"])
def test_the_right_slope_and_a_seal_are_tried(falls: str) -> None:
    tried = kit.hold_remedies(hole(falls), HOLE)
    assert tried == (2 if falls == "level" else 1), "a hole into the house stays a note when it is only sealed"


def test_a_hole_is_asked_about_only_where_the_plan_speaks_of_one() -> None:
    assert asked(plan("entry: {side: below}"), HOLE) == set()
    assert asked(plan("entry: {side: below, hole: {to: cavity}}"), HOLE) == {
        "camera/cam/entry/hole/falls",
        "camera/cam/entry/hole/sealed",
    }
    (finding,) = (f for f in kit.look(hole("level")).findings if f.code == HOLE)
    assert "asbestos" in finding.caution
