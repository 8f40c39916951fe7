"""Wire: gauges, resistance with metal and temperature, and what a length of it delivers.

Resistances are direct current, ohm per kilometre of one conductor; there and back is twice that.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

RHO = 17.241
"""ohm·mm²/km of annealed copper at 20 °C, 100 % IACS (IEC 60028: 1.7241e-8 ohm·m)"""

RATIO: Mapping[str, float] = MappingProxyType(
    {"copper": 1.0, "copper-clad aluminium": 1 / 0.629, "aluminium": 1 / 0.61}
)
"""resistance over copper's. Copper-clad aluminium with 10 % copper by volume: at least 62.9 % IACS (wire makers'
data to ASTM B566); aluminium 61 % IACS (handbook value)."""
CLAD = (1 / 0.644, 1 / 0.629, 1 / 0.61)
"""low, usual, high ratio of copper-clad aluminium: 15 % copper by volume, 10 %, and next to none"""

ALPHA: Mapping[str, float] = MappingProxyType(
    {"copper": 0.00393, "copper-clad aluminium": 0.00400, "aluminium": 0.00403}
)
"""1/K at 20 °C (from memory, check against the document: IEC 60028 and 60889; that of clad wire is an estimate
between the two)"""

STRANDED = 1.025
"""resistance of a stranded conductor over a solid one of the same gauge (NEC chapter 9 table 8, 10 to 14 AWG)"""

SOLID_MM2: Mapping[float, float] = MappingProxyType(
    {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08}
)
FLEXIBLE_MM2: Mapping[float, float] = MappingProxyType(
    {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30}
)
"""most ohm/km at 20 °C of a plain copper conductor by its nominal mm²: IEC 60228 classes 1 and 2 (solid,
stranded) and 5 (flexible), as reproduced in print"""


class Delivery(NamedTuple):
    """What arrives at the end of a loop: ``volts`` and ``amps`` there, ``watts`` drawn at the source."""

    volts: float
    amps: float
    watts: float


def awg_mm(gauge: int) -> float:
    """Diameter, mm, of a solid conductor of this American gauge (−3, i.e. 4/0, to 40).

    d = 0.127·92^((36 − n) / 39). Source: ASTM B258 (from memory, check against the document).
    """
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def area(mm: float) -> float:
    """Cross-section, mm², of a round conductor ``mm`` thick."""
    return math.pi / 4 * mm**2


def warm(conductor: str, celsius: float) -> float:
    """Resistance at a conductor's temperature over that at 20 °C: 1 + alpha·(t − 20); −50 to 100 °C."""
    return 1 + ALPHA[conductor] * (celsius - 20)


def ohm_km(mm2: float, conductor: str = "copper", celsius: float = 20.0) -> float:
    """Ohm per km of a solid conductor of ``mm2`` true cross-section: rho·ratio / area, made warm.

    Within 0.5 % of the NEC's table for solid wire; a nominal metric size may have less metal
    than its name, so take ``metric_ohm_km`` for those.
    """
    return RHO * RATIO[conductor] / mm2 * warm(conductor, celsius)


def awg_ohm_km(gauge: int, conductor: str = "copper", celsius: float = 20.0, *, stranded: bool = False) -> float:
    """Ohm per km of a conductor of this American gauge (−3 to 40)."""
    return ohm_km(area(awg_mm(gauge)), conductor, celsius) * (STRANDED if stranded else 1.0)


def metric_ohm_km(mm2: float, conductor: str = "copper", celsius: float = 20.0, *, flexible: bool = True) -> float:
    """Most ohm per km of a conductor of a nominal metric size in the table (KeyError otherwise).

    Clad and aluminium wire by the ratio of the metals (estimate: IEC 60228 has none so thin).
    """
    table = FLEXIBLE_MM2 if flexible else SOLID_MM2
    return table[mm2] * RATIO[conductor] * warm(conductor, celsius)


def deliver(volts: float, ohm: float, watts: float) -> Delivery | None:
    """What a source of ``volts`` delivers over a loop of ``ohm`` to a load that draws a steady power.

    V = (Vs + √(Vs² − 4·R·P)) / 2, I = P / V, and Vs·I at the source. None where the square root
    has none: no voltage at the load lets that much through (the most is Vs² / 4R). Alternating
    current: give volt-amperes for watts; the volts are then the least that arrive. Source: Ohm and
    Kirchhoff.
    """
    inside = volts**2 - 4 * ohm * watts
    if inside < 0:
        return None
    there = (volts + math.sqrt(inside)) / 2
    amps = watts / there
    return Delivery(there, amps, volts * amps)


def arrives(volts: float, ohm: float, watts: float) -> float:
    """Volts at the load; half the source's where no voltage lets that much power through (there the most passes)."""
    there = deliver(volts, ohm, watts)
    return there.volts if there else volts / 2


def passes(volts: float, ohm: float) -> float:
    """W, the most that a wire lets through to any load: V² / (4·R)."""
    return volts**2 / (4 * ohm)


def most_ohm(volts: float, least: float, watts: float) -> float:
    """The loop resistance at which a steady load of ``watts`` (> 0) still has ``least`` volts.

    (Vs − V)·V / P, with V no lower than Vs / 2 where the power itself gives out; 0 where
    ``least`` is not below ``volts``.
    """
    there = max(least, volts / 2)
    return max(0.0, (volts - there) * there / watts)
