"""GLARE-04: what a pane before a camera does to its night."""

import math

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.register import page_path
from oneclimb.study import ALL, DARK, PANE
from oneclimb.study.pane import Behind
from oneclimb.trade import lamps, light
from oneclimb.trade.constants import constant
from oneclimb_rules.glare.behind_a_pane import BehindAPane
from oneclimb_rules.glare.pane_parts import COATED, INFRARED, NIGHT_LOST, ROOM, STATUS

CODE = "GLARE-04"
LAMP = "lamps: [{id: porch, wall: front, along: 5.4, height: 3, lumens: 800, kind: white LED, lit: dusk}]"


def plan(
    behind: str = "gap: 40 mm, sealed: false, room: dark", *, night: str = "infrared", more: str = "",
    status: str = "dark", stage: str = "design", infrared: str = "infrared: 30 m",
) -> str:  # fmt: skip
    """A camera at an upstairs window before a path."""
    return f"""
site: {{stage: {stage}}}
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 6}}
areas: [{{id: path, for: detect, wall: front, along: 4 to 6, out: 7 to 12}}]
{more}
cameras:
  - id: cam
    mount: {{wall: front, along: 5, height: 3}}
    aim: {{bearing: 180, tilt: 16}}
    view: 70 deg
    night: {night}
    {infrared}
    {f"status-light: {status}" if status else "records: motion"}
    behind: {{{behind}}}
"""


def losses(text: str) -> dict[str, float]:
    return {reading.key: reading.figure.value for reading, _ in kit.readings(text, CODE)}


def parts(text: str) -> dict[str, float]:
    """What is lost to each thing the pane itself does, the worst first."""
    ((reading, _),) = (pair for pair in kit.readings(text, CODE) if pair[0].key == NIGHT_LOST)
    assert reading.figure.value == max(part.lost for part in reading.facts["parts"])
    return {part.key: part.lost for part in reading.facts["parts"]}


def levels(text: str) -> dict[str, str | None]:
    return {reading.key: level for reading, level in kit.readings(text, CODE)}


def asked(text: str) -> set[str]:
    return {c.ref.path for c in kit.look(text).cannot_tell if c.code == CODE}


def only(text: str, key: str) -> Finding:
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE and f.key == key)
    return finding


def behind(text: str) -> Behind:
    world = World(kit.look(text).loaded, Shared(NOUNS, kit.DAY))
    return world.of(PANE, world.get(Ref("camera", "cam")))


def test_the_page_holds() -> None:
    kit.hold_page(BehindAPane)


def test_the_pages_worked_example_is_what_is_computed() -> None:
    """R = 2r/(1 + r), r = ((n - 1)/(n + 1))² = 4.258 % for n = 1.52: 8.168 % (Fresnel)."""
    page = " ".join(page_path(BehindAPane).read_text(encoding="utf-8").split())
    face = (0.52 / 2.52) ** 2
    back = 2 * face / (1 + face)
    lux = back * 0.5 * 50 / 0.2
    assert f"{back:.4f} × 0.5 × 50 / 0.2 = {lux:.1f} lx, at 0.2 lx to the threshold {lux / 0.2:.0f} times" in page
    assert f"30 / √{lux / 0.4:.1f} = {30 / math.sqrt(lux / 0.4):.1f} m" in page
    found = behind(plan())
    assert found.mirrored == pytest.approx(0.08168, abs=1e-5)
    assert found.room[1] == pytest.approx(lux / 0.2, rel=1e-4)
    assert found.room[0] == pytest.approx(lux / 0.6, rel=1e-4)
    assert found.room[2] == pytest.approx(lux / 0.07, rel=1e-4)


def test_under_the_rooms_veil_a_person_is_usable_as_near_as_the_page_says() -> None:
    """The reach along the axis with the room lit: the inverse square on a person, once through the pane and back."""
    with_it, _ = behind(plan()).under(DARK, behind(plan()).room)
    assert with_it.reach.value <= 5.9
    _, without = behind(plan()).under(DARK, behind(plan()).room)
    assert without.reach.value > 20.0


