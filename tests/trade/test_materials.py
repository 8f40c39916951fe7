"""The table of materials holds together, and lamps and constants come out in threshold units."""

import math
from types import SimpleNamespace

import pytest

from oneclimb.trade import constants, lamps, led, light
from oneclimb.trade.materials import BUILT_IN, WAVELENGTHS, reflectance

PLAIN = SimpleNamespace(constants={})


@pytest.mark.parametrize("name", BUILT_IN)
def test_every_material_has_ordered_bands_and_a_source(name: str) -> None:
    material = BUILT_IN[name]
    assert set(material.reflectance) == set(WAVELENGTHS)
    for band in material.reflectance.values():
        assert 0.0 < band.low <= band.usual <= band.high < 1.0
    assert any(word in material.source for word in ("earthlib", "ECOSTRESS", "from memory", "estimate"))


def test_visible_reflectance_is_no_guide_to_infrared() -> None:
    """Red brick 0.07 to 0.13 at 550 nm, 0.24 to 0.27 at 850 nm; grass 0.50 to 0.59 at 850 nm (ECOSTRESS)."""
    brick, grass = BUILT_IN["red brick"], BUILT_IN["grass"]
    assert brick.reflectance[850].low > brick.reflectance[550].high
    assert (grass.reflectance[850].low, grass.reflectance[850].high) == (0.50, 0.59)
    assert BUILT_IN["matt black paint"].reflectance[850].usual < 0.06


def test_reflectance_takes_the_nearest_column() -> None:
    grass = BUILT_IN["grass"]
    assert reflectance(grass, 905) == grass.reflectance[940]
    assert reflectance(grass, 589) == grass.reflectance[550]


@pytest.mark.parametrize("name", constants.CONSTANTS)
def test_every_constant_is_ordered_and_has_a_source(name: str) -> None:
    c = constants.CONSTANTS[name]
    assert 0.0 < c.low <= c.usual <= c.high
    assert c.source
    assert name == name.lower()


def test_only_constants_whose_ends_are_reckoned_with_have_any() -> None:
    apart = {name for name, c in constants.CONSTANTS.items() if c.low < c.high}
    glares = {"glare-inside", "glare-outside", "glare-outside-hooded", "dirt"}
    assert apart == glares | {name for name in constants.CONSTANTS if name.startswith("threshold-")}


def test_plan_overrides_a_constant_with_a_number_or_a_range() -> None:
    plan = SimpleNamespace(constants={"dirt": 4.0, "exposure": (0.1, 0.2, 0.3)})
    assert constants.constant(plan, "dirt").low == constants.constant(plan, "dirt").high == 4.0
    assert constants.constant(plan, "exposure").usual == 0.2
    assert constants.constant(plan, "margin") == constants.CONSTANTS["margin"]


def test_lamp_all_round_spreads_its_lumens_over_the_sphere() -> None:
    assert lamps.candela(800.0) == pytest.approx((800.0 / (4 * math.pi), 0.0))


def test_beam_keeps_its_lumens() -> None:
    """A Lambertian downlight (120° at half intensity) of Φ lumens has Φ/π candela on its axis (textbook)."""
    peak, exponent = lamps.candela(800.0, 120.0)
    assert peak == pytest.approx(800.0 / math.pi)
    assert peak * led.led_flux(exponent) == pytest.approx(800.0)


def test_narrower_beam_of_the_same_flux_reaches_farther() -> None:
    wide, narrow = led.led_exponent(50.0), led.led_exponent(37.5)
    reach = lamps.refocused_range(30.0, 100.0, 75.0)
    assert reach == pytest.approx(37.4, abs=0.1)
    assert reach**2 * led.led_flux(narrow) == pytest.approx(30.0**2 * led.led_flux(wide))


@pytest.mark.parametrize("kind", [kind for kind in lamps.COLUMN if kind != "infrared"])
def test_every_visible_kind_of_lamp_has_a_threshold(kind: str) -> None:
    assert 0.01 < lamps.threshold(PLAIN, kind).usual < 1.0


def test_infrared_rich_lamps_count_more_per_lumen() -> None:
    assert lamps.threshold(PLAIN, "halogen").usual < lamps.threshold(PLAIN, "white LED").usual


@pytest.mark.parametrize("rated", [5.0, 30.0, 80.0])
def test_rated_range_is_where_the_threshold_is_met(rated: float) -> None:
    assert light.irradiance(lamps.infrared_intensity(rated), 1.0, rated**2) == 1.0
