"""SEAL-04, SEAL-05, SEAL-06: glands, breathing holes and conduits, boxes."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.seal.box_and_place import BoxAndPlace
from oneclimb_rules.seal.breathing import Breathing
from oneclimb_rules.seal.gland_and_cable import GlandAndCable

GLAND, BREATH, BOX = "SEAL-04", "SEAL-05", "SEAL-06"


def plan(
    *, top: str = "", camera: str = "", plug: str = "seal: gland", cable: str = "", temperature: str = "-6 to 29 C",
    coast: str = "coast: 12 km,", stage: str = "design", house: str = "height: 20",
) -> str:  # fmt: skip
    """A camera, its cable and plug on a wide, high wall."""
    return f"""
site: {{{coast} weather: [frost], stage: {stage}, temperature: {temperature}}}
house: {{front: {{faces: 180, width: 60}}, depth: 7, {house}}}
{top}
cameras:
  - id: cam
    mount: {{wall: front, along: 30, height: 3}}
    night: none
    power: {{source: poe, watts: 6 W}}
    {camera}
cables:
  - id: c
    camera: cam
    {cable}
    connectors: [{{id: plug, wall: front, along: 30, height: 2.6, sits: open, {plug}}}]
"""


def level(text: str, code: str) -> str | None:
    """The level of the one finding."""
    found = [f for f in kit.look(text).findings if f.code == code]
    return found[0].level if found else None


def figure(text: str, code: str) -> float:
    """The figure of the one reading."""
    ((reading, _),) = kit.readings(text, code)
    return reading.figure.value


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


def words(rule: type) -> str:
    """A rule's page in one line."""
    return " ".join(page_path(rule).read_text(encoding="utf-8").split())


@pytest.mark.parametrize("rule", [GlandAndCable, Breathing, BoxAndPlace])
def test_the_page_holds(rule: type) -> None:
    kit.hold_page(rule)


# ------------------------------------------------------------------------ glands


def gland(mm: float) -> str:
    """A cable of a diameter in a gland for 5 to 8 mm."""
    return plan(plug="seal: gland, clamps: 5 to 8 mm", cable=f"diameter: {mm} mm")


def test_the_pages_example_of_glands_is_what_the_rule_computes() -> None:
    assert "5.0 − 4.4 = 0.6 mm outside, a warning" in words(GlandAndCable)
    assert figure(gland(4.4), GLAND) == pytest.approx(0.6)
    assert figure(gland(6), GLAND) == pytest.approx(-1.0)


def test_outside_the_glands_range_on_either_side_is_told() -> None:
    thin = kit.sweep(GLAND, gland, [6.5, 5, 4.9, 4.2, 3.9, 2])
    thick = kit.sweep(GLAND, gland, [6.5, 8, 8.1, 8.8, 9.1, 12])
    for swept in (thin, thick):
        assert [at for _, at in swept] == [None, None, "warning", "warning", "error", "error"]
    (finding,) = (f for f in kit.look(gland(9.5)).findings if f.code == GLAND)
    assert "too thick" in finding.text
    assert kit.hold_remedies(gland(9.5), GLAND) == 1


def test_the_other_figure_is_asked_where_one_is_known() -> None:
    assert asked(plan(plug="seal: gland, clamps: 5 to 8 mm"), GLAND) == {"cable/c/diameter"}
    assert asked(plan(cable="diameter: 6 mm"), GLAND) == {"connector/plug/clamps"}
    assert asked(plan(cable="diameter: 6 mm", plug="seal: shell"), GLAND) == set()
    assert asked(plan(), GLAND) == set()


def test_a_joint_in_a_box_nobody_named_is_asked_for_in_a_plan_with_boxes() -> None:
    boxes = "boxes: [{id: back-box, wall: front, along: 29, height: 2.6, sits: open, rated: [IP66], drains: true}]"
    text = plan(top=boxes).replace("sits: open, seal", "sits: box, seal")
    assert asked(text, GLAND) == {"connector/plug/box"}
    assert asked(text.replace("sits: box, seal", "sits: box, box: back-box, seal"), GLAND) == set()


