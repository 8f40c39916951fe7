"""A camera's upright section, to scale: what it cuts, what is seen in it, who stands there, and their names."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from matplotlib.collections import LineCollection
from matplotlib.patches import PathPatch, Polygon

from oneclimb.api import as_written
from oneclimb.draw import ink, side_words
from oneclimb.draw.callouts import under
from oneclimb.draw.ground_plan import beam, patch_of
from oneclimb.draw.overlay import BODY, TALL
from oneclimb.report.quote import quote
from oneclimb.trade.face import FACE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.draw.callouts import Callout
    from oneclimb.draw.ground_plan import Ground
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.study.side import Side
    from oneclimb.study.side_rays import Ray

    Array = NDArray[np.float64]

EARTH = 2.6
"""mm of earth drawn under the ground"""
STRAIGHT = 0.004
"""m by which the edge of what is seen may be off so as to be straight"""
APART = 0.55
"""m: two people who would stand nearer than this are drawn as one"""
NAMED = 0.35
"""share of a thing's height at which its name stands"""
KEPT = 2.4
"""mm about a line of sight that labels keep clear of, and how far apart the places are where they do"""
RAY: dict[str, dict[str, Any]] = {
    "upper edge": {"linewidth": ink.LINE, "linestyle": "solid"},
    "axis": {"linewidth": ink.THIN, "linestyle": (0, (8, 2, 1.5, 2))},
    "lower edge": {"linewidth": ink.LINE, "linestyle": "solid"},
}


def section(sheet: Ground, camera: Camera, side: Side, said: Sequence[tuple[Callout, int]], say: Tape) -> None:
    """All of it on a sheet whose x is the distance along the section and whose y is the height, m; ``said`` under the
    ground.
    """
    _seen(sheet, side)
    _earth(sheet, side)
    _camera(sheet, camera, side)
    for name, ray in side_words.edges(side):
        _ray(sheet, name, ray, side)
    _people(sheet, side, say)
    _steep(sheet, side)
    _sky(sheet, side)
    names = list(_cut(sheet, side))
    for one, _ in said:
        _clear(sheet, (one.at, one.high), (one.at, 0.0))
    sheet.label(0.0, side.height, f"lens {say.tape(side.height)} up", size=7.0, colour=ink.MARK, off=2.6)
    if side.sky.share > 0.0:
        sheet.label(*_on(sheet, side.sky.down, math.inf, side, 0.6), side_words.sky(side, say), size=6.5)
    told = {one.said for one, _ in said}
    for name, ray in side_words.edges(side):
        words = side_words.edge(name, ray, say)
        if words not in told:
            sheet.label(*_on(sheet, ray.down, ray.apart, side, 0.72), words, size=6.5, colour=ink.MARK)
    for place, name in names:
        sheet.label(*place, name, size=6.5, colour=ink.GREY, off=1.4)
    under(sheet, said, EARTH)


def _seen(sheet: Ground, side: Side) -> None:
    """All that its lines of sight pass through."""
    far = 2.0 * math.hypot(sheet.rect[2] - sheet.rect[0], sheet.rect[3] - sheet.rect[1])
    angle, apart = np.radians(side.fan.down), np.minimum(side.fan.apart, far)
    ends = np.column_stack([apart * np.cos(angle), side.height - apart * np.sin(angle)])
    whole = shapely.Polygon([(0.0, side.height), *ends]).buffer(0.0).simplify(STRAIGHT)
    within = shapely.intersection(whole, shapely.box(*sheet.rect))
    for one in (part for part in shapely.get_parts(within) if part.geom_type == "Polygon"):
        patch = patch_of(one, facecolor=ink.WASH, edgecolor="none", zorder=0.6)
        patch.set_gid("seen")
        sheet.axes.add_patch(patch)


def _earth(sheet: Ground, side: Side) -> None:
    """The level ground, hatched; what of it lies before the first that shows, in bold."""
    left, right, bottom = sheet.rect[0], sheet.rect[2], -EARTH * sheet.metre
    under_ground = sheet.mm(0.0, 0.0)[1]
    sheet.paper.take(sheet.paper.wide / 2.0, under_ground / 2.0, sheet.paper.wide, under_ground)
    corners = [(left, 0.0), (right, 0.0), (right, bottom), (left, bottom)]
    earth = Polygon(corners, facecolor=ink.PAPER, hatch="////", hatchcolor=ink.PALE, linewidth=0.0, zorder=0.7)
    sheet.axes.add_patch(earth)
    sheet.axes.plot([left, right], [0.0, 0.0], color=ink.INK, linewidth=ink.LINE, zorder=2.0, gid="ground")
    if 0.0 < side.blind < math.inf:
        mm = sheet.metre
        strip = Polygon(
            [(0.0, 0.0), (side.blind, 0.0), (side.blind, -1.1 * mm), (0.0, -1.1 * mm)],
            facecolor=ink.INK,
            zorder=2.1,
        )
        strip.set_gid("blind")
        sheet.axes.add_patch(strip)


