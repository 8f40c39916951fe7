"""The glare rules: pages, sweeps through each limit, remedies, and worked examples recomputed."""

from __future__ import annotations

import math
import re

import pytest

from oneclimb import kit
from oneclimb.api import Rule
from oneclimb.trade import light
from oneclimb_rules.glare.facing_cameras import FacingCameras
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


def test_a_complementing_pair_is_a_note_with_the_gain() -> None:
    text = failing("GLARE-02").replace("[5, -2.4]", "[9, -5]").replace("bearing: 0, tilt: 30", "bearing: 210, tilt: 14")
    notes = [f for f in kit.look(text).findings if f.code == "GLARE-02" and f.at.id == "house-cam"]
    assert [(f.level, "helps" in f.text) for f in notes] == [("note", True)]


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
