"""Sway against section tables, a worked slope, a pole's calculation in print, and a lens."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import optics, sway


@pytest.mark.parametrize(
    ("outer", "wall", "centimetres4"),
    [(48.3, 3.2, 11.6), (48.3, 5.0, 16.2), (60.3, 3.2, 23.5), (76.1, 4.0, 59.1), (114.3, 5.0, 257), (168.3, 5.0, 856)],
)
def test_tubes_as_in_the_section_tables(outer: float, wall: float, centimetres4: float) -> None:
    # EN 10210-2 circular hollow sections, as printed in design tables to BS 5950
    pole = sway.tube(3.0, outer / 1000, wall / 1000)
    assert pole.second_moment * 1e8 == pytest.approx(centimetres4, rel=5e-3)


def test_a_solid_round_and_a_solid_square() -> None:
    # textbook: pi d^4 / 64 and b^4 / 12
    assert sway.tube(1.0, 0.1, 0.05).second_moment == pytest.approx(math.pi * 1e-4 / 64)
    assert sway.post(1.0, 0.1).second_moment == pytest.approx(1e-4 / 12)


def test_wind_pressure_of_a_camera_poles_calculation() -> None:
    # a camera pole's calculation to ASCE 7-05 in print: 44.4 m/s, Kz 1.16, importance 0.87: 1219 N/m2
    assert sway.pressure(44.4) * 1.16 * 0.87 == pytest.approx(1219, abs=1)
    # half the density of the standard atmosphere at sea level, 1.225 kg/m3
    assert pytest.approx(1.225 / 2, abs=5e-4) == sway.AIR


def _slope(x: float, stiffness: float, moment: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """Slope in rad at x from the fixed end: the bending moments along 0 to x, summed by trapezes."""
    return float(np.trapezoid(moment, np.linspace(0, x, len(moment))) / stiffness)


def test_the_slope_of_a_cantilever_is_its_curvature_added_up() -> None:
    # a calculator's handbook prints a worked slope: L 10 ft, E 29e6 psi, I 15 in4, P 500 lbf at 3 ft, M 800 ft lbf at
    # 6 ft, w 100 lbf/ft, at x = 8 ft: -0.2652 degrees. The same sum is then held against tip().
    x, stiffness = 96.0, 29e6 * 15
    s = np.linspace(0, x, 20001)
    moment = 500 * np.maximum(36 - s, 0) - 800 * 12 * (s < 72) + 100 / 12 * (120 - s) ** 2 / 2
    assert math.degrees(_slope(x, stiffness, moment)) == pytest.approx(0.2652, abs=5e-4)

    pole, wind, area = sway.tube(4.0, 0.0603, 0.0032), 18.0, 0.02
    s = np.linspace(0, 4.0, 20001)
    q = 0.613 * wind**2
    moment = 1.2 * q * area * (4.0 - s) + 1.2 * q * 0.0603 * (4.0 - s) ** 2 / 2
    expected = math.degrees(_slope(4.0, 205e9 * pole.second_moment, moment))
    assert sway.tip(pole, 205e9, wind, area) == pytest.approx(expected, rel=1e-6)


def test_a_square_post_catches_more_wind_than_a_round_one() -> None:
    square = sway.post(3.0, 0.1)
    rounded = sway.Pole(3.0, 0.1, square.second_moment)
    assert sway.tip(square, 9e9, 15.0, 0.0) == pytest.approx(2.0 / 1.2 * sway.tip(rounded, 9e9, 15.0, 0.0))


def test_softer_stuff_sways_more() -> None:
    pole = sway.tube(4.0, 0.06, 0.003)
    tilts = [sway.tip(pole, sway.MODULUS[name][1], 15.0, 0.02) for name in ("steel", "aluminium", "fibreglass")]
    assert tilts == sorted(tilts)
    assert all(low < usual < high for low, usual, high in sway.MODULUS.values())


@given(st.floats(0.001, 5.0), st.floats(2.0, 120.0))
def test_pixels_of_sway_are_where_the_lens_puts_the_turned_axis(degrees: float, view: float) -> None:
    ray = np.array([[math.sin(math.radians(degrees)), 0.0, math.cos(math.radians(degrees))]])
    x, _ = optics.rectilinear_frame(ray, view, view)
    assert sway.pixels(degrees, 1920, view) == pytest.approx((float(x[0]) - 0.5) * 1920, abs=1e-6)


def test_narrow_views_move_most() -> None:
    # 1920 pixels over 90 degrees: 1920 tan(0.1) / 2 = 1.68; ten times that and more at 8 degrees
    assert sway.pixels(0.1, 1920, 90.0) == pytest.approx(1.675, abs=2e-3)
    assert sway.pixels(0.1, 1920, 8.0) > 10 * sway.pixels(0.1, 1920, 90.0)
