"""VIEW-05 and VIEW-13: wanted ground by night, and what switches cameras between colour and infrared."""

import math

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.register import page_path
from oneclimb.study import COVER
from oneclimb_rules.view.dark_ground import DarkGround
from oneclimb_rules.view.switching import Switching

OWN = "night: infrared, infrared: {range: 30 m}"
AREA = "{id: yard, for: detect, wall: back, along: 2 to 8, out: 6 to 14}"
HELPS = (
    "  - {id: other, mount: {to: pole, at: [0, 14], height: 3}, aim: yard, view: 60 deg, "
    "night: infrared, infrared: {range: 30 m}, watches: [yard]}\n"
)


def plan(
    own: str = OWN, *, areas: str = AREA, lamps: str = "", objects: str = "", aim: str = "{bearing: 0, tilt: 18}",
    more: str = "", settings: str = "",
) -> str:  # fmt: skip
    """A camera in the middle of a back wall that faces north."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 90, right: 90, back: 90, left: 90}}
beyond: {{others: neighbour, front: neighbour}}
{settings}
{objects}
areas: [{areas}]
{lamps}
cameras:
  - {{id: cam, mount: {{wall: back, along: 5, height: 2.8}}, aim: {aim}, view: 85 deg, {own}}}
{more}"""


def found(text: str, code: str) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in kit.look(text).findings if finding.code == code]


def page(rule: type[DarkGround | Switching]) -> str:
    """A page's text with its line breaks taken out."""
    return " ".join(page_path(rule).read_text(encoding="utf-8").split())


@pytest.mark.parametrize("rule", [DarkGround, Switching])
def test_its_page_holds(rule: type[DarkGround]) -> None:
    kit.hold_page(rule)


# ------------------------------------------------------------------------------ VIEW-05


def test_the_worked_example_of_view_05_is_the_pattern_of_an_led() -> None:
    exponent = -math.log(2) / math.log(math.cos(math.radians(42.5)))
    aside = math.cos(math.radians(20)) ** exponent
    assert f"ln cos 42.5° = {exponent:.2f}" in page(DarkGround)
    assert f"{aside:.2f} of that" in page(DarkGround)
    assert f"9 × √{aside:.2f} = {9 * math.sqrt(aside):.1f} m" in page(DarkGround)


@pytest.mark.parametrize(("out", "usable"), [(6.0, 1.0), (12.0, 0.0)])
def test_a_person_within_the_rated_range_is_usable_and_one_beyond_it_is_not(out: float, usable: float) -> None:
    """The rated range is the distance at which the signal is at the threshold: what it is defined by."""
    spot = f"{{id: yard, for: detect, wall: back, along: 5, out: {out}}}"
    own = "night: infrared, infrared: {range: 9 m}"
    ((reading, _),) = kit.readings(plan(own, areas=spot, aim="{bearing: 0, tilt: 8}"), "VIEW-05")
    assert reading.figure.value == usable


def test_the_longer_the_range_the_more_is_usable() -> None:
    swept = kit.sweep(
        "VIEW-05", lambda far: plan(f"night: infrared, infrared: {{range: {far} m}}"), [5, 7, 9, 11, 13, 16, 20, 30]
    )
    assert swept[0][1] == "error"
    assert swept[-1] == (1.0, None)
    assert {"warning", "note"} <= {level for _, level in swept}


def test_a_lens_whose_beam_fits_is_tried() -> None:
    far = "{id: gate, for: detect, wall: back, along: 4 to 6, out: 11 to 13}"
    text = plan("night: infrared, infrared: {range: 11 m}", areas=far)
    (finding,) = found(text, "VIEW-05")
    assert any("with infrared that follows it" in remedy.text for remedy in finding.remedies if remedy.edits)
    assert not finding.remedies[-1].edits
    assert "infrared one 1.00 m or more from the camera" in finding.remedies[-1].text
    assert kit.hold_remedies(text, "VIEW-05") >= 1


def test_what_another_camera_can_use_counts() -> None:
    weak = "night: infrared, infrared: {range: 5 m}"
    assert found(plan(weak), "VIEW-05")[0].level == "error"
    levels = {finding.level for finding in found(plan(weak, more=HELPS), "VIEW-05")}
    assert "error" not in levels


