"""An LED's pattern: how narrow it is, and how much light it holds."""

from __future__ import annotations

import math


def led_exponent(half_angle: float) -> float:
    """Exponent m of an LED's pattern I = I₀ cosᵐθ from the angle of half intensity, degrees.

    m = -ln 2 / ln cos θ½, 0 < θ½ < 90. Source: generalised Lambertian emitter (textbook);
    60° gives m = 1, a Lambertian emitter.
    """
    if not 0.0 < half_angle < 90.0:
        raise ValueError(f"a half angle lies between 0 and 90 degrees, not {half_angle}")
    return -math.log(2.0) / math.log(math.cos(math.radians(half_angle)))


def led_flux(exponent: float) -> float:
    """Flux of the pattern cosᵐθ over its hemisphere per unit axial intensity: 2π/(m + 1), sr."""
    return 2.0 * math.pi / (exponent + 1.0)