# ------------------------------------------------------------------------ breathing


def breath(coldest: float, watts: str = "6 W", sealed: str = "false") -> str:
    """A hole to a room, in a site that gets so cold."""
    entry = f"entry: {{side: below, hole: {{falls: outside, sealed: {sealed}, to: room}}}}"
    return plan(camera=entry, temperature=f"{coldest} to 29 C").replace("watts: 6 W", f"watts: {watts}")


def test_the_pages_example_of_breathing_is_what_the_rule_computes() -> None:
    """20 °C at 50 %: psychrometric tables give a dew point of 9.3 °C; at 35 %, 4.2 °C."""
    ((reading, at),) = kit.readings(breath(-6), BREATH)
    page = words(Breathing)
    assert f"at its skin: {reading.figure.value:.1f} K" in page.replace("at least on its skin", "at its skin")
    assert f"still {reading.figure.low:.1f} K below" in page.replace("1.3 K", f"{reading.figure.low:.1f} K")
    assert reading.figure.value == pytest.approx(9.3 - 0, abs=0.1)
    assert reading.figure.low == pytest.approx(4.2 - (-6 + 8.8), abs=0.2)
    assert at == "note"


def test_colder_is_never_better() -> None:
    swept = kit.sweep(BREATH, breath, [20, 9, 4, 2, -2, -6, -10, -15, -25])
    assert next(at for _, at in swept) is None
    assert [at for _, at in swept][-1] == "warning"


def test_a_sealed_hole_or_one_that_leads_elsewhere_is_not_told_of() -> None:
    assert kit.readings(breath(-6, sealed="true"), BREATH) == []
    assert kit.readings(breath(-6).replace("to: room", "to: cavity"), BREATH) == []


def test_a_conduit_from_a_room_outdoors_is_held_against_the_coldest_air() -> None:
    conduits = "conduits: [{id: pipe, joins: [room, outdoors], sealed: false}]"
    text = plan(top=conduits)
    ((reading, at),) = kit.readings(text, BREATH)
    assert reading.figure.value == pytest.approx(9.3 + 6, abs=0.1)
    assert at == "warning"
    (finding,) = (f for f in kit.look(text).findings if f.code == BREATH)
    assert finding.at.path == "conduit/pipe/sealed"
    assert any("drain at the lowest point" in one.text for one in finding.remedies)
    (drained,) = (
        f for f in kit.look(plan(top=conduits.replace("sealed", "drained: true, sealed"))).findings if f.code == BREATH
    )
    assert not any("drain at the lowest point" in one.text for one in drained.remedies)
    assert kit.hold_remedies(text, BREATH) == 1
    assert kit.readings(plan(top=conduits.replace("outdoors", "cavity")), BREATH) == []


def test_a_hole_and_a_conduit_are_told_apart_and_each_remedy_clears_its_own() -> None:
    text = breath(-6).replace("cameras:", "conduits: [{id: pipe, joins: [room, box], sealed: false}]\ncameras:")
    assert {f.at.path for f in kit.look(text).findings if f.code == BREATH} == {
        "camera/cam/entry/hole/sealed",
        "conduit/pipe/sealed",
    }
    assert kit.hold_remedies(text, BREATH) == 2


def test_the_seal_and_the_cold_are_asked_for() -> None:
    assert asked(breath(-6).replace("sealed: false, ", ""), BREATH) == {"camera/cam/entry/hole/sealed"}
    assert asked(plan(top="conduits: [{id: pipe, joins: [room, outdoors]}]"), BREATH) == {"conduit/pipe/sealed"}
    cold = breath(-6).replace(", temperature: -6 to 29 C", "")
    assert asked(cold, BREATH) == {"site/site/temperature"}
    assert level(cold, BREATH) is None


