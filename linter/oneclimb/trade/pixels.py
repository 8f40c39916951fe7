"""Pixels on a target: px/m, and what they are enough for.

Enough pixels for a task is not success at it: light, motion, focus, compression and angle
have their say too.
"""

from __future__ import annotations

import math

CATEGORIES: dict[str, float] = {
    "monitor": 12.5,
    "detect": 25.0,
    "observe": 62.5,
    "recognise": 125.0,
    "identify": 250.0,
    "inspect": 1000.0,
}
"""Least px/m for each task, coarsest first: IEC 62676-4:2014 (edition 1, withdrawn in 2025;
its names are the trade's). From memory, check against the document."""


def per_metre(pixels: float, across: float, distance: float) -> float:
    """px/m on the axis of a pinhole lens: N / (2 d tan(angle / 2)).

    ``pixels`` across the frame, ``across`` its full angle in degrees (0 to 180, exclusive),
    ``distance`` along the axis in metres, > 0. Source: pinhole projection. 3840 px, 90
    degrees, 10 m: 192 px/m.
    """
    return focal_pixels(pixels, across) / distance


def focal_pixels(pixels: float, across: float, *, equidistant: bool = False) -> float:
    """Focal length in pixels, that is px/m on the axis at 1 m.

    Rectilinear N / (2 tan(angle / 2)); equidistant N / angle in radians.
    """
    angle = math.radians(across)
    return pixels / angle if equidistant else pixels / (2 * math.tan(angle / 2))


def farthest(pixels: float, across: float, density: float) -> float:
    """Distance along the axis, m, at which px/m falls to ``density``. 3840 px, 90 degrees,
    250 px/m: 7.68 m.
    """
    return focal_pixels(pixels, across) / density


def category(density: float) -> str | None:
    """The finest task ``density`` px/m is enough for, None under *monitor*."""
    best: str | None = None
    for name, least in CATEGORIES.items():
        if density >= least:
            best = name
    return best
