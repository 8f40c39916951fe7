"""MOUNT-02 and MOUNT-03: a housing against the rain, the salt, the heat and the frost of its place."""

import numpy as np
import pandas as pd
import pytest
from pvlib import solarposition

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.register import page_path
from oneclimb.study import WARMED
from oneclimb.study.warmed import Warmed
from oneclimb.trade import heat
from oneclimb_rules.mount.ingress_rating import IngressRating
from oneclimb_rules.mount.temperature import Temperature

WATER, HEAT = "MOUNT-02", "MOUNT-03"
PLACE = "place: [54.62, -3.55],"


def plan(
    more: str = "", *, coast: str = "coast: 12 km,", place: str = PLACE, temperature: str = "-6 to 35 C",
    faces: int = 180, height: float = 3, house: str = "height: 20", rules: str = "", stage: str = "design",
    objects: str = "",
) -> str:  # fmt: skip
    """A camera on a wide, high wall."""
    return f"""
site: {{{coast} {place} temperature: {temperature}, stage: {stage}}}
house: {{front: {{faces: {faces}, width: 60}}, depth: 8, {house}}}
{objects}
cameras:
  - id: cam
    mount: {{wall: front, along: 30, height: {height}}}
    night: none
    {more}
{rules}
"""


def level(text: str, code: str, key: str = "") -> str | None:
    """The level of the camera's finding."""
    found = [f for f in kit.look(text).findings if f.code == code and f.key == key]
    return found[0].level if found else None


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


def words(rule: type) -> str:
    """A rule's page in one line."""
    return " ".join(page_path(rule).read_text(encoding="utf-8").split())


def short(rated: str, coast: str = "coast: 12 km,", house: str = "height: 20") -> float:
    """Numerals short."""
    ((reading, _),) = kit.readings(plan(f"rated: [{rated}]", coast=coast, house=house), WATER)
    return reading.figure.value


def test_the_page_of_ingress_holds() -> None:
    kit.hold_page(IngressRating)


def test_the_page_of_temperature_holds() -> None:
    kit.hold_page(Temperature)


def test_the_pages_example_of_ingress_is_what_the_rule_computes() -> None:
    assert "IP54 is asked for, one short of dust, a note" in words(IngressRating)
    assert short("IP44") == 1
    assert level(plan("rated: [IP44]"), WATER) == "note"
    assert "it is IP65: 2 + 1 = 3 short, a warning" in words(IngressRating)
    assert short("IP44", coast="coast: 300 m,") == 3
    assert level(plan("rated: [IP44]", coast="coast: 300 m,"), WATER) == "warning"


@pytest.mark.parametrize(("rated", "lacks"), [("IP67", 1), ("IP68", 1), ("IP66", 0), ("IP66, IP67", 0), ("IP65", 0)])
def test_a_numeral_above_six_stands_for_no_jet(rated: str, lacks: int) -> None:
    """IEC 60529 clause 6, as restated in print: beyond 6 nothing lower is implied."""
    assert short(rated, coast="coast: 100 m,") == lacks


def test_the_trap_is_named_in_words() -> None:
    (finding,) = (f for f in kit.look(plan("rated: [IP67]", coast="coast: 100 m,")).findings if f.code == WATER)
    assert "stands for no jet" in finding.text
    assert "salt water is near" in finding.text


def test_an_eave_asks_for_less_than_an_open_wall_and_indoors_for_nothing() -> None:
    eave = "eave: {height: 3.05, depth: 1.5}"
    assert short("IP53", house=eave) == 0
    assert short("IP53") == 1
    assert kit.readings(plan("rated: [IP20]\n    sits: indoors"), WATER) == []


def test_a_hose_asks_for_six_where_it_reaches() -> None:
    hosed = "settings: {MOUNT-02: {hose: 3.5 m}}"
    (finding,) = (f for f in kit.look(plan("rated: [IP65]", rules=hosed)).findings if f.code == WATER)
    assert "a hose reaches it" in finding.text
    assert level(plan("rated: [IP65]", rules=hosed, height=4), WATER) is None


def test_less_protection_is_never_better() -> None:
    swept = kit.sweep(WATER, lambda n: plan(f"rated: [IP{6 if n > 3 else 2}{n:.0f}]"), [6, 5, 4, 3, 2, 1, 0])
    assert [at for _, at in swept] == [None, None, None, "error", "error", "error", "error"]


def test_ratings_and_the_coast_are_asked_for_where_they_matter() -> None:
    assert asked(plan(), WATER) == {"camera/cam/rated"}
    assert asked(plan("rated: [IK10]"), WATER) == {"camera/cam/rated"}
    assert asked(plan("rated: [IP66]", coast=""), WATER) == set()
    assert asked(plan("rated: [IP54]", coast=""), WATER) == {"site/site/coast"}
    assert level(plan("rated: [IP54]", coast=""), WATER) is None


