"""POWER-02: all cameras of a switch against its watts."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.power.switch_budget import SwitchBudget

CODE = "POWER-02"
CLASS_3 = "watts: 12 W, poe: 3"


def plan(*powers: str, switch: str = "gives: 802.3at, budget: 60 W") -> str:
    """Cameras on one switch, each with its power."""
    cameras = "\n".join(
        f"  - {{id: cam{i}, mount: {{wall: front, along: {i + 1}, height: 3}}, night: none, "
        f"power: {{source: poe, {power}}}, cable: {{to: s, length: 20, seal: gland}}}}"
        for i, power in enumerate(powers)
    )
    return f"""
house: {{front: {{faces: 180, width: 40}}, depth: 7, height: 5}}
cameras:
{cameras}
switches: [{{id: s, {switch}}}]
"""


def level(text: str) -> str | None:
    """The level of the switch's finding."""
    found = [f for f in kit.look(text).findings if f.code == CODE]
    return found[0].level if found else None


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(SwitchBudget)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(SwitchBudget).read_text(encoding="utf-8").split())
    ((four, noted),) = kit.readings(plan(*(CLASS_3,) * 4), CODE)
    watts, share = four.figure.value * 60, four.figure.value * 100
    assert f"= {watts:.1f} W, {share:.0f} %, a {noted}; by class 61.6 W, {four.figure.high * 100:.0f} %" in page
    assert four.figure.low * 60 == pytest.approx(48)
    ((five, doubted),) = kit.readings(plan(*(CLASS_3,) * 5), CODE)
    assert f"{five.figure.value * 60:.1f} W, {five.figure.value * 100:.0f} %, but {five.figure.low * 60:.0f} W" in page
    ((six, warned),) = kit.readings(plan(*(CLASS_3,) * 6), CODE)
    assert f"{six.figure.value * 60:.1f} W, {six.figure.value * 100:.0f} %, and {six.figure.low * 100:.0f} %" in page
    assert (noted, doubted, warned) == ("note", "note", "warning")


def test_a_larger_switch_is_never_worse() -> None:
    swept = kit.sweep(
        CODE, lambda w: plan(*(CLASS_3,) * 4, switch=f"gives: 802.3at, budget: {w} W"), [39, 40, 47, 48, 50, 61, 63, 70]
    )
    assert [at for _, at in swept] == ["error", "warning", "warning", "note", "note", "note", "note", None]


def test_losses_close_on_the_published_ports_watts() -> None:
    """A device at its class's limit is 15.4 W (30 W) at the port: Ethernet Alliance, Overview of 802.3bt (2018)."""
    ((three, _),) = kit.readings(plan("watts: 12.95 W", "watts: 12.95 W", switch="gives: 802.3at, budget: 100 W"), CODE)
    assert three.figure.value * 100 == pytest.approx(2 * 15.4)
    ((four, _),) = kit.readings(plan("watts: 25.5 W", "watts: 25.5 W", switch="gives: 802.3at, budget: 100 W"), CODE)
    assert four.figure.value * 100 == pytest.approx(2 * 30)
    assert four.figure.high == pytest.approx(four.figure.value)


def test_classes_alone_that_are_too_many_are_a_note_that_says_so() -> None:
    text = plan("watts: 7 W, poe: 4", "watts: 7 W, poe: 4", "watts: 7 W, poe: 4")
    assert level(text) == "note"
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert "90 W by class" in finding.text


def test_a_switch_that_has_no_watts_written_is_asked_where_it_feeds_several() -> None:
    assert asked(plan(CLASS_3, CLASS_3, switch="gives: 802.3at")) == {"switch/s/budget"}
    assert asked(plan(CLASS_3, switch="gives: 802.3at")) == set()
    assert kit.readings(plan(CLASS_3, switch="gives: 802.3at"), CODE) == []


def test_cameras_that_tell_nothing_are_asked_only_where_they_could_be_too_many() -> None:
    assert asked(plan("", "", switch="gives: 802.3at, budget: 50 W")) == {
        "camera/cam0/power/watts",
        "camera/cam1/power/watts",
    }
    assert level(plan("", "", switch="gives: 802.3at, budget: 50 W")) is None
    assert asked(plan("", "", switch="gives: 802.3af, budget: 50 W")) == set()


def test_a_firm_finding_stands_while_another_camera_is_asked() -> None:
    text = plan(*(CLASS_3,) * 6, "")
    assert level(text) == "warning"
    assert asked(text) == {"camera/cam6/power/watts"}


def test_a_camera_behind_an_injector_is_not_the_switchs_to_feed() -> None:
    text = (
        plan(CLASS_3, CLASS_3).replace("cable: {to: s,", "cable: {to: shot,")
        + "injectors: [{id: shot, gives: 802.3at, to: s}]\n"
    )
    assert kit.readings(text, CODE) == []


def test_a_recorders_own_ports_are_counted_and_the_recorder_is_what_one_would_change() -> None:
    text = plan(*(CLASS_3,) * 6, switch="within: nvr, gives: 802.3at, budget: 60 W").replace("to: s", "to: nvr")
    (found,) = (f for f in kit.look(text + "recorders: [{id: nvr}]").findings if f.code == CODE)
    assert found.level == "warning"
    assert found.remedies[0].text == "take a recorder with 100 W for all its ports together"


def test_a_cable_that_goes_nowhere_is_asked_about_where_it_would_change_the_verdict() -> None:
    loose = plan(*(CLASS_3,) * 6).replace(
        "along: 1, height: 3}, night: none, power: {source: poe, watts: 12 W, poe: 3}, cable: {to: s, ",
        "along: 1, height: 3}, night: none, power: {source: poe, watts: 12 W, poe: 3}, cable: {",
    )
    assert asked(loose) == {"cable/cam0-cable/to"}
    assert asked(loose.replace("budget: 60 W", "budget: 200 W")) == set()
    slip = loose.replace("cable: {length", "cable: {to: ss, length")
    (one,) = (item for item in kit.look(slip).cannot_tell if item.code == CODE)
    assert one.asks == "where does the cable go? ss is no switch, injector or recorder of the plan"


def test_a_switch_that_does_not_say_what_it_gives_is_asked_where_its_cameras_are_too_many() -> None:
    silent = plan(*(CLASS_3,) * 6, switch="budget: 60 W").replace("source: poe, ", "")
    assert asked(silent) == {"switch/s/gives"}
    assert asked(silent.replace("budget: 60 W", "budget: 200 W")) == set()
    assert asked(silent.replace("budget: 60 W", "ports: 8")) == set()


def test_the_switch_that_is_offered_has_been_tried() -> None:
    for count in (4, 5, 8):
        assert kit.hold_remedies(plan(*(CLASS_3,) * count), CODE) == 1
