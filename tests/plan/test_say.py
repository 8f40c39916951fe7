"""How figures are said: rounded as a tape reads."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.api import Figure
from oneclimb.plan.say import Tape
from oneclimb.plan.units import quantity

METRES, FEET = Tape("metres"), Tape("feet")


@pytest.mark.parametrize(
    ("metres", "in_metres", "in_feet"),
    [
        (2.36, "2.35 m", "7 ft 9 in"),
        (0.3, "0.30 m", "1 ft"),
        (0.26, "0.25 m", "10 in"),
        (0.0, "0.00 m", "0 in"),
        (-0.001, "0.00 m", "0 in"),
        (-0.5, "-0.50 m", "-1 ft 8 in"),
        (3.6576, "3.65 m", "12 ft"),
        (3.65, "3.65 m", "12 ft"),
        (9.96, "9.95 m", "32 ft 8 in"),
        (9.98, "10 m", "32 ft 9 in"),
        (12.3, "12.30 m", "40 ft 4 in"),
        (121.0, "121 m", "397 ft"),
    ],
)
def test_a_length_is_said_as_a_tape_reads(metres: float, in_metres: str, in_feet: str) -> None:
    assert METRES.tape(metres) == in_metres
    assert FEET.tape(metres) == in_feet


def test_a_small_size_is_not_rounded_away() -> None:
    assert METRES.fine(0.08) == "80 mm"
    assert METRES.fine(2.7) == "2.7 m"
    assert METRES.fine(0.0) == "0 m"
    assert FEET.fine(0.08) == "3.1 in"
    assert FEET.fine(2.7432) == "9 ft"


def test_a_range_is_as_coarse_as_it_deserves() -> None:
    assert METRES.span(4.1, 6.9) == "4 to 7 m"
    assert METRES.span(0.42, 1.18) == "0.4 to 1.2 m"
    assert METRES.span(12.4, 14.4) == "12 to 14 m"
    assert METRES.span(12.1, 12.3) == "about 12 m"
    assert FEET.span(3.0, 6.1) == "10 to 20 ft"
    assert FEET.span(0.1, 0.3) == "4 to 12 in"


@pytest.mark.parametrize(
    ("low", "high", "in_metres", "in_feet"),
    [
        (5.1, 15.8, "5 m, at best 16 m", "17 ft, at best 52 ft"),
        (3.96, 10.67, "4 m, at best 11 m", "13 ft, at best 35 ft"),
        (0.42, 1.18, "0.4 m, at best 1.2 m", "1 ft, at best 4 ft"),
        (0.1, 0.3, "0.1 m, at best 0.3 m", "4 in, at best 12 in"),
        (12.1, 12.15, "about 12 m", "about 40 ft"),
        (0.14, 3.1, "0 m, at best 3 m", "0 ft, at best 10 ft"),
        (0.0, 0.4, "0 m, at best 0.4 m", "0 in, at best 16 in"),
        (0.0, 0.01, "0 m", "0 in"),
    ],
)
def test_a_distance_in_doubt_cannot_be_read_as_a_stretch(low: float, high: float, in_metres: str, in_feet: str) -> None:
    assert METRES.reach(low, high) == in_metres
    assert FEET.reach(low, high) == in_feet


def test_shares_and_angles_are_whole() -> None:
    assert METRES.share(0.333) == "33 %"
    assert METRES.share(0.001) == "under 1 %"
    assert METRES.share(0.0) == "0 %"
    assert METRES.figure(Figure("turn", 14.6, "deg")) == "15 deg"


def test_a_figure_shows_its_doubt_once() -> None:
    assert METRES.figure(Figure("loss", 0.35, "", 0.2, 0.5)) == "35 % (20 to 50 %)"
    assert METRES.figure(Figure("loss", 0.35, "")) == "35 %"
    assert METRES.figure(Figure("sent", 22.4, "GB a day", 8.96, 42.6)) == "22 GB a day (9 to 43)"


def test_a_length_in_doubt_is_as_coarse_as_its_doubt() -> None:
    assert METRES.figure(Figure("reach", 8.6, "m", 5.0, 13.0)) == "9 m (5 to 13 m)"
    assert METRES.figure(Figure("reach", 2.97, "m", 2.1, 4.4)) == "3 m (2 to 4.5 m)"
    assert FEET.figure(Figure("reach", 2.97, "m", 2.1, 4.4)) == "10 ft (7 to 14 ft)"
    assert METRES.figure(Figure("bare", 1.12, "m")) == "1.10 m"
    assert METRES.figure(Figure("bare", 0.0, "m")) == "0 m"


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (126.4, "px/m", "126 px/m"),
        (47.4, "px/m", "47 px/m"),
        (8.6, "px/m", "9 px/m"),
        (0.3, "px/m", "under 1 px/m"),
        (14.6, "deg", "15 deg"),
        (-0.2, "deg", "0 deg"),
        (16.8, "a week", "17 a week"),
        (7.01, "of 10", "7 of 10"),
        (2.14, "of 10", "2.1 of 10"),
        (9.97, "of 10", "10 of 10"),
        (-3.26, "stops", "-3.3 stops"),
        (0.54, "stops", "0.5 stops"),
        (0.996, "lx", "1 lx"),
        (0.126, "lx", "0.13 lx"),
        (0.5, "lx", "0.5 lx"),
        (0.004, "lx", "under 0.01 lx"),
        (0.0, "GB a day", "0 GB a day"),
        (100.0, "h", "100 h"),
        (1234.5, "h", "1234 h"),
    ],
)
def test_a_figure_has_no_more_digits_than_it_is_known_to(value: float, unit: str, said: str) -> None:
    assert METRES.figure(Figure("figure", value, unit)) == said


@given(st.floats(0, 3000))
def test_what_is_said_is_within_half_a_mark(metres: float) -> None:
    assert quantity(METRES.tape(metres), "length") == pytest.approx(metres, abs=0.025 + 1e-9)
    assert quantity(FEET.tape(metres), "length") == pytest.approx(metres, abs=0.0127 + 1e-9)


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (1, "years", "1 year"),
        (2, "years", "2 years"),
        (0, "copies", "0 copies"),
        (1, "copies", "1 copy"),
        (1, "px", "1 px"),
    ],
)
def test_one_of_a_thing_is_one(value: float, unit: str, said: str) -> None:
    assert Tape("metres").figure(Figure("x", value, unit)) == said


def test_a_figure_smaller_than_a_hand_is_not_rounded_away() -> None:
    assert Tape("metres").figure(Figure("x", 0.01, "m")) == "10 mm"
    assert Tape("metres").figure(Figure("x", 0.45, "m")) == "0.45 m"
