"""Fresnel, panes, lenses and solid angles against handbook values, closed forms and other formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import optics


def test_one_face_straight_on_reflects_by_the_square_of_the_index_difference() -> None:
    # Fresnel at normal incidence: r = ((n - 1) / (n + 1))^2, 4.258 % for 1.52; a pane of two such faces 2r / (1 + r)
    back = float(optics.pane(0.0, 1.52)[0])
    one_face = back / (2 - back)
    assert one_face * 100 == pytest.approx(4.258, abs=5e-4)
    assert one_face == pytest.approx((0.52 / 2.52) ** 2)


def test_light_polarised_in_the_plane_passes_wholly_at_brewsters_angle() -> None:
    # Brewster: tan(angle) = n; what is left is the other polarisation's, r = ((n2-1)/(n2+1))^2 at each face
    n = optics.WINDOW_GLASS
    r = ((n * n - 1) / (n * n + 1)) ** 2
    assert float(optics.pane(math.degrees(math.atan(n)), n)[0]) == pytest.approx(r / (1 + r))


@pytest.mark.parametrize(
    ("index", "back", "through"), [(1.52, 8.168, 91.83), (1.49, 7.456, 92.54), (1.586, 9.768, 90.23)]
)
def test_a_clean_pane_by_the_geometric_series(index: float, back: float, through: float) -> None:
    r, t = optics.pane(0.0, index)
    assert float(r) * 100 == pytest.approx(back, abs=5e-4)
    assert float(t) * 100 == pytest.approx(through, abs=5e-3)


def test_a_clean_pane_is_near_what_was_measured_on_plate_window_glass() -> None:
    # ECOSTRESS 0796UUUGLS, unweathered plate window glass: 8.5 % at 850 nm
    assert float(optics.pane(0.0)[0]) * 100 == pytest.approx(8.5, abs=0.5)


def test_a_pane_at_an_angle_adds_up_its_reflections_one_by_one() -> None:
    angle = 65.0
    cos_i, sin_t = math.cos(math.radians(angle)), math.sin(math.radians(angle)) / 1.52
    cos_t = math.sqrt(1 - sin_t**2)
    total = 0.0
    for r in (
        ((cos_i - 1.52 * cos_t) / (cos_i + 1.52 * cos_t)) ** 2,
        ((cos_t - 1.52 * cos_i) / (cos_t + 1.52 * cos_i)) ** 2,
    ):
        total += (r + sum((1 - r) ** 2 * r ** (2 * k + 1) for k in range(40))) / 2
    assert float(optics.pane(angle)[0]) == pytest.approx(total, rel=1e-12)


angles = st.floats(20.0, 100.0)
wide = st.floats(20.0, 180.0)
shares = st.floats(0.0, 1.0)


@given(shares, shares, angles, angles)
def test_a_rectilinear_direction_projects_back_to_its_place(x: float, y: float, across: float, down: float) -> None:
    rays = optics.rectilinear_rays(np.array([x]), np.array([y]), across, down)
    u, v = optics.rectilinear_frame(7.3 * rays, across, down)
    assert (u[0], v[0]) == pytest.approx((x, y), abs=1e-9)
    assert np.linalg.norm(rays[0]) == pytest.approx(1.0)


@given(shares, shares, wide, wide)
def test_an_equidistant_direction_projects_back_to_its_place(x: float, y: float, across: float, down: float) -> None:
    rays = optics.equidistant_rays(np.array([x]), np.array([y]), across, down)
    u, v = optics.equidistant_frame(7.3 * rays, across, down)
    assert (u[0], v[0]) == pytest.approx((x, y), abs=1e-9)
    assert np.linalg.norm(rays[0]) == pytest.approx(1.0)


def test_equidistant_directions_one_by_one() -> None:
    """Each ray's angle to the axis grows with its distance from the middle, in its own direction."""
    across, down, cols, rows = 160.0, 90.0, 16, 9
    x, y = np.meshgrid((np.arange(cols) + 0.5) / cols, (np.arange(rows) + 0.5) / rows)
    rays = optics.equidistant_rays(x.ravel(), y.ravel(), across, down)
    for ray, u, v in zip(rays, x.ravel(), y.ravel(), strict=True):
        right, up = (u - 0.5) * across, (0.5 - v) * down
        assert math.degrees(math.acos(ray[2])) == pytest.approx(math.hypot(right, up), abs=1e-6)
        assert math.atan2(ray[1], ray[0]) == pytest.approx(math.atan2(up, right), abs=1e-9)


