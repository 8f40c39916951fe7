"""SEAL-01: what makes a connector wet, and what cures it."""

import datetime as dt
import math

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.seal.unsealed_connector import UnsealedConnector

CODE = "SEAL-01"


def plan(
    *, sits: str = "open", seal: str = "none", coast: str = "coast: 12 km,", weather: str = "weather: [frost],",
    height: float = 2.6, more: str = "", stage: str = "design", eave: str = "height: 5",
) -> str:  # fmt: skip
    """A camera on a wide wall, and its plug."""
    return f"""
site: {{{coast} {weather} stage: {stage}}}
house: {{front: {{faces: 180, width: 40}}, depth: 7, {eave}}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 20, height: 3}}, night: none, power: {{source: poe}}}}
cables:
  - id: c
    camera: cam
    connectors: [{{id: plug, wall: front, along: 20, height: {height}, sits: {sits}, seal: {seal}{more}}}]
"""


def score(text: str) -> float:
    """The exposure of the one plug."""
    ((reading, _),) = kit.readings(text, CODE)
    return reading.figure.value


def level(text: str, today: dt.date = kit.DAY) -> str | None:
    """The level of the plug's finding."""
    found = [f for f in kit.look(text, today=today).findings if f.code == CODE]
    return found[0].level if found else None


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(UnsealedConnector)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(UnsealedConnector).read_text(encoding="utf-8").split())
    salt = 2 * math.exp(-400 / 500)
    assert f"exp(−400 / 500) = {salt:.2f}; together {3.5 + salt:.2f}, an error" in page
    assert score(plan(coast="coast: 400 m,")) == pytest.approx(3.5 + salt, abs=0.05)
    assert f"it scores {(3.5 + salt) / 2:.2f}, a warning" in page
    assert score(plan(coast="coast: 400 m,", seal="tape")) == pytest.approx((3.5 + salt) / 2, abs=0.03)
    assert "it would score 0.50, a note" in page
    assert score(plan(sits="cavity", coast="coast: 5 km,")) == pytest.approx(0.5, abs=0.01)
    assert level(plan(coast="coast: 400 m,")) == "error"
    assert level(plan(coast="coast: 400 m,", seal="tape")) == "warning"
    assert level(plan(sits="cavity", coast="coast: 5 km,")) == "note"


def test_nearer_the_sea_is_never_better() -> None:
    swept = kit.sweep(
        CODE, lambda m: plan(sits="cavity", coast=f"coast: {m} m,"), [10000, 2000, 1000, 900, 700, 500, 200, 0]
    )
    assert next(at for _, at in swept) == "note"
    assert [at for _, at in swept][-1] == "warning"


def test_lower_under_an_eave_is_never_drier() -> None:
    eave = "eave: {height: 5, depth: 0.6}"
    swept = kit.sweep(CODE, lambda z: plan(sits="eave", height=z, eave=eave), [4.9, 4.6, 4.2, 3.8, 3.0, 2.0, 1.0])
    assert next(at for _, at in swept) == "warning"
    assert [at for _, at in swept][-1] == "error"


@pytest.mark.parametrize("air", ["fog", "driving-rain"])
def test_fog_and_driving_rain_make_a_cavity_a_warning(air: str) -> None:
    assert level(plan(sits="cavity", weather="weather: [dry],")) == "note"
    assert level(plan(sits="cavity", weather=f"weather: [{air}],")) == "warning"


@pytest.mark.parametrize("seal", ["gland", "shell", "gel", "boot", "self-amalgamating tape"])
def test_a_real_seal_is_silent_wherever_it_sits(seal: str) -> None:
    assert level(plan(seal=seal)) is None
    assert asked(plan(seal=seal, coast="", weather="")) == set()


@pytest.mark.parametrize("sits", ["box", "housing", "indoors"])
def test_a_dry_place_needs_no_seal_and_no_answer(sits: str) -> None:
    assert level(plan(sits=sits)) is None
    assert asked(plan(sits=sits, coast="", weather="")) == set()


@pytest.mark.parametrize("carries", ["data", "power"])
def test_data_and_low_voltage_power_count_alike(carries: str) -> None:
    assert score(plan(more=f", carries: {carries}")) == score(plan())


def test_tape_is_fine_until_its_date_and_unsealed_after_it() -> None:
    text = plan(seal="tape", more=', until: "2026-09-01"')
    assert level(text, dt.date(2026, 9, 1)) is None
    assert level(text, dt.date(2026, 9, 2)) == "error"
    assert level(plan(seal="tape")) == "warning"


def test_what_the_plan_does_not_say_is_asked_never_assumed() -> None:
    assert asked(plan().replace(", seal: none", "")) == {"connector/plug/seal"}
    assert asked(plan().replace(", sits: open", "")) == {"connector/plug/sits"}
    assert level(plan().replace(", seal: none", "")) is None


def test_a_firm_finding_stands_while_the_coast_is_asked() -> None:
    text = plan(sits="cavity", coast="", weather="")
    assert level(text) == "note"
    assert asked(text) == {"site/site/coast", "site/site/weather"}


def test_the_coast_is_not_asked_where_it_can_change_nothing() -> None:
    assert asked(plan(coast="", weather="weather: [fog],")) == set()


@pytest.mark.parametrize(("more", "early"), [(", terminated: true", False), (", terminated: false", True), ("", True)])
def test_a_gland_is_offered_only_while_the_plug_is_not_made(more: str, early: bool) -> None:
    (finding,) = (f for f in kit.look(plan(more=more)).findings if f.code == CODE)
    words = [remedy.text for remedy in finding.remedies]
    assert any("gland" in text for text in words) == early
    assert any("split shell" in text for text in words)


@pytest.mark.parametrize("sits", ["open", "soffit", "cavity"])
def test_every_remedy_tried_clears_the_finding(sits: str) -> None:
    assert kit.hold_remedies(plan(sits=sits), CODE) == 3


@pytest.mark.parametrize("stage", ["ready", "as-built"])
def test_once_installed_no_remedy_writes_a_seal_into_the_plan(stage: str) -> None:
    (finding,) = (f for f in kit.look(plan(stage=stage)).findings if f.code == CODE)
    assert finding.remedies
    assert not any(remedy.edits for remedy in finding.remedies)


def test_no_more_than_two_seals_are_named_beside_the_box() -> None:
    for made in ("true", "false"):
        (finding,) = (f for f in kit.look(plan(more=f", terminated: {made}")).findings if f.code == CODE)
        words = [remedy.text for remedy in finding.remedies]
        assert [text.split()[0] for text in words] == ["fit", "fit", "bring"]


def test_work_up_a_ladder_is_marked() -> None:
    (high,) = (f for f in kit.look(plan(height=2.6)).findings if f.code == CODE)
    (low,) = (f for f in kit.look(plan(height=1.5)).findings if f.code == CODE)
    assert all(remedy.ladder for remedy in high.remedies)
    assert not any(remedy.ladder for remedy in low.remedies)


def test_the_exposure_is_said_once() -> None:
    (finding,) = (f for f in kit.look(plan()).findings if f.code == CODE)
    assert "of 10" not in finding.text
    assert finding.figure
    assert finding.figure.unit == "of 10"
