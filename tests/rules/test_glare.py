"""The glare rules: pages, sweeps through each limit, remedies, and worked examples recomputed."""

from __future__ import annotations

import datetime as dt
import math
import re

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Ref, Rule, Unknown
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.trade import light
from oneclimb_rules import moves
from oneclimb_rules.glare.facing_cameras import FacingCameras, FacingSettings
from oneclimb_rules.glare.infrared_bounce import InfraredBounce
from oneclimb_rules.glare.lamp_near_lens import LampNearLens

RULES = (InfraredBounce, FacingCameras, LampNearLens)


def failing(code: str) -> str:
    return kit.plans(kit.packs().page(code))[0]


@pytest.mark.parametrize("rule", RULES)
def test_the_page_holds(rule: type[Rule[object]]) -> None:
    kit.hold_page(rule)


def test_more_light_from_the_pipe_costs_more_and_the_level_changes_once_a_limit() -> None:
    text = failing("GLARE-01")

    def with_pipe(reflectance: float) -> str:
        own = f"materials: {{skin: {{reflectance: {{550: {reflectance}, 850: {reflectance}, 940: {reflectance}}}}}}}\n"
        return own + text.replace("surface: white plastic", "surface: skin")

    swept = kit.sweep("GLARE-01", with_pipe, [0.02, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9], key="object/pipe")
    levels = [level for _, level in swept]
    assert levels[0] is None
    assert "warning" in levels


def test_farther_apart_the_facing_cameras_cost_less() -> None:
    text = failing("GLARE-02")

    def apart(metres: float) -> str:
        return text.replace("[5, -2.4]", f"[5, -{metres}]")

    swept = kit.sweep("GLARE-02", apart, [1.2, 1.8, 2.4, 3.2, 4.5, 7.0], key="camera/pole-cam/infrared")
    levels = [level for _, level in swept]
    assert levels[0] == "error"
    assert levels[-1] in (None, "note")


def test_farther_from_the_lamp_it_costs_less() -> None:
    text = failing("GLARE-03")

    def apart(metres: float) -> str:
        return text.replace("along: 5.3 m", f"along: {5 + metres} m")

    swept = kit.sweep("GLARE-03", apart, [0.2, 0.3, 0.5, 0.8, 1.2, 1.8, 2.6], key="lamp/porch")
    levels = [level for _, level in swept]
    assert levels[0] == "error"
    assert levels[-1] is None


@pytest.mark.parametrize(("code", "least"), [("GLARE-01", 2), ("GLARE-02", 0), ("GLARE-03", 2)])
def test_remedies_hold_when_they_are_applied_as_printed(code: str, least: int) -> None:
    assert kit.hold_remedies(failing(code), code) >= least


def test_a_gas_pipe_is_never_to_be_painted() -> None:
    text = failing("GLARE-01").replace("kind: downpipe", "kind: gas-pipe, diameter: 80 mm, out: 60 mm, tall: 5 m")
    found = [f for f in kit.look(text).findings if f.code == "GLARE-01"]
    assert found
    assert not [remedy.text for f in found for remedy in f.remedies if "paint" in remedy.text]
    assert [
        remedy.text for f in kit.look(failing("GLARE-01")).findings for remedy in f.remedies if "paint" in remedy.text
    ]


def test_a_camera_without_infrared_has_no_bounce() -> None:
    text = re.sub(r"night: infrared\n\s+infrared: 30 m", "night: none", failing("GLARE-01"))
    assert kit.readings(text, "GLARE-01") == []


def test_a_rating_that_is_not_given_is_asked_for() -> None:
    text = failing("GLARE-01").replace("    infrared: 30 m\n", "")
    asked = {c.ref.path for c in kit.look(text).cannot_tell if c.code == "GLARE-01"}
    assert asked == {"camera/corner/infrared/range"}


def test_a_lamp_of_unknown_kind_is_asked_for() -> None:
    text = failing("GLARE-03").replace("kind: white LED, ", "")
    assert "lamp/porch/kind" in {c.ref.path for c in kit.look(text).cannot_tell if c.code == "GLARE-03"}


def pair(at: str, aim: str) -> str:
    """The page's pair with the one on the pole elsewhere."""
    return failing("GLARE-02").replace("[5, -2.4]", at).replace("bearing: 0, tilt: 30", aim)


HELPS = ("[9, -5]", "bearing: 210, tilt: 14")


