"""Surfaces that send light to a camera: the pixels of its frame, and what lies round it.

A field holds, for every sample, whose surface it is, what it is made of, what each source
puts on it, and how much of its signal arrives on the front glass. Every other figure of
the night is a sum over these.
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.place import lens
from oneclimb.place.scene import Hits
from oneclimb.trade import light
from oneclimb.trade.materials import Material, reflectance

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy.typing as npt

    from oneclimb.plan.model import View
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]
    Index = npt.NDArray[np.int32] | npt.NDArray[np.intp]

STEP = 2
"""the light is reckoned on every 2nd pixel each way"""
BLOCK = 2
"""that of sources which are not the camera's own on every 2nd of those, so on every 4th pixel each way"""
ENDS = ("low", "usual", "high")


class Field(Struct, frozen=True, dict=True):
    """Surface samples: n, of G groups that share owner and material, p ≤ n places where other light is found."""

    size: tuple[int, int]
    """columns and rows of the samples; n = columns * rows"""
    owners: Index
    """(G,) number in ``scene.owners``, -1 for the sky"""
    materials: Index
    """(G,) number in ``scene.materials``, -1 for the sky"""
    group: Index
    """(n,) the group of each sample"""
    tri: Index
    """(n,) triangle, -1 for the sky"""
    t: Array
    """(n,) distance, m"""
    own: Array
    """(n,) irradiance by the camera's own light"""
    retro: Array | None
    """(n,) signal reflective sheeting adds under it, if there is any"""
    spread: Index
    """(n,) the place each sample takes other light from"""
    places: Array
    """(p, 3)"""
    normals: Array
    """(p, 3) towards the camera; zero for the sky"""
    own_at_places: Array
    """(p,)"""
    own_sum: Array
    """(G,) what a group's light under the camera's own puts on the glass, per unit of its reflectance"""
    retro_sum: Array
    """(G,) the same of its sheeting, as it is"""
    collect: Array
    """(n,) what a sample puts on the glass per unit of light and reflectance"""

    def by_group(self, at_places: Array) -> Array:
        """(k, G) what light (k, p) at the places makes each group put on the glass, per unit of its reflectance."""
        count = len(self.owners)
        sums = [summed(self.group, self.collect * light_[self.spread], count) for light_ in at_places]
        return np.array(sums).reshape(len(at_places), count)

    def nearest(self, owner: int) -> float:
        """Distance to an owner's nearest sample, m; inf where it has none."""
        mine = self.owners == owner
        return float(self.t[mine[self.group]].min(initial=np.inf)) if mine.any() else float("inf")


def summed(number: Index, values: Array, count: int) -> Array:
    """Sums (count,) of values (n,) by number."""
    return np.bincount(number, values, count).astype(np.float64, copy=False)


def _grouped(owner: Index, material: Index) -> tuple[Index, Index, Index]:
    """Samples (n,) by owner and material: owners (G,), materials (G,), and the group of each sample (n,)."""
    wide = int(material.max(initial=0)) + 2
    pair = (owner.astype(np.intp) + 1) * wide + material + 1
    present = np.flatnonzero(np.bincount(pair))
    number = np.empty(int(present.max(initial=-1)) + 1, dtype=np.intp)
    number[present] = np.arange(len(present))
    return present // wide - 1, present % wide - 1, number[pair]


