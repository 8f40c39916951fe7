"""A piece of ground on paper, to scale: where it lies, what stands on it, its scale bar and north."""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING, Any

import shapely
from matplotlib.patches import PathPatch, Polygon
from matplotlib.path import Path
from msgspec import Struct

from oneclimb.draw import ink
from oneclimb.draw.placing import Paper, Rect
from oneclimb.plan.units import FOOT
from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.plan.model import Plan

LETTER = 1.55
"""mm a letter of 8 point takes, on average"""
LINE = 3.3
"""mm a line of 8 point takes"""
BARS_M, BARS_FT = (1, 2, 5, 10, 20, 50, 100, 200, 500), (3, 5, 10, 20, 50, 100, 200, 500, 1000)
BAR = 45.0
"""mm a scale bar takes at the most"""
FOOT_OF_SHEET = 15.0
"""mm under the ground for scale bar, north and key"""


class Ground(Struct, frozen=True, dict=True):
    """Ground between corners (m, site coordinates), ``scale`` mm of paper a metre."""

    axes: Axes
    rect: Rect
    scale: float
    paper: Paper
    """what is taken of the ground's part of the sheet, mm from its lower left"""

    def mm(self, x: float, y: float) -> tuple[float, float]:
        """A place of the site on the paper."""
        return (x - self.rect[0]) * self.scale, (y - self.rect[1]) * self.scale

    def m(self, x: float, y: float) -> tuple[float, float]:
        """A place of the paper on the site."""
        return x / self.scale + self.rect[0], y / self.scale + self.rect[1]

    def holds(self, x: float, y: float) -> bool:
        """Whether a place lies on the sheet."""
        return self.rect[0] <= x <= self.rect[2] and self.rect[1] <= y <= self.rect[3]

    @functools.cached_property
    def metre(self) -> float:
        """Metres of ground that 1 mm of paper is."""
        return 1.0 / self.scale

    def label(
        self, x: float, y: float, text: str, *, size: float = 7.0, colour: str = ink.INK, off: float = 1.0
    ) -> None:
        """Words beside a place, where there is room for them; none for a place off the sheet."""
        if not self.holds(x, y):
            return
        said = quote(text)
        wide, high = len(said) * LETTER * size / 8.0, LINE * size / 8.0
        at = self.paper.room(*self.mm(x, y), wide, high, off=off)
        self.axes.text(*self.m(*at), said, size=size, color=colour, ha="center", va="center", zorder=9.0, **HALO)


HALO: dict[str, Any] = {
    "bbox": {"boxstyle": "square,pad=0.06", "facecolor": ink.PAPER, "edgecolor": "none", "alpha": 0.72}
}
"""what keeps words legible over lines"""


def laid(figure: Figure, rect: Rect, place: tuple[float, float], scale: float) -> Ground:
    """The ground within a rect (m) on a figure, its lower left ``place`` mm from the figure's."""
    wide, high = (rect[2] - rect[0]) * scale, (rect[3] - rect[1]) * scale
    across, up = (inches * 25.4 for inches in figure.get_size_inches())
    axes = figure.add_axes((place[0] / across, place[1] / up, wide / across, high / up))
    axes.set(xlim=(rect[0], rect[2]), ylim=(rect[1], rect[3]), xticks=[], yticks=[])
    for spine in axes.spines.values():
        spine.set(visible=True, color=ink.PALE, linewidth=ink.THIN)
    return Ground(axes, rect, scale, Paper(wide, high))


def scale_bar(ground: Ground, plan: Plan) -> tuple[float, str]:
    """The longest round length that fits, under the ground at its left; m, and what it is called."""
    unit, name, bars = (FOOT, "ft", BARS_FT) if plan.units == "feet" else (1.0, "m", BARS_M)
    most = min(BAR, ground.paper.wide * 0.4)
    count = max([bar for bar in bars if bar * unit * ground.scale <= most], default=bars[0])
    length, mm = count * unit, ground.metre
    x, y = ground.rect[0] + 0.5 * mm, ground.rect[1] - 4.5 * mm
    for part in range(4):
        left = x + part * length / 4.0
        corners = [(left, y), (left + length / 4.0, y), (left + length / 4.0, y - 1.2 * mm), (left, y - 1.2 * mm)]
        face = ink.INK if part % 2 == 0 else ink.PAPER
        patch = Polygon(corners, facecolor=face, edgecolor=ink.INK, linewidth=ink.THIN, clip_on=False)
        patch.set_gid(f"scale-{part}")
        ground.axes.add_patch(patch)
    said = f"{count} {name}"
    ground.axes.text(x, y + 0.8 * mm, "0", size=6.5, ha="left", va="bottom", clip_on=False)
    ground.axes.text(x + length, y + 0.8 * mm, said, size=6.5, ha="center", va="bottom", clip_on=False)
    return length, said


def north(ground: Ground, plus_y: float) -> tuple[float, float]:
    """An arrow to north, under the ground at its right; its unit vector in site coordinates."""
    turn = math.radians(-plus_y)
    to = (math.sin(turn), math.cos(turn))
    mm = ground.metre
    middle = (ground.rect[2] - 5.0 * mm, ground.rect[1] - 6.6 * mm)
    side = (to[1], -to[0])
    tip = [middle[i] + 3.0 * mm * to[i] for i in (0, 1)]
    for half, face in ((1.0, ink.INK), (-1.0, ink.PAPER)):
        base = [middle[i] - 3.4 * mm * to[i] + half * 1.5 * mm * side[i] for i in (0, 1)]
        waist = [middle[i] - 2.4 * mm * to[i] for i in (0, 1)]
        shape = Polygon([tip, base, waist], facecolor=face, edgecolor=ink.INK, linewidth=ink.THIN, clip_on=False)
        ground.axes.add_patch(shape)
    ground.axes.text(
        middle[0] + 4.6 * mm * to[0],
        middle[1] + 4.6 * mm * to[1],
        "N",
        size=7.0,
        weight="bold",
        ha="center",
        va="center",
        clip_on=False,
    )
    return to


def beam(heading: float, x: float, y: float, mm: float) -> Path:
    """A camera from above: a lens that looks along ``heading`` (rad from +x), its back at the place; ``mm`` in m."""
    c, s = math.cos(heading), math.sin(heading)
    shape = [(-1.5, -1.2), (0.9, -1.2), (2.6, -2.0), (2.6, 2.0), (0.9, 1.2), (-1.5, 1.2), (-1.5, -1.2)]
    return Path([(x + mm * (a * c - b * s), y + mm * (a * s + b * c)) for a, b in shape])


def patch_of(shape: Any, **style: Any) -> PathPatch:
    """Plane geometry (shapely) as a patch, its holes left open."""
    sound = shapely.normalize(shape)
    rings = [ring for one in shapely.get_parts(sound) for ring in (one.exterior, *one.interiors)]
    return PathPatch(Path.make_compound_path(*(Path(ring.coords, closed=True) for ring in rings)), **style)