def test_the_axis_of_either_lens_is_the_middle_of_the_frame() -> None:
    middle = np.array([0.5])
    assert optics.equidistant_rays(middle, middle, 180.0, 101.0)[0] == pytest.approx((0, 0, 1))
    assert optics.rectilinear_rays(middle, middle, 90.0, 58.7)[0] == pytest.approx((0, 0, 1))


def test_what_is_behind_a_rectilinear_lens_has_no_place_in_the_frame() -> None:
    x, y = optics.rectilinear_frame(np.array([[0.1, 0.1, -1.0], [0.1, 0.1, 0.0]]), 90.0, 60.0)
    assert np.isnan(x).all()
    assert np.isnan(y).all()
    assert np.isnan(optics.equidistant_frame(np.array([[0.0, 0.0, -1.0]]), 180.0, 100.0)[0]).all()


@given(angles, angles)
def test_rectilinear_pixels_add_up_to_the_pyramid(across: float, down: float) -> None:
    solid = optics.rectilinear_solid(40, 23, across, down)
    assert solid.min() > 0
    # a right rectangular pyramid: 4 asin(sin a' sin b'), a' and b' seen from the middle of a side
    a, b = math.tan(math.radians(across / 2)), math.tan(math.radians(down / 2))
    sines = a / math.sqrt(1 + a * a) * b / math.sqrt(1 + b * b)
    assert solid.sum() == pytest.approx(4 * math.asin(sines), rel=1e-9)


def test_a_square_frame_of_ninety_degrees_is_a_sixth_of_the_sphere() -> None:
    # the six faces of a cube seen from its middle
    assert optics.rectilinear_solid(40, 23, 90.0, 90.0).sum() == pytest.approx(4 * math.pi / 6, rel=1e-12)


@pytest.mark.parametrize("half", [30.0, 60.0, 90.0])
def test_equidistant_pixels_within_an_angle_add_up_to_the_cap(half: float) -> None:
    # spherical cap: 2 pi (1 - cos)
    n = 600
    solid = optics.equidistant_solid(n, n, 2 * half, 2 * half)
    at = (np.arange(n) + 0.5) / n * 2 - 1
    inside = np.hypot(at[None, :], at[:, None]) <= 1.0
    cap = 2 * math.pi * (1 - math.cos(math.radians(half)))
    assert solid[inside].sum() == pytest.approx(cap, rel=1e-3)


def test_a_lens_map_keeps_areas_as_its_solid_angles_say() -> None:
    """The solid angle of a pixel is the area its four corners span on the unit sphere."""
    for rays, solid in (
        (optics.rectilinear_rays, optics.rectilinear_solid),
        (optics.equidistant_rays, optics.equidistant_solid),
    ):
        cols, rows, across, down = 160, 90, 95.0, 60.0
        each = solid(cols, rows, across, down)
        for col, row in ((0, 0), (80, 45), (159, 20), (30, 89)):
            x = np.array([col, col + 1, col + 1, col]) / cols
            y = np.array([row, row, row + 1, row + 1]) / rows
            a, b, c, d = rays(x, y, across, down)
            area = (np.linalg.norm(np.cross(b - a, c - a)) + np.linalg.norm(np.cross(c - a, d - a))) / 2
            assert each[row, col] == pytest.approx(float(area), rel=5e-4)
