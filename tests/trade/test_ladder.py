"""Ladders against OSHA's text and plain geometry."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import ladder


def test_a_ladder_to_four_metres() -> None:
    # 29 CFR 1926.1053(b)(5)(i), worked: length 4.131 m, foot out 1.033 m
    foot = ladder.foot(4.0)
    assert foot.working_length == pytest.approx(4.131, abs=5e-4)
    assert foot.out == pytest.approx(1.033, abs=5e-4)


def test_the_slope_is_the_one_ladders_are_tested_at() -> None:
    # 29 CFR 1926.1053(a)(1)(ii) tests ladders at 75 1/2 degrees
    assert ladder.foot(3.0).angle == pytest.approx(75.5, abs=0.05)


@given(st.floats(0.5, 12.0))
def test_foot_wall_and_rails_make_a_right_triangle(height: float) -> None:
    foot = ladder.foot(height)
    assert math.hypot(foot.out, height) == pytest.approx(foot.working_length)
    assert foot.out / foot.working_length == pytest.approx(0.25)
    assert math.tan(math.radians(foot.angle)) == pytest.approx(height / foot.out)
    # the popular quarter of the height stands a little too steep
    assert foot.out > height / 4


def test_three_feet_stand_above_a_landing() -> None:
    # 29 CFR 1926.1053(b)(1): 3 feet (.9 m)
    assert pytest.approx(3 * 0.3048, abs=0.02) == ladder.ABOVE_LANDING
    assert ladder.length_to_land(3.0) == pytest.approx(ladder.foot(3.9).working_length)


def test_ten_feet_from_an_overhead_line() -> None:
    assert pytest.approx(10 * 0.3048, abs=0.005) == ladder.OVERHEAD_LINE


def test_work_is_at_the_shoulder_and_the_top_of_the_ladder_above_the_feet() -> None:
    support = ladder.support_for(4.0)
    feet = support - ladder.FEET_BELOW_TOP
    assert feet + ladder.SHOULDER == pytest.approx(4.0)
    assert support < 4.0


def test_what_is_reached_from_the_ground_needs_no_ladder() -> None:
    assert ladder.support_for(1.2) == 0.0
    assert ladder.support_for(2.1) > 0.0


def test_the_top_of_a_stepladder_is_warned_of() -> None:
    assert "top step" in ladder.STEPLADDER
