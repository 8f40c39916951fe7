"""What is drawn over a camera's picture through its own lens: outlines of areas, masks, and people for scale."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from oneclimb.draw import ink
from oneclimb.draw.sheets import EDGE
from oneclimb.study import COVER

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from oneclimb.draw.sheets import Frame
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Area, Camera
    from oneclimb.study.raster import Raster

    Array = NDArray[np.float64]

Label = tuple[float, float, str]
"""a place of the frame, shares of it, and what is said there"""
TALL = 1.7
"""m: the person drawn for scale"""
BODY = (
    (0.0, 0.0), (0.10, 0.0), (0.12, 0.80), (0.17, 0.82), (0.19, 0.90), (0.24, 1.38), (0.09, 1.46), (0.07, 1.52),
    (0.11, 1.60), (0.09, 1.68), (0.0, 1.70),
)  # fmt: skip
"""half a person's outline, m aside and up: a plain figure of 1.7 m"""
STEP = 0.1
"""m between points of an outline that is drawn through a lens"""
OVER = 0.03
"""m over the ground that an outline is looked for"""
AHEAD = 0.05
"""m before the lens from which on a place can be drawn"""
BRIEF = 90.0
"""mm of a frame's width under which labels leave out what ground is wanted for"""
LABEL_OFF = 0.6
"""mm between a person's head and its label"""


def shown(axes: Axes, picture: Array) -> None:
    """A picture (rows, cols) or (rows, cols, 3), 0 to 1, as the axes' ground; x and y are its shares, y down."""
    axes.imshow(np.clip(picture, 0.0, 1.0), extent=(0.0, 1.0, 1.0, 0.0), cmap="gray", vmin=0.0, vmax=1.0)
    axes.set(xlim=(0.0, 1.0), ylim=(1.0, 0.0), xticks=[], yticks=[], aspect="auto")
    for spine in axes.spines.values():
        spine.set(visible=True, color=ink.GREY, linewidth=ink.THIN)


def through(raster: Raster, points: Array) -> Array:
    """Places (k, 2) of points (k, 3) in the picture; nan for what is behind the lens."""
    local = raster.eye.local(points)
    x, y, _ = raster.eye.project_local(local)
    places = np.column_stack([x, y])
    if raster.eye.view.projection != "equidistant":
        places[local[:, 2] < AHEAD] = np.nan
    return places


def areas(axes: Axes, camera: Camera, world: World, raster: Raster) -> None:
    """Outlines of the wanted areas the camera is for, where nothing hides them, and its masks."""
    cover = world.of(COVER, camera)
    for area in world.plan.areas:
        if area.id in cover.watched:
            _outline(axes, area, raster)
    for mask in camera.masks:
        x, y = zip(*mask.outline, mask.outline[0], strict=True)
        axes.fill(x, y, facecolor=ink.PALE, edgecolor=ink.INK, hatch="xx", hatchcolor=ink.GREY, linewidth=ink.LINE)


def _outline(axes: Axes, area: Area, raster: Raster) -> None:
    if len(area.outline) < 2:
        return
    ring = [*area.outline, area.outline[0]] if len(area.outline) > 2 else list(area.outline)
    flat = np.concatenate([_between(np.array(a), np.array(b)) for a, b in itertools.pairwise(ring)])
    points = np.column_stack([flat, np.full(len(flat), area.base + OVER)])
    places = through(raster, points)
    places[~raster.scene.visible(raster.origin, points, raster.absent)] = np.nan
    axes.plot(*places.T, color="white", linewidth=1.1, linestyle=(0, (4, 1.6)), path_effects=EDGE, zorder=4.0)


def _between(a: Array, b: Array) -> Array:
    count = max(2, int(np.linalg.norm(b - a) / STEP))
    return np.asarray(a + np.linspace(0.0, 1.0, count)[:, None] * (b - a))


def people(
    frame: Frame, camera: Camera, world: World, raster: Raster, *, usable: dict[str, bool] | None = None
) -> list[Label]:
    """A person in each wanted area the camera is for, to scale; dotted where one is not usable. What they are to be
    labelled with, once there is room.
    """
    told = []
    for area, foot in standing(camera, world):
        places = through(raster, figure(foot, raster))
        lost = usable is not None and not usable.get(area.id, True)
        style: Any = (0, (1, 1.2)) if lost else "solid"
        frame.axes.plot(*places.T, color="white", linewidth=1.2, linestyle=style, path_effects=EDGE, zorder=5.0)
        frame.take(places)
        x, y = places[np.nanargmin(places[:, 1])].tolist()
        named = area.id if frame.paper.wide < BRIEF else f"{area.id}: {area.task}"
        told.append((x, y, named + (", lost" if lost else "")))
    return told


def labelled(frame: Frame, labels: list[Label]) -> None:
    """Each label beside its place, over nothing."""
    for x, y, said in labels:
        frame.label(x, y, said, off=LABEL_OFF)


def standing(camera: Camera, world: World) -> Iterator[tuple[Area, Array]]:
    """The wanted areas the camera is for in which a person would be in sight, and where one stands (3,)."""
    cover = world.of(COVER, camera)
    for area in world.plan.areas:
        if area.id in cover.watched:
            foot = stand(cover.areas[area.id].ground, cover.areas[area.id].seen)
            if foot is not None:
                yield area, foot


def stand(ground: Array, seen: NDArray[np.bool_]) -> Array | None:
    """Where in an area the person stands: the place in sight nearest its middle; None where none is in sight."""
    if not seen.any():
        return None
    off = np.linalg.norm(ground - ground[seen].mean(axis=0), axis=1)
    return np.asarray(ground[int(np.argmin(np.where(seen, off, np.inf)))])


def figure(foot: Array, raster: Raster) -> Array:
    """The outline (k, 3) of a person who stands at ``foot`` (3,) and faces the camera."""
    half = np.array(BODY)
    whole = np.concatenate([half, (half * (-1.0, 1.0))[::-1]])
    way = foot[:2] - raster.origin[:2]
    apart = max(float(np.linalg.norm(way)), 1e-6)
    aside = np.array([way[1], -way[0], 0.0]) / apart
    return np.asarray(foot + whole[:, :1] * aside + whole[:, 1:] * np.array([0.0, 0.0, 1.0]))