def test_a_complementing_pair_is_a_note_with_the_gain() -> None:
    (note,) = (f for f in kit.look(pair(*HELPS)).findings if f.code == "GLARE-02" and f.at.id == "house-cam")
    assert (note.level, note.key) == ("note", "camera/pole-cam/infrared/gain")
    assert note.figure
    assert (note.figure.name, note.figure.unit) == ("more in hand on the wanted ground", "stops")
    assert f"the wanted ground has {note.figure.value:.1f} stops more in hand" in note.text


def test_every_pair_has_its_change_and_its_gain_and_a_loss_has_no_gain() -> None:
    for text in (pair(*HELPS), failing("GLARE-02")):
        figures = {(r.at.id, r.key): (r.figure.value, r.facts["gain"]) for r, _ in kit.readings(text, "GLARE-02")}
        changes = {at: (value, gain) for at, (value, gain) in figures.items() if not at[1].endswith("/gain")}
        assert {(camera, f"{key}/gain") for camera, key in changes} | set(changes) == set(figures)
        for (camera, key), (change, gain) in changes.items():
            helps = figures[camera, f"{key}/gain"][0]
            assert helps == (max(0.0, gain) if change >= -1e-6 else 0.0)
    assert figures["house-cam", "camera/pole-cam/infrared"][0] < -0.5


def test_a_gain_is_a_note_above_its_limit_and_never_more() -> None:
    key = "camera/pole-cam/infrared/gain"
    text = pair(*HELPS)
    (gain,) = (r.figure.value for r, _ in kit.readings(text, "GLARE-02") if r.key == key)
    for limit, level in ((gain - 0.01, "note"), (gain + 0.01, None), (0.0, "note")):
        held = f"{text}settings: {{GLARE-02: {{gain: {limit}, error: 100, warning: 100}}}}\n"
        assert [at for r, at in kit.readings(held, "GLARE-02") if r.key == key] == [level]


def test_a_reach_that_is_the_same_lit_and_dark_is_not_told() -> None:
    pairs = (pair("[9, -9]", "bearing: 330, tilt: 20"), pair(*HELPS))
    notes = [f for text in pairs for f in kit.look(text).findings if f.key.endswith("/gain")]
    reaches = [re.findall(r"with it lit [^;]* as far as ([^;]+); with it dark ([^;]+);", note.text) for note in notes]
    assert [] in reaches
    assert any(reaches)
    assert all(lit != dark for told in reaches for lit, dark in told)


def test_where_nothing_tried_is_left_the_advice_is_plain_and_the_proof_comes_last() -> None:
    def remedies(text: str) -> list[str]:
        (finding,) = (f for f in kit.look(text).findings if f.code == "GLARE-02")
        return [("tried: " if remedy.edits else "") + remedy.text for remedy in finding.remedies]

    stagger, proof = remedies(failing("GLARE-02"))
    assert stagger.startswith("stagger the two")
    assert proof.startswith("prove the pair at night in four states")
    *tried, last = remedies(pair("[7, -3]", "bearing: 330, tilt: 20"))
    assert tried
    assert all(text.startswith("tried: ") for text in tried)
    assert last == proof


PIPE = "  - {id: pipe, kind: downpipe, wall: front, along: 9.7 m, surface: white plastic}\n"


def tucked_up(height: float = 2.45, more: str = "") -> str:
    """A camera just below a low soffit, and nothing else near."""
    text = (
        failing("GLARE-01")
        .replace(f"objects:\n{PIPE}", "")
        .replace("eave: {height: 5 m, depth: 0.3 m}", "eave: {height: 2.5 m, depth: 0.45 m}")
    )
    return text.replace("height: 2.7 m} #", f"{more}height: {height} m}} #")


def lower_by(text: str) -> list[str]:
    """What is offered of fixing it lower."""
    return [r.text for f in kit.look(text).findings for r in f.remedies if r.edits and "lower" in r.text]


def test_below_a_soffit_the_first_cure_is_to_fix_it_lower() -> None:
    (finding,) = (f for f in kit.look(tucked_up()).findings if f.code == "GLARE-01")
    assert finding.remedies[0].text == "fix corner 0.10 m lower"
    assert lower_by(tucked_up()) == ["fix corner 0.10 m lower"]
    assert kit.hold_remedies(tucked_up(), "GLARE-01") >= 1


