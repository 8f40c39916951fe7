"""Sway: how far the picture moves when what the camera is fixed to bends in the wind.

Static bending of a straight pole held fast at its foot. Gusts that meet the pole's own rhythm move it
further, a loose foot or bracket too, and an arm twists it: the figure is the least to be reckoned with.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct

MODULUS: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "steel": (200e9, 205e9, 210e9),
        "aluminium": (68e9, 70e9, 72e9),
        "timber": (7e9, 9e9, 11e9),
        "fibreglass": (15e9, 25e9, 40e9),
    }
)
"""low, usual, high modulus of elasticity, Pa (handbook values, from memory; softwood along the grain, C16 to C24)"""

AIR = 0.613
"""kg/m³: half the density of air at 15 °C and sea level, 1.225 / 2. Source: ASCE 7's 0.613 V²"""
DRAG: Mapping[str, float] = MappingProxyType({"round": 1.2, "square": 2.0, "camera": 1.2})
"""drag coefficients, handbook values, from memory (a thin round pole, a square post, a housing)"""
PIXELS = 3.0
"""pixels of sway that motion detection and people begin to mind (estimate)"""


class Pole(Struct, frozen=True):
    """A straight pole of one section all along: m and m⁴."""

    length: float
    width: float
    """across the wind"""
    second_moment: float
    square: bool = False


def tube(length: float, outer: float, wall: float) -> Pole:
    """A round pole with a wall of so much (half of ``outer``: solid): I = π (D⁴ - d⁴) / 64."""
    inner = outer - 2.0 * wall
    return Pole(length, outer, math.pi * (outer**4 - inner**4) / 64.0)


def post(length: float, side: float) -> Pole:
    """A solid square post: I = b⁴ / 12."""
    return Pole(length, side, side**4 / 12.0, square=True)


def pressure(metres_per_second: float) -> float:
    """Wind's dynamic pressure, Pa: 0.613 v²."""
    return AIR * metres_per_second**2


def tip(pole: Pole, modulus: float, wind: float, area: float) -> float:
    """Degrees by which the top of a pole tilts in a steady wind (m/s), a housing of ``area`` m² on top.

    Euler and Bernoulli, small angles: F L² / (2 E I) for the housing and w L³ / (6 E I) for the
    pole's own drag, w in N/m. Source: beam tables (Roark; Gere). Degrees over about 5 are beyond it.
    """
    q = pressure(wind)
    force = q * DRAG["camera"] * area
    along = q * DRAG["square" if pole.square else "round"] * pole.width
    stiff = modulus * pole.second_moment
    return math.degrees(force * pole.length**2 / (2.0 * stiff) + along * pole.length**3 / (6.0 * stiff))


def pixels(degrees: float, across: int, view: float) -> float:
    """Pixels by which the middle of the frame moves when the camera turns by ``degrees``.

    ``across`` pixels over a view of ``view`` degrees (below 180) of a lens that keeps straight lines
    straight: N tan(φ) / (2 tan(view/2)). Narrow views move most.
    """
    return across * math.tan(math.radians(degrees)) / (2.0 * math.tan(math.radians(view) / 2.0))