def _cut(sheet: Ground, side: Side) -> Iterator[tuple[tuple[float, float], str]]:
    """What the section cuts, filled where its lines close; a place on what of each is on the sheet, and its name."""
    things: dict[tuple[str, str], list[Array]] = {}
    for cut in side.cut:
        things.setdefault((cut.ref.kind, cut.ref.id), []).append(cut.lines)
    box = shapely.box(sheet.rect[0], 0.0, sheet.rect[2], sheet.rect[3])
    for (kind, name), pieces in things.items():
        lines = np.concatenate(pieces)
        noded = shapely.node(shapely.multilinestrings(shapely.linestrings(lines)))
        for solid in shapely.get_parts(shapely.polygonize(shapely.get_parts(noded))):
            hatch = "" if kind == "building" else "\\\\\\\\"
            patch = patch_of(solid, facecolor=ink.PAPER, hatch=hatch, hatchcolor=ink.PALE, linewidth=0.0, zorder=1.0)
            sheet.axes.add_patch(patch)
        weight = ink.BOLD if kind == "building" else ink.LINE
        drawn = LineCollection(list(lines), colors=ink.INK, linewidths=weight, zorder=1.6)
        drawn.set_gid(f"cut-{quote(name)}")
        sheet.axes.add_collection(drawn, autolim=False)
        shown = shapely.intersection(shapely.MultiLineString(list(lines)), box)
        if not shown.is_empty:
            parts = [part for part in shapely.get_parts(shown) if part.geom_type == "LineString"]
            for one in parts:
                _clear(sheet, one.coords[0], one.coords[-1])
            middle = max(parts, key=lambda one: one.length).interpolate(NAMED, normalized=True) if parts else shown
            yield (middle.centroid.x, middle.centroid.y), as_written(name)


def _end(sheet: Ground, down: float, apart: float, side: Side) -> tuple[float, float]:
    """Where a line of sight ends, or leaves the sheet."""
    cos, sin = math.cos(math.radians(down)), math.sin(math.radians(down))
    left, bottom, right, top = sheet.rect
    ends = [apart, (right - left) * 2.0 + top]
    ends += [(edge / cos) for edge in (left, right) if edge * cos > 0.0]
    ends += [(side.height - edge) / sin for edge in (bottom, top) if (side.height - edge) * sin > 0.0]
    return min(ends) * cos, side.height - min(ends) * sin


def _on(sheet: Ground, down: float, apart: float, side: Side, share: float) -> tuple[float, float]:
    """A place on what of a line of sight is drawn."""
    x, z = _end(sheet, down, apart, side)
    return share * x, side.height + share * (z - side.height)


def _ray(sheet: Ground, name: str, ray: Ray, side: Side) -> None:
    end = _end(sheet, ray.down, ray.apart, side)
    sheet.axes.plot([0.0, end[0]], [side.height, end[1]], color=ink.MARK, zorder=3.0, gid=name, **RAY[name])
    _clear(sheet, (0.0, side.height), end)


def _clear(sheet: Ground, start: Sequence[float], end: Sequence[float]) -> None:
    """Labels keep off a line."""
    a, b = (np.array(sheet.mm(x, z)) for x, z in (start, end))
    count = max(2, int(np.linalg.norm(b - a) / KEPT))
    for x, y in a + np.linspace(0.0, 1.0, count)[:, None] * (b - a):
        sheet.paper.take(float(x), float(y), KEPT, KEPT)


def _camera(sheet: Ground, camera: Camera, side: Side) -> None:
    """The lens, and the plumb line under it."""
    shape = beam(-math.radians(side.axis.down), 0.0, side.height, sheet.metre)
    body = PathPatch(shape, facecolor=ink.MARK, edgecolor=ink.PAPER, linewidth=0.8, zorder=6.0)
    body.set_gid(f"camera-{quote(camera.id)}")
    sheet.axes.add_patch(body)
    dotted: Any = (0, (1, 2))
    sheet.axes.plot([0.0, 0.0], [0.0, side.height], color=ink.GREY, linewidth=ink.THIN, linestyle=dotted, zorder=1.8)
    sheet.paper.take(*sheet.mm(0.0, side.height), 5.0, 5.0)


def _people(sheet: Ground, side: Side, say: Tape) -> None:
    """Who stands there, dotted where nobody is usable by night."""
    stood: list[float] = []
    for one in side_words.people(side, say):
        if sheet.holds(one.along, one.base) and all(abs(one.along - other) >= APART for other in stood):
            _person(sheet, one, side)
            stood.append(one.along)


def _person(sheet: Ground, one: side_words.Figure, side: Side) -> None:
    half = np.array(BODY)
    whole = np.concatenate([half, (half * (-1.0, 1.0))[::-1]]) + np.array([one.along, one.base])
    dotted: Any = (0, (1, 1.2)) if side_words.standing(side, one.along) else "solid"
    style: dict[str, Any] = {"facecolor": ink.PAPER, "edgecolor": ink.INK, "linewidth": ink.LINE, "zorder": 4.0}
    body = Polygon([(float(x), float(z)) for x, z in whole], linestyle=dotted, **style)
    body.set_gid("person")
    sheet.axes.add_patch(body)
    middle = sheet.mm(one.along, one.base + TALL / 2.0)
    sheet.paper.take(*middle, 0.5 * sheet.scale, TALL * sheet.scale)


def _steep(sheet: Ground, side: Side) -> None:
    """The line of sight that is just too steep for a face."""
    near = side_words.steep(side)
    if near <= 0.0:
        return
    style: dict[str, Any] = {"color": ink.INK, "linewidth": ink.THIN, "linestyle": (0, (3, 2)), "zorder": 2.6}
    sheet.axes.plot([0.0, near], [side.height, FACE[1]], gid="steep", **style)
    sheet.axes.plot([near], [FACE[1]], marker="o", markersize=2.2, color=ink.INK, zorder=4.5)
    _clear(sheet, (0.0, side.height), (near, FACE[1]))


def _sky(sheet: Ground, side: Side) -> None:
    """The line of sight under which there is no sky."""
    if side.sky.share <= 0.0:
        return
    end = _end(sheet, side.sky.down, math.inf, side)
    dotted: Any = (0, (1, 1.5))
    style: dict[str, Any] = {"color": ink.INK, "linewidth": ink.LINE, "linestyle": dotted, "gid": "sky"}
    sheet.axes.plot([0.0, end[0]], [side.height, end[1]], **style)
    _clear(sheet, (0.0, side.height), end)
