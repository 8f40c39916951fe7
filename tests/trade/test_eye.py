"""Infrared and the eye, against worked cases in print."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import eye


@pytest.mark.parametrize(("seconds", "limit"), [(7, 4182.63), (10, 3200.9), (100, 569.2), (1000, 101.2)])
def test_short_exposures(seconds: float, limit: float) -> None:
    # IEC 62471; 7 s in a published question and answer, the others worked
    assert eye.limit(seconds) == pytest.approx(limit, abs=0.05)


def test_long_exposures_join_on_at_a_thousand_seconds() -> None:
    # ICNIRP: 100 W/m2 over 1000 s; 18000 * 1000^-0.75 = 101.2
    assert eye.limit(1000.1) == 100.0
    assert eye.limit(1000.0) == pytest.approx(eye.limit(1001.0), rel=0.02)


def test_forty_leds_at_twelve_centimetres() -> None:
    # published worked case: 40 x 0.011 W/sr at 0.12 m, 30.55 W/m2, well under 4182 for 7 s
    together = eye.intensity(40, 0.011)
    assert eye.exposure(together, 0.12) == pytest.approx(30.55, abs=0.01)
    assert eye.share_of_limit(together, 0.12, 7.0) == pytest.approx(30.556 / 4182.63, rel=1e-3)


@pytest.mark.parametrize(("intensity", "metres"), [(1.0, 0.1), (5.0, 0.224), (10.0, 0.316)])
def test_safe_distances(intensity: float, metres: float) -> None:
    # arithmetic: sqrt(I / 100)
    assert eye.safe_distance(intensity) == pytest.approx(metres, abs=5e-4)


@given(st.floats(0.01, 50.0), st.floats(1.0, 30000.0))
def test_at_the_safe_distance_the_limit_is_just_reached(intensity: float, seconds: float) -> None:
    assert eye.share_of_limit(intensity, eye.safe_distance(intensity, seconds), seconds) == pytest.approx(1.0)


def test_a_house_camera_is_far_below_the_limit_at_a_metre_and_near_it_at_arms_length() -> None:
    low, usual, high = eye.intensity_of(30.0)
    assert low < usual < high
    assert eye.share_of_limit(high, 1.0) < 0.05
    assert eye.share_of_limit(eye.intensity_of(60.0)[2], eye.NEAR) > 1.0


def test_intensity_goes_by_the_square_of_the_range() -> None:
    assert eye.intensity_of(60.0)[1] == pytest.approx(4 * eye.intensity_of(30.0)[1])


def test_the_retinal_limit_of_the_smallest_source() -> None:
    # a maker's example: 545 mW/mm2/sr for a source of 0.011 rad
    assert eye.retinal_limit(0.011) == pytest.approx(545e3, rel=1e-3)
    assert eye.retinal_limit(0.001) == eye.retinal_limit(0.011)
    assert eye.retinal_limit(1.0) == eye.retinal_limit(0.1) == pytest.approx(6e4)


def test_a_made_led_array_keeps_the_retinal_limit_led_by_led() -> None:
    # the same note: 160 mW/sr LEDs of 58.7 mW/mm2/sr pass the limit
    assert eye.retinal_limit(math.sqrt(0.160 / 58.7e3 * 4 / math.pi) / eye.LAMP) > 58.7e3
