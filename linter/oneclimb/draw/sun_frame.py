"""The camera's frame in outline, and the sun's paths through it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from contourpy import contour_generator

from oneclimb.draw import ink, overlay
from oneclimb.draw.charts import DOTTED, LETTER, SMALL
from oneclimb.draw.ground_plan import HALO
from oneclimb.draw.placing import Paper
from oneclimb.draw.sun_paths import Path, hours, path_of_hills, tracks
from oneclimb.study import FINE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.raster import Raster
    from oneclimb.study.sun import Sun

    Array = NDArray[np.float64]

LEAST = 0.0005
"""of the frame: what is smaller is left out of the outlines"""
SMOOTH = 0.6
"""steps of the frame's raster by which an outline may be drawn straighter than it is"""
LINE_HIGH = 3.0
"""mm of a line of words"""


def frame(axes: Axes, camera: Camera, world: World, found: Sun, wide: float) -> None:
    """Everything, on axes ``wide`` mm wide."""
    raster = world.of(FINE, camera)
    across, down = camera.pixels
    axes.set(xlim=(0.0, 1.0), ylim=(1.0, 0.0), xticks=[], yticks=[], aspect=down / across)
    for spine in axes.spines.values():
        spine.set(visible=True, color=ink.GREY, linewidth=ink.THIN)
    _outlines(axes, raster)
    overlay.areas(axes, camera, world, raster)
    paper = Paper(wide, wide * down / across)
    year, site = world.today.year, world.plan.site
    for skyline in path_of_hills(found, site):
        axes.plot(*skyline.T, color=ink.GREY, linewidth=ink.LINE, zorder=2.0)
    found_hours = list(hours(found, site, year))
    for _, one in found_hours:
        axes.plot(*one.places.T, color=ink.GREY, linewidth=0.35, zorder=2.5)
    found_tracks = list(tracks(found, site, year))
    for _, one in found_tracks:
        _track(axes, one)
    for hour, one in found_hours:
        _label(axes, paper, _highest(one), f"{hour:02d}:00", ink.INK)
    for name, one in found_tracks:
        _label(axes, paper, _middle(one), name, ink.MARK)


def _track(axes: Axes, one: Path) -> None:
    """Solid where the sun is seen, dotted where something hides it."""
    for free, width, style in ((True, ink.BOLD, "solid"), (False, ink.LINE, DOTTED)):
        part = one.inside & (one.free == free)
        on = part | np.roll(part, 1) | np.roll(part, -1) if free else part
        places = np.where(on[:, None], one.places, np.nan)
        axes.plot(*places.T, color=ink.MARK, linewidth=width, linestyle=style, zorder=3.0 + free)


def _highest(one: Path) -> Array:
    """Where an hour is told: at its highest place in the frame."""
    places = one.places[one.inside]
    return np.asarray(places[int(np.argmin(places[:, 1]))])


def _middle(one: Path) -> Array:
    """Where a path is told: half-way along what is seen of it, or what would be."""
    places = one.places[one.inside & one.free] if (one.inside & one.free).any() else one.places[one.inside]
    return np.asarray(places[len(places) // 2])


def _label(axes: Axes, paper: Paper, at: Array, said: str, colour: str) -> None:
    x, y = float(at[0]) * paper.wide, (1.0 - float(at[1])) * paper.high
    x, y = paper.room(x, y, len(said) * LETTER + 0.8, LINE_HIGH, off=0.6)
    style: dict[str, Any] = {"size": SMALL - 0.5, "color": colour, "ha": "center", "va": "center", "zorder": 9.0}
    axes.text(x / paper.wide, 1.0 - y / paper.high, said, **style, **HALO)


def _outlines(axes: Axes, raster: Raster) -> None:
    """What stands in the frame: its ground tinted, an edge wherever one thing ends and another begins."""
    owner = raster.owner.reshape(raster.rows, raster.cols)
    for one in np.unique(owner[owner >= 0]):
        part = owner == one
        if part.mean() >= LEAST:
            for ring in rings(part):
                axes.fill(*ring.T, facecolor=ink.WASH, edgecolor=ink.PALE, linewidth=ink.THIN, zorder=1.0)


def rings(part: NDArray[np.bool_]) -> Iterator[Array]:
    """The outlines (k, 2) of a part of a raster, as shares of the frame."""
    rows, cols = part.shape
    padded = np.pad(part, 1).astype(np.float64)
    x, y = (np.arange(-1, cols + 1) + 0.5), (np.arange(-1, rows + 1) + 0.5)
    for ring in contour_generator(x, y, padded).lines(0.5):
        smooth = shapely.LinearRing(ring).simplify(SMOOTH)
        if len(smooth.coords) > 3:
            yield np.clip(np.asarray(smooth.coords) / (cols, rows), 0.0, 1.0)
