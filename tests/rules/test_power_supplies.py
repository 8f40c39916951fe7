"""POWER-05: supplies and injectors against their place, their protection and what they feed."""

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.power.misplaced_supply import MisplacedSupply

CODE = "POWER-05"
GOOD = "volts: 12 V, current: DC, watts: 24 W"


def plan(
    supply: str = f"{GOOD}, sits: indoors", power: str = "watts: 6 W, volts: 12 V, current: DC", *, more: str = ""
) -> str:
    """One camera on one supply."""
    return f"""
house: {{front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    link: wireless
    records: motion
    power: {{source: adapter, supply: adapter, {power}}}
supplies: [{{id: adapter, {supply}}}]
{more}
"""


def levels(text: str) -> dict[str, str]:
    """Each finding's level by its key."""
    return {f.key: f.level for f in kit.look(text).findings if f.code == CODE}


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(MisplacedSupply)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(MisplacedSupply).read_text(encoding="utf-8").split())
    wrong = plan("volts: 24 V, current: AC, watts: 24 W, sits: indoors")
    assert "current scores 3, an error; the volts are not counted a second time" in page
    assert levels(wrong) == {"current:cam": "error"}
    assert "A 13.8 V supply for the same camera would be 15 % over: 2, a warning" in page
    assert levels(plan("volts: 13.8 V, current: DC, watts: 24 W, sits: indoors")) == {"volts:cam": "warning"}


@pytest.mark.parametrize(
    ("sits", "level"), [("open", "error"), ("eave", "error"), ("soffit", "warning"), ("cavity", "warning")]
)
def test_an_indoor_adapter_in_the_weather_is_told_by_where_it_sits(sits: str, level: str) -> None:
    unfit = f"{GOOD}, sits: {sits}, protected: true, rated: "
    assert levels(plan(f"{unfit}[]")) == {"place": level}
    assert levels(plan(f"{unfit}[IP20]")) == {"place": level}
    assert levels(plan(f"{unfit}[IK08]")) == {"place": level}
    for fit in ("IP44", "IP66", "IP67", "NEMA 4X"):
        assert levels(plan(f"{unfit}[{fit}]")) == {}, fit


@pytest.mark.parametrize("sits", ["indoors", "box", "housing"])
def test_a_dry_place_needs_no_rating_and_no_answer(sits: str) -> None:
    assert levels(plan(f"{GOOD}, sits: {sits}")) == {}
    assert asked(plan(f"{GOOD}, sits: {sits}")) == set()


def test_place_rating_and_protection_are_asked_never_assumed() -> None:
    assert asked(plan(GOOD)) == {"supply/adapter/sits"}
    assert asked(plan(f"{GOOD}, sits: eave")) == {"supply/adapter/rated", "supply/adapter/protected"}
    assert levels(plan(f"{GOOD}, sits: eave")) == {}
    assert asked(plan(more="injectors: [{id: shot}]")) == {"injector/shot/sits"}


def test_a_socket_outdoors_without_protection_is_an_error_with_its_caution() -> None:
    (finding,) = kit.look(plan(f"{GOOD}, sits: open, rated: [IP66], protected: false")).findings
    assert (finding.key, finding.level) == ("protection", "error")
    assert "licensed electrician" in finding.caution
    assert all("licensed electrician" in remedy.text for remedy in finding.remedies)


@pytest.mark.parametrize(("gives", "takes"), [("AC", "DC"), ("DC", "AC")])
def test_the_two_currents_do_not_mix(gives: str, takes: str) -> None:
    text = plan(
        f"volts: 12 V, current: {gives}, watts: 24 W, sits: indoors", f"watts: 6 W, volts: 12 V, current: {takes}"
    )
    assert levels(text) == {"current:cam": "error"}


def test_the_current_is_asked_where_one_side_says_ac() -> None:
    ac = "volts: 24 V, current: AC, watts: 24 W, sits: indoors"
    assert asked(plan(ac, "watts: 6 W, volts: 24 V")) == {"camera/cam/power/current"}
    assert asked(plan("volts: 12 V, watts: 24 W, sits: indoors", "watts: 6 W, current: AC")) == {
        "supply/adapter/current"
    }
    assert asked(plan("volts: 12 V, watts: 24 W, sits: indoors", "watts: 6 W, volts: 12 V")) == set()


def test_volts_too_many_are_never_better() -> None:
    swept = kit.sweep(
        CODE,
        lambda v: plan(f"volts: {v} V, current: DC, watts: 24 W, sits: indoors"),
        [12, 13.1, 13.3, 14.3, 14.5, 48],
        key="volts:cam",
    )
    assert [level for _, level in swept] == [None, None, "warning", "warning", "error", "error"]


def test_volts_too_few_are_a_warning() -> None:
    assert levels(plan("volts: 9 V, current: DC, watts: 24 W, sits: indoors")) == {"volts:cam": "warning"}
    assert levels(plan("volts: 10.8 V, current: DC, watts: 24 W, sits: indoors")) == {}


def test_more_watts_than_the_supply_has_are_never_better() -> None:
    swept = kit.sweep(
        CODE, lambda w: plan(power=f"watts: {w} W, volts: 12 V, current: DC"), [5, 19.2, 20, 24, 24.5, 90], key="watts"
    )
    assert [level for _, level in swept] == [None, None, "note", "note", "error", "error"]


@pytest.mark.parametrize(("sits", "found"), [("open", {"place": "warning"}), ("indoors", {})])
def test_an_injector_belongs_in_the_dry(sits: str, found: dict[str, str]) -> None:
    assert levels(plan(more=f"injectors: [{{id: shot, sits: {sits}}}]")) == found


def test_no_remedy_of_a_safety_rule_edits_the_plan_and_no_setting_silences_it() -> None:
    text = plan(f"{GOOD}, sits: open, rated: [], protected: false", more="settings: {POWER-05: {level: none}}")
    review = kit.look(text)
    mine = [f for f in review.findings if f.code == CODE]
    assert {f.level for f in mine} == {"error"}
    assert not any(remedy.edits for f in mine for remedy in f.remedies)
