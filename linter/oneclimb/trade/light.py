"""Light from lamps to surfaces to the lens: single bounce, additive, in threshold units.

The unit of signal: 1 is what a surface of reflectance 0.2, facing the camera on its axis
at the rated range, gives under the camera's own infrared. So an illuminator's intensity
is its rated range squared (m²), an irradiance of 1 is what falls on that surface, and a
surface of radiance L has the signal S = π L / 0.2. Clear dry air is taken: no absorption,
no scattering. Lens vignetting is left out.

All functions take and give floats or numpy arrays that broadcast.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]

TARGET = 0.2
"""reflectance of the surface the unit of signal is made of"""


def pattern(cosine: Array, exponent: float) -> Array:
    """Relative intensity cosᵐθ, zero behind the emitter; exponent 0 is a source that shines all round."""
    if exponent == 0.0:
        return np.ones_like(cosine)
    return np.asarray(np.maximum(cosine, 0.0) ** exponent)


def irradiance(
    intensity: Array | float, cos_incidence: Array | float, distance_squared: Array | float, radius: float = 0.0
) -> Array:
    """Irradiance I cos i / (d² + a²) on a surface from a small source of radius a, m.

    Inverse square and cosine law for a = 0; exact on the axis of a ring of radius a but for
    the ring's own cosine. Source: textbook radiometry.
    """
    return np.asarray(intensity * np.asarray(cos_incidence) / (np.asarray(distance_squared) + radius * radius))


def signal(reflectance: Array | float, received: Array | float) -> Array:
    """Signal ρ E / 0.2 of a Lambertian surface under the irradiance E (L = ρ E / π, S = π L / 0.2)."""
    return np.asarray(np.asarray(reflectance) * received / TARGET)


def sphere_phase(cosine: Array) -> Array:
    """Brightness of a Lambertian sphere whose light makes the angle α with the line of sight.

    (sin α + (π − α) cos α)/π from ``cosine`` = cos α: 1 lit from the camera, 1/π from the
    side, 0 from behind. Source: Lambert's phase law (astronomy textbooks).
    """
    cosine = np.clip(cosine, -1.0, 1.0)
    angle = np.arccos(cosine)
    return np.asarray((np.sqrt(1.0 - cosine * cosine) + (np.pi - angle) * cosine) / np.pi)


def retro_share(radius: float, distance: Array, half_angle: float) -> Array:
    """Share of reflective sheeting's return that meets a lens ``radius`` beside the lamp, m.

    1 / (1 + (α/α½)²) with α = radius / distance: falls to half at ``half_angle`` degrees.
    Shape and angle are estimates.
    """
    ratio = radius / np.maximum(distance, 1e-6) / math.radians(half_angle)
    return np.asarray(1.0 / (1.0 + ratio * ratio))


def veil(inside: float, outside: float, received_inside: Array | float, received_outside: Array | float) -> Array:
    """Signal of the veil over the whole frame from the irradiance on the front glass.

    L = (g_in E_in + g_out E_out)/π, so S = (g_in E_in + g_out E_out)/0.2. ``inside`` and
    ``outside`` are the shares of stray light for what comes from within the frame and from
    without (compare the veiling glare index of ISO 9358).
    """
    return np.asarray((inside * np.asarray(received_inside) + outside * np.asarray(received_outside)) / TARGET)