def test_of_a_blinded_cameras_ground_as_much_is_usable_as_another_uses() -> None:
    """The pane before the first throws its own light back: it uses nothing, the other all that it shows."""
    blind = f"{OWN}, behind: {{gap: 40 mm, sealed: false, room: dark}}, status-light: dark"
    assert kit.readings(plan(blind), "VIEW-05")[0][0].figure.value == 0.0
    text = plan(blind, more=HELPS)
    ((reading, _),) = kit.readings(text, "VIEW-05")
    q = World(kit.look(text).loaded, Shared(NOUNS, kit.DAY))
    seen = q.of(COVER, q.get(Ref("camera", "other"))).areas["yard"].seen
    assert reading.figure.value == pytest.approx(seen.mean())
    assert 0.0 < seen.mean() < 1.0


def test_a_day_camera_is_not_blamed_unless_the_night_is_asked_for() -> None:
    assert not kit.readings(plan("night: none"), "VIEW-05")
    asked = AREA.replace("for: detect", "for: detect, when: night")
    (finding,) = found(plan("night: none", areas=asked), "VIEW-05")
    assert finding.level == "error"
    assert "no light of its own" in finding.text
    by_day = AREA.replace("for: detect", "for: detect, when: day")
    assert not kit.readings(plan(areas=by_day), "VIEW-05")


def test_the_worst_state_is_told() -> None:
    lamp = "lamps: [{id: flood, wall: back, along: 5.15, height: 2.8, lumens: 9000, kind: white LED, lit: motion}]"
    (finding,) = found(plan(lamps=lamp), "VIEW-05")
    assert "with flood lit" in finding.text
    ((reading, _),) = kit.readings(plan(lamps=lamp), "VIEW-05")
    assert reading.figure.value < reading.facts["usual"].value == 1.0


PANE = "behind: {gap: 40 mm, sealed: false, room: dark, coated: %s}, status-light: dark"


@pytest.mark.parametrize("coated", ["true", "false"])
def test_what_a_pane_takes_is_told_by_its_own_rule_and_only_noted(coated: str) -> None:
    text = plan(f"{OWN}, {PANE % coated}")
    (finding,) = found(text, "VIEW-05")
    assert finding.level == "note"
    assert "without its own pane it would be 100 %: see GLARE-04" in finding.text
    assert finding.remedies[0].text == "put right first what GLARE-04 tells of cam"
    assert [f.level for f in found(text, "GLARE-04")] == ["error"]


def test_what_would_be_too_dark_anyhow_is_not_put_down_to_the_pane() -> None:
    weak = OWN.replace("30 m", "5 m")
    (finding,) = found(plan(f"{weak}, {PANE % 'false'}"), "VIEW-05")
    assert finding.level == "error"
    assert "GLARE" not in finding.text


@pytest.mark.parametrize("code", ["GLARE-01", "GLARE-03"])
def test_what_one_thing_near_or_a_lamp_takes_is_told_by_its_own_rule(code: str) -> None:
    text = kit.plans(kit.packs().page(code))[0]
    (finding,) = found(text, "VIEW-05")
    assert finding.level == "note"
    assert finding.text.endswith(f"see {code}")
    assert (" unlit it would be " in finding.text) == (code == "GLARE-03")
    assert found(text, code)


def test_a_range_the_plan_does_not_give_is_asked_for() -> None:
    review = kit.look(plan("night: infrared"))
    assert not [f for f in review.findings if f.code == "VIEW-05"]
    assert any(ask.ref.field == "infrared.range" for ask in review.cannot_tell if ask.code == "VIEW-05")


# ------------------------------------------------------------------------------ VIEW-13

FAR = "{id: yard, for: detect, wall: back, along: 2 to 8, out: 8 to 16}"


def lit(lumens: float, when: str = "dusk", switches: str = "switches-at: 1 to 3 lx") -> str:
    """A step light on the wall, well aside."""
    light = f"lumens: {lumens}, kind: white LED, beam: 100 deg, lit: {when}"
    lamp = f"{{id: step, wall: back, along: 8, height: 2.2, {light}}}"
    return plan(f"{OWN}, {switches}", areas=FAR, lamps=f"lamps: [{lamp}]", aim="{bearing: 0, tilt: 22}")


def test_the_worked_example_of_view_13_is_the_inverse_square_law() -> None:
    candela = 1000 / (4 * math.pi)
    assert f"1000 / 4π = {candela:.1f} cd" in page(Switching)
    wall = candela / 25
    assert f"{candela:.1f} / 5² = {wall:.1f} lx" in page(Switching)
    card = wall * 0.5 / 0.18
    assert f"= {card:.1f} lx" in page(Switching)
    assert f"comes to {card / 4:.1f} lx" in page(Switching)


