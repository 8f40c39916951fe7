"""Lamps in lumens, brought to threshold units; illuminators from their rated range."""

from __future__ import annotations

import math

from oneclimb.trade.constants import Constant, Overridden, constant
from oneclimb.trade.led import led_exponent, led_flux

VISIBLE, NEAR = 550, 850
COLUMN = {
    "white LED": VISIBLE,
    "fluorescent": VISIBLE,
    "sodium": VISIBLE,
    "halogen": NEAR,
    "incandescent": NEAR,
    "infrared": NEAR,
}
"""the column of reflectances (nm) in which a lamp's light counts for a camera without infrared filter"""


def candela(lumens: float, beam: float | None = None) -> tuple[float, float]:
    """Axial intensity (cd) and pattern exponent of a lamp of so many lumens.

    Without ``beam`` it shines all round: Φ/4π, exponent 0. With the full angle at half
    intensity (degrees, below 180) the flux of the pattern cosᵐθ is Φ: I₀ = Φ (m + 1)/2π.
    """
    if beam is None:
        return lumens / (4.0 * math.pi), 0.0
    exponent = led_exponent(beam / 2.0)
    return lumens / led_flux(exponent), exponent


def threshold(plan: Overridden, kind: str) -> Constant:
    """Illuminance (lx) of a kind of lamp's light that gives the threshold signal; estimates."""
    return constant(plan, f"threshold-{kind.lower().replace(' ', '-')}")


def infrared_intensity(rated_range: float) -> float:
    """Axial intensity in threshold units of an illuminator rated to a range, m: R²."""
    return rated_range * rated_range


def refocused_range(rated_range: float, beam: float, new_beam: float) -> float:
    """Rated range, m, when an illuminator's beam (full angle, degrees) is made another and its flux kept.

    I₀ follows m + 1, the range its root: a 30 m lamp of 100° reaches 37 m as one of 75°.
    """
    ratio = led_flux(led_exponent(beam / 2.0)) / led_flux(led_exponent(new_beam / 2.0))
    return rated_range * math.sqrt(ratio)
