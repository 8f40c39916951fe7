"""Dew: when air from a warm room, or damp air left inside, condenses in a cold housing.

Temperatures in °C, vapour pressures in hPa, relative humidity as a share above 0, to 1.
"""

from __future__ import annotations

import math

A, B, AT_ZERO = 17.625, 243.04, 6.1094
"""Magnus's formula over water, -40 to 50 °C, within 0.4 %: Alduchov and Eskridge, J. Appl. Meteor. 35 (1996) 601
(coefficients from memory, the first two as restated in print)"""

ROOM = 20.0
"""°C of a heated room (common practice)"""
ROOM_HUMIDITY = (0.35, 0.5, 0.65)
"""low, usual, high relative humidity of a heated room in winter (estimate; kitchens and bathrooms lie above)"""


def saturation(celsius: float) -> float:
    """Vapour pressure of saturated air over water, hPa: 6.1094 exp(17.625 t / (243.04 + t)), -40 to 50 °C."""
    return AT_ZERO * math.exp(A * celsius / (B + celsius))


def vapour_pressure(celsius: float, humidity: float) -> float:
    """Vapour pressure of air, hPa."""
    return humidity * saturation(celsius)


def dew_point(celsius: float, humidity: float) -> float:
    """Temperature at which air begins to condense, °C. Source: Magnus's formula solved for t.

    Over water: below 0 °C frost forms a little earlier, by about a tenth of the degrees below zero.
    """
    gamma = math.log(humidity) + A * celsius / (B + celsius)
    return B * gamma / (A - gamma)


def humidity_at(celsius: float, dew: float) -> float:
    """Relative humidity that air of this dew point has at another temperature; over 1 where it condenses."""
    return saturation(dew) / saturation(celsius)


def condenses(housing: float, room: float = ROOM, humidity: float = ROOM_HUMIDITY[1]) -> bool:
    """Whether a housing whose coldest inner face is at ``housing`` °C, breathing air from a room, gets wet inside."""
    return housing < dew_point(room, humidity)


def wet_below(room: float = ROOM) -> tuple[float, float, float]:
    """Low, usual and high temperature, °C, under which a housing breathing a room's winter air gets wet inside."""
    low, usual, high = ROOM_HUMIDITY
    return dew_point(room, low), dew_point(room, usual), dew_point(room, high)