def test_the_light_on_the_frame_is_what_a_grey_card_would_send_back() -> None:
    """A wall that fills the frame, lit by a bare lamp: the mean of I cos / d² over it, times its reflectance."""
    wall = "objects: [{id: wall, kind: garden-wall, at: [5, 26], wide: 200, deep: 0.2, tall: 40, surface: card}]"
    card = "materials: {card: {reflectance: {550: 0.18, 850: 0.18, 940: 0.18}, source: test}}"
    lamp = "lamps: [{id: bulb, at: [5, 12], height: 2.8, lumens: 4000, kind: white LED, lit: motion}]"
    text = plan(lamps=lamp, objects=wall, aim="{bearing: 0, tilt: 0}", settings=card).replace("view: 85", "view: 20")
    (reading,) = (r for r, _ in kit.readings(text, "VIEW-13"))
    away, half = 25.9 - 12.0, (25.9 - 7.1) * math.tan(math.radians(10))
    cells = [(2 * i + 1) / 80 - 1 for i in range(80)]
    high = half * 9 / 16
    square = [away**2 + (x * half) ** 2 + (y * high) ** 2 for x in cells for y in cells]
    mean = sum(4000 / (4 * math.pi) * away / apart**1.5 for apart in square) / len(square)
    assert reading.facts["lux"] == pytest.approx(mean, rel=0.03)


def test_the_brighter_the_lamp_the_worse_until_it_lights_the_yard_itself() -> None:
    swept = kit.sweep("VIEW-13", lit, [100, 400, 1000, 2600])
    assert swept[0] == (0.0, None)
    assert swept[-1][1] == "warning"
    assert found(lit(60000), "VIEW-13") == [] or found(lit(60000), "VIEW-13")[0].level == "note"


def test_one_that_comes_on_at_an_event_flips_the_picture() -> None:
    (finding,) = found(lit(12000, "motion"), "VIEW-13")
    assert "it flips at the very event" in finding.text
    assert found(lit(400, "motion"), "VIEW-13") == []


def test_the_plans_own_level_outranks_the_estimate() -> None:
    assert found(lit(2600), "VIEW-13")
    assert found(lit(2600, switches="switches-at: 20 to 30 lx"), "VIEW-13") == []
    assert (
        "an estimate: the plan gives no switches-at" in found(lit(2600, switches="moves: false"), "VIEW-13")[0].steps[1]
    )


def test_a_camera_without_infrared_does_not_switch() -> None:
    assert not kit.readings(lit(2600).replace(OWN, "night: none"), "VIEW-13")


NEAR = "{id: step, wall: back, along: 8, height: 2.2, lumens: 2600, kind: white LED, beam: 100 deg, lit: dusk}"
AFAR = "{id: flood, at: [60, 70], height: 4, lumens: 4000, kind: white LED, beam: 100 deg, lit: motion}"


def both(*, first: str = NEAR, second: str = AFAR) -> str:
    return lit(100).replace(lit(100).split("lamps: [")[1].split("]\n")[0], f"{first}, {second}")


def test_each_lamp_answers_for_its_own_light_only() -> None:
    """A flood 80 m off gives what is near the camera 4000 / (2π (1 - cos 50°)) / 80² = 0.3 lx at the very most."""
    lux = {r.key: r.facts["lux"] for r, _ in kit.readings(both(), "VIEW-13")}
    alone = {r.key: r.facts["lux"] for r, _ in kit.readings(lit(2600), "VIEW-13")}
    assert lux["lamp/step"] == alone["lamp/step"] > 1.0
    assert lux["lamp/flood"] < 0.3
    assert [f.key for f in found(both(), "VIEW-13")] == ["lamp/step"]


def test_what_the_lamps_of_the_night_hold_in_colour_does_not_flip() -> None:
    flood = NEAR.replace("id: step", "id: flood").replace("2600", "12000").replace("dusk", "motion")
    assert [f.key for f in found(both(second=flood), "VIEW-13")] == ["lamp/step"]
    assert [f.key for f in found(both(first=NEAR.replace("2600", "100"), second=flood), "VIEW-13")] == ["lamp/flood"]


def test_nothing_is_told_where_nothing_is_lost() -> None:
    near = lit(12000, "motion").replace("out: 8 to 16", "out: 1.5 to 2")
    readings = [(r.figure.value, level) for r, level in kit.readings(near, "VIEW-13")]
    assert readings == [(0.0, None)]


def test_when_a_lamp_is_lit_is_asked_where_it_could_matter() -> None:
    def asked(lumens: int) -> set[str]:
        text = lit(lumens).replace(", lit: dusk", "")
        assert not kit.readings(text, "VIEW-13")
        return {c.ref.path for c in kit.look(text).cannot_tell if c.code == "VIEW-13"}

    assert asked(2600) == {"lamp/step/lit"}
    assert asked(100) == set()
