"""Ladders: where the foot stands, how long a ladder it takes, how high one works from it.

Lengths in m. Whoever works from a ladder follows the local code and the maker's label; from 3 m up it is
work for a person trained for it (common practice).
"""

from __future__ import annotations

import math
from typing import NamedTuple

QUARTER = 0.25
"""foot from the wall as a share of the working length. Source: 29 CFR 1926.1053(b)(5)(i)"""
ABOVE_LANDING = 0.9
"""side rails above a landing stepped off onto: 3 ft. Source: 29 CFR 1926.1053(b)(1)"""
OVERHEAD_LINE = 3.05
"""ladder, person and what is carried from a bare overhead line: 10 ft up to 50 kV (OSHA, from memory). More is
better; ladders near anything live have side rails that do not conduct (29 CFR 1926.1053(b)(12), from memory)"""

FEET_BELOW_TOP = 1.0
"""highest rung stood on under the ladder's top: no higher than the third or fourth rung from it (common practice)"""
SHOULDER = 1.4
"""of someone standing; work is done from waist to shoulder (common practice)"""
OVERREACH = 0.4
"""to either side before the belt buckle leaves the rails (common practice, estimate)"""
FROM_THE_GROUND = 2.0
"""work up to this height needs no ladder (estimate: overhead reach of a person, tool in hand)"""
TRAINED = 3.0
"""above this a trained person (common practice)"""

STEPLADDER = "the top and the top step of a stepladder are not stood on; it stands open and locked on level ground"
"""29 CFR 1926.1053(b)(13) for the top step; the rest is common practice"""


class Foot(NamedTuple):
    """How a leaning ladder stands."""

    working_length: float
    """along the rails from the foot to the support"""
    out: float
    """of the foot from the wall"""
    angle: float
    """degrees from the level"""


def foot(height: float) -> Foot:
    """Where a ladder leant on a support at ``height`` (> 0) straight above the wall's foot must stand.

    The foot is out by a quarter of the working length, not of the height: length = 4 h / √15,
    angle acos(1/4) = 75.52°. Source: 29 CFR 1926.1053(b)(5)(i); level ground.
    """
    length = height / math.sqrt(1.0 - QUARTER**2)
    return Foot(length, QUARTER * length, math.degrees(math.acos(QUARTER)))


def support_for(work: float) -> float:
    """Height at which a ladder must be supported for work at ``work`` m above the ground, 0 where none is needed.

    Feet a shoulder's height under the work, the ladder's top ``FEET_BELOW_TOP`` above the feet (common practice).
    """
    return max(work - SHOULDER + FEET_BELOW_TOP, FEET_BELOW_TOP) if work > FROM_THE_GROUND else 0.0


def length_to_land(landing: float) -> float:
    """Length of ladder that reaches ``ABOVE_LANDING`` over a landing, along rails at the same slope."""
    return foot(landing + ABOVE_LANDING).working_length
