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

EDITION_2025: dict[str, tuple[str, float]] = {
    "monitor": ("overview", 20.0),
    "detect": ("outline", 40.0),
    "observe": ("discern", 80.0),
    "recognise": ("perceive", 125.0),
    "identify": ("characterise", 250.0),
    "inspect": ("scrutinise", 1500.0),
}
"""For each task of 2014 the name and least px/m that IEC 62676-4:2025 (edition 2) has nearest to it; it has *validate*,
500 px/m, too. Names, values and which answers which: from memory, check against the document."""


def needed(task: str, edition: int = 2014) -> tuple[str, float]:
    """A task's name in an edition of IEC 62676-4, and the least px/m it takes; ``KeyError`` for no such task."""
    return EDITION_2025[task] if edition >= 2025 else (task, CATEGORIES[task])


def focal_pixels(pixels: float, across: float, *, equidistant: bool = False) -> float:
    """Focal length in pixels, that is px/m on the axis at 1 m.

    ``pixels`` N across the frame, ``across`` its full angle in degrees. Rectilinear
    N / (2 tan(angle / 2)), 0 to 180 degrees, exclusive; equidistant N / angle in radians.
    Source: pinhole and r = f theta projection. 3840 px, 90 degrees: 192 px/m at 10 m.
    """
    angle = math.radians(across)
    return pixels / angle if equidistant else pixels / (2 * math.tan(angle / 2))


def category(density: float) -> str | None:
    """The finest task ``density`` px/m is enough for, None under *monitor*."""
    best: str | None = None
    for name, least in CATEGORIES.items():
        if density >= least:
            best = name
    return best
