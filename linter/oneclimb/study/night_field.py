"""Surfaces that send light to a camera: the pixels of its frame, and what lies round it.

A field holds, for every sample, whose surface it is, what it is made of, what each source
puts on it, and how much of its signal arrives on the front glass. Every other figure of
the night is a sum over these.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.place import lens
from oneclimb.place.scene import Hits
from oneclimb.trade import glass, light
from oneclimb.trade.materials import Material, reflectance

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy.typing as npt

    from oneclimb.plan.model import View
    from oneclimb.study.lights import Lights
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]
    Index = npt.NDArray[np.int32] | npt.NDArray[np.intp]

BLOCK = 4
"""light of sources that are not the camera's own is found on every 4th pixel each way"""
ENDS = ("low", "usual", "high")


@dataclass(frozen=True)
class Field:
    """Surface samples. n samples, p ≤ n places where other sources' light is found.

    ``tri``, ``owner`` and ``material`` (n,) are numbers of the scene, -1 for the sky; ``t`` m; ``collect``
    (n,) is the irradiance on the glass per unit of a sample's signal; ``own`` (n,) the
    irradiance by the camera's own light; ``retro`` (n,) the share of it that sheeting sends
    back, 1/sr times π, or None; ``spread`` (n,) the place each sample takes other light
    from; ``places`` (p, 3) and ``normals`` (p, 3), towards the camera.
    """

    tri: Index
    owner: Index
    material: Index
    t: Array
    collect: Array
    own: Array
    retro: Array | None
    spread: Index | None
    places: Array
    normals: Array
    own_at_places: Array

    def spread_out(self, at_places: Array) -> Array:
        """Values at the places (p,) on every sample (n,)."""
        return at_places if self.spread is None else at_places[self.spread]


