"""Infrared and the eye: exposure near an illuminator against the limit for cornea and lens, 780 to 3000 nm.

Radiant intensity in W/sr, irradiance in W/m², distances in m. Nobody stares into an open
illuminator at arm's length, whatever the sum says: infrared is not seen, and the eye doesn't turn away.
"""

from __future__ import annotations

import math

LONG = 100.0
"""W/m² for exposures over 1000 s. Source: IEC 62471 clause 4.3.7, ICNIRP Health Phys. 105 (2013) 74, as quoted in
print"""
LONG_FROM = 1000.0
"""seconds"""
NEAR = 0.3
"""m: closer than this to an illuminator nobody's eyes should be by design (common practice)"""
LAMP = 0.2
"""m at which IEC 62471 assesses lamps (from memory)"""

PER_RANGE = (0.5, 1.5, 3.0)
"""low, usual, high radiant intensity, W/sr on the axis, of a camera whose infrared is rated to 30 m (estimate)"""


def limit(seconds: float) -> float:
    """Irradiance the eye may bear for so long (> 0), W/m²: 18000 t^-0.75 up to 1000 s, 100 beyond.

    Source: IEC 62471 clause 4.3.7; ICNIRP 2013; Directive 2006/25/EC annex I (m), (n). 780 to 3000 nm.
    """
    return 18000.0 * float(seconds**-0.75) if seconds <= LONG_FROM else LONG


def intensity(leds: int, each: float) -> float:
    """Radiant intensity of LEDs side by side that all point one way: their sum, W/sr."""
    return leds * each


def intensity_of(rated_range: float) -> tuple[float, float, float]:
    """Low, usual and high radiant intensity, W/sr, of a camera's infrared rated to a range, m: by R² from 30 m.

    An estimate: makers rate the range by eye, and few print the intensity.
    """
    scale = (rated_range / 30.0) ** 2
    low, usual, high = PER_RANGE
    return low * scale, usual * scale, high * scale


def exposure(watts_per_sr: float, distance: float) -> float:
    """Irradiance at the eye, W/m²: I / d², on the axis.

    A point source: nearer than some five times the illuminator's width it overstates.
    """
    return watts_per_sr / distance**2


def share_of_limit(watts_per_sr: float, distance: float, seconds: float = math.inf) -> float:
    """Exposure as a share of the limit, 1 at the limit; without ``seconds`` for a long stay."""
    return exposure(watts_per_sr, distance) / limit(seconds)


def safe_distance(watts_per_sr: float, seconds: float = math.inf) -> float:
    """Distance, m, from which the limit is kept: √(I / limit)."""
    return math.sqrt(watts_per_sr / limit(seconds))


def retinal_limit(angle: float) -> float:
    """Radiance an eye not drawn to light may look at over 10 s, W/(m² sr): 6000 / α.

    α, the source's angle in rad, counts from 0.011 to 0.1. Source: IEC 62471 (weak visual
    stimulus), from memory, check against the document.
    """
    return 6000.0 / min(max(angle, 0.011), 0.1)