def test_an_unsealed_pane_blinds_the_infrared_and_a_seal_cures_it() -> None:
    finding = only(plan(), NIGHT_LOST)
    assert finding.level == "error"
    assert "the pane throws its own infrared back: 100 % of the night view is lost" in finding.text
    assert finding.text.endswith("by night it is blind there")
    assert "put up lamps outdoors that light the ground" in finding.remedies[1].text
    assert "no lamp of the plan lights it" in finding.remedies[1].text
    assert levels(plan("gap: 0 mm, sealed: true, coated: false")) == {NIGHT_LOST: None}
    assert kit.hold_remedies(plan("gap: 40 mm, sealed: false, room: dark, coated: false"), CODE) == 1


def test_farther_from_the_pane_less_comes_back() -> None:
    swept = kit.sweep(
        CODE, lambda g: plan(f"gap: {g} m, sealed: false, room: dark"), [0.02, 0.1, 0.3, 1, 3], key=NIGHT_LOST
    )
    assert swept[0][1] == "error"
    assert swept[-1][0] < swept[0][0]


def test_infrared_bounce_leaves_the_pane_to_this_rule() -> None:
    assert not [f for f in kit.look(plan()).findings if f.code == "GLARE-01"]


@pytest.mark.parametrize(("curtain", "level"), [("false", "warning"), ("true", None)])
def test_a_lit_room_is_mirrored_unless_a_curtain_is_drawn(curtain: str, level: str | None) -> None:
    text = plan(f"gap: 3 m, sealed: false, room: lit, curtain: {curtain}")
    assert levels(text)[NIGHT_LOST] == level
    if level:
        finding = only(text, NIGHT_LOST)
        assert "the lit room behind it is mirrored in the pane" in finding.text
        assert finding.remedies[0].text.startswith("draw a curtain")
        assert finding.remedies[0].edits


def test_a_status_light_is_mirrored_at_twice_the_gap() -> None:
    """R I / (2 g)² with g = 0.5 m is R I / 1 m²; the front glass strays its share of it."""
    pane = behind(plan())
    worth = lamps.threshold(pane.plan, "white LED").usual
    strayed = pane.night.habits.glare_inside["usual"] * pane.mirrored * constant(pane.plan, "status-light").usual
    assert pane.status(0.5)[1] == pytest.approx(strayed / worth / light.TARGET, rel=1e-3)


def test_the_more_the_room_is_lit_the_more_is_lost() -> None:
    def lit(lux: float) -> str:
        return plan("gap: 3 m, sealed: false, room: lit, curtain: false", more=f"model: {{room-light: {lux}}}")

    swept = kit.sweep(CODE, lit, [0.01, 0.1, 0.5, 2, 10, 50], key=NIGHT_LOST)
    assert swept[0][1] is None
    assert swept[-1][1] == "warning"


def test_what_the_pane_does_is_one_finding_the_worst_first() -> None:
    """The losses of all three by themselves are what each gives alone."""
    text = plan("gap: 60 mm, sealed: false, coated: true, room: lit, curtain: false")
    shares = parts(text)
    assert next(iter(shares)) == INFRARED
    assert set(shares) == {INFRARED, COATED, ROOM}
    finding = only(text, NIGHT_LOST)
    assert "the pane throws its own infrared back: 100 % of the night view is lost" in finding.text
    assert (
        f"besides, the pane's coating keeps near infrared back, going out and coming in ({shares[COATED]:.0%}".replace(
            "%", " %"
        )
        in finding.text
    )
    assert len(finding.steps) == 5
    assert finding.remedies[0].text.startswith("put up lamps of visible light outdoors that light the ground")
    assert finding.remedies[1].text.startswith("move cam outdoors")


