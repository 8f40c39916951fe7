"""GLARE-06: number plates and signs that the camera's own light turns white."""

import math

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb.trade.materials import BUILT_IN
from oneclimb_rules.glare.retroreflector import Retroreflector

CODE = "GLARE-06"


def failing() -> str:
    return kit.plans(kit.packs().page(CODE))[0]


def plan(things: str = "", *, camera: str = "night: infrared, infrared: 30 m", area: str = "") -> str:
    return f"""
house: {{front: {{faces: 180, width: 20}}, depth: 7, height: 5}}
objects: [{things}]
areas: [{{id: drive, for: detect, wall: front, along: 9 to 11, out: 6 to 14{area}}}]
cameras:
  - {{id: cam, mount: {{wall: front, along: 10, height: 2.6}}, aim: {{bearing: 180, tilt: 16}}, view: 60 deg, {camera}}}
"""


def sign(out: float = 8, more: str = "") -> str:
    return f"{{id: sign, kind: road-sign, wall: front, along: 10, out: {out}, height: 1.2{more}}}"


def figures(text: str) -> dict[str, float]:
    return {reading.key: reading.figure.value for reading, _ in kit.readings(text, CODE)}


def levels(text: str) -> dict[str, str | None]:
    return {reading.key: level for reading, level in kit.readings(text, CODE)}


def test_the_page_holds() -> None:
    kit.hold_page(Retroreflector)


def test_the_pages_worked_example_is_what_the_formulas_give() -> None:
    page = " ".join(page_path(Retroreflector).read_text(encoding="utf-8").split())
    lit, angle = 900 / (36 + 0.0009), math.degrees(0.03 / 6)
    share = 1 / (1 + angle**2)
    signal = math.pi * 45 * lit * share / 0.2
    assert f"E = 900 / (36 + 0.0009) = {lit:.1f}" in page
    assert f"0.03 / 6 = {angle:.2f}°, share {share:.2f}" in page
    assert f"= {round(signal, -2):.0f}. At full gain (1/1000) that is {signal / 1000:.0f} times white" in page
    assert f"{math.log2(signal / 1000):.1f} stops above it" in page
    assert BUILT_IN["number plate"].retro == 45.0


def test_the_rule_computes_it_from_the_definition_of_the_coefficient() -> None:
    """L = R_A E (CIE 54.2): at d on the axis, for a lens rated R, π R_A R²/(d² + a²) × share / 0.2, times the gain."""
    ((reading, _),) = kit.readings(plan(sign(8)), CODE)
    one = reading.facts["one"]
    share = 1 / (1 + math.degrees(0.03 / one.distance) ** 2)
    assert one.signal == pytest.approx(math.pi * 70 * one.lit * share / 0.2)
    assert one.lit == pytest.approx(900 / (one.distance**2 + 0.0009), rel=0.05)
    assert 2**reading.figure.value == pytest.approx(one.gain * one.signal, rel=0.02)


def test_farther_off_it_is_never_whiter() -> None:
    read = "night: infrared, infrared: 30 m, watches: [drive, sign]"
    swept = kit.sweep(CODE, lambda out: plan(sign(out), camera=read), [5, 8, 12, 20, 30, 45, 70])
    assert swept[0][1] == "warning"
    assert swept[-1][1] is None


def test_only_what_one_wants_to_read_is_more_than_a_note() -> None:
    assert levels(plan(sign())) == {"object/sign": "note"}
    assert levels(plan(sign(more=", wanted: true"))) == {"object/sign": "warning"}


def test_seen_edge_on_or_behind_a_hedge_or_without_light_there_is_none() -> None:
    assert figures(plan(sign(more=", turned: 85"))) == {}
    hedge = "{id: hedge, kind: hedge, wall: front, along: 10, out: 4, wide: 4, tall: 3}"
    assert figures(plan(f"{sign()}, {hedge}")) == {}
    assert figures(plan(sign(), camera="night: none")) == {}
    assert figures(plan(sign().replace("road-sign", "sign"))) == {}


def test_where_vehicles_move_a_plate_is_looked_for_at_the_nearest_place() -> None:
    fast = figures(plan(area=", pace: 5.6 m/s"))
    assert set(fast) == {"area/drive"}
    assert fast["area/drive"] > 0.0
    assert levels(plan(area=", pace: 5.6 m/s")) == {"area/drive": "note"}
    assert figures(plan(area=", pace: 1.4 m/s")) == {}
    assert figures(plan(area=", pace: 5.6 m/s, when: day")) == {}


def test_a_person_is_not_a_plate() -> None:
    (finding,) = (f for f in kit.look(failing()).findings if f.code == CODE)
    assert "identify a person do not make a number plate readable" in finding.text
    assert finding.remedies[-1].text.startswith("for plates a camera of its own")


def test_turning_away_from_a_sign_is_tried_and_a_lamp_aside_is_reckoned() -> None:
    text = plan(sign(5, ", there: always").replace("along: 10", "along: 12.6"))
    assert kit.hold_remedies(text, CODE) >= 1
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    ((reading, _),) = kit.readings(text, CODE)
    away = reading.facts["one"].distance
    less = math.log2((1 + math.degrees(1.0 / away) ** 2) / (1 + math.degrees(0.03 / away) ** 2))
    assert any(f"own infrared off: {less:.1f} stops less" in remedy.text for remedy in finding.remedies)


def test_an_unsaid_range_is_asked_for() -> None:
    asked = {c.ref.path for c in kit.look(plan(sign(), camera="night: infrared")).cannot_tell if c.code == CODE}
    assert asked == {"camera/cam/infrared/range"}
