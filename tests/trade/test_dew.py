"""Dew points against a psychrometric library and printed values."""

import math
from importlib import import_module

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import dew

celsius = st.floats(-20.0, 45.0)
shares = st.floats(0.15, 1.0)


@pytest.mark.parametrize("t", [1, 10, 20, 35, 50])
def test_saturation_agrees_with_a_psychrometric_library(t: float) -> None:
    # psychrolib 2.5.0, ASHRAE's equations; Magnus's own error is 0.4 %
    psychrolib = import_module("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert dew.saturation(t) == pytest.approx(psychrolib.GetSatVapPres(t) / 100, rel=0.004)


@pytest.mark.parametrize("t", [-40, -20, -5, 0, 15, 50])
def test_saturation_over_water_also_below_freezing(t: float) -> None:
    # Sonntag 1994 over water, coefficients as printed in the open toolbox atmlab (e_eq_water), Pa and K
    k = t + 273.15
    e = math.exp(-6096.9385 / k + 21.2409642 - 2.711193e-2 * k + 1.673952e-5 * k * k + 2.433502 * math.log(k))
    assert dew.saturation(t) == pytest.approx(e / 100, rel=0.005)


@pytest.mark.parametrize("t", [15.0, 20.0, 30.0, 40.0])
@pytest.mark.parametrize("humidity", [0.4, 0.55, 0.7, 0.9])
def test_dew_points_agree_with_a_psychrometric_library(t: float, humidity: float) -> None:
    # psychrolib 2.5.0, GetTDewPointFromRelHum; all above freezing, where both are over water
    psychrolib = import_module("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert dew.dew_point(t, humidity) == pytest.approx(psychrolib.GetTDewPointFromRelHum(t, humidity), abs=0.1)


def test_air_of_30_degrees_and_55_per_cent_condenses_at_20() -> None:
    # a coating maker's glossary, as printed: 30 °C and 55 % condense at 20 °C or less
    assert dew.dew_point(30.0, 0.55) == pytest.approx(20.0, abs=0.1)


@given(celsius)
def test_saturated_air_is_at_its_dew_point(t: float) -> None:
    assert dew.dew_point(t, 1.0) == pytest.approx(t, abs=1e-9)


@given(celsius, shares)
def test_at_its_dew_point_air_is_saturated(t: float, humidity: float) -> None:
    at = dew.dew_point(t, humidity)
    assert dew.saturation(at) == pytest.approx(dew.vapour_pressure(t, humidity))
    assert dew.humidity_at(t, at) == pytest.approx(humidity)


def test_a_dome_on_a_winter_wall_gets_wet_from_a_warm_room_and_one_in_june_does_not() -> None:
    assert dew.condenses(2.0, 20.0, 0.5)
    assert not dew.condenses(15.0, 20.0, 0.5)


def test_the_range_of_rooms_is_in_order_and_about_ten_degrees_wide() -> None:
    low, usual, high = dew.wet_below()
    assert low < usual < high
    assert usual == dew.dew_point(20.0, 0.5) == pytest.approx(9.3, abs=0.1)
    assert 6.0 < high - low < 12.0
