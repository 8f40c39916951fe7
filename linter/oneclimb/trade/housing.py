"""Housings: how far a camera's front glass lies from the hole it is screwed to. Common practice."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct


class Housing(Struct, frozen=True):
    """A shape's usual sizes. All lengths in m."""

    out: float
    """from the screw hole straight out from what it is fixed to, to where it turns about"""
    nose: float
    """from there along the axis of view to the front glass"""
    bubble: bool
    """lens and infrared LEDs share one bubble"""
    window: bool
    """the LEDs sit behind a window of their own"""
    height: float
    """usual height of its mount above the ground where the plan does not say"""


HOUSINGS: Mapping[str, Housing] = MappingProxyType(
    {
        "turret": Housing(out=0.09, nose=0.0, bubble=False, window=True, height=2.5),
        "dome": Housing(out=0.08, nose=0.0, bubble=True, window=False, height=2.5),
        "bullet": Housing(out=0.06, nose=0.18, bubble=False, window=False, height=2.5),
        "box": Housing(out=0.06, nose=0.12, bubble=False, window=False, height=2.5),
        "doorbell": Housing(out=0.03, nose=0.0, bubble=False, window=True, height=1.2),
    }
)
"""By the plan's word for the shape. Common practice: sizes of ordinary housings."""
