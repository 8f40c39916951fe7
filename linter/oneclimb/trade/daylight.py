"""What the sky and the sun give by day, as a camera sees it: luminances and illuminances.

Illuminances are lx, luminances cd/m² (arrays of any one shape, or floats).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

BEAM = 105.0
"""lm/W of the sun's own light with the sun well up (estimate; from memory, check against Littlefair 1985: 90 to 110)"""
SKY = 130.0
"""lm/W of a clear sky's light (estimate; from memory, check against Littlefair 1985: 120 to 145)"""
OVERCAST = 10_000.0
"""lx on level ground under a covered sky in the middle of the day (estimate; lux tables in print have 1,000 dark to
20,000 bright)"""
_LEVEL = 7.0 / 9.0
"""share of π times the zenith's luminance that a covered sky gives level ground: ∫ (1 + 2 sin γ)/3 sin γ dΩ over π"""


def overcast(sine: Array | float, level: float = OVERCAST) -> Array:
    """Luminance of a covered sky at the sine of an elevation, 0 to 1, that gives ``level`` lx on open level ground.

    A third as bright at the horizon as overhead: L = L_z (1 + 2 sin γ)/3. Source: CIE standard overcast sky (Moon and
    Spencer 1942).
    """
    zenith = level / (np.pi * _LEVEL)
    return np.asarray(zenith * (1.0 + 2.0 * np.asarray(sine)) / 3.0)


def even(sine: Array | float, level: float) -> Array:
    """The same of a sky as bright everywhere: L = E/π. A stand-in for a clear sky away from the sun."""
    return np.full(np.shape(sine), level / np.pi)
