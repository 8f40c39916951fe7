"""What a small solar panel gives in a day of a month.

Energies are Wh, powers W, irradiances W/m², temperatures °C. A range is (low, usual, high). *Peak sun hours*
are the hours of 1000 W/m² that hold a day's light: its kWh/m².
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Number = TypeVar("Number", float, "NDArray[np.float64]")
Range = tuple[float, float, float]

STANDARD = 1000.0
"""W/m² at which a panel is rated, its cells at 25 °C"""

GAMMA = -0.0047
"""1/K by which a standard crystalline panel's power falls as its cells warm (PVWatts version 5); thin film -0.002,
premium -0.0035; a panel's sheet usually says -0.003 to -0.004 today"""

LOSSES = (0.02, 0.03, 0.0, 0.02, 0.02, 0.005, 0.015, 0.01, 0.0, 0.03)
"""PVWatts' shares lost: soiling, shading, snow, mismatch, wiring, connections, first light, nameplate, age,
downtime (NREL/TP-6A20-62641); together 14.0757 %"""

CHARGING = (0.65, 0.8, 0.9)
"""low, usual, high share of a panel's energy that comes out of the battery again: charge controller, voltage that is
not the panel's best, the battery's own losses (estimate; a controller that seeks the best voltage is near the high)"""


def lost(shares: Sequence[float] = LOSSES) -> float:
    """Share lost by several losses one after the other: 1 - product of (1 - each). 0.140757 for PVWatts'."""
    return 1 - math.prod(1 - share for share in shares)


def cell(irradiance: Number, air: float, wind: float = 1.0) -> Number:
    """Temperature of the cells of a panel free to the air on both sides; ``wind`` in m/s at 10 m.

    Within 5 K when steady. Source: King et al., SAND2004-3535, open rack, glass on both sides: a -3.47,
    b -0.0594, 3 K between back and cell. Flat on a wall or roof it is up to 25 K warmer.
    """
    return irradiance * (math.exp(-3.47 - 0.0594 * wind) + 3 / STANDARD) + air


def dc(irradiance: Number, cells: Number, rated: float, gamma: float = GAMMA) -> Number:
    """Power of a panel of ``rated`` W at its best voltage, losses not counted.

    Rated power in proportion to the light (0 to 1200 W/m²) and by gamma from 25 °C. Source: PVWatts version 5.
    """
    return irradiance / STANDARD * rated * (1 + gamma * (cells - 25))


def declared(sun_hours: float, shaded: float = 1.0) -> Range:
    """Peak sun hours stated by the owner for this tilt and month, as a range without width; it outranks an estimate.

    ``shaded``: what the shade around leaves of the month's light, 0 to 1 (tables know no trees).
    """
    return (sun_hours * shaded,) * 3


def daily(
    rated: float,
    sun_hours: Range,
    *,
    cells: float = 25.0,
    gamma: float = GAMMA,
    losses: float | None = None,
    charging: Range = CHARGING,
) -> Range:
    """Energy out of the battery that a panel of ``rated`` W puts there in a mean day with these peak sun hours, Wh.

    ``cells``: mean temperature of the cells while they work (10 to 25 K above the air); ``losses``: share, PVWatts'
    where none is given (3 % of shading among them). Snow and single dark weeks are not in it: a month's mean
    hides runs of five to ten dull days, which the battery has to carry.
    """
    kept = 1 - (lost() if losses is None else losses)
    low, usual, high = (
        dc(hours * STANDARD, cells, rated, gamma) * kept * share
        for hours, share in zip(sun_hours, charging, strict=True)
    )
    return low, usual, high
