"""Motion blur: how far what moves smears while the shutter is open."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

NIGHT_SHUTTER = (1 / 30, 1 / 25)
"""s: shortest and longest a camera left alone opens its shutter for at night (estimate; the frame's own time at 30
and 25 frames a second; some go slower)"""

SPEEDS: Mapping[str, float] = MappingProxyType({"walking": 1.4, "running": 4.0, "car in a drive": 5.6})
"""m/s across the view (common practice: 5, 14 and 20 km/h)"""

PIXELS = 2.0
"""of blur, at the pixels per metre the task asks for, that leave the task possible (estimate)"""


def pixels(speed: float, shutter: float, per_metre: float) -> float:
    """Pixels of blur: speed across the view (m/s) × shutter (s) × pixels per metre where it moves."""
    return speed * shutter * per_metre


def longest_shutter(speed: float, task: float, allowed: float = PIXELS) -> float:
    """Longest shutter, s, at which what moves at ``speed`` (m/s, > 0) blurs by ``allowed`` pixels.

    ``task`` is the pixels per metre the task asks for: more pixels than that smear over more of
    them and lose nothing.
    """
    return allowed / (speed * task)


def stops_lost(wanted: float, now: float) -> float:
    """Stops of light given up when the shutter is shortened from ``now`` to ``wanted`` s (> 0); 0 if it needn't be.

    Each stop halves the light: the night's light must make up for it.
    """
    return max(0.0, math.log2(now / wanted))
