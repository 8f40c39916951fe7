"""Sound out of doors: how loud talk still is some way off, and how far a microphone hears it.

Levels are A-weighted, dB. Free field: no walls, no wind, no ground; a wall between takes 10 dB and more off.
"""

from __future__ import annotations

import math

TALK = 60.0
"""dB(A) at 1 m: normal speech (ISO 9921, normal vocal effort; from memory, check against the document)"""
BACKGROUND = (35.0, 40.0, 45.0)
"""dB(A) of a quiet street or garden: low, usual, high (estimate)"""
NEAREST = 0.3
"""m: no nearer is reckoned with"""


def level(at_one_metre: float, distance: float) -> float:
    """Level, dB, of a small source at ``distance`` m (0.3 m at least): its level at 1 m less 20 log10 d.

    Source: spherical spreading (ISO 9613-2, geometrical divergence): 6.02 dB less each time the distance doubles.
    """
    return at_one_metre - 20.0 * math.log10(max(distance, NEAREST))


def earshot(at_one_metre: float, background: float) -> float:
    """Distance, m, at which a source has sunk to the level of the background: 10^((L − B)/20).

    60 dB(A) of talk over 40 dB(A): 10 m.
    """
    return float(10.0 ** ((at_one_metre - background) / 20.0))
