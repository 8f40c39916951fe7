"""Motion blur."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import blur


def test_a_photographers_worked_case() -> None:
    # a motion blur calculator in print: 5 m/s, 10 m away, 200 mm lens, 0.025 mm allowed: 1/4000 s
    per_metre = 200 / 10_000 * 1000 / 0.025  # 0.025 mm steps a metre at 10 m is drawn over
    assert blur.longest_shutter(5.0, per_metre, 1.0) == pytest.approx(1 / 4000)


def test_someone_walking_across_at_night_is_a_smear_where_a_face_is_wanted() -> None:
    # 1.4 m/s for 1/25 s is 56 mm: 14 pixels at 250 px/m
    assert blur.pixels(blur.SPEEDS["walking"], blur.NIGHT_SHUTTER[1], 250.0) == pytest.approx(14.0)
    assert blur.longest_shutter(1.4, 250.0) < blur.NIGHT_SHUTTER[0] / 4


def test_someone_walking_is_still_seen_to_be_someone() -> None:
    assert blur.longest_shutter(1.4, 25.0) > blur.NIGHT_SHUTTER[1]


@given(st.floats(0.1, 20.0), st.floats(10.0, 1000.0))
def test_at_the_longest_shutter_the_blur_is_what_was_allowed(speed: float, task: float) -> None:
    assert blur.pixels(speed, blur.longest_shutter(speed, task), task) == pytest.approx(blur.PIXELS)


def test_walking_running_and_driving_in_kilometres_an_hour() -> None:
    assert [round(speed * 3.6) for speed in blur.SPEEDS.values()] == [5, 14, 20]


def test_stops_lost() -> None:
    assert blur.stops_lost(1 / 100, 1 / 25) == pytest.approx(2.0)
    assert blur.stops_lost(1 / 10, 1 / 25) == 0.0
