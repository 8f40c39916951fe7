"""VIEW-07: what grows in front of wanted ground."""

import pytest

from oneclimb import kit
from oneclimb.api import Finding
from oneclimb.register import page_path
from oneclimb_rules.view.grows_in import GrowsIn

HEDGE = "{id: laurel, kind: hedge, wall: back, along: -4 to 14, out: 6, tall: 1.2, deep: 0.6"


def plan(thing: str, *, settings: str = "", out: str = "8 to 14") -> str:
    """A camera 2.8 m up that looks over something growing."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 90, right: 90, back: 90, left: 90}}
beyond: {{others: neighbour, front: neighbour}}
{settings}
objects: [{thing}]
areas: [{{id: meadow, for: detect, wall: back, along: 2 to 8, out: {out}}}]
cameras:
  - {{id: cam, shape: box, mount: {{wall: back, along: 5, height: 2.8}}, aim: {{bearing: 0, tilt: 18}}, night: none}}
"""


def grows(metres: float) -> str:
    """The hedge growing so much a year."""
    return f"{HEDGE}, grows: {metres} m}}"


def found(text: str) -> list[Finding]:
    """The findings of the rule."""
    return [finding for finding in kit.look(text).findings if finding.code == "VIEW-07"]


def test_its_page_holds() -> None:
    kit.hold_page(GrowsIn)


def test_the_worked_example_is_a_line_over_a_hedge() -> None:
    page = " ".join(page_path(GrowsIn).read_text(encoding="utf-8").split())
    far, near = (2.8 - 1.3 * 6 / away for away in (14, 8))
    assert f"= {far:.2f} m up where a hedge stands 6 m away" in page
    assert f"8 m away it is {near:.2f} m up" in page


@pytest.mark.parametrize(("away", "over"), [(9.0, 1.93), (12.0, 2.15)])
def test_it_hides_a_place_when_it_has_grown_past_the_line_to_it(away: float, over: float) -> None:
    """Held against the triangle: the top of a thin hedge at the height of the line of sight."""
    assert over == pytest.approx(2.8 - 1.3 * 6 / away, abs=0.01)

    def hidden(tall: float) -> float:
        size = f"tall: {tall - 0.3}, deep: 0.02, grows: 0.1 m"
        thing = f"{{id: screen, kind: hedge, wall: back, along: -4 to 14, out: 6, {size}}}"
        ((reading, _),) = kit.readings(plan(thing, out=f"{away}"), "VIEW-07")
        return reading.figure.value

    assert hidden(over - 0.1) == 0.0
    assert hidden(over + 0.1) == 1.0


def test_the_faster_it_grows_the_more_it_hides() -> None:
    swept = kit.sweep("VIEW-07", lambda rate: plan(grows(rate)), [0.02, 0.1, 0.2, 0.25, 0.3, 0.4, 0.6])
    assert swept[0] == (0.0, None)
    assert swept[-1] == (1.0, "warning")
    assert "note" in {level for _, level in swept}


def test_it_tells_now_then_and_bare() -> None:
    (finding,) = found(plan(grows(0.4)))
    assert "in 3 years it hides 100 % of meadow from every camera, now 0 %" in finding.text
    assert "bare of leaves, or gone, 100 % of meadow would be shown" in finding.text
    assert "nests" in finding.caution


def test_cutting_back_is_tried_and_lifting_a_crown_too() -> None:
    assert kit.hold_remedies(plan(grows(0.4)), "VIEW-07") == 1
    size = "tall: 3, diameter: 1.5, trunk: {height: 1.5 m}, grows: 0.6 m"
    tree = f"{{id: ash, kind: tree, wall: back, along: 5, out: 6.5, {size}}}"
    (finding,) = found(plan(tree, out="9 to 12"))
    assert any("lift the crown" in remedy.text for remedy in finding.remedies)
    assert kit.hold_remedies(plan(tree, out="9 to 12"), "VIEW-07") >= 1


def test_what_is_somebody_elses_is_agreed_on_not_cut() -> None:
    (finding,) = found(plan(grows(0.4).replace("grows", "fixed-by: others, grows")))
    assert not any(remedy.edits for remedy in finding.remedies)
    assert "not yours to cut" in finding.remedies[0].text


def test_years_are_a_setting_and_what_does_not_grow_is_silent() -> None:
    assert found(plan(grows(0.4), settings="settings: {VIEW-07: {years: 1}}")) == []
    assert kit.readings(plan(f"{HEDGE}, grows: 0 m}}"), "VIEW-07") == []


def test_a_hedge_round_a_corner_is_one_hedge() -> None:
    bent = "{id: laurel, kind: hedge, points: [[-4, 13], [14, 13], [14, 20]], tall: 1.2, deep: 0.6, grows: 0.4 m}"
    assert [finding.at.id for finding in found(plan(bent))] == ["laurel"]
