"""Arm's reach, and walls in the sun."""

import math

import numpy as np
import pytest

from oneclimb.trade.reach import faces_sun, within_reach


def test_arms_reach_is_two_and_a_half_metres_up() -> None:
    # BS 7671 Figure 417 and IEC 60364-4-41 Annex B: 2.5 m above the surface, 1.25 m to its side and below
    assert within_reach(np.array([2.5, 2.501, -1.25, -1.251])).tolist() == [True, False, True, False]


def noon_light(bearing: float, latitude: float, declination: float) -> float:
    """Cosine of the noon sun's incidence on a wall: the textbook formula for a vertical surface
    with the hour angle 0, sin(latitude - declination) cos(bearing - 180).
    """
    return math.sin(math.radians(latitude - declination)) * math.cos(math.radians(bearing - 180))


@pytest.mark.parametrize("latitude", [25.0, 40.0, 54.6, -33.9, -45.0])
def test_walls_that_face_the_sun_get_the_noon_sun_all_year(latitude: float) -> None:
    for bearing in range(0, 360, 5):
        if faces_sun(bearing, latitude):
            assert all(noon_light(bearing, latitude, d) > 0 for d in (-23.44, 0.0, 23.44))


@pytest.mark.parametrize(("latitude", "towards"), [(54.6, 180.0), (-33.9, 0.0)])
def test_the_sunny_sector_is_symmetric_about_the_equator_side(latitude: float, towards: float) -> None:
    for off in range(0, 181, 5):
        assert faces_sun(towards + off, latitude) == faces_sun(towards - off, latitude) == (off <= 67.5)


def test_between_the_tropics_every_wall_gets_the_sun() -> None:
    assert all(faces_sun(bearing, 1.3) for bearing in range(0, 360, 15))
