"""Sound over distance: the spreading every handbook gives."""

import math

import pytest

from oneclimb.trade import sound


@pytest.mark.parametrize(("distance", "less"), [(1, 0.0), (2, 6.02), (4, 12.04), (10, 20.0), (100, 40.0)])
def test_a_small_source_loses_six_decibels_each_time_the_distance_doubles(distance: float, less: float) -> None:
    """Acoustics textbooks' table of spherical spreading."""
    assert sound.level(60.0, distance) == pytest.approx(60.0 - less, abs=0.005)


@pytest.mark.parametrize("distance", [1.0, 7.5, 50.0])
def test_it_is_the_divergence_of_iso_9613_2_over_that_at_one_metre(distance: float) -> None:
    """A_div = 20 lg(d/d0) + 11 dB (ISO 9613-2, equation 7, from memory), from the sound power level."""
    power = 71.0
    divergence = 20 * math.log10(distance) + 11
    assert sound.level(power - 11, distance) == pytest.approx(power - divergence)


@pytest.mark.parametrize("background", sound.BACKGROUND)
def test_earshot_is_where_the_level_meets_the_background(background: float) -> None:
    assert sound.level(sound.TALK, sound.earshot(sound.TALK, background)) == pytest.approx(background)


def test_nearer_than_a_mouth_can_come_it_grows_no_louder() -> None:
    assert sound.level(60.0, 0.0) == sound.level(60.0, sound.NEAREST)
