"""CABLE-11, CABLE-13 and CABLE-14: jackets indoors, in wet places, in fire walls and air spaces."""

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Reading
from oneclimb.register import page_path
from oneclimb_rules.cable.fire_walls import FireWalls
from oneclimb_rules.cable.outdoor_indoors import OutdoorIndoors
from oneclimb_rules.cable.wet_jacket import WetJacket

INDOORS, WET, FIRE = "CABLE-11", "CABLE-13", "CABLE-14"


def plan(cable: str, *, stage: str = "design", more: str = "") -> str:
    """A long house and a cable."""
    return f"""
site: {{stage: {stage}}}
house: {{front: {{faces: 180, width: 30}}, depth: 8, height: 5}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none}}
cables:
  - {{id: c, {cable}}}
{more}
"""


def one(text: str, code: str) -> tuple[Reading, str | None]:
    """The one reading."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def finding(text: str, code: str) -> Finding:
    """The one finding."""
    (found,) = (f for f in kit.look(text).findings if f.code == code)
    return found


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


# ----------------------------------------------------------------------------- indoors


def inside(metres: float, *, suits: str = "suits: [sun, wet], ", cover: str = "indoors", start: float = 1) -> str:
    """A cable that comes in through the front wall and runs so far along its inside."""
    along = f"{{wall: front, along: 1, out: -0.5, height: 2.8, cover: {cover}}}"
    end = f"{{wall: front, along: {1 + metres}, out: -0.5, height: 2.8}}"
    entry = f"{{wall: front, along: 1, out: {start}, height: 2.8, cover: wall}}, "
    return plan(f"{suits}route: [{entry}{along}, {end}]")


def test_the_page_of_indoors_holds() -> None:
    kit.hold_page(OutdoorIndoors)


def test_the_worked_example_of_indoors_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(OutdoorIndoors).read_text("utf-8").split())
    failing, _ = kit.plans(page_path(OutdoorIndoors).read_text("utf-8"))
    reading, level = one(failing, INDOORS)
    assert f"A route with {reading.figure.value:.2f} m indoors is a warning, one with 12 m a note." in page
    assert level == "warning"
    assert one(inside(12), INDOORS)[1] == "note"


def test_farther_indoors_is_never_better() -> None:
    """NEC 800.48: 50 ft, 15.24 m."""
    swept = kit.sweep(INDOORS, inside, [2, 9.9, 10.1, 15.2, 15.3, 25])
    assert [at for _, at in swept] == [None, None, "note", "note", "warning", "warning"]


@pytest.mark.parametrize("suits", ["suits: [sun, indoors], ", "suits: [air space], "])
def test_a_jacket_for_indoors_counts_nothing(suits: str) -> None:
    assert one(inside(25, suits=suits), INDOORS)[0].figure.value == 0


def test_a_cable_that_never_leaves_the_house_counts_nothing() -> None:
    assert one(inside(25, start=-0.4), INDOORS)[0].figure.value == 0


def test_conduit_indoors_counts_nothing() -> None:
    assert one(inside(25, cover="conduit"), INDOORS)[0].figure.value == 0


def test_the_jacket_is_asked_for_only_past_a_limit() -> None:
    assert asked(inside(9, suits=""), INDOORS) == set()
    assert asked(inside(12, suits=""), INDOORS) == {"cable/c/suits"}


def test_a_joint_is_advised_and_another_jacket_tried() -> None:
    assert "box" in finding(inside(20), INDOORS).remedies[0].text
    assert kit.hold_remedies(inside(20), INDOORS) == 1


# --------------------------------------------------------------------------------- wet


def wet(first: str, metres: float = 8, *, suits: str = "suits: [sun], ", more: str = "", stage: str = "design") -> str:
    """A cable in the garden."""
    end = f"{{at: [2, {-1 - metres}]}}"
    return plan(f"{suits}route: [{{at: [2, -1], {first}}}, {end}]{more}", stage=stage)


EARTH = "cover: buried, depth: 600 mm"


def test_the_page_of_wet_places_holds() -> None:
    kit.hold_page(WetJacket)


def test_the_worked_example_of_wet_places_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(WetJacket).read_text("utf-8").split())
    failing, _ = kit.plans(page_path(WetJacket).read_text("utf-8"))
    reading, level = one(failing, WET)
    wet_metres = reading.facts["wet"]
    said = f"{wet_metres['burial']:.2f} m in earth and {wet_metres['wet']:.2f} m in conduit up a wall"
    assert said in page
    assert f"{reading.figure.value:.2f} m, a warning" in page
    assert level == "warning"


@pytest.mark.parametrize(
    ("first", "suits", "metres"),
    [
        (EARTH, "[wet]", 8),
        (EARTH, "[burial]", 0),
        (EARTH, "[sun, indoors]", 8),
        ("cover: conduit", "[sun]", 8),
        ("cover: conduit", "[wet]", 0),
        ("cover: conduit", "[burial]", 0),
        ("cover: none", "[indoors]", 0),
        ("cover: indoors", "[indoors]", 0),
    ],
)
def test_each_place_wants_its_jacket(first: str, suits: str, metres: float) -> None:
    assert one(wet(first, suits=f"suits: {suits}, "), WET)[0].figure.value == pytest.approx(metres)


def test_conduit_inside_the_house_is_dry() -> None:
    ends = "{wall: front, along: 2, out: -1, height: 2, cover: conduit}, {wall: front, along: 9, out: -1, height: 2}"
    assert one(plan(f"suits: [sun], route: [{ends}]"), WET)[0].figure.value == 0


def test_more_of_it_is_never_better() -> None:
    swept = kit.sweep(WET, lambda m: wet(EARTH, m), [0.2, 0.9, 1.1, 5, 30])
    assert [at for _, at in swept] == ["note", "note", "warning", "warning", "warning"]


@pytest.mark.parametrize(("runs", "metres"), [("buried", 12), ("open", 12), ("wall", 0), ("indoors", 0)])
def test_without_a_route_the_conduit_tells(runs: str, metres: float) -> None:
    text = plan("suits: [sun], conduit: pipe", more=f"conduits: [{{id: pipe, runs: {runs}, length: 12}}]")
    assert one(text, WET)[0].figure.value == metres


def test_where_a_conduit_runs_is_asked_where_the_jacket_may_not_suit_it() -> None:
    pipe = "conduits: [{id: pipe, length: 12}]"
    for suits in ("suits: [sun], ", ""):
        assert asked(plan(f"{suits}conduit: pipe", more=pipe), WET) == {"conduit/pipe/runs"}
    assert asked(plan("suits: [wet], conduit: pipe", more=pipe), WET) == set()


def test_in_a_conduit_underground_a_jacket_for_wet_places_is_enough() -> None:
    pipe = "conduits: [{id: pipe, runs: buried}]"
    text = wet(EARTH, suits="suits: [wet], ", more=", conduit: pipe") + pipe
    assert one(text, WET)[0].figure.value == 0


def test_the_jacket_is_asked_for_only_where_something_lies_wet() -> None:
    assert asked(wet(EARTH, suits=""), WET) == {"cable/c/suits"}
    assert asked(wet("cover: none", suits=""), WET) == set()
    pipe = "conduits: [{id: pipe, runs: buried}]"
    assert asked(plan("conduit: pipe", more=pipe), WET) == {"conduit/pipe/length"}


def test_another_jacket_clears_it_while_it_can_be_chosen() -> None:
    assert kit.hold_remedies(wet(EARTH), WET) == 1
    assert not finding(wet(EARTH, stage="as-built"), WET).remedies[0].edits


# ------------------------------------------------------------------ fire walls, air spaces


def test_the_page_of_fire_walls_holds() -> None:
    kit.hold_page(FireWalls)


@pytest.mark.parametrize(
    ("cable", "levels"),
    [
        ("through: [fire wall], fire-stopped: false", ["error"]),
        ("through: [fire wall], fire-stopped: true", []),
        ("through: [air space], suits: [indoors]", ["warning"]),
        ("through: [air space], suits: [air space]", []),
        ("through: [fire wall, air space], fire-stopped: false, suits: [sun]", ["error", "warning"]),
        ("fire-stopped: false, suits: [sun]", []),
    ],
)
def test_what_the_plan_declares_is_held_against_what_ought_to_be(cable: str, levels: list[str]) -> None:
    assert sorted(f.level for f in kit.look(plan(f"length: 9, {cable}")).findings if f.code == FIRE) == levels


def test_the_pages_words_on_fire_walls_are_what_the_rule_counts() -> None:
    page = " ".join(page_path(FireWalls).read_text("utf-8").split())
    wall, air = (
        one(plan(f"length: 9, {cable}"), FIRE)
        for cable in ("through: [fire wall], fire-stopped: false", "through: [air space], suits: [indoors]")
    )
    assert f"is {wall[0].figure.value:.0f} of 3, an error" in page
    assert f"is {air[0].figure.value:.0f} of 3, a warning" in page
    assert (wall[1], air[1]) == ("error", "warning")


def test_what_is_not_said_is_asked() -> None:
    assert asked(plan("length: 9, through: [fire wall]"), FIRE) == {"cable/c/fire-stopped"}
    assert asked(plan("length: 9, through: [air space]"), FIRE) == {"cable/c/suits"}


def test_nothing_is_drilled_without_asking() -> None:
    found = finding(plan("length: 9, through: [fire wall], fire-stopped: false"), FIRE)
    assert "Ask before drilling" in found.caution
    assert not any(remedy.edits for remedy in found.remedies)