@functools.lru_cache(maxsize=64)
def _blocks(cols: int, rows: int, step: int) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """Pixels in the middle of each block, and the block each pixel belongs to."""
    across, down = np.arange(cols) // step, np.arange(rows) // step
    wide = int(across[-1]) + 1
    middle_x = np.minimum(np.arange(wide) * step + step // 2, cols - 1)
    middle_y = np.minimum(np.arange(int(down[-1]) + 1) * step + step // 2, rows - 1)
    return (middle_y[:, None] * cols + middle_x).ravel(), (down[:, None] * wide + across).ravel()


@functools.lru_cache(maxsize=64)
def _beam(view: View, cols: int, rows: int, exponent: float) -> Array:
    """Relative intensity of a beam along the lens's axis on every pixel."""
    made = light.pattern(lens.grid(view, cols, rows).cos, exponent)
    made.flags.writeable = False
    return made


@functools.lru_cache(maxsize=64)
def _inside(view: View, cols: int, rows: int) -> Array:
    """Irradiance on the glass per unit of a pixel's signal: 0.2/π cos θ dΩ."""
    grid = lens.grid(view, cols, rows)
    made = light.TARGET / np.pi * np.maximum(grid.cos, 0.0) * grid.solid
    made.flags.writeable = False
    return made


@dataclass(frozen=True, slots=True)
class Own:
    """The camera's own light: axial intensity and beam, radius of the ring, nearest distance with a figure, m."""

    peak: float
    exponent: float
    radius: float
    touching: float
    retro_angle: float


def frame_field(raster: Raster, own: Own, block: int = BLOCK) -> Field:
    """The pixels of the frame."""
    view, cols, rows = raster.eye.view, raster.cols, raster.rows
    beam = _beam(view, cols, rows, own.exponent)
    chosen, spread = _blocks(cols, rows, block)
    hits = Hits(raster.t, raster.tri)
    field = _field(raster, raster.dirs, hits, own, beam=beam, collect=_inside(view, cols, rows), chosen=chosen)
    return replace(field, spread=spread)


def round_field(raster: Raster, rays: Array, collect: Array, own: Own) -> Field:
    """What lies outside the frame: rays (n, 3) from the glass, ``collect`` (n,) as in ``Field``."""
    hits = raster.scene.cast(raster.origin, rays, raster.absent)
    beam = light.pattern(rays @ np.array(raster.eye.forward), own.exponent)
    return _field(raster, rays, hits, own, beam=beam, collect=collect, chosen=slice(None))


def _field(
    raster: Raster, rays: Array, hits: Hits, own: Own, *, beam: Array, collect: Array, chosen: Index | slice
) -> Field:
    """Samples where ``rays`` (n, 3) end, lit by the camera's own ``beam`` (n,); places at the ``chosen`` ones."""
    scene, t, tri = raster.scene, hits.t, hits.tri
    normals = scene.normals.take(tri, axis=0)
    facing = np.einsum("ij,ij->i", normals, rays)
    apart = np.maximum(t, own.touching)
    square_on = own.peak * beam / (apart * apart + own.radius * own.radius)
    received = square_on * np.abs(facing)
    sky = tri < 0
    material = np.where(sky, -1, scene.material[tri])
    nowhere = sky[chosen]
    return Field(
        tri=tri,
        owner=np.where(sky, -1, scene.owner[tri]),
        material=material,
        t=t,
        collect=collect,
        own=received,
        retro=_retro(scene.materials, material, square_on, apart, own),
        spread=None,
        places=raster.origin + np.where(nowhere, 0.0, t[chosen])[:, None] * rays[chosen],
        normals=normals[chosen] * np.where(nowhere, 0.0, -np.sign(facing[chosen]))[:, None],
        own_at_places=received[chosen],
    )


def _retro(materials: tuple[Material, ...], material: Index, square_on: Array, apart: Array, own: Own) -> Array | None:
    """Signal that reflective sheeting adds under the camera's own light: π R_A E/0.2."""
    coefficient = np.array([m.retro for m in materials] + [0.0])
    if not coefficient.any():
        return None
    share = light.retro_share(own.radius, apart, own.retro_angle)
    return light.signal(np.pi * coefficient[material] * share, square_on)


def around(raster: Raster, dome_axis: Array | None, hood: float) -> tuple[Array, Array]:
    """Rays (n, 3) that meet the glass from outside the frame, and what each puts on it per unit of signal.

    They are fixed to the camera, so turning the site changes nothing. ``dome_axis`` (3,)
    for a bubble, None for a flat window; ``hood`` the cosine of a hood's edge, else 0.
    """
    eye = raster.eye
    if dome_axis is None:
        local, each = glass.flat_rays(), np.pi
        rays = local @ eye.axes
        keep = local[:, 2] > hood
    else:
        local, each = glass.dome_rays(), 2.0 * np.pi
        rays = local @ _frame_about(dome_axis, np.array(eye.forward))
        keep = np.ones(len(local), dtype=np.bool_)
    _, _, inside = eye.project_local(rays @ eye.axes.T)
    keep &= ~inside
    return rays[keep], np.full(int(keep.sum()), light.TARGET / np.pi * each / len(local))


def _frame_about(axis: Array, forward: Array) -> Array:
    """Three unit vectors, rows, the last along ``axis``, the first as near ``forward`` as it can be."""
    side = forward - axis * (axis @ forward)
    if np.linalg.norm(side) < 1e-6:
        side = np.eye(3)[int(np.argmin(np.abs(axis)))]
        side = side - axis * (axis @ side)
    side = side / np.linalg.norm(side)
    return np.stack([side, np.cross(axis, side), axis])


def on_surfaces(lights: Lights, which: npt.NDArray[np.intp], places: Array, normals: Array, radius: float) -> Array:
    """Irradiance (k, p) that sources ``which`` (k,) would put on places (p, 3) were nothing in the way."""
    toward, apart = from_places(lights, which, places)
    incidence = np.maximum(np.einsum("kpi,pi->kp", toward, normals), 0.0)
    return light.irradiance(lights.intensity(which, -toward), incidence, apart * apart, radius)


def from_places(lights: Lights, which: npt.NDArray[np.intp], places: Array) -> tuple[Array, Array]:
    """Unit vectors (k, p, 3) from places to sources, and their distances (k, p)."""
    way = lights.spots[which, None, :] - places[None, :, :]
    apart = np.maximum(np.sqrt(np.einsum("kpi,kpi->kp", way, way)), 1e-6)
    return way / apart[..., None], apart


def reflectances(materials: tuple[Material, ...], columns: tuple[int, ...]) -> Mapping[tuple[int, str], Array]:
    """(wavelength, end of the doubt) → reflectance by material number, the last one (-1) the sky's 0."""
    tables = {}
    for column in columns:
        bands = [reflectance(material, column) for material in materials]
        for end in ENDS:
            tables[column, end] = np.array([getattr(band, end) for band in bands] + [0.0])
    return tables
