"""Airtime and retries."""

import math
import random
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import airtime
from oneclimb.trade.airtime import Stream

errors = st.floats(0.0, 0.95)


def test_a_stream_at_half_of_what_its_link_carries_takes_half_the_time() -> None:
    assert airtime.share([Stream(12.0, 40.0)], 0.6) == pytest.approx(0.5)


def test_the_slow_link_takes_the_time() -> None:
    fast, slow = Stream(4.0, 65.0), Stream(4.0, 6.5)
    assert airtime.share([slow]) == pytest.approx(10 * airtime.share([fast]))
    assert airtime.share([fast, slow]) == pytest.approx(airtime.share([fast]) + airtime.share([slow]))


def test_packets_sent_again_take_their_time_again() -> None:
    assert airtime.share([Stream(6.0, 40.0, airtime.tries(0.5))], 0.6) == pytest.approx(2 * 6.0 / 24.0)


def test_efficiency_is_within_what_is_printed() -> None:
    # half before 802.11n, up to 70 % with it: Gast, 802.11n: A Survival Guide, part II, as printed
    assert (airtime.EFFICIENCY[0], airtime.EFFICIENCY[2]) == (0.5, 0.7)
    low, usual, high = airtime.shares(Stream(4.0, 26.0) for _ in range(3))
    assert low < usual < high
    assert high / low == pytest.approx(0.7 / 0.5)


def test_a_link_at_its_sensitivity_sends_one_packet_in_nine_again() -> None:
    # IEEE 802.11's criterion: 10 % of packets lost
    assert airtime.tries(airtime.ERROR_AT_SENSITIVITY) == pytest.approx(10 / 9)


def test_tries_multiply_when_acknowledgements_are_lost_too() -> None:
    # De Couto, Aguayo, Bicket and Morris 2003: 1 / (df dr)
    assert airtime.tries(0.5, 0.2) == pytest.approx(2.5)


@given(errors)
def test_with_retries_without_end_both_counts_agree(error: float) -> None:
    assert airtime.tries_at_most(error, 2000) == pytest.approx(airtime.tries(error))
    assert airtime.given_up(error, 2000) < 1e-9


@given(errors, st.integers(1, 12))
def test_tries_are_the_sum_of_the_chances_of_each(error: float, limit: int) -> None:
    # the k-th try is made if the k - 1 before it failed
    assert airtime.tries_at_most(error, limit) == pytest.approx(sum(error**k for k in range(limit)))


def test_tries_and_losses_as_counted() -> None:
    """Packets sent one by one, each try lost by the throw of a die."""
    dice, sent, lost, packets = random.Random(7), 0, 0, 40_000  # noqa: S311 # a die, not a secret
    for _ in range(packets):
        tries = next((n for n in range(1, 4) if dice.random() >= 0.4), None)
        sent += tries or 3
        lost += tries is None
    assert sent / packets == pytest.approx(airtime.tries_at_most(0.4, 3), rel=0.02)
    assert lost / packets == pytest.approx(airtime.given_up(0.4, 3), rel=0.05)


def test_a_level_at_the_sensitivity_loses_what_the_standard_allows_and_ten_times_less_a_step_above() -> None:
    assert airtime.error_at(0.0) == airtime.ERROR_AT_SENSITIVITY
    assert airtime.error_at(airtime.FALL) == pytest.approx(0.01)
    assert airtime.error_at(-40.0) == 1.0


@pytest.mark.parametrize("margin", [-12.0, -6.0, -3.0, 0.0, 3.0, 6.0])
def test_what_is_lost_over_time_is_the_outage_of_lognormal_fading(margin: float) -> None:
    """Against the normal distribution of the standard library: the level at which half of the packets are given up
    (0.1 x 10^(-m/3) to the seventh is a half) is fallen short of for that share of the time.
    """
    half = -airtime.FALL * math.log10(0.5 ** (1 / airtime.TRIES) / airtime.ERROR_AT_SENSITIVITY)
    outage = NormalDist(margin, airtime.SWING).cdf(half)
    _, lost = airtime.over_time(margin)
    assert lost == pytest.approx(outage, abs=0.03)


def test_a_strong_link_sends_each_packet_once_and_a_dead_one_as_often_as_it_may() -> None:
    assert airtime.over_time(40.0) == pytest.approx((1.0, 0.0), abs=1e-6)
    assert airtime.over_time(-60.0) == pytest.approx((airtime.TRIES, 1.0))
    both = [airtime.over_time(margin) for margin in range(-20, 21)]
    assert both == sorted(both, reverse=True)
