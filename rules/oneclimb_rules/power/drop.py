"""What volts are lost on a wire: its heat, its metal, and what is left at the camera."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from oneclimb.trade import copper

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Cable, Gauge

CLAD = "copper-clad aluminium"
COOL, WARM, HOT = 20.0, 40.0, 60.0
"""°C of a conductor: at its coolest, usual and hottest where the plan does not say how hot the air gets (estimate:
a roof in summer, a dark jacket in the sun)"""
SUNNY = 20.0
"""K a conductor in the sun or under a roof is warmer than the hottest air (estimate)"""
NAME = "of the least volts it needs"
AT_MOST = "of the least volts it needs, at the most power the wire passes"
"""what the figure is where the wire passes less power than the camera draws: half the source's volts are left then"""


def heat(q: Query) -> tuple[float, float, float]:
    """The conductors' temperature, °C: coolest, usual (the site's hottest air), hottest."""
    air = q.plan.site.temperature
    if air is None:
        return COOL, WARM, HOT
    return min(COOL, air[1]), air[1], air[1] + SUNNY


def metals(cable: Cable) -> tuple[str, str]:
    """The conductor reckoned with, and the worst it may be where the plan does not say."""
    return cable.conductor or "copper", cable.conductor or CLAD


def millimetres(gauge: Gauge | None) -> float | None:
    """Diameter of a solid conductor, mm."""
    return math.sqrt(4 * gauge.mm2 / math.pi) if gauge else None


def arrives(volts: float, ohm: float, watts: float) -> float:
    """Volts at the load; half the source's where no voltage lets that much power through (there the most passes)."""
    there = copper.deliver(volts, ohm, watts)
    return there.volts if there else volts / 2


def passes(volts: float, ohm: float) -> float:
    """W, the most that a wire lets through to any load: V² / (4·R)."""
    return volts**2 / (4 * ohm)


def carries(volts: float, ohm: float, watts: float) -> bool:
    """Whether any voltage at the load lets that much power through."""
    return copper.deliver(volts, ohm, watts) is not None
