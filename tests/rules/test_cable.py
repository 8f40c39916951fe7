"""CABLE-01: bare cable within reach."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.cable.exposed_low_cable import ExposedLowCable

CODE = "CABLE-01"


def plan(route: str, *, place: str = "place: [54.62, -3.55]", faces: int = 0, more: str = "") -> str:
    """A camera and its cable along a route."""
    return f"""
site: {{{place}}}
house: {{front: {{faces: {faces}, width: 12}}, depth: 7, height: 5}}
{more}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    power: {{source: poe}}
    cable: {{to: switch, sits: indoors, route: [{route}]}}
"""


def drop(bottom: float, top: float = 2.5) -> str:
    """A cable straight down a wall."""
    return f"{{wall: front, along: 6, height: {top}}}, {{wall: front, along: 6, height: {bottom}}}"


def level_run(height: float) -> str:
    """A cable along a wall."""
    return f"{{wall: front, along: 2, height: {height}}}, {{wall: front, along: 6, height: {height}}}"


def level(text: str) -> str | None:
    """The level of the cable's finding."""
    found = [f for f in kit.look(text).findings if f.code == CODE]
    return found[0].level if found else None


def test_the_page_holds() -> None:
    kit.hold_page(ExposedLowCable)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(ExposedLowCable).read_text(encoding="utf-8").split())
    ((reading, at),) = kit.readings(plan(drop(0.6, 2.6), faces=200), CODE)
    assert reading.figure.value == pytest.approx(1.9)
    assert at == "warning"
    assert f"2.50 − 0.60 = {reading.figure.value:.2f} m" in page
    assert f"1.90 × 1.5 = {1.5 * reading.figure.value:.2f} m" in page
    assert f"0.40 × 1.5 = {1.5 * 0.4:.2f} m" in page
    assert level(plan(drop(2.1), faces=0)) == "note"
    assert level(plan(drop(2.1), faces=200)) == "warning"


def test_more_in_reach_is_never_better() -> None:
    swept = kit.sweep(CODE, lambda bottom: plan(drop(bottom)), [2.45, 2.3, 2.05, 1.95, 1.5, 1.0, 0.1])
    assert {at for _, at in swept} == {"note", "warning"}


def test_higher_is_never_worse() -> None:
    swept = kit.sweep(CODE, lambda height: plan(level_run(height)), [0.5, 1.5, 2.45, 2.5, 2.55, 2.7, 3.0])
    assert [at for _, at in swept] == ["warning"] * 4 + [None] * 3


def test_the_sun_is_asked_for_and_the_finding_stands_without_it() -> None:
    review = kit.look(plan(drop(1.0), place="name: Somewhere"))
    (asked,) = (item for item in review.cannot_tell if item.code == CODE)
    assert asked.ref.path == "site/site/place"
    assert asked.asks.endswith("(the sun on the cable's jacket goes by it)")
    assert level(plan(drop(1.0), place="name: Somewhere")) == "warning"


