"""Light on the front glass: the rays add up to the closed forms."""

import numpy as np
import pytest

from oneclimb.trade import glass

polar = np.linspace(0.0, np.pi, 100_001)


def _integral(share: np.ndarray, upto: float = np.pi) -> float:
    inside = np.where(polar <= upto, share * 2.0 * np.pi * np.sin(polar), 0.0)
    return float(np.trapezoid(inside, polar))


def test_flat_window_collects_pi_and_a_bubble_two_pi() -> None:
    assert _integral(glass.flat_share(np.cos(polar))) == pytest.approx(np.pi, rel=1e-6)
    assert _integral(glass.dome_share(np.cos(polar))) == pytest.approx(2.0 * np.pi, rel=1e-6)


@pytest.mark.parametrize("upto", [10.0, 37.0, 60.0, 85.0])
def test_flat_rays_share_out_a_cap_as_the_integral_does(upto: float) -> None:
    """A uniform cap of half angle a gives E = π L sin²a (textbook)."""
    rays = glass.flat_rays()
    counted = np.pi * float((rays[:, 2] >= np.cos(np.radians(upto))).mean())
    assert counted == pytest.approx(np.pi * np.sin(np.radians(upto)) ** 2, abs=0.045 * np.pi)


@pytest.mark.parametrize("upto", [30.0, 90.0, 120.0, 170.0])
def test_dome_rays_share_out_a_cap_as_the_integral_does(upto: float) -> None:
    rays = glass.dome_rays()
    counted = 2.0 * np.pi * float((rays[:, 2] >= np.cos(np.radians(upto))).mean())
    assert counted == pytest.approx(_integral(glass.dome_share(np.cos(polar)), np.radians(upto)), abs=0.045 * 2 * np.pi)


def test_rays_are_a_thousand_unit_vectors_without_a_preferred_side() -> None:
    for rays in (glass.flat_rays(), glass.dome_rays()):
        assert rays.shape == (1000, 3)
        assert np.linalg.norm(rays, axis=1) == pytest.approx(np.ones(1000))
        assert np.abs(rays[:, :2].mean(axis=0)).max() < 1e-12


def test_projected_area_of_half_a_sphere_agrees_with_counting() -> None:
    """(1 + cos θ)/2 against the share of a disc of parallel light that meets a half sphere."""
    grid = np.linspace(-1.0, 1.0, 801)
    u, v = np.meshgrid(grid, grid)
    inside = u * u + v * v <= 1.0
    u, v = u[inside], v[inside]
    for degrees in (0.0, 40.0, 90.0, 130.0):
        t = np.radians(degrees)
        toward = np.array([np.sin(t), 0.0, np.cos(t)])
        across, up = np.array([np.cos(t), 0.0, -np.sin(t)]), np.array([0.0, 1.0, 0.0])
        depth = np.sqrt(np.maximum(0.0, 1.0 - u * u - v * v))
        # parallel light passes the bubble where either the near or the far point of the sphere lies on the kept half
        near = (u * across[2] + v * up[2] + depth * toward[2]) >= 0.0
        far = (u * across[2] + v * up[2] - depth * toward[2]) >= 0.0
        counted = float((near if degrees <= 90.0 else near & ~far | (near & far)).mean())
        assert counted == pytest.approx(float(glass.dome_share(np.cos(t))), abs=0.01)


def test_hood_cuts_off_what_lies_beyond_its_angle() -> None:
    assert glass.flat_share(np.cos(np.radians([54.0, 56.0])), np.cos(np.radians(55.0))) == pytest.approx(
        [np.cos(np.radians(54.0)), 0.0]
    )
