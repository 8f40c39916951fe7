"""Pixels per metre against the pinhole formula, by hand, and the 2014 categories (from memory)."""

from __future__ import annotations

import math

import pytest

from oneclimb.trade import pixels


@pytest.mark.parametrize(("count", "metres", "density"), [(3840, 10.0, 192.0), (1920, 10.0, 96.0), (3840, 7.68, 250.0)])
def test_ninety_degrees_put_as_many_pixels_on_a_metre_as_the_pinhole_says(
    count: int, metres: float, density: float
) -> None:
    # N / (2 d tan 45)
    assert pixels.focal_pixels(count, 90.0) / metres == pytest.approx(density, abs=1e-9)


def test_a_longer_lens_as_worked_by_hand() -> None:
    # 5.60 mm, 4.0 mm: 69.98 degrees, 2560 px: 182.9 px/m at 10 m and 250 px/m at 7.31 m
    focal = pixels.focal_pixels(2560, 69.98)
    assert focal / 10.0 == pytest.approx(182.9, abs=0.05)
    assert focal / 250.0 == pytest.approx(7.31, abs=0.005)


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
