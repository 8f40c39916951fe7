"""The samples study: the points of ground, land and windows that every camera is asked about.

They are fixed in the world, so that two cameras, or one camera before and after it is
moved, are judged on the same points. Grids lie along an outline's first side: turning or
moving the whole site changes no figure.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.place.buildings import on_wall

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from oneclimb.api import Change, Query
    from oneclimb.plan.model import Area, Building, Land, Plan, Site, Vec2, Wall, Window

    Array = NDArray[np.float64]
    Index = NDArray[np.int64]

SPACING = (0.5, 1.0)
"""between samples of an area, m: small areas, large ones"""
FEW = 120
"""An area is sampled at the finer spacing as long as that makes no more samples than this."""
LAND_SPACING = (1.0, 2.0)
"""between samples of land beyond the boundary, m: small pieces, large ones"""
LAND_FEW = 1000
LAND_MOST = 100_000
PERSON = 1.6
"""height of a standing person's face above the ground, m (the Rotakin test figure is 1.6 m;
from memory, check against the document)"""
PANE_ROWS = 3
"""rows and columns of samples in a window"""
PANE_OUT = 0.01
"""samples of a window lie this far in front of it, m"""


class Group(Struct, frozen=True, dict=True, eq=False):
    """Sets of points: set i is ``points[start[i]:start[i + 1]]``."""

    ids: tuple[str, ...]
    row: Mapping[str, int]
    """a set's number by its id"""
    start: Index
    """(len(ids) + 1,)"""
    points: Array
    """(n, 3) what is looked at, site coordinates"""
    ground: Array
    """(n, 3) the ground below"""
    normals: Array
    """(n, 3) outward for a window's samples, zero for those seen from all round"""
    centre: Array
    """(len(ids), 3)"""
    radius: Array
    """(len(ids),) from the centre to the farthest sample, m"""


class Samples(Struct, frozen=True, dict=True, eq=False):
    """All samples of a plan."""

    areas: Group
    avoid: NDArray[np.bool_]
    """which areas are to be avoided"""
    land: Group
    panes: Group
    """windows of neighbours' buildings, ``building/window``"""
    made_of: tuple[Any, ...]
    """the plan's own tuples the samples were made of"""


def compute(site: Site, q: Query) -> Samples:
    """Sample every area, every piece of land and every neighbour's window of the plan."""
    del site
    plan: Plan = q.plan
    avoid = np.array([area.task == "avoid" for area in plan.areas], dtype=np.bool_)
    return Samples(
        _areas(plan.areas, plan.limits.samples), avoid, _land(plan.land), _panes(plan.buildings), _made_of(plan)
    )


def vary(base: Samples, site: Site, changes: tuple[Change, ...], q: Query) -> Samples | None:
    """The base samples where no ground, land or building differs."""
    del site, changes
    return base if _made_of(q.plan) == base.made_of else None


def _made_of(plan: Plan) -> tuple[Any, ...]:
    return plan.areas, plan.land, plan.buildings


def _group(ids: Iterable[str], sets: Sequence[Array], rise: Sequence[float], normals: Array | None = None) -> Group:
    """Sets of ground points (k, 3), each looked at ``rise`` above."""
    sizes = [len(points) for points in sets]
    start = np.array([0, *itertools.accumulate(sizes)], dtype=np.int64)
    ground = np.concatenate([np.zeros((0, 3)), *sets])
    points = ground.copy()
    points[:, 2] += np.repeat(np.array(rise, dtype=np.float64), sizes)
    centre, radius = _circles(points, start)
    facing = np.zeros_like(points) if normals is None else normals
    named = tuple(ids)
    return Group(named, {name: i for i, name in enumerate(named)}, start, points, ground, facing, centre, radius)


def _circles(points: Array, start: Index) -> tuple[Array, Array]:
    """Middle and reach of each set; every set has a point at least."""
    if len(start) == 1:
        return np.zeros((0, 3)), np.zeros(0)
    first, sizes = start[:-1], np.diff(start)
    centre = np.add.reduceat(points, first, axis=0) / sizes[:, None]
    off = np.linalg.norm(points - np.repeat(centre, sizes, axis=0), axis=1)
    return centre, np.maximum.reduceat(off, first)


# ------------------------------------------------------------------------- areas and land


