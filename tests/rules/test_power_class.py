"""POWER-01: what a camera asks of its port against what the port gives."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.power.class_against_port import ClassAgainstPort

CODE = "POWER-01"


def plan(power: str, *, gear: str = "switches: [{id: s, gives: 802.3af, budget: 200 W}]", to: str = "s") -> str:
    """One camera on one port."""
    return f"""
house: {{front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    power: {{source: poe, {power}}}
    cable: {{to: {to}, length: 20, seal: gland}}
{gear}
"""


def at(gives: str, more: str = "") -> str:
    """A switch that gives this."""
    return f"switches: [{{id: s, gives: {gives}, budget: 200 W{more}}}]"


def levels(text: str) -> list[tuple[str, str]]:
    """Key and level of each finding of the rule."""
    return [(f.key, f.level) for f in kit.look(text).findings if f.code == CODE]


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(ClassAgainstPort)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(ClassAgainstPort).read_text(encoding="utf-8").split())
    ((reading, level),) = kit.readings(plan("watts: 18 W"), CODE)
    assert f"18 / 12.95 = {reading.figure.value * 100:.0f} %, an {level}" in page


def test_more_watts_are_never_better() -> None:
    swept = kit.sweep(CODE, lambda w: plan(f"watts: {w} W"), [2, 12.9, 12.95, 13, 14.4, 14.6, 30])
    assert [level for _, level in swept] == [None, None, None, "warning", "warning", "error", "error"]


@pytest.mark.parametrize(
    ("gives", "watts"),
    [("802.3af", 12.95), ("802.3at", 25.5), ("802.3bt type 3", 51.0), ("802.3bt type 4", 71.3)],
)
def test_each_standard_brings_the_watts_of_the_published_table(gives: str, watts: float) -> None:
    """Ethernet Alliance, Overview of 802.3bt (April 2018): watts at the device by class."""
    ((reading, level),) = kit.readings(plan(f"watts: {watts} W", gear=at(gives)), CODE)
    assert reading.figure.value == pytest.approx(1.0)
    assert level is None


def test_a_class_above_the_ports_is_doubt_by_the_class_below_it() -> None:
    assert levels(plan("poe: 4")) == [("watts", "warning")]
    assert levels(plan("poe: 5")) == [("watts", "error")]
    assert levels(plan("poe: 3")) == []


def test_watts_that_fit_with_a_class_that_does_not_are_a_note() -> None:
    assert levels(plan("poe: 4, watts: 7 W")) == [("watts", "note")]
    assert levels(plan("poe: 4, watts: 16 W")) == [("watts", "error")]


def test_what_is_not_said_is_asked_only_where_it_matters() -> None:
    assert asked(plan("standard: 802.3at")) == {"camera/cam/power/watts"}
    assert asked(plan("standard: 802.3af")) == set()
    assert levels(plan("standard: 802.3af")) == []
    assert asked(plan("watts: 5 W", gear="switches: [{id: s}]")) == {"switch/s/gives"}
    assert asked(plan("watts: 50 W", to="the loft")) == set()
    assert levels(plan("watts: 50 W", to="the loft")) == []


def test_passive_power_and_the_standards_do_not_mix_either_way() -> None:
    injector = "injectors: [{id: shot, gives: passive, volts: 24 V}]"
    assert levels(plan("standard: 802.3af, watts: 5 W", gear=injector, to="shot")) == [("kind", "error")]
    assert levels(plan("standard: passive, watts: 5 W")) == [("kind", "error")]
    assert levels(plan("standard: passive, volts: 24 V, watts: 5 W", gear=injector, to="shot")) == []
    assert asked(plan("watts: 5 W", gear=injector, to="shot")) == {"camera/cam/power/standard"}


def test_passive_volts_may_be_a_tenth_over() -> None:
    def shot(volts: float) -> str:
        gear = f"injectors: [{{id: shot, gives: passive, volts: {volts} V}}]"
        return plan("standard: passive, volts: 24 V, watts: 5 W", gear=gear, to="shot")

    swept = kit.sweep(CODE, shot, [12, 24, 26.4, 26.5, 48])
    assert [level for _, level in swept] == [None, None, None, "error", "error"]
    unsaid = "injectors: [{id: shot, gives: passive}]"
    assert asked(plan("standard: passive, watts: 5 W", gear=unsaid, to="shot")) == {"injector/shot/volts"}


def test_the_port_that_is_offered_has_been_tried() -> None:
    assert kit.hold_remedies(plan("watts: 18 W"), CODE) == 1
    assert kit.hold_remedies(plan("watts: 60 W"), CODE) == 1
    (finding,) = (f for f in kit.look(plan("watts: 60 W")).findings if f.code == CODE)
    assert "802.3bt type 4" in finding.remedies[0].text
    passive = "injectors: [{id: shot, gives: passive, volts: 24 V}]"
    assert kit.hold_remedies(plan("standard: 802.3af, watts: 5 W", gear=passive, to="shot"), CODE) == 1


def test_no_port_gives_more_than_the_highest_class() -> None:
    (finding,) = (f for f in kit.look(plan("watts: 80 W")).findings if f.code == CODE)
    assert not any(remedy.edits for remedy in finding.remedies)
