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


def test_shares_and_angles_are_whole() -> None:
    assert METRES.share(0.333) == "33 %"
    assert METRES.share(0.001) == "under 1 %"
    assert METRES.share(0.0) == "0 %"
    assert METRES.figure(Figure("turn", 14.6, "deg")) == "15 deg"


def test_a_figure_shows_its_doubt_once() -> None:
    assert METRES.figure(Figure("loss", 0.35, "", 0.2, 0.5)) == "35 % (20 to 50 %)"
    assert METRES.figure(Figure("reach", 9.0, "m", 5.0, 13.0)) == "9.00 m (5 to 13 m)"
    assert METRES.figure(Figure("detail", 126.4, "px/m")) == "126 px/m"
    assert METRES.figure(Figure("loss", 0.35, "")) == "35 %"


@given(st.floats(0, 3000))
def test_what_is_said_is_within_half_a_mark(metres: float) -> None:
    assert quantity(METRES.tape(metres), "length") == pytest.approx(metres, abs=0.025 + 1e-9)
    assert quantity(FEET.tape(metres), "length") == pytest.approx(metres, abs=0.0127 + 1e-9)
