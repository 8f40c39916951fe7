"""Arm's reach, and which walls the sun stands on.

The reach is an electrical safety figure (IEC 60364-4-41 Annex B; BS 7671 Figure 417: 2.5 m above
the surface stood on, 1.25 m sideways and below it; as quoted in print, the standards' own text
was not at hand). Holding it against tampering with cables is the project's own use of that figure.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

REACH_UP = 2.5
REACH_SIDEWAYS = 1.25
REACH_BELOW = 1.25
"""metres, from the surface someone stands on"""

TROPIC = 23.44
"""degrees of latitude within which the sun passes overhead (obliquity of the ecliptic)"""
SUNNY_SECTOR = 67.5
"""degrees to either side of due south (north of the equator): the compass sectors south-east, south
and south-west (common practice)"""


def within_reach(above: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether heights (m, any shape) above a surface someone stands on, or below it (negative), are in reach."""
    return (above >= -REACH_BELOW - 1e-6) & (above <= REACH_UP + 1e-6)


def faces_sun(bearing: float, latitude: float) -> bool:
    """Whether a wall facing ``bearing`` (degrees from north, clockwise) gets the strong sun of the day.

    North of the tropics that is a wall facing south-east to south-west, south of them one
    facing north-east to north-west; between them every wall, at some season.
    """
    if abs(latitude) <= TROPIC:
        return True
    towards = 180.0 if latitude > 0 else 0.0
    off = abs(math.remainder(bearing - towards, 360.0))
    return off <= SUNNY_SECTOR + 1e-9