def test_once_built_no_seal_is_written() -> None:
    (finding,) = (f for f in kit.look(breath(-6).replace("design", "as-built")).findings if f.code == BREATH)
    assert not any(remedy.edits for remedy in finding.remedies)


# ------------------------------------------------------------------------ boxes


def box(rated: str = "IP44", drains: str = "false", sits: str = "open", **more: str) -> str:
    """A box on the wall."""
    one = f"{{id: back-box, wall: front, along: 20, height: 2.6, sits: {sits}, rated: [{rated}], drains: {drains}}}"
    return plan(top=f"boxes: [{one}]", **more)


def test_the_pages_example_of_boxes_is_what_the_rule_computes() -> None:
    assert "IP44 on an open wall asks for IP54: 1 short, a note; with no drain 1 + 1 = 2, a warning" in words(
        BoxAndPlace
    )
    assert figure(box(drains="true"), BOX) == 1
    assert level(box(drains="true"), BOX) == "note"
    assert figure(box(), BOX) == 2
    assert level(box(), BOX) == "warning"


def test_less_protection_is_never_better_for_a_box() -> None:
    swept = kit.sweep(BOX, lambda n: box(f"IP{n:.0f}{n:.0f}", "true"), [6, 5, 4, 3, 2, 1])
    assert [at for _, at in swept] == [None, None, "note", "warning", "error", "error"]


@pytest.mark.parametrize(("sits", "value"), [("soffit", 1.0), ("eave", 2.0)])
def test_in_a_soffit_only_the_drain_counts(sits: str, value: float) -> None:
    assert figure(box(sits=sits), BOX) == value


@pytest.mark.parametrize("sits", ["cavity", "indoors"])
def test_where_nothing_gets_wet_nothing_is_asked(sits: str) -> None:
    text = box(sits=sits)
    assert kit.readings(text, BOX) == []
    assert asked(text.replace(", drains: false", "").replace(", rated: [IP44]", ""), BOX) == set()


def test_what_a_box_is_rated_for_and_whether_it_drains_is_asked() -> None:
    assert asked(box().replace(", drains: false", ""), BOX) == {"box/back-box/drains"}
    assert asked(box().replace(", rated: [IP44]", ""), BOX) == {"box/back-box/rated"}
    assert asked(box().replace(", sits: open", "", 1), BOX) == {"box/back-box/sits"}
    assert asked(box("IP54", coast=""), BOX) == {"site/site/coast"}


def test_where_a_box_is_is_asked_once_rain_could_reach_it() -> None:
    assert asked(box("IP54").replace("wall: front, along: 20, height: 2.6, ", "", 1), BOX) == {"box/back-box/at"}


def test_a_better_box_and_a_drain_are_tried_alone_or_together() -> None:
    assert kit.hold_remedies(box(), BOX) == 1
    assert kit.hold_remedies(box(drains="true"), BOX) == 1
    assert kit.hold_remedies(box("IP66"), BOX) == 1
    (finding,) = (f for f in kit.look(box(stage="as-built")).findings if f.code == BOX)
    assert finding.remedies
    assert not any(remedy.edits for remedy in finding.remedies)


def test_where_an_unsealed_hole_or_conduit_leads_is_asked_where_it_gets_cold() -> None:
    hole = "entry: {side: behind, hole: {sealed: false}}"
    pipe = "conduits: [{id: pipe, sealed: false}]"
    assert asked(plan(camera=hole), BREATH) == {"camera/cam/entry/hole/to"}
    assert asked(plan(top=pipe), BREATH) == {"conduit/pipe/joins"}
    for warm_or_sealed in (
        plan(camera=hole, temperature="15 to 29 C"),
        plan(top=pipe, temperature="15 to 29 C"),
        plan(camera=hole.replace("false", "true")),
        plan(top=pipe.replace("false", "true")),
    ):
        assert asked(warm_or_sealed, BREATH) == set()