@functools.lru_cache(maxsize=64)
def _thinned(cols: int, rows: int, step: int) -> tuple[npt.NDArray[np.intp], int, int]:
    """A pixel from each block of ``step`` by ``step``, and the columns and rows of blocks.

    Where a block has no middle pixel the pixel is taken left and right, above and below in turn.
    """
    across, down = np.arange(0, cols, step)[None, :], np.arange(0, rows, step)[:, None]
    col = np.minimum(across + (step - 1 + down // step % 2) // 2, cols - 1)
    row = np.minimum(down + (step - 1 + across // step % 2) // 2, rows - 1)
    return (row * cols + col).ravel(), across.size, down.size


@functools.lru_cache(maxsize=64)
def _blocks(cols: int, rows: int, step: int) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """The pixel that stands for each block, and the block each pixel belongs to."""
    chosen, wide, _ = _thinned(cols, rows, step)
    row, col = np.arange(rows)[:, None] // step, np.arange(cols)[None, :] // step
    return chosen, (row * wide + col).ravel()


@functools.lru_cache(maxsize=64)
def _beam(view: View, cols: int, rows: int, step: int, exponent: float) -> Array:
    """Relative intensity of a beam along the lens's axis on every ``step``-th pixel."""
    made = light.pattern(lens.grid(view, cols, rows).cos[_thinned(cols, rows, step)[0]], exponent)
    made.flags.writeable = False
    return made


@functools.lru_cache(maxsize=64)
def _inside(view: View, cols: int, rows: int, step: int) -> Array:
    """Irradiance on the glass per unit of signal of every ``step``-th pixel and those it stands for: 0.2/π cos θ dΩ."""
    grid = lens.grid(view, cols, rows)
    each = light.TARGET / np.pi * np.maximum(grid.cos, 0.0) * grid.solid
    _, wide, high = _thinned(cols, rows, step)
    row, col = np.arange(rows) // step, np.arange(cols) // step
    made = summed((row[:, None] * wide + col).ravel(), each, wide * high)
    made.flags.writeable = False
    return made


class Own(Struct, frozen=True):
    """The camera's own light: axial intensity and beam, radius of the ring, nearest distance with a figure, m."""

    peak: float
    exponent: float
    radius: float
    touching: float
    retro_angle: float


def frame_field(raster: Raster, own: Own, step: int = STEP, block: int = BLOCK) -> Field:
    """The pixels of the frame, or every ``step``-th each way."""
    view, cols, rows = raster.eye.view, raster.cols, raster.rows
    pixels, wide, high = _thinned(cols, rows, step)
    chosen, spread = _blocks(wide, high, block)
    hits = Hits(raster.t[pixels], raster.tri[pixels])
    beam, collect = _beam(view, cols, rows, step, own.exponent), _inside(view, cols, rows, step)
    lit = Lit(raster.dirs.take(pixels, axis=0), hits, beam, collect)
    return _field(raster, lit, own, chosen=chosen, spread=spread, size=(wide, high))


def round_field(raster: Raster, rays: Array, each: float, own: Own, block: int = BLOCK) -> Field:
    """What lies outside the frame: rays (n, 3) from the glass, each of which puts ``each`` on it per unit of signal.

    Neighbours lie next to each other; ``block`` of them share a place of other light.
    """
    hits = raster.scene.cast(raster.origin, rays, raster.absent)
    beam = light.pattern(rays @ np.array(raster.eye.forward), own.exponent)
    lit = Lit(rays, hits, beam, np.full(len(rays), each))
    every = np.arange(len(rays))
    return _field(raster, lit, own, chosen=every[::block], spread=every // block, size=(len(rays), 1))


class Lit(Struct, frozen=True):
    """Rays (n, 3), what they meet, the camera's beam along them (n,), and what they put on the glass (n,)."""

    rays: Array
    hits: Hits
    beam: Array
    collect: Array


def _field(raster: Raster, lit: Lit, own: Own, *, chosen: Index, spread: Index, size: tuple[int, int]) -> Field:
    """Samples where the rays end; other light is found at the ``chosen`` ones and shared out by ``spread``."""
    scene, rays, t, tri = raster.scene, lit.rays, lit.hits.t, lit.hits.tri
    normals = scene.normals.take(tri, axis=0)
    facing = np.einsum("ij,ij->i", normals, rays)
    apart = np.maximum(t, own.touching)
    square_on = own.peak * lit.beam / (apart * apart + own.radius * own.radius)
    received = square_on * np.abs(facing)
    sky = tri < 0
    owners, materials, group = _grouped(np.where(sky, -1, scene.owner[tri]), np.where(sky, -1, scene.material[tri]))
    retro = _retro(scene.materials, materials[group], square_on, apart, own)
    nowhere, count = sky[chosen], len(owners)
    from_sheeting = lit.collect * (np.zeros(len(t)) if retro is None else retro)
    return Field(
        size=size,
        owners=owners,
        materials=materials,
        group=group,
        tri=tri,
        t=t,
        own=received,
        retro=retro,
        spread=spread,
        places=raster.origin + np.where(nowhere, 0.0, t[chosen])[:, None] * rays[chosen],
        normals=normals[chosen] * np.where(nowhere, 0.0, -np.sign(facing[chosen]))[:, None],
        own_at_places=received[chosen],
        own_sum=summed(group, lit.collect * received, count) / light.TARGET,
        retro_sum=summed(group, from_sheeting, count),
        collect=lit.collect / light.TARGET,
    )


def _retro(materials: tuple[Material, ...], material: Index, square_on: Array, apart: Array, own: Own) -> Array | None:
    """Signal that reflective sheeting adds under the camera's own light: π R_A E/0.2."""
    coefficient = np.array([m.retro for m in materials] + [0.0])
    if not coefficient.any():
        return None
    share = light.retro_share(own.radius, apart, own.retro_angle)
    return light.signal(np.pi * coefficient[material] * share, square_on)


def reflectances(materials: tuple[Material, ...], columns: tuple[int, ...]) -> Mapping[tuple[int, str], Array]:
    """(wavelength, end of the doubt) → reflectance by material number, the last one (-1) the sky's 0."""
    tables = {}
    for column in columns:
        bands = [reflectance(material, column) for material in materials]
        for end in ENDS:
            tables[column, end] = np.array([getattr(band, end) for band in bands] + [0.0])
    return tables
