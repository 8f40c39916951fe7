"""Batteries in the cold against printed factors and worked sizes; what is from memory says so."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import battery

KINDS: list[battery.Chemistry] = ["lead-acid", "vrla", "lithium", "alkaline"]


@pytest.mark.parametrize(("celsius", "factor"), [(-3.9, 1.52), (4.4, 1.30), (10.0, 1.19), (15.6, 1.11), (25.0, 1.00)])
def test_lead_acid_by_the_sizing_factors(celsius: float, factor: float) -> None:
    # IEEE 485 table 1: from memory, check against the document
    assert battery.capacity_factor("lead-acid", celsius)[1] == pytest.approx(1 / factor)


@pytest.mark.parametrize(("celsius", "share"), [(27.0, 1.0), (-18.0, 0.5)])
def test_the_low_end_of_lead_acid_is_the_rule_of_thumb(celsius: float, share: float) -> None:
    # Battery University BU-502: 100 % at 27 °C, typically 50 % at -18 °C
    assert battery.capacity_factor("lead-acid", celsius)[0] == pytest.approx(share)


def test_the_rule_of_thumb_and_the_sizing_factors_agree_where_one_takes_over_from_the_other() -> None:
    # two sources that do not know of each other: 1 / 1.52 and the line from 27 to -18 °C
    assert battery.capacity_factor("lead-acid", -3.9)[1] == pytest.approx(
        battery.capacity_factor("lead-acid", -3.91)[1], abs=0.003
    )


@pytest.mark.parametrize(("celsius", "slow", "quick"), [(0.0, 0.85, 0.75), (-20.0, 0.73, 0.55), (25.0, 1.0, 1.0)])
def test_sealed_lead_acid_is_linear(celsius: float, slow: float, quick: float) -> None:
    # battery notes in the manner of IEC 60896-21: 0.006/K at the 10 to 20 h rate, 0.01/K at 1 to 3 h
    assert battery.capacity_factor("vrla", celsius) == pytest.approx((quick, slow, slow))


@pytest.mark.parametrize(("celsius", "least", "most"), [(0.0, 0.85, 0.90), (-10.0, 0.75, 0.85), (-20.0, 0.55, 0.75)])
def test_lithium_takes_in_what_the_literature_has(celsius: float, least: float, most: float) -> None:
    # estimate; ranges from memory, and one measurement that found next to no loss at -20 °C
    low, usual, high = battery.capacity_factor("lithium", celsius)
    assert low <= least < usual < most <= high
    assert battery.capacity_factor("lithium", -20.0)[1] == pytest.approx(0.6)


def test_lithium_at_forty_below_gives_a_twentieth() -> None:
    # Nagasubramanian 2001: about 5 % of the energy at 20 °C (from memory)
    assert battery.capacity_factor("lithium", -40.0)[1] == pytest.approx(0.05)
    assert battery.capacity_factor("lithium", -60.0) == battery.capacity_factor("lithium", -40.0)


@given(st.sampled_from(KINDS), st.floats(-60, 60), st.floats(0, 40))
def test_no_battery_gives_more_in_the_cold(kind: battery.Chemistry, celsius: float, more: float) -> None:
    cold, warm = battery.capacity_factor(kind, celsius), battery.capacity_factor(kind, celsius + more)
    for colder, warmer in zip(cold, warm, strict=True):
        assert 0 < colder <= warmer + 0.003
        assert warmer <= 1
    assert cold[0] <= cold[1] <= cold[2]


def test_no_lithium_is_charged_below_freezing() -> None:
    # lithium plates out of graphite below 0 °C; charge window 0 to 60 °C at second hand
    assert not battery.may_charge("lithium", -0.1)
    assert battery.may_charge("lithium", 0.0)
    assert not battery.may_charge("lithium", 61.0)
    assert battery.may_charge("vrla", -10.0)
    assert not battery.may_charge("lead-acid", -21.0)
    assert not any(battery.may_charge("alkaline", celsius) for celsius in (-20.0, 0.0, 20.0))


def test_the_worked_size_of_a_battery() -> None:
    # 4 W for 24 h is 96 Wh; three days at four fifths taken and 0.7 left by the cold need 514 Wh
    low, usual, high = battery.days((514.3,) * 3, battery.steady(4.0), (0.7,) * 3, 0.8)
    assert low == usual == high == pytest.approx(3.0, abs=1e-3)


def test_days_run_from_the_worst_of_everything_to_the_best() -> None:
    low, usual, high = battery.days((10, 20, 40), (0.5, 1.0, 2.0), (0.5, 0.8, 1.0), 0.5)
    assert (low, usual, high) == (10 * 0.5 * 0.5 / 2, 20 * 0.8 * 0.5 / 1, 40 * 1 * 0.5 / 0.5)


def test_an_event_is_known_to_a_factor_of_ten() -> None:
    low, usual, high = battery.event(20.0)
    assert (low, usual, high) == pytest.approx((0.8 * 22 / 3600, 2 * 25 / 3600, 5 * 35 / 3600))
    assert 8 <= high / low <= 12
    assert 8 <= battery.daily(0, 20.0)[2] / battery.daily(0, 20.0)[0] <= 12


def test_a_battery_camera_at_a_quiet_door_lasts_weeks_to_months() -> None:
    """Makers say up to six months and owners find one to three (common practice): the range takes both in."""
    low, usual, high = battery.days((20,) * 3, battery.daily(10, 20.0), (1, 1, 1), battery.USABLE["lithium"])
    assert low < 30 < usual < 90
    assert high > 150


@given(st.floats(0, 300), st.floats(0.1, 50), st.floats(5, 60))
def test_more_events_take_more_and_fewer_days_are_left(events: float, more: float, seconds: float) -> None:
    quiet, busy = battery.daily(events, seconds), battery.daily(events + more, seconds)
    assert all(few < many for few, many in zip(quiet, busy, strict=True))
    left = [battery.days((20,) * 3, day, (0.5, 0.6, 0.9), 0.8) for day in (quiet, busy)]
    assert all(long > short for long, short in zip(*left, strict=True))


def test_a_winter_runs_down_stops_empty_and_comes_back() -> None:
    charge = [0, 0, 0, 0, 10, 30, 30]
    assert battery.state(charge, [10] * 7, 30.0) == pytest.approx((2 / 3, 1 / 3, 0, 0, 0, 2 / 3, 1))


def test_a_month_at_a_step_is_its_days_one_by_one() -> None:
    by_day = battery.state([4.0] * 30 + [7.0] * 30, [5.0] * 60, 50.0)
    by_month = battery.state([4.0, 7.0], [5.0] * 2, 50.0, step=30.0)
    assert by_month == pytest.approx((by_day[29], by_day[59]))


def test_every_day_needs_its_charge_and_its_load() -> None:
    with pytest.raises(ValueError, match="shorter"):
        battery.state([1.0, 2.0], [1.0], 10.0)


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100)), min_size=1, max_size=60), st.floats(1, 500))
def test_a_state_of_charge_is_a_share_and_grows_with_the_sun(days: list[tuple[float, float]], size: float) -> None:
    given_, taken = zip(*days, strict=True)
    plain = battery.state(given_, taken, size)
    sunnier = battery.state([wh + 1 for wh in given_], taken, size)
    assert all(0 <= share <= 1 and not math.isnan(share) for share in plain)
    assert all(more >= less - 1e-12 for more, less in zip(sunnier, plain, strict=True))
