"""Faces from above."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import face


@pytest.mark.parametrize(("height", "distance", "angle"), [(2.5, 3.0, 16.7), (3.0, 3.0, 25.0), (3.0, 5.0, 15.6)])
def test_how_steeply_a_camera_looks_down(height: float, distance: float, angle: float) -> None:
    # worked: atan((camera - 1.6) / distance)
    assert face.down_angle(height, distance) == pytest.approx(angle, abs=0.06)


@pytest.mark.parametrize(("height", "distance"), [(2.5, 3.36), (3.0, 5.22), (4.0, 8.96)])
def test_how_far_off_fifteen_degrees_are(height: float, distance: float) -> None:
    assert face.distance_for(15.0, height) == pytest.approx(distance, abs=6e-3)


@given(st.floats(1.7, 8.0), st.floats(0.5, 30.0))
def test_angle_distance_and_height_undo_each_other(height: float, distance: float) -> None:
    angle = face.down_angle(height, distance)
    assert face.distance_for(angle, height) == pytest.approx(distance)
    assert face.height_for(angle, distance) == pytest.approx(height)


def test_straight_overhead_and_from_below() -> None:
    assert face.down_angle(3.0, 0.0) == pytest.approx(90.0)
    assert face.down_angle(1.2, 1.0) < 0.0
    assert face.distance_for(15.0, 1.2) == 0.0


def test_a_face_lies_a_forehead_below_the_figure() -> None:
    # standing figures of 1.64 to 1.76 m: police manual on CCTV, 2009, as quoted in print
    low, usual, high = face.FACE
    assert low < usual < high
    assert 1.64 - 0.15 <= usual <= 1.76 - 0.1
