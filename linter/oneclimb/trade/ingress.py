"""Water and salt at a connector: how exposed its place is, and which seal can still be fitted.

The exposure is a score of 0 to 10, the project's own. Its one measured term is the share of
rain's directions that reach the place; the weights of all terms are estimates, chosen so
that each worsening of the place raises the score (see the table on the rule's page).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from types import MappingProxyType

SPRAY = 60.0
"""degrees from the vertical: spraying water of the second characteristic numeral 3, IEC 60529 (as restated in
print; the standard's own text was not at hand)"""

DAMP: Mapping[str, float] = MappingProxyType(
    {"open": 1.0, "eave": 1.0, "soffit": 0.75, "cavity": 0.5, "box": 0.0, "housing": 0.0, "indoors": 0.0}
)
"""points for damp air and dew, by what is round the connector (estimate; that soffits and cavities
count as damp is common practice)"""

RAIN = 5.0
"""points when every direction of rain reaches it (estimate)"""
FOG = 1.0
DRIVING_RAIN = 1.0
SALT = 2.0
"""points for fog, for driving rain, and for salt right at the shore (estimates)"""
SALT_FADES = 500.0
"""metres inland over which salt falls to 1/e (estimate). That it falls exponentially over the first
400 to 600 m: Feliu, Morcillo and Chico, Corrosion 55 (1999) 883 (as restated in print); that it
matters within about 1 km: common practice."""
DRY = 0.5
"""factor on the rain of a dry climate (estimate)"""

LEAK: Mapping[str, float] = MappingProxyType(
    {"none": 1.0, "tape": 0.5, "gland": 0.0, "shell": 0.0, "gel": 0.0, "boot": 0.0, "self-amalgamating tape": 0.0}
)
"""how much of the exposure a seal lets through (estimate; tape is a stopgap: common practice)"""

BEFORE_THE_PLUG = ("gland", "boot")
"""slipped over the cable before the plug is made (common practice)"""
AFTER_THE_PLUG = ("shell", "gel", "self-amalgamating tape")
"""fits round a plug that is already made (common practice)"""


def is_dry(sits: str) -> bool:
    """Whether a place (``open`` … ``indoors``) keeps weather and damp air away by itself."""
    return DAMP[sits] == 0.0


def leak(seal: str, until: str | None, today: str) -> float:
    """Share of the exposure that a seal lets through, 0 to 1.

    Ordinary tape counts half where no date says when it is replaced, nothing until its date
    (``until``, ISO 8601 like ``today``), and as no seal from the day after.
    """
    if seal == "tape" and until:
        return 1.0 if today > until else 0.0
    return LEAK[seal]


def salt(coast: float) -> float:
    """Points for salt at ``coast`` metres (0 or more) from salt water: 2·exp(−coast / 500 m)."""
    return SALT * math.exp(-coast / SALT_FADES)


def air(weather: Collection[str]) -> float:
    """Points for the weather of the site: fog and driving rain, one each."""
    return FOG * ("fog" in weather) + DRIVING_RAIN * ("driving-rain" in weather)


def shelter_score(sits: str, rain: float, weather: Collection[str]) -> float:
    """Points for the place alone: damp air, and the share ``rain`` (0 to 1) of rain's directions
    that reach it, halved in a dry climate.
    """
    return DAMP[sits] + RAIN * rain * (DRY if "dry" in weather else 1.0)
