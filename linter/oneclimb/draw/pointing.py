"""The culprit pointed at: the thing a finding relates to outlined or ringed in a frame, an arrow to one outside it."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.draw import ink, where
from oneclimb.draw.sheets import EDGE, nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    from oneclimb.api import Finding, Ref
    from oneclimb.draw.sheets import Frame
    from oneclimb.draw.where import Spot
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.raster import Raster


CALL = "#ffb000"
"""the colour of what a finding points at: light enough on the night's black, dark-edged on white"""
RING = 2.2
"""mm of a ring about a thing too small for an outline"""
MARGIN = 1.6
"""mm from the frame's edge at which an arrow to a thing outside ends"""
MOST = 3
"""things pointed at in a frame at the most, those of the first findings"""
SHAFT = 9.0
"""mm of an arrow to a thing outside"""


def point(frame: Frame, told: Iterable[tuple[int, Finding]], world: World, camera: Camera, raster: Raster) -> None:
    """Point at each thing the findings relate to, with the findings' numbers and its name and distance in words."""
    marked = []
    for text, found in itertools.islice(_found(told, world, camera, raster), MOST):
        anchor = _marked(frame, found)
        frame.paper.take(*anchor, 2.0 * RING, 2.0 * RING)
        marked.append((text, found, anchor))
    for text, found, anchor in marked:
        rect = frame.label(*frame.share(*anchor), text, off=RING + 2.0, colour=CALL)
        if found.shape is not None:
            _arrow(frame, nearest(rect, anchor), anchor)


def _marked(frame: Frame, found: Spot) -> tuple[float, float]:
    """A thing in the frame outlined or ringed, an arrow to one outside; the place to which words are tied, mm."""
    anchor = frame.mm(*found.at)
    if found.outside is not None:
        return _arrow_out(frame, anchor, found.outside)
    if found.shape is not None:
        _outline(frame, found.shape)
        return anchor
    rim = np.linspace(0.0, math.tau, 33)
    ring = [frame.share(anchor[0] + RING * math.cos(t), anchor[1] + RING * math.sin(t)) for t in rim]
    frame.axes.plot(*np.array(ring).T, color=CALL, linewidth=ink.BOLD, path_effects=EDGE, zorder=5.2)
    return anchor


def _found(
    told: Iterable[tuple[int, Finding]], world: World, camera: Camera, raster: Raster
) -> Iterator[tuple[str, Spot]]:
    """Each thing once, what is said of it, and where it is."""
    things: dict[Ref, tuple[str, list[int]]] = {}
    for number, finding in told:
        for related in finding.related:
            things.setdefault(where.solid(related.at), (related.text, []))[1].append(number)
    for ref, (text, numbers) in things.items():
        found = where.spot(ref, world, camera, raster)
        if found is not None:
            named = ", ".join(str(number) for number in dict.fromkeys(numbers))
            yield f"{text} (finding {named})", found


def _outline(frame: Frame, shape: NDArray[np.bool_]) -> None:
    """A line about what a thing fills of the frame."""
    rows, cols = shape.shape
    x, y = (np.arange(-1, cols + 1) + 0.5) / cols, (np.arange(-1, rows + 1) + 0.5) / rows
    drawn = frame.axes.contour(x, y, np.pad(shape, 1).astype(np.float64), [0.5], colors=[CALL], linewidths=ink.BOLD)
    drawn.set(path_effects=EDGE, zorder=3.5)


def _arrow(frame: Frame, start: tuple[float, float], end: tuple[float, float]) -> None:
    """An arrow between places of the frame's paper, mm."""
    style = {"arrowstyle": "-|>", "color": CALL, "linewidth": ink.LINE, "shrinkA": 0.0, "shrinkB": 0.0}
    drawn = frame.axes.annotate("", frame.share(*end), frame.share(*start), arrowprops=style, zorder=5.6)
    if drawn.arrow_patch is not None:
        drawn.arrow_patch.set_path_effects(EDGE)


def _arrow_out(frame: Frame, edge: tuple[float, float], way: tuple[float, float]) -> tuple[float, float]:
    """An arrow towards what lies beyond the edge; where it begins, mm."""
    tip = edge[0] - MARGIN * way[0], edge[1] + MARGIN * way[1]
    tail = tip[0] - SHAFT * way[0], tip[1] + SHAFT * way[1]
    _arrow(frame, tail, tip)
    frame.paper.take((tip[0] + tail[0]) / 2, (tip[1] + tail[1]) / 2, abs(tip[0] - tail[0]), abs(tip[1] - tail[1]))
    return tail
