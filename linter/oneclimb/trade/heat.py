"""Heat: how warm a housing gets in the sun, as the still air it might as well hang in.

°C, W/m², W and m². The rise is a range: which side the sun is on, how the heat spreads, and the wind decide.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

FILM = (10.0, 17.0, 25.0)
"""W/(m² K), by convection and radiation together: still air (estimate), ASHRAE's sol-air (3.0 Btu/(h ft² °F), wind
3.4 m/s, as restated in print), a breeze (estimate)"""

LIT = (0.25, 0.5, 1.0)
"""the sun's heat over the whole surface it leaves by: a ball, a thin plate, and a face that keeps what it catches
(geometry; ASHRAE's sol-air temperature is the last)"""

ABSORPTANCE: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "white": (0.2, 0.3, 0.45),
        "silver": (0.3, 0.45, 0.6),
        "grey": (0.6, 0.7, 0.8),
        "brown": (0.75, 0.85, 0.9),
        "black": (0.85, 0.92, 0.97),
    }
)
"""low, usual, high share of sunlight a colour takes up (handbook values, from memory; dirt and age darken white)"""

STRONG_SUN = 1000.0
"""W/m² square to the sun on a clear day (the reference sun of panels' ratings)"""
SKIN = 0.04
"""m²: outer surface of an ordinary camera (estimate: a ball of 11 cm)"""


def sol_air(air: float, sun: float, absorptance: float, film: float = FILM[1], sky: float = 0.0) -> float:
    """The air temperature that would heat a face as sun and air do together: t + α E / h - sky.

    ``sky`` is what a face loses to a clear sky: about 4 K lying, 0 standing. Source: ASHRAE's
    sol-air temperature (sky term from memory).
    """
    return air + absorptance * sun / film - sky


def felt(air: float, sun: float, colour: str) -> tuple[float, float, float]:
    """Low, usual and high air temperature a housing in the sun feels, its own watts aside.

    To be held against the maker's highest air temperature, which allows for its own watts.
    ``colour`` is a word of ``ABSORPTANCE``.
    """
    low, usual, high = ABSORPTANCE[colour]
    return (
        sol_air(air, LIT[0] * sun, low, FILM[2]),
        sol_air(air, LIT[1] * sun, usual, FILM[1]),
        sol_air(air, LIT[2] * sun, high, FILM[1]),
    )


def own(watts: float, skin: float = SKIN) -> tuple[float, float, float]:
    """Low, usual and high rise, K, of a housing's skin over the air by its own watts: W / (h A)."""
    low, usual, high = FILM
    return watts / (high * skin), watts / (usual * skin), watts / (low * skin)