def _areas(areas: Sequence[Area], most: int) -> Group:
    """Samples of each area, ``most`` of one: a larger area is sampled more widely."""
    sets = [_with_z(sampled(area.outline, spacing_of(area.outline, SPACING, FEW), most), area.base) for area in areas]
    return _group((area.id for area in areas), sets, [area.height for area in areas])


def _land(land: Sequence[Land]) -> Group:
    sets = [
        _with_z(sampled(piece.outline, spacing_of(piece.outline, LAND_SPACING, LAND_FEW), LAND_MOST), 0.0)
        for piece in land
    ]
    return _group((piece.id for piece in land), sets, [PERSON] * len(sets))


def spacing_of(outline: Sequence[Vec2], between: tuple[float, float], few: int) -> float:
    """Spacing of an outline's samples, m: the finer of two where it makes ``few`` at most, at most the wider."""
    fine, wide = between
    return min(wide, max(fine, math.sqrt(_size(np.array(outline)) / few)))


def _size(corners: Array) -> float:
    x, y = corners[:, 0], corners[:, 1]
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


def _with_z(flat: Array, z: float) -> Array:
    return np.insert(flat, 2, z, axis=1)


def sampled(outline: Sequence[Vec2], spacing: float, most: int) -> Array:
    """Points (k, 2) about ``spacing`` apart that stand for a spot, a line or a polygon; 1 to ``most``.

    Each stands for an equal part: the middles of a line's pieces, of a grid's cells.
    """
    corners = np.array(outline, dtype=np.float64)
    if len(corners) == 1:
        return corners
    along = corners[1] - corners[0]
    length = float(np.linalg.norm(along))
    if len(corners) == 2:
        parts = min(most, max(1, math.ceil(length / spacing - 1e-9)))
        return np.asarray(corners[0] + (np.arange(parts)[:, None] + 0.5) / parts * along)
    return _gridded(corners, along / length if length else np.array([1.0, 0.0]), spacing, most)


def _gridded(corners: Array, along: Array, spacing: float, most: int) -> Array:
    axes = np.array([along, (-along[1], along[0])])
    flat = (corners - corners[0]) @ axes.T
    low, extent = flat.min(axis=0), np.ptp(flat, axis=0)
    size = _size(corners)
    step = max(spacing, math.sqrt(size / most))
    cols, rows = (max(1, math.ceil(side / step - 1e-9)) for side in extent)
    u = low[0] + (np.arange(cols) + 0.5) / cols * extent[0]
    v = low[1] + (np.arange(rows) + 0.5) / rows * extent[1]
    cells = np.stack(np.meshgrid(u, v), axis=-1).reshape(-1, 2)
    if size < extent[0] * extent[1] * (1 - 1e-9):
        polygon = shapely.Polygon(flat)
        inside = shapely.contains_xy(polygon, cells[:, 0], cells[:, 1])
        cells = cells[inside] if inside.any() else shapely.get_coordinates(polygon.representative_point())
    if len(cells) > most:
        cells = cells[np.linspace(0, len(cells) - 1, most).round().astype(np.int64)]
    return np.asarray(cells @ axes + corners[0])


# ---------------------------------------------------------------------------- windows


def _panes(buildings: Sequence[Building]) -> Group:
    """Samples of neighbours' windows."""
    return panes_of([(b, wall, pane) for b in buildings if b.neighbour for wall in b.walls for pane in wall.windows])


def panes_of(panes: Sequence[tuple[Building, Wall, Window]]) -> Group:
    """Samples of windows, by ``building/window``, a little in front of the pane."""
    shares = (np.arange(PANE_ROWS) + 0.5) / PANE_ROWS
    sets, facing = [np.zeros((0, 3))][:0], []
    for building, wall, pane in panes:
        a, b = np.array(on_wall(wall, pane.along[0], PANE_OUT)), np.array(on_wall(wall, pane.along[1], PANE_OUT))
        low, high = pane.height
        flat = np.repeat(a + shares[:, None] * (b - a), PANE_ROWS, axis=0)
        up = building.base + low + np.tile(shares, PANE_ROWS) * (high - low)
        sets.append(np.column_stack([flat, up]))
        facing.append((*wall.normal, 0.0))
    normals = np.repeat(np.array(facing).reshape(-1, 3), PANE_ROWS**2, axis=0)
    return _group((f"{b.id}/{pane.id}" for b, _, pane in panes), sets, [0.0] * len(sets), normals)
