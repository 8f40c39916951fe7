"""Faces from above: how steeply a camera looks down on one."""

from __future__ import annotations

import math

FACE = (1.5, 1.6, 1.7)
"""m: low, usual, high face of someone standing (estimate; standing figures are drawn 1.64 to 1.76 m tall)"""
PREFERRED, USABLE = 15.0, 30.0
"""degrees down on a face up to which it is seen well, and up to which it is of use: the project's own figures; from
memory, no published source found"""


def down_angle(camera: float, distance: float, face: float = FACE[1]) -> float:
    """Degrees down from a camera at height ``camera`` to a face, ``distance`` m (≥ 0) away on the level.

    Negative where the camera hangs lower than the face.
    """
    return math.degrees(math.atan2(camera - face, distance))


def distance_for(angle: float, camera: float, face: float = FACE[1]) -> float:
    """Distance on the level, m, from which a face is seen at no more than ``angle`` degrees (0 to 90) down.

    0 where the camera hangs no higher than the face.
    """
    return max(camera - face, 0.0) / math.tan(math.radians(angle))


def height_for(angle: float, distance: float, face: float = FACE[1]) -> float:
    """Height, m, of a camera that sees a face ``distance`` m away at ``angle`` degrees down."""
    return face + distance * math.tan(math.radians(angle))