def test_a_status_light_is_worse_the_nearer_the_pane() -> None:
    near, far = (losses(plan(f"gap: {gap} mm, sealed: false, room: dark", status="lit"))[STATUS] for gap in (3, 200))
    assert near > far
    assert far == pytest.approx(0.0, abs=0.02)
    finding = only(plan("gap: 3 mm, sealed: false, room: dark", status="lit"), STATUS)
    assert "switch the status light of cam off" in finding.remedies[0].text


def test_a_coated_pane_keeps_infrared_back_and_lets_a_lamps_light_through() -> None:
    coated, plain = (behind(plan(f"gap: 0 mm, sealed: true, coated: {c}", more=LAMP)) for c in ("true", "false"))
    assert coated.night.own.peak / plain.night.own.peak == pytest.approx((0.2 / 0.91832) ** 2, rel=1e-3)
    assert coated.unlit(ALL).value == pytest.approx(plain.unlit(ALL).value)
    assert parts(plan("gap: 0 mm, sealed: true, coated: true"))[INFRARED] == 0.0
    finding = only(plan("gap: 0 mm, sealed: true, coated: true"), NIGHT_LOST)
    assert finding.level in ("warning", "error")
    assert "coating keeps near infrared back" in finding.text
    assert not any(remedy.edits for remedy in finding.remedies)


def test_with_its_infrared_off_what_the_lamps_give_is_reckoned_again() -> None:
    bright = LAMP.replace("along: 5.4, height: 3", "along: 2, out: 6, height: 4").replace("800", "4000")
    lit = behind(plan(more=bright))
    assert lit.unlit(DARK).value == 0.0
    assert lit.unlit(ALL).value > 0.5
    share = f"{round(100 * lit.unlit(ALL).value)} % with all lit"
    assert share in only(plan(more=bright), NIGHT_LOST).remedies[1].text


def test_a_lamp_beside_the_pane_lights_it_and_one_behind_it_does_not() -> None:
    beside = losses(plan("gap: 0 mm, sealed: true, coated: false", more=LAMP.replace("5.4", "5.2, out: 0.5")))
    away = losses(plan("gap: 0 mm, sealed: true, coated: false", more=LAMP.replace("5.4", "1")))
    back = LAMP.replace("wall: front, along: 5.4", "wall: back, along: 5")
    assert beside["lamp/porch"] > 0.2
    assert away["lamp/porch"] < 0.05
    assert behind(plan(more=back)).lamp(Ref("lamp", "porch")) == (0.0, 0.0, 0.0)


def test_what_the_plan_does_not_say_is_asked_where_it_matters() -> None:
    assert asked(plan("gap: 40 mm, room: dark")) == {"camera/cam/behind/sealed"}
    assert asked(plan("sealed: false, room: dark")) == {"camera/cam/behind/gap"}
    assert asked(plan("gap: 40 mm, sealed: false")) == {"camera/cam/behind/room"}
    assert asked(plan("gap: 40 mm, sealed: false, room: lit")) == {"camera/cam/behind/curtain"}
    assert asked(plan(status="")) == {"camera/cam/status-light"}
    assert asked(plan("gap: 0 mm, sealed: true")) == {"camera/cam/behind/coated"}
    assert asked(plan("gap: 0 mm, sealed: true, coated: false")) == set()
    assert kit.readings(plan().replace("    behind: {gap: 40 mm, sealed: false, room: dark}\n", ""), CODE) == []


def test_without_a_light_of_its_own_it_is_the_lamps_picture_that_the_room_lies_over() -> None:
    text = plan("gap: 40 mm, sealed: false, room: lit, curtain: false", night="none", infrared="", more=LAMP)
    assert set(losses(text)) == {NIGHT_LOST, "lamp/porch"}
    assert set(parts(text)) == {ROOM}


@pytest.mark.parametrize("stage", ["ready", "as-built"])
def test_once_installed_no_remedy_writes_a_seal_into_the_plan(stage: str) -> None:
    finding = only(plan(stage=stage), NIGHT_LOST)
    assert finding.remedies
    assert not any(remedy.edits for remedy in finding.remedies)