def test_the_better_housing_is_tried_while_it_is_a_design() -> None:
    assert kit.hold_remedies(plan("rated: [IP20, IK10]"), WATER) == 1
    (finding,) = (f for f in kit.look(plan("rated: [IP20]", stage="as-built")).findings if f.code == WATER)
    assert not any(remedy.edits for remedy in finding.remedies)


# ------------------------------------------------------------------------ heat and frost


def over(text: str, key: str = "hot") -> float:
    """Kelvins beyond the rating."""
    return next(reading.figure.value for reading, _ in kit.readings(text, HEAT) if reading.key == key)


def test_the_pages_example_of_heat_is_what_the_rule_computes() -> None:
    """By hand, ASHRAE's sol-air temperature with half the sun: t + a E / (2 h)."""
    black, white = (35 + a * 0.5 * 1000 / 17 for a in (0.92, 0.3))
    assert f"35 + 0.92 · 0.5 · 1000 / 17 = {black:.1f} °C; in white {white:.1f} °C" in words(Temperature)
    assert heat.felt(35, heat.STRONG_SUN, "black")[1] == pytest.approx(black)
    assert heat.felt(35, heat.STRONG_SUN, "white")[1] == pytest.approx(white)


def test_hotter_air_is_never_better() -> None:
    swept = kit.sweep(
        HEAT,
        lambda t: plan("operating: -30 to 50 C\n    colour: white", temperature=f"-6 to {t} C"),
        [10, 30, 40, 45, 48, 52, 60, 70],
        key="hot",
    )
    assert swept[0][1] is None
    assert [at for _, at in swept][-1] == "error"


def test_colder_air_is_never_better() -> None:
    swept = kit.sweep(
        HEAT, lambda t: plan("operating: -10 to 70 C", temperature=f"{t} to 20 C"), [0, -9, -10, -11, -20, -26, -40],
        key="cold",
    )  # fmt: skip
    assert [at for _, at in swept] == [None, None, None, "warning", "warning", "error", "error"]


def test_black_is_hotter_than_white_and_a_wall_to_the_pole_sees_less_sun() -> None:
    hot = {c: over(plan(f"operating: -30 to 50 C\n    colour: {c}")) for c in ("white", "grey", "black")}
    assert hot["white"] < hot["grey"] < hot["black"]
    assert warmed(plan(faces=0)).share < 0.35 < warmed(plan(faces=180)).share


def test_under_a_deep_low_eave_no_strong_sun_is_left() -> None:
    porch = plan("operating: -30 to 40 C\n    colour: black", house="eave: {height: 3.1, depth: 8}", height=3.05)
    assert warmed(porch).share == 0
    assert over(porch) == pytest.approx(35 - 40)
    assert "no strong sun" not in str(kit.look(porch).findings)


def test_without_the_place_the_sun_is_doubt_and_the_place_is_asked_for() -> None:
    text = plan("operating: -30 to 50 C\n    colour: black", place="")
    assert over(text) == pytest.approx(35 - 50)
    assert level(text, HEAT, "hot") is None
    assert asked(text, HEAT) == {"site/site/place"}
    assert asked(plan("operating: -30 to 95 C\n    colour: black", place=""), HEAT) == set()


def test_a_camera_without_rated_temperatures_is_not_told_of_and_the_sites_are_asked_for() -> None:
    assert kit.readings(plan(), HEAT) == []
    text = plan("operating: -30 to 50 C").replace("temperature: -6 to 35 C,", "")
    assert asked(text, HEAT) == {"site/site/temperature"}


def test_a_white_housing_and_a_better_camera_are_tried() -> None:
    text = plan("operating: 0 to 45 C\n    colour: black")
    found = {f.key: f for f in kit.look(text).findings if f.code == HEAT}
    assert found["hot"].remedies[0].text == "choose the white housing"
    assert kit.hold_remedies(text, HEAT) == 3


def warmed(text: str) -> Warmed:
    """The sun on the housing."""
    loaded = kit.look(text).loaded
    q = World(loaded, Shared(NOUNS, kit.DAY))
    return q.of(WARMED, q.get(Ref("camera", "cam")))


@pytest.mark.parametrize("faces", [180, 225, 90])
def test_the_sun_on_an_open_wall_agrees_with_pvlib(faces: int) -> None:
    """NREL SPA as pvlib has it: the share of the hours with the sun over 15° in which it stands before the wall."""
    times = pd.date_range("2026-04-01", "2026-10-01", freq="10min", tz="UTC", inclusive="left")
    sun = solarposition.get_solarposition(times, 54.62, -3.55)
    up = (sun["apparent_elevation"] >= 15).to_numpy()
    before = np.cos(np.radians(sun["azimuth"].to_numpy() - faces)) > 0
    found = warmed(plan(faces=faces))
    assert found.share == pytest.approx((up & before).sum() / up.sum(), abs=0.02)
    assert found.hours == pytest.approx((up & before).sum() / 6, rel=0.03)
    assert 750 < found.beam < 1000
