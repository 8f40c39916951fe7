"""Templates of solids in a unit frame: triangles (k, 3, 3), corners anticlockwise from outside."""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

SIDES = 9
"""Sides of a round thing. An odd number's width hardly changes with the side it is seen from:
true to about 1 %, on average exactly."""
BANDS = 5


def _fixed(triangles: Array) -> Array:
    triangles.flags.writeable = False
    return triangles


def _quads(corners: Array) -> Array:
    """(q, 4, 3) -> (2q, 3, 3)."""
    return np.asarray(corners[:, ((0, 1, 2), (0, 2, 3))].reshape(-1, 3, 3))


@functools.cache
def box() -> Array:
    """-1/2 to 1/2 in x and y, 0 to 1 in z; 12 triangles."""
    low, high = (-0.5, -0.5, 0.0), (0.5, 0.5, 1.0)
    (a, b, c), (d, e, f) = low, high
    faces = [
        [(a, b, c), (d, b, c), (d, b, f), (a, b, f)],
        [(d, b, c), (d, e, c), (d, e, f), (d, b, f)],
        [(d, e, c), (a, e, c), (a, e, f), (d, e, f)],
        [(a, e, c), (a, b, c), (a, b, f), (a, e, f)],
        [(a, b, f), (d, b, f), (d, e, f), (a, e, f)],
        [(a, e, c), (d, e, c), (d, b, c), (a, b, c)],
    ]
    return _fixed(_quads(np.array(faces)))


@functools.cache
def sheet() -> Array:
    """-1/2 to 1/2 in x, 0 to 1 in z, facing -y; 2 triangles."""
    return _fixed(_quads(np.array([[(-0.5, 0, 0), (0.5, 0, 0), (0.5, 0, 1), (-0.5, 0, 1)]], dtype=np.float64)))


@functools.cache
def cylinder() -> Array:
    """About z from 0 to 1, of radius 1; closed.

    The polygon's girth equals the circle's, so that its width averaged over all sides is
    the circle's (Cauchy: mean width = girth / pi).
    """
    radius = (math.pi / SIDES) / math.sin(math.pi / SIDES)
    turn = np.arange(SIDES + 1) * (2 * math.pi / SIDES)
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1) * radius
    low, high = np.insert(ring, 2, 0.0, axis=1), np.insert(ring, 2, 1.0, axis=1)
    side = _quads(np.stack([low[:-1], low[1:], high[1:], high[:-1]], axis=1))
    fan = [(0, i, i + 1) for i in range(1, SIDES - 1)]
    top = high[np.array(fan)]
    bottom = low[np.array(fan)][:, ::-1]
    return _fixed(np.concatenate([side, top, bottom]))


@functools.cache
def ellipsoid() -> Array:
    """Radius 1 about z, from 0 to 1 in z.

    Scaled about its middle so that a sphere of this mesh has a sphere's surface, hence its
    mean shadow (Cauchy: mean shadow of a convex body = surface / 4).
    """
    turn = np.arange(SIDES + 1) * (2 * math.pi / SIDES)
    fall = np.arange(BANDS + 1) * (math.pi / BANDS)
    ball = np.stack(
        [
            np.outer(np.sin(fall), np.cos(turn)),
            np.outer(np.sin(fall), np.sin(turn)),
            np.repeat(-np.cos(fall)[:, None], SIDES + 1, axis=1),
        ],
        axis=2,
    )
    cells = np.stack([ball[:-1, :-1], ball[:-1, 1:], ball[1:, 1:], ball[1:, :-1]], axis=2).reshape(-1, 4, 3)
    cap, body, crown = cells[:SIDES], cells[SIDES:-SIDES], cells[-SIDES:]
    mesh = np.concatenate([cap[:, (0, 2, 3)], _quads(body), crown[:, (0, 1, 2)]])
    area = np.linalg.norm(np.cross(mesh[:, 1] - mesh[:, 0], mesh[:, 2] - mesh[:, 0]), axis=1).sum() / 2
    mesh *= math.sqrt(4 * math.pi / area)
    mesh[:, :, 2] = (mesh[:, :, 2] + 1) / 2
    return _fixed(mesh)
