"""Where a camera looks: its frame of three unit vectors, its front glass, its directions.

Bearings are compass bearings, clockwise from north; ``site.plus_y`` is the bearing of the
site's +y. Tilt is below the horizontal. ``turned`` rolls the camera clockwise as seen from
behind it. Everything here is float64, in site coordinates and metres.

px/m means: pixels per metre across the line of sight at the target. Off the axis a lens
spreads differently along and across the radius; the smaller of the two is taken, which is
N / (2 z tan(angle/2)) with z the depth along the axis for a rectilinear lens (the trade's
formula) and N / (angle d) with d the distance for an equidistant one.
"""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.trade import optics
from oneclimb.trade.housing import HOUSINGS
from oneclimb.trade.pixels import focal_pixels

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.plan.model import Camera, Site, Vec, View

    Array = NDArray[np.float64]


class Grid(Struct, frozen=True):
    """A frame cut into ``cols`` by ``rows`` pixels, row by row from the top left."""

    rays: Array
    """(n, 3) unit directions through the pixels' middles, in the camera's own frame"""
    single: NDArray[np.float32]
    """the same in float32, for the caster"""
    solid: Array
    """(n,) solid angle of each pixel, sr"""
    cos: Array
    """(n,) cosine of the angle to the axis"""
    x: Array
    """(n,) frame positions, 0 to 1 from the left"""
    y: Array
    """(n,) frame positions, 0 to 1 from the top"""


@functools.lru_cache(maxsize=64)
def grid(view: View, cols: int, rows: int) -> Grid:
    """The pixels of a frame in the camera's own frame; cameras of one type share it."""
    x = np.tile((np.arange(cols) + 0.5) / cols, rows)
    y = np.repeat((np.arange(rows) + 0.5) / rows, cols)
    if view.projection == "equidistant":
        rays = optics.equidistant_rays(x, y, view.across, view.down)
        solid = optics.equidistant_solid(cols, rows, view.across, view.down)
    else:
        rays = optics.rectilinear_rays(x, y, view.across, view.down)
        solid = optics.rectilinear_solid(cols, rows, view.across, view.down)
    made = Grid(rays, rays.astype(np.float32), solid.ravel(), np.ascontiguousarray(rays[:, 2]), x, y)
    for array in (made.rays, made.single, made.solid, made.cos, made.x, made.y):
        array.flags.writeable = False
    return made


class Eye(Struct, frozen=True):
    """A camera as a lens in space; equal eyes see the same."""

    origin: Vec
    """middle of the front glass"""
    right: Vec
    up: Vec
    forward: Vec
    view: View
    pixels: tuple[int, int]

    @property
    def axes(self) -> Array:
        """(3, 3): rows right, up, forward in site coordinates."""
        return np.array([self.right, self.up, self.forward])

    def directions(self, cols: int, rows: int) -> Array:
        """(cols * rows, 3) unit directions of the frame's pixels in site coordinates."""
        return np.asarray(grid(self.view, cols, rows).rays @ self.axes)

    def rays(self, cols: int, rows: int) -> NDArray[np.float32]:
        """The same as ``directions`` in float32: all a caster needs, in half the time."""
        return np.asarray(grid(self.view, cols, rows).single @ self.axes.astype(np.float32))

    def local(self, points: Array) -> Array:
        """(n, 3) points seen from the glass, in the camera's own frame (right, up, ahead)."""
        return np.asarray((points - np.array(self.origin)) @ self.axes.T)

    def project(self, points: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
        """Frame positions x, y (0 to 1, y down) of site points (n, 3), and which lie in the frame."""
        return self.project_local(self.local(points))

    def project_local(self, local: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
        """The same for points already in the camera's own frame."""
        frame = optics.equidistant_frame if self.view.projection == "equidistant" else optics.rectilinear_frame
        x, y = frame(local, self.view.across, self.view.down)
        return x, y, (x >= 0) & (x <= 1) & (y >= 0) & (y <= 1)

    def density(self, local: Array) -> Array:
        """px/m (n,) at points in the camera's own frame; 0 where the lens cannot see."""
        equidistant = self.view.projection == "equidistant"
        focal = focal_pixels(self.pixels[0], self.view.across, equidistant=equidistant)
        away = np.linalg.norm(local, axis=-1) if equidistant else local[..., 2]
        return np.divide(focal, away, out=np.zeros_like(away), where=away > 0)

    def range_of(self, density: float) -> float:
        """Distance on the axis, m, where px/m has fallen to ``density``."""
        equidistant = self.view.projection == "equidistant"
        return focal_pixels(self.pixels[0], self.view.across, equidistant=equidistant) / density

    @property
    def spread(self) -> float:
        """Angle from the axis to the frame's corner, rad."""
        a, b = math.radians(self.view.across / 2), math.radians(self.view.down / 2)
        if self.view.projection == "equidistant":
            return min(math.pi, math.hypot(a, b))
        return math.atan(math.hypot(math.tan(a), math.tan(b)))


def axes(bearing: float, tilt: float, turned: float, plus_y: float) -> tuple[Vec, Vec, Vec]:
    """Unit vectors right, up and forward of a camera, site coordinates."""
    b, t, r = math.radians(bearing - plus_y), math.radians(tilt), math.radians(turned)
    forward = (math.cos(t) * math.sin(b), math.cos(t) * math.cos(b), -math.sin(t))
    level = (math.cos(b), -math.sin(b), 0.0)
    crest = (math.sin(t) * math.sin(b), math.sin(t) * math.cos(b), math.cos(t))
    c, s = math.cos(r), math.sin(r)
    right = (c * level[0] - s * crest[0], c * level[1] - s * crest[1], -s * crest[2])
    up = (s * level[0] + c * crest[0], s * level[1] + c * crest[1], c * crest[2])
    return right, up, forward


def eye(camera: Camera, site: Site) -> Eye:
    """The camera as a lens in space."""
    aim = camera.aim
    right, up, forward = axes(aim.bearing, aim.tilt, aim.turned, site.plus_y)
    return Eye(glass(camera, site), right, up, forward, camera.view, camera.pixels)


def glass(camera: Camera, site: Site) -> Vec:
    """Middle of the front glass, site coordinates: light is judged there, not at the screw hole.

    A bullet's glass sits at the end of its nose, so it moves with the aim.
    """
    aim = camera.aim
    forward = axes(aim.bearing, aim.tilt, aim.turned, site.plus_y)[2]
    housing = HOUSINGS[camera.shape]
    spot, normal = camera.mount.spot, camera.mount.normal
    return (
        spot.x + housing.out * normal[0] + housing.nose * forward[0],
        spot.y + housing.out * normal[1] + housing.nose * forward[1],
        spot.z + housing.out * normal[2] + housing.nose * forward[2],
    )
