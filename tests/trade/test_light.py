"""The light formulas against closed forms and handbook values."""

import math

import numpy as np
import pytest

from oneclimb.trade import led, light

polar = np.linspace(0.0, np.pi, 200_001)


def _over_sphere(value: np.ndarray) -> float:
    """Integral of a function of the polar angle over the sphere."""
    return float(np.trapezoid(value * 2.0 * np.pi * np.sin(polar), polar))


def test_irradiance_falls_with_the_square_of_the_distance() -> None:
    near, far = light.irradiance(900.0, 1.0, 4.0), light.irradiance(900.0, 1.0, 16.0)
    assert near / far == pytest.approx(4.0)


def test_irradiance_follows_the_cosine_law() -> None:
    assert light.irradiance(100.0, math.cos(math.radians(60.0)), 25.0) == pytest.approx(2.0)


def test_soffit_outshines_a_far_target_as_worked_by_hand() -> None:
    """I 2 W/sr, soffit 0.8 at 0.3 m against 0.5 at 10 m: 1778 to 1, 1111 to 1 for equal reflectance (arithmetic)."""
    soffit = light.signal(0.8, light.irradiance(2.0, 1.0, 0.3**2))
    target = light.signal(0.5, light.irradiance(2.0, 1.0, 10.0**2))
    assert soffit / target == pytest.approx(1778, rel=0.001)


def test_surface_of_the_rated_range_gives_the_threshold_signal() -> None:
    assert light.signal(0.2, light.irradiance(30.0**2, 1.0, 30.0**2)) == pytest.approx(1.0)


def test_lambertian_surface_sends_back_its_reflectance() -> None:
    """Integrating L cos θ over the half space gives ρE (Lambert)."""
    received, reflectance = 7.0, 0.35
    radiance = light.signal(reflectance, received) * light.TARGET / math.pi
    sent = _over_sphere(np.where(polar < np.pi / 2, radiance * np.cos(polar), 0.0))
    assert sent == pytest.approx(reflectance * received, rel=1e-6)


@pytest.mark.parametrize("half_angle", [10.0, 35.0, 50.0, 60.0, 80.0])
def test_led_pattern_is_half_at_the_half_angle(half_angle: float) -> None:
    m = led.led_exponent(half_angle)
    assert light.pattern(np.cos(np.radians([half_angle])), m)[0] == pytest.approx(0.5)


def test_lambertian_emitter_has_a_half_angle_of_sixty_degrees() -> None:
    assert led.led_exponent(60.0) == pytest.approx(1.0)


@pytest.mark.parametrize("m", [0.3, 1.0, 4.5, 40.0])
def test_led_flux_is_the_integral_of_its_pattern(m: float) -> None:
    assert led.led_flux(m) == pytest.approx(_over_sphere(light.pattern(np.cos(polar), m)), rel=1e-5)


def test_led_pattern_sends_nothing_backwards() -> None:
    assert light.pattern(np.array([-0.5, 0.0]), 2.0).tolist() == [0.0, 0.0]


@pytest.mark.parametrize("half_angle", [0.0, 90.0, -5.0])
def test_half_angle_out_of_range_is_refused(half_angle: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 90"):
        led.led_exponent(half_angle)


def test_ring_is_exact_on_its_axis_but_for_the_rings_own_cosine() -> None:
    """A ring of radius a at distance d: every LED is √(d² + a²) away and a/d off the axis."""
    d, a = 0.2, 0.03
    exact = 5.0 / (d * d + a * a) * (d / math.hypot(d, a))
    assert light.irradiance(5.0, 1.0, d * d, a) == pytest.approx(exact, rel=0.015)


def test_sphere_seen_from_the_lamp_is_full_from_the_side_a_third_from_behind_dark() -> None:
    """Lambert's phase law: 1, 1/π, 0."""
    assert light.sphere_phase(np.array([1.0, 0.0, -1.0])) == pytest.approx([1.0, 1.0 / math.pi, 0.0], abs=1e-12)


def test_sphere_phase_law_integrates_to_the_geometric_to_bond_albedo_ratio() -> None:
    """Phase integral q = 2 ∫ φ sin α dα = 3/2 for a Lambert sphere (astronomy textbooks)."""
    assert _over_sphere(light.sphere_phase(np.cos(polar))) / math.pi == pytest.approx(1.5, rel=1e-6)


def test_retroreflection_reaches_the_lens_less_the_nearer_the_sign() -> None:
    near, half, far = light.retro_share(0.03, np.array([0.5, 0.03 / math.radians(1.0), 30.0]), 1.0)
    assert near < 0.1
    assert half == pytest.approx(0.5)
    assert far > 0.99


def test_veil_of_a_lamp_and_of_a_surface_is_the_same_formula() -> None:
    """A source of intensity I at d puts I cos/d² on the glass; a veil g E/π in radiance is 5 g E in signal."""
    on_glass = light.irradiance(900.0, 1.0, 1.0)
    assert light.veil(0.02, 0.004, on_glass, 0.0) == pytest.approx(5.0 * 0.02 * 900.0)
    assert light.veil(0.02, 0.004, 0.0, on_glass) == pytest.approx(5.0 * 0.004 * 900.0)


def test_soffit_filling_a_tenth_of_the_frame_veils_more_than_the_target() -> None:
    """Worked by hand: 2 % of a tenth of the light of a surface 1778 times the target's is 3.6 times the target."""
    radiance = 1778 * light.TARGET / math.pi
    assert light.veil(0.02, 0.0, math.pi * radiance * 0.10, 0.0) == pytest.approx(3.556)
