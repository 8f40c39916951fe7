"""Where a camera looks: bearings, tilt and roll by hand, the front glass, projection and px/m."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from oneclimb.place import lens
from oneclimb.plan.model import Site
from oneclimb.trade.housing import HOUSINGS
from place.builders import camera

NORTH_UP = Site()


@pytest.mark.parametrize(
    ("bearing", "plus_y", "ahead"),
    [(0, 0, (0, 1)), (90, 0, (1, 0)), (180, 0, (0, -1)), (270, 0, (-1, 0)), (90, 90, (0, 1)), (200, 20, (0, -1))],
)
def test_a_bearing_is_clockwise_from_north(bearing: float, plus_y: float, ahead: tuple[float, float]) -> None:
    right, up, forward = lens.axes(bearing, 0.0, 0.0, plus_y)
    assert forward == pytest.approx((*ahead, 0), abs=1e-12)
    assert up == pytest.approx((0, 0, 1))
    assert right == pytest.approx((ahead[1], -ahead[0], 0), abs=1e-12)


def test_tilt_is_below_the_horizontal_and_keeps_the_bearing() -> None:
    _, up, forward = lens.axes(0.0, 30.0, 0.0, 0.0)
    assert forward == pytest.approx((0, math.cos(math.radians(30)), -0.5))
    assert up == pytest.approx((0, 0.5, math.cos(math.radians(30))))


def test_turned_a_quarter_the_top_of_the_camera_points_right() -> None:
    level_right = lens.axes(40.0, 10.0, 0.0, 0.0)[0]
    assert lens.axes(40.0, 10.0, 90.0, 0.0)[1] == pytest.approx(level_right)


@given(st.floats(0, 360), st.floats(-90, 90), st.floats(-180, 180), st.floats(0, 360))
def test_the_three_axes_are_square_to_each_other(bearing: float, tilt: float, turned: float, plus_y: float) -> None:
    axes = np.array(lens.axes(bearing, tilt, turned, plus_y))
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(-1.0)  # right, up, forward: a left-handed set


@pytest.mark.parametrize("shape", sorted(HOUSINGS))
def test_the_front_glass_stands_out_from_the_wall_and_a_nose_along_the_axis(shape: str) -> None:
    seen = lens.glass(camera((1.0, 0.0, 2.0), 180, 30, shape=shape), NORTH_UP)
    sizes = HOUSINGS[shape]
    level, drop = math.cos(math.radians(30)), 0.5
    assert seen == pytest.approx((1.0, -sizes.out - sizes.nose * level, 2.0 - sizes.nose * drop))


def test_under_a_soffit_the_glass_hangs_down() -> None:
    hung = camera((1.0, -0.2, 2.7), 180, 20, normal=(0.0, 0.0, -1.0))
    assert lens.glass(hung, NORTH_UP) == pytest.approx((1.0, -0.2, 2.7 - HOUSINGS["turret"].out))


@pytest.mark.parametrize(("projection", "across"), [("rectilinear", 85.0), ("equidistant", 170.0)])
def test_projecting_the_frames_own_directions_gives_the_frame_back(projection: Any, across: float) -> None:
    eye = lens.eye(camera(bearing=222, tilt=31, turned=17, across=across, projection=projection), Site(plus_y=65))
    grid = lens.grid(eye.view, 40, 24)
    x, y, inside = eye.project(np.array(eye.origin) + 5.0 * eye.directions(40, 24))
    assert inside.all()
    assert x == pytest.approx(grid.x, abs=1e-9)
    assert y == pytest.approx(grid.y, abs=1e-9)


def test_the_casters_rays_are_the_directions_rounded() -> None:
    eye = lens.eye(camera(bearing=222, tilt=31, turned=17), NORTH_UP)
    assert np.abs(eye.rays(16, 9) - eye.directions(16, 9)).max() < 3e-7


def test_what_is_behind_the_camera_or_beside_the_frame_is_not_in_it() -> None:
    eye = lens.eye(camera((0, 0, 2), 180, 0, across=90), NORTH_UP)
    points = np.array([(0, 5, 2), (0, -5, 2), (4.8, -5, 2), (5.2, -5, 2), (0, -5, 9)], dtype=np.float64)
    points[:, 1] += eye.origin[1]
    assert eye.project(points)[2].tolist() == [False, True, True, False, False]


def test_right_in_the_world_is_right_in_the_picture_and_down_is_down() -> None:
    eye = lens.eye(camera((0, 0, 2), 180, 0), NORTH_UP)  # looks along -y: its right is -x
    x, y, _ = eye.project(np.array([(-1.0, -5.0, 2.0), (0.0, -5.0, 1.0)]))
    assert x[0] > 0.5
    assert y[1] > 0.5


def test_a_metre_across_a_rectilinear_lens_is_as_many_pixels_as_the_density_says() -> None:
    eye = lens.eye(camera((0, 0, 2), 180, 0, across=90, pixels=(3840, 2160)), NORTH_UP)
    away = 10.0 - eye.origin[1]
    assert away == pytest.approx(10.09)
    at = np.array([(x, -10.0, 2.0) for x in (0.0, 3.0, 8.0)])
    assert eye.density(eye.local(at)) == pytest.approx(3840 / (2 * (10.0 + eye.origin[1])))
    half = np.array([0.5, 0.0, 0.0])
    left = eye.project(at - half)[0] - eye.project(at + half)[0]
    assert left * 3840 == pytest.approx(eye.density(eye.local(at)))


@pytest.mark.parametrize(("density", "metres"), [(250.0, 7.68), (125.0, 15.36), (62.5, 30.72), (25.0, 76.8)])
def test_each_category_of_a_ninety_degree_lens_ends_where_the_pinhole_says(density: float, metres: float) -> None:
    # N / (2 d tan 45), 3840 px: 250 px/m at 7.68 m, 192 px/m at 10 m
    eye = lens.eye(camera((0, 0, 2), 180, 0, across=90, pixels=(3840, 2160)), NORTH_UP)
    assert eye.range_of(density) == pytest.approx(metres, abs=1e-9)
    assert eye.density(np.array([[0.0, 0.0, metres], [0.0, 0.0, 10.0]])) == pytest.approx([density, 192.0], abs=1e-9)


def test_density_is_the_smaller_of_a_lens_two_spreads() -> None:
    """Measured by moving a point across the line of sight in either direction, off the axis."""
    for projection, across in (("rectilinear", 95.0), ("equidistant", 160.0)):
        eye = lens.eye(camera((0, 0, 2), 180, 0, across=across, projection=projection), NORTH_UP)  # type: ignore[arg-type]
        ray = eye.directions(16, 9)[37]
        point = np.array(eye.origin) + 8.0 * ray
        side = np.cross(ray, eye.forward)
        side /= np.linalg.norm(side)
        spreads = []
        for way in (side, np.cross(ray, side)):
            x, y, _ = eye.project(np.array([point - 1e-4 * way, point + 1e-4 * way]))
            wide, high = eye.pixels
            spreads.append(math.hypot((x[1] - x[0]) * wide, (y[1] - y[0]) * high) / 2e-4)
        assert eye.density(eye.local(point[None]))[0] == pytest.approx(min(spreads), rel=2e-3)


def test_the_corner_is_the_widest_direction_of_the_frame() -> None:
    for projection, across in (("rectilinear", 85.0), ("equidistant", 150.0)):
        eye = lens.eye(camera(across=across, projection=projection), NORTH_UP)  # type: ignore[arg-type]
        widest = math.acos(lens.grid(eye.view, 400, 225).cos.min())
        assert widest < eye.spread
        assert widest == pytest.approx(eye.spread, abs=0.01)


def test_cameras_of_one_lens_share_their_grid_and_equal_eyes_are_equal() -> None:
    one, two = camera(bearing=10), camera(bearing=190, name="other")
    assert lens.grid(one.view, 160, 90) is lens.grid(two.view, 160, 90)
    again = replace(one, night="none")
    assert lens.eye(one, NORTH_UP) == lens.eye(again, NORTH_UP)
    assert lens.eye(one, NORTH_UP) != lens.eye(two, NORTH_UP)
