"""Conduit: how full, whether three cables jam, how tight a bend, how hard a pull.

Diameters in mm (outside of a cable, inside of a conduit), lengths in m, force in N.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

FILL = (0.53, 0.31, 0.40)
"""share of the bore that one, two, and more than two cables may take (NEC chapter 9 table 1, reproduced in print)"""
NIPPLE = 0.60
NIPPLE_LENGTH = 0.6
"""share allowed in a piece of conduit up to 0.6 m long between boxes (NEC chapter 9, note 4, reproduced in print)"""

JAM = (2.8, 3.2)
"""bore over diameter at which three equal cables may wedge in a bend (NEC chapter 9 table 1, informational note 2)"""

BEND = 4.0
BEND_MULTIPAIR = 10.0
"""least bend radius over outside diameter: four-pair unscreened cable, cable of more pairs (TIA-568, restated in
print by two installers' references; a maker's own figure outranks it)"""

PULL = 110.0
"""most force, N, on one four-pair cable while it is pulled (TIA-568: 25 lbf, restated in print)"""

BENDS = 360.0
"""most degrees of bends between two pull points (NEC 358.26, 352.26 and the like, from memory, check against the
document)"""

FRICTION = (0.35, 0.5)
"""low and high coefficient of a dry jacket in conduit (estimate; 0.5 where unknown is a conduit maker's advice)"""

CABLE_MASS = 0.045
"""kg a metre of four-pair unscreened cable (estimate, from memory: 0.035 to 0.055)"""
GRAVITY = 9.81


class Straight(NamedTuple):
    """A straight stretch: ``metres``, and ``slope`` in degrees, up in the direction of the pull is positive."""

    metres: float
    slope: float = 0.0


class Bend(NamedTuple):
    """A bend of so many ``degrees``."""

    degrees: float


def fill(diameters: Iterable[float], bore: float) -> float:
    """Share of a conduit's cross-section that cables of these diameters take: Σd² / D²."""
    return sum(d * d for d in diameters) / bore**2


def fill_limit(cables: int, length: float | None = None) -> float:
    """Share that so many cables (1 or more) may take in a conduit of ``length`` m (None: not a short nipple)."""
    if length is not None and length <= NIPPLE_LENGTH:
        return NIPPLE
    return FILL[min(cables, 3) - 1]


def least_bore(diameters: Sequence[float]) -> float:
    """The smallest bore, mm, that these cables (one or more) may share: √(Σd² / limit)."""
    return math.sqrt(sum(d * d for d in diameters) / fill_limit(len(diameters)))


def most_diameter(bore: float, cables: int = 1) -> float:
    """The thickest cable, mm, of which so many (1 or more) may share a bore."""
    return bore * math.sqrt(fill_limit(cables) / cables)


def may_jam(diameters: Sequence[float], bore: float) -> bool:
    """Whether three cables may wedge side by side in a bend: the bore is 2.8 to 3.2 times their mean diameter."""
    if len(diameters) != 3:
        return False
    return JAM[0] <= bore / (sum(diameters) / 3) <= JAM[1]


def bend_radius(diameter: float, *, multipair: bool = False) -> float:
    """Least radius of a bend, mm, to the inside of a cable of this diameter."""
    return diameter * (BEND_MULTIPAIR if multipair else BEND)


def bends(path: Iterable[Straight | Bend]) -> float:
    """Degrees of all bends of a path, to be held against ``BENDS``."""
    return sum(abs(part.degrees) for part in path if isinstance(part, Bend))


def pull(path: Iterable[Straight | Bend], friction: float, mass: float = CABLE_MASS, start: float = 0.0) -> float:
    """Force, N, at the end of a pull through ``path`` in order, of cable of ``mass`` kg a metre (estimate).

    Straight: T + m·g·L·(sin slope + mu·cos slope), never below 0; bend: T·exp(mu·angle), the capstan equation
    (Euler, Eytelwein). ``start``: what holds the cable back at its reel, N. Several cables at
    once: their mass together; that they press on one another is left out, so the truth is higher.
    """
    force = start
    for part in path:
        if isinstance(part, Bend):
            force *= math.exp(friction * math.radians(abs(part.degrees)))
        else:
            slope = math.radians(part.slope)
            force += mass * GRAVITY * part.metres * (math.sin(slope) + friction * math.cos(slope))
            force = max(0.0, force)
    return force


def other_way(path: Sequence[Straight | Bend]) -> tuple[Straight | Bend, ...]:
    """The same path pulled from its other end: often the easier, when the bends then come early."""
    return tuple(part if isinstance(part, Bend) else Straight(part.metres, -part.slope) for part in reversed(path))