def test_nothing_is_fixed_lower_than_a_raised_hand_reaches_nor_from_a_storeys_floor() -> None:
    low = tucked_up(2.25).replace("height: 2.5 m, depth", "height: 2.3 m, depth")
    assert any(f.code == "GLARE-01" for f in kit.look(low).findings)
    assert lower_by(low) == []
    assert lower_by(tucked_up(2.45, "storey: 1, ")) == []


def test_lower_counts_from_the_ground_of_the_building() -> None:
    raised = tucked_up().replace("house: {", "house: {base: 1 m, ")
    assert lower_by(raised) == ["fix corner 0.10 m lower"]
    assert kit.hold_remedies(raised, "GLARE-01") >= 1


def test_what_touches_the_lamp_has_no_distance() -> None:
    near = PIPE.replace("along: 9.7 m", "along: 9.48 m, out: 0.1 m, diameter: 80 mm")
    (finding,) = (f for f in kit.look(failing("GLARE-01").replace(PIPE, near)).findings if f.key == "object/pipe")
    assert "pipe, touching the lamp and filling" in finding.text
    assert [related.text for related in finding.related] == ["pipe, touching the lamp"]
    (clear,) = (f for f in kit.look(failing("GLARE-01")).findings if f.key == "object/pipe")
    assert re.search(r"pipe, 0\.\d\d m from the lens and filling", clear.text)


@pytest.mark.parametrize(("there", "told"), [("sometimes", True), ("always", False)])
def test_what_is_there_only_sometimes_is_told_so(there: str, told: bool) -> None:
    van = f"  - {{id: van, kind: van, at: [11.8, -2.5], surface: white paint, there: {there}}}\n"
    (finding,) = (
        f
        for f in kit.look(failing("GLARE-01").replace(PIPE, van)).findings
        if (f.code, f.key) == ("GLARE-01", "object/van")
    )
    assert ("back when it is there:" in finding.text) == told


def test_the_separate_lamp_stands_aside_by_the_plans_own_tape() -> None:
    for text, aside in (
        (failing("GLARE-01"), "1.00 m aside"),
        ("units: feet\n" + failing("GLARE-01"), "3 ft 3 in aside"),
    ):
        found = [f for f in kit.look(text).findings if f.code == "GLARE-01"]
        assert found
        assert all(any(aside in remedy.text for remedy in finding.remedies) for finding in found)


def test_the_worked_example_of_the_bounce() -> None:
    """White pipe (0.8) at 0.5 m against a person (0.2) at 10 m: 1600 to one, inverse square and Lambert."""
    pipe, person = (float(light.signal(rho, 900.0 / d**2)) for rho, d in ((0.8, 0.5), (0.2, 10.0)))
    assert pipe / person == pytest.approx(1600.0)
    assert "1600 times" in kit.packs().page("GLARE-01")


def test_the_worked_example_of_the_facing_lamp() -> None:
    """A lamp rated for 30 m, 2 m away: 225 thresholds on the glass; 2 % of it a veil of 22.5."""
    arriving = 30.0**2 / 2.0**2
    assert arriving == 225.0
    assert float(light.veil(0.02, 0.02, arriving, 0.0)) == pytest.approx(22.5)
    page = kit.packs().page("GLARE-02")
    assert "225 times" in page
    assert "22.5 times" in page


def test_the_worked_example_of_the_porch_lamp() -> None:
    """800 lm all round, 0.3 m away: 63.7 cd and 707 lx."""
    candela = 800.0 / (4.0 * math.pi)
    assert candela == pytest.approx(63.66, abs=0.01)
    assert candela / 0.3**2 == pytest.approx(707.0, abs=0.5)
    page = kit.packs().page("GLARE-03")
    assert "63.7 cd" in page
    assert "707 lx" in page


@pytest.mark.parametrize(("along", "partial"), [("9.7 m", False), ("9.55 m", True)])
def test_part_of_the_view_is_promised_only_where_paint_leaves_the_finding(along: str, partial: bool) -> None:
    text = failing("GLARE-01").replace("along: 9.7 m", f"along: {along}")
    (paint,) = (r for f in kit.look(text).findings for r in f.remedies if "paint pipe" in r.text)
    assert paint.partial == partial
    assert ("part of the view back" in paint.text) == partial


# ------------------------------------------------------------------------------- what is not told

SHED = "  - {id: shed, wall: front, along: 9.5 m, height: 2.6 m, lit: always}\n"


