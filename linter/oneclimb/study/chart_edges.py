"""Some places of a chart as plane geometry, its edge found more finely than the chart's steps."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Flags = npt.NDArray[np.bool_]

FINE = 4
"""parts of a step in which an edge is looked for"""
CLOSED = 0.6
"""steps: what is narrower than twice this, a post's shadow, is left out"""
SPECK, HOLE = 2.0, 12.0
"""cells: what is smaller stands for nothing by itself, and what of a thin shadow is left"""
STRAIGHT = 0.4
"""steps by which an edge may be off so as to be straight"""


def outlined(x: Array, y: Array, flags: Flags, asked: Callable[[Array], Flags]) -> Any:
    """The places (rows, cols) with a flag as shapely geometry; ``asked`` says of points (k, 2) whether they have it.

    Only cells about an edge are asked again, in ``FINE`` parts a side; the outline is true to less than a step.
    """
    step = float(x[1] - x[0])
    whole = shapely.union_all(_boxes(_finer(x, y, flags, asked), (x[0], y[0]), step))
    closed = whole.buffer(CLOSED * step, join_style="mitre").buffer(-CLOSED * step, join_style="mitre")
    parts = [one for one in shapely.get_parts(closed) if one.area > SPECK * step * step]
    return shapely.union_all([_filled(one, HOLE * step * step).simplify(STRAIGHT * step) for one in parts])


def _filled(one: Any, most: float) -> Any:
    """A polygon without holes of ``most`` m² or less."""
    return shapely.Polygon(one.exterior, [hole for hole in one.interiors if shapely.Polygon(hole).area > most])


def _finer(x: Array, y: Array, flags: Flags, asked: Callable[[Array], Flags]) -> Flags:
    """The flags in parts of a step (rows * FINE, cols * FINE)."""
    row, col = np.nonzero(_mixed(flags))
    part = np.arange(FINE)
    off = ((part + 0.5) / FINE - 0.5) * float(x[1] - x[0])
    east, up = np.broadcast_arrays(x[col][:, None, None] + off, y[row][:, None, None] + off[:, None])
    fine = np.repeat(np.repeat(flags, FINE, axis=0), FINE, axis=1)
    at = (row[:, None, None] * FINE + part[:, None], col[:, None, None] * FINE + part)
    fine[at] = asked(np.column_stack([east.ravel(), up.ravel()])).reshape(east.shape)
    return fine


def _mixed(flags: Flags) -> Flags:
    """Cells not all of whose neighbours agree."""
    near = np.lib.stride_tricks.sliding_window_view(np.pad(flags, 1, mode="edge"), (3, 3))
    return np.asarray(near.any(axis=(2, 3)) & ~near.all(axis=(2, 3)))


def _boxes(fine: Flags, first: tuple[float, float], step: float) -> npt.NDArray[np.object_]:
    """A box for each run of cells in a row; ``first`` is the middle of the first whole cell."""
    turns = np.diff(np.pad(fine.astype(np.int8), ((0, 0), (1, 1))), axis=1)
    row, left = np.nonzero(turns > 0)
    right = np.nonzero(turns < 0)[1]
    cells = np.column_stack([left, row, right, row + 1]) * (step / FINE) - step / 2.0
    return np.asarray(shapely.box(*(cells + np.array([*first, *first])).T))
