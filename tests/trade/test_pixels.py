"""Pixels per metre against the pinhole formula, by hand, and the 2014 categories (from memory)."""

from __future__ import annotations

import math

import pytest

from oneclimb.trade import pixels
from oneclimb.trade.optics import angle_of_view


def test_the_worked_lens_sees_ninety_degrees_and_puts_192_pixels_on_a_metre_at_ten() -> None:
    # 5.60 mm sensor (16:9 of an 18/2.8 mm diagonal), 2.8 mm lens: w/2f = 1, so 90 degrees exactly
    across = angle_of_view(5.60, 2.8)
    assert across == pytest.approx(90.0, abs=1e-9)
    assert pixels.per_metre(3840, across, 10.0) == pytest.approx(192.0, abs=1e-9)
    assert pixels.per_metre(1920, across, 10.0) == pytest.approx(96.0, abs=1e-9)


@pytest.mark.parametrize(("density", "metres"), [(250.0, 7.68), (125.0, 15.36), (62.5, 30.72), (25.0, 76.8)])
def test_each_category_ends_where_the_pinhole_says(density: float, metres: float) -> None:
    assert pixels.farthest(3840, 90.0, density) == pytest.approx(metres, abs=1e-9)


def test_a_longer_lens_as_worked_by_hand() -> None:
    # 5.60 mm, 4.0 mm: 69.98 degrees, 2560 px: 182.9 px/m at 10 m and 250 px/m at 7.31 m
    across = angle_of_view(5.60, 4.0)
    assert across == pytest.approx(69.98, abs=0.005)
    assert pixels.per_metre(2560, across, 10.0) == pytest.approx(182.9, abs=0.05)
    assert pixels.farthest(2560, across, 250.0) == pytest.approx(7.31, abs=0.005)


def test_the_categories_agree_with_their_millimetres_a_pixel() -> None:
    # IEC 62676-4:2014 states both px/m and mm a pixel: 80, 40, 16, 8, 4, 1 mm (from memory)
    assert [1000 / density for density in pixels.CATEGORIES.values()] == [80, 40, 16, 8, 4, 1]


def test_the_categories_agree_with_the_share_of_the_screen_they_came_from() -> None:
    # UK Home Office 28/09: 5, 10, 25, 50, 100 % of 400 lines for a 1.6 m figure
    names = ("monitor", "detect", "observe", "recognise", "identify")
    assert [pixels.CATEGORIES[name] for name in names] == [s / 100 * 400 / 1.6 for s in (5, 10, 25, 50, 100)]


def test_a_density_is_named_by_the_finest_task_it_is_enough_for() -> None:
    assert pixels.category(12.4) is None
    assert pixels.category(12.5) == "monitor"
    assert pixels.category(249.9) == "recognise"
    assert pixels.category(5000.0) == "inspect"


def test_an_equidistant_lens_gives_every_degree_the_same_pixels() -> None:
    assert pixels.focal_pixels(1800, 180.0, equidistant=True) == pytest.approx(1800 / math.pi)