@pytest.mark.parametrize("lit", ["always", "motion"])
def test_a_lamp_that_is_not_described_does_not_silence_another(lit: str) -> None:
    text = failing("GLARE-03").replace("cameras:\n", SHED.replace("always", lit) + "cameras:\n")
    looked = kit.look(text)
    (finding,) = (f for f in looked.findings if f.code == "GLARE-03")
    assert (finding.level, finding.key) == ("error", "lamp/porch")
    asked = [c.ref.path for c in looked.cannot_tell if c.code == "GLARE-03"]
    assert asked == ["lamp/shed/kind"]


def seen(text: str) -> World:
    return World(kit.look(text).loaded, Shared(NOUNS, dt.date(2026, 6, 1)))


@pytest.mark.parametrize(("at", "asked"), [("[5, -2.4]", True), ("[5, -25]", False)])
def test_a_camera_near_by_whose_infrared_is_not_described_is_asked_about(at: str, asked: bool) -> None:
    bare = "infrared: 30 m, records: motion, power: {source: poe}}"
    text = pair(at, "bearing: 0, tilt: 30").replace(bare, bare.replace("infrared: 30 m", "night: infrared"))
    text = text.replace("  - id: house-cam\n", "  - id: house-cam\n    infrared: 30 m\n")
    asks = {c.ref.path for c in kit.look(text).cannot_tell if c.code == "GLARE-02"}
    pole = "camera/pole-cam/infrared/range"
    assert asks == {pole}
    world = seen(text)
    told = FacingCameras().measure(world.get(Ref("camera", "house-cam")), world, FacingSettings())
    assert [why.ref.path for why in told if isinstance(why, Unknown)] == ([pole] if asked else [])


def test_a_move_is_worded_by_the_place_it_leads_to() -> None:
    """A lamp past the wall's corner has the first place on the wall two tape marks and more away."""
    world = seen(failing("GLARE-03"))
    porch = world.get(Ref("lamp", "porch"))
    past = replace(porch, spot=replace(porch.spot, along=-0.1))
    left, right = moves.along(past, world)
    assert left.steps == ()
    for i, (change,) in enumerate(right.steps):
        shift = float(str(change.by).removesuffix(" m")) + 0.1
        assert right.words(i) == f"move porch {world.say.tape(shift)} to the right along its wall"
    assert right.words(0) == "move porch 0.15 m to the right along its wall"


def past_a_pipe(*, mirrored: bool = False) -> str:
    """A camera at a corner that looks along the front past a pipe, at ground it must not turn away from."""

    def at(*along: float) -> str:
        return " to ".join(f"{end:.2f} m" for end in (sorted(10.4 - end for end in along) if mirrored else along))

    return f"""
site: {{place: [44.9, -72.6], coast: 200 km, weather: [frost]}}
house: {{front: {{faces: 165, width: 10.4}}, depth: 7.5, eave: {{height: 4.5, depth: 0.35}}, surface: weathered wood}}
objects: [{{id: pipe, kind: downpipe, wall: front, along: {at(9.7)}, surface: white plastic}}]
areas:
  - {{id: step, for: recognise, wall: front, along: {at(3.0, 4.3)}, out: 1.2}}
  - {{id: yard, for: detect, wall: front, along: {at(0, 7.3)}, out: 1.2 to 10.4}}
cameras:
  - {{id: cam, shape: turret, pixels: 2560 x 1440, view: 84 deg, infrared: 20 m, aim: step,
     mount: {{wall: front, along: {at(10.05)}, height: 2.5}}}}
"""


@pytest.mark.parametrize(("mirrored", "side"), [(False, "left"), (True, "right")])
def test_where_no_move_cures_it_a_turn_away_is_offered_that_helps_in_part(mirrored: bool, side: str) -> None:
    text = past_a_pipe(mirrored=mirrored)
    (finding,) = (f for f in kit.look(text).findings if f.code == "GLARE-01" and f.key == "object/pipe")
    turned = finding.remedies[0]
    assert re.fullmatch(rf"turn cam \d+° to the {side}: expect part of the view back", turned.text)
    assert turned.partial
    assert finding.figure
    assert turned.after
    assert turned.after.value <= 0.9 * finding.figure.value
    assert kit.hold_remedies(text, "GLARE-01") >= 1


def test_where_a_move_cures_it_no_half_measure_is_offered() -> None:
    (finding,) = (f for f in kit.look(failing("GLARE-01")).findings if f.code == "GLARE-01")
    moved = [remedy for remedy in finding.remedies if remedy.edits and "paint" not in remedy.text]
    assert moved
    assert not any(remedy.partial for remedy in moved)