def test_the_sun_is_told_here_only_while_nobody_says_what_the_jacket_suits() -> None:
    for suits, told in (("", True), ("suits: [indoors], ", False), ("suits: [sun], ", False)):
        text = plan(drop(1.0), faces=200).replace("sits: indoors,", f"sits: indoors, {suits}")
        (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
        assert ("faces the sun" in finding.text) == told


def test_the_lowest_point_is_where_the_route_ends() -> None:
    (finding,) = (f for f in kit.look(plan(drop(1.0))).findings if f.code == CODE)
    assert "at its lowest it is 1.00 m above the ground" in finding.text
    assert "least 1.0 m above the ground" in finding.steps[0]


def test_a_cable_with_no_route_cannot_be_told() -> None:
    text = plan(drop(1.0)).replace(f", route: [{drop(1.0)}]", "")
    review = kit.look(text)
    assert [item.ref.path for item in review.cannot_tell if item.code == CODE] == ["cable/cam-cable/route"]
    assert level(text) is None


def test_conduit_and_height_both_clear_a_level_run() -> None:
    (finding,) = (f for f in kit.look(plan(level_run(1.2))).findings if f.code == CODE)
    assert [bool(remedy.edits) for remedy in finding.remedies] == [True, True]
    assert "2.55 m" in finding.remedies[1].text
    assert kit.hold_remedies(plan(level_run(1.2)), CODE) == 2


def test_five_centimetres_less_and_the_finding_stays() -> None:
    text = plan(level_run(1.2))
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    mended = kit.mend(text, finding, finding.remedies[1], kit.look(text))
    assert level(mended) is None
    assert level(mended.replace("2.55 m", "2.50 m")) == "warning"


def rises(route: str, mount: str = "along: 6, height: 3") -> list[str]:
    """What is said of running a cable higher; conduit is offered in any case."""
    text = plan(route).replace("along: 6, height: 3", mount)
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert kit.hold_remedies(text, CODE) == len(finding.remedies)
    assert "in conduit" in finding.remedies[0].text
    return [remedy.text for remedy in finding.remedies[1:]]


def test_a_drop_that_must_come_down_gets_conduit_only() -> None:
    """Raised, both its ends would be one point, and a stretch of no length is not in reach of anything."""
    assert rises(drop(1.4, 2.6)) == []
    inwards = "{wall: front, along: 6, height: 2.6}, {wall: front, along: 6, height: 1.4, cover: wall}"
    assert rises(inwards + ", {wall: front, along: 6, out: -0.3, height: 1.4}") == []


def test_a_cable_that_dips_is_run_higher_by_its_low_points_alone() -> None:
    ends = "{wall: front, along: 2, height: 2.8}, {}, {wall: front, along: 9, height: 2.8}"
    dips = "{wall: front, along: 4, height: 1.2}, {wall: front, along: 7, height: 1.4}"
    route = ends.replace("{}", dips)
    assert rises(route) == ["run that stretch 2.55 m up, out of reach"]
    (finding,) = (f for f in kit.look(plan(route)).findings if f.code == CODE)
    assert [change.at.field for change in finding.remedies[1].edits] == ["route.1.height", "route.2.height"]


def test_a_dip_that_drops_straight_is_run_higher_only_while_its_drops_stay() -> None:
    dip = "{wall: front, along: 2, height: TOP}, {wall: front, along: 2, height: 1.2}"
    dip += ", {wall: front, along: 7, height: 1.2}"
    dip += ", {wall: front, along: 7, height: TOP}"
    assert rises(dip.replace("TOP", "2.8")) == ["run that stretch 2.55 m up, out of reach"]
    assert rises(dip.replace("TOP", "2.55")) == []


def test_the_end_at_the_camera_stays_at_the_camera() -> None:
    route = "{wall: front, along: 6, height: 2.4}, {wall: front, along: 2, height: 2.4}"
    assert rises(route, "along: 6, height: 2.4") == []
    assert rises(route, "along: 8, height: 2.4") == ["run that stretch 2.55 m up, out of reach"]


def test_heights_from_a_storeys_floor_are_left_alone() -> None:
    on_ground_floor = level_run(1.2).replace("height", "storey: 1, height")
    assert rises(on_ground_floor) == []


def test_a_raised_building_counts_from_its_own_ground() -> None:
    text = plan(level_run(1.2)).replace("house: {", "house: {base: 1.5, ")
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert finding.remedies[1].text == "run that stretch 2.55 m up, out of reach"
    assert kit.hold_remedies(text, CODE) == 2


def test_the_conduit_is_as_long_as_what_it_covers() -> None:
    (finding,) = (f for f in kit.look(plan(drop(0.6, 2.6))).findings if f.code == CODE)
    assert finding.text.startswith("1.90 m of the cable")
    assert finding.remedies[0].text.startswith("put it in conduit (2.00 m with its ends)")


def test_steps_are_named_and_shown() -> None:
    steps = "objects: [{id: porch-steps, kind: steps, wall: front, along: 4}]"
    (finding,) = (f for f in kit.look(plan(level_run(2.9), more=steps)).findings if f.code == CODE)
    assert "porch-steps" in finding.text
    assert [related.at.path for related in finding.related] == ["object/porch-steps"]


def test_feet_and_inches_are_answered_in_feet_and_inches() -> None:
    text = "units: feet\n" + plan("{wall: front, along: 2, height: 4}, {wall: front, along: 6, height: 4}").replace(
        "width: 12", "width: 40"
    ).replace("depth: 7", "depth: 23").replace("height: 5}", "height: 16}").replace("height: 3}", "height: 10}")
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert "4 ft" in finding.text
