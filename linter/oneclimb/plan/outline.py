"""Outlines in the plane: which way round, and whether they cross themselves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from oneclimb.plan.model import Vec2

_FLAT = 1e-12


def doubled_area(corners: tuple[Vec2, ...]) -> float:
    """Twice the signed area: positive for corners that run anticlockwise (the shoelace formula)."""
    x0, y0 = corners[0]
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return sum((xa - x0) * (yb - y0) - (xb - x0) * (ya - y0) for (xa, ya), (xb, yb) in pairs)


def anticlockwise(corners: tuple[Vec2, ...]) -> tuple[Vec2, ...]:
    """The corners in anticlockwise order."""
    return corners if doubled_area(corners) >= 0 else corners[::-1]


def crosses(corners: tuple[Vec2, ...]) -> bool:
    """Whether the closed outline meets itself anywhere but at its corners, or encloses nothing."""
    if len(corners) < 3 or abs(doubled_area(corners)) < _FLAT:
        return True
    if _convex(corners):
        return False
    if any(a == b for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)):
        return True
    from shapely.geometry import LinearRing

    return not LinearRing(corners).is_simple


def _convex(corners: tuple[Vec2, ...]) -> bool:
    """Whether all turns go one way, once round: such an outline can't cross itself."""
    n = len(corners)
    sign = 0.0
    changes = 0
    for i in range(n):
        (ax, ay), (bx, by), (cx, cy) = corners[i], corners[(i + 1) % n], corners[(i + 2) % n]
        turn = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
        if abs(turn) < _FLAT or turn * sign < 0:
            return False
        sign = turn
        changes += (bx - ax > 0) != (cx - bx > 0)
    return changes <= 2


def inside(point: Vec2, corners: NDArray[np.float64]) -> bool:
    """Whether a point lies inside a closed outline ((n, 2), m): crossings of a ray to the right, counted."""
    x, y = point
    a = corners
    b = np.roll(a, -1, axis=0)
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    a, b = a[spans], b[spans]
    right = x < (b[:, 0] - a[:, 0]) * (y - a[:, 1]) / (b[:, 1] - a[:, 1]) + a[:, 0]
    return bool(np.count_nonzero(right) % 2)
