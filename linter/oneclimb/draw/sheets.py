"""Sheets of frames: each picture at its place in mm under a title that fits it, its words below, room for labels."""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.font_manager import FontProperties
from matplotlib.patheffects import withStroke
from matplotlib.textpath import text_to_path
from msgspec import Struct

from oneclimb.draw import ink
from oneclimb.draw.placing import Paper, Rect
from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

POINT = 25.4 / 72.0
"""mm of a point"""
LEADING = 1.25
"""a line's height over its letters'"""
ENDS = re.compile(r"(?<!\(finding) (?!(?<=\d )(?:%|m|ft|in|px/m)(?![A-Za-z]))")
"""where a line may end: at a space, but not between a number and its unit, nor within ``(finding 4)``"""
HIGHEST = 150.0
"""mm of a frame at the most"""
GAP = 4.0
"""mm between frames, and about the sheet"""
AIR = 1.2
"""mm between a frame and its words"""
KEY = 7.0
"""mm under a frame for the key of what is in it"""
PART = 0.62
"""of a frame's width that a line of a label takes at the most"""
FAR = 2.5
"""mm from its place beyond which a label is tied to it by a line"""
EDGE: list[Any] = [withStroke(linewidth=2.4, foreground=ink.INK)]
"""a dark edge, so that a white line is seen on white too"""
BOX: dict[str, Any] = {"boxstyle": "square,pad=0.08", "facecolor": ink.INK, "edgecolor": "none", "alpha": 0.72}
"""what keeps a label legible on white too"""
Place = tuple[float, float]


class Block(Struct, frozen=True):
    """A frame to be laid out: the picture's pixels (their shape counts), its title, paragraphs under it, or a key."""

    pixels: tuple[int, int]
    title: str
    under: tuple[str, ...] = ()
    key: bool = False


class Frame(Struct, frozen=True):
    """A frame on a sheet. Places in it are shares of it, x to the right and y down, 0 to 1."""

    axes: Axes
    paper: Paper
    """what is taken of the frame, mm from its lower left"""
    size: float
    """points of its letters"""

    def mm(self, x: float, y: float) -> Place:
        """A place of the frame on its paper."""
        return x * self.paper.wide, (1.0 - y) * self.paper.high

    def share(self, x: float, y: float) -> Place:
        """A place of the paper in the frame."""
        return x / self.paper.wide, 1.0 - y / self.paper.high

    def take(self, places: NDArray[np.float64]) -> None:
        """Nothing is written over what is drawn between places (k, 2); nan for what is not drawn."""
        inside = np.clip(places[~np.isnan(places).any(axis=1)], 0.0, 1.0)
        if len(inside):
            (left, bottom), (right, top) = (self.mm(*inside[:, [0, 1]].min(axis=0)), self.mm(*inside.max(axis=0)))
            self.paper.take((left + right) / 2, (top + bottom) / 2, right - left, abs(bottom - top))

    def label(self, x: float, y: float, text: str, *, off: float = 1.0, colour: str = "white") -> Rect:
        """Words beside a place of the frame, where there is room for them, whole; the box they take, mm."""
        lines = wrapped(quote(text), self.paper.wide * PART, self.size)
        wide = min(self.paper.wide - 0.2, max(width(line, self.size) for line in lines) + 1.2)
        high = min(self.paper.high - 0.2, height(len(lines), self.size) + 1.2)
        anchor = self.mm(min(max(x, 0.0), 1.0), min(max(y, 0.0), 1.0))
        middle = self.paper.room(*anchor, wide, high, off=off, anywhere=True)
        rect = middle[0] - wide / 2, middle[1] - high / 2, middle[0] + wide / 2, middle[1] + high / 2
        if math.dist(nearest(rect, anchor), anchor) > FAR + off:
            ends = np.array([self.share(*anchor), self.share(*nearest(rect, anchor))])
            self.axes.plot(*ends.T, color=colour, linewidth=ink.THIN, path_effects=EDGE, zorder=5.5)
        self.axes.text(
            *self.share(*middle), "\n".join(lines), size=self.size, color=colour, ha="center", va="center",
            linespacing=LEADING, bbox=BOX, zorder=6.0,
        )  # fmt: skip
        return rect


def nearest(rect: Rect, place: Place) -> Place:
    """The place of a box that is nearest to another place."""
    return min(max(place[0], rect[0]), rect[2]), min(max(place[1], rect[1]), rect[3])


def laid(rows: Sequence[Sequence[Block]], wide: float, size: float) -> tuple[Figure, list[Frame]]:
    """A sheet ``wide`` mm across with rows of frames, all as wide as the longest row leaves, in letters of ``size``
    points; the frames in order.
    """
    each = (wide - GAP * (max(map(len, rows)) + 1)) / max(map(len, rows))
    heads = [max(_head(block, each, size) for block in row) for row in rows]
    sizes = [[_size(block.pixels, each) for block in row] for row in rows]
    feet = [max(_foot(block, each, size) for block in row) for row in rows]
    highs = [max(high for _, high in row) for row in sizes]
    figure, frames = ink.sheet(wide, sum(heads) + sum(highs) + sum(feet) + GAP * len(rows)), []
    figure.set_layout_engine("none")
    top = figure.get_figheight() * 25.4
    for row, head, across, high, foot in zip(rows, heads, sizes, highs, feet, strict=True):
        for column, (block, (w, h)) in enumerate(zip(row, across, strict=True)):
            left = GAP + column * (each + GAP)
            frames.append(_frame(figure, block, (left, top - head - h, left + w, top - head), each, size))
        top -= head + high + foot + GAP
    return figure, frames


def _frame(figure: Figure, block: Block, rect: Rect, each: float, size: float) -> Frame:
    across, up = (inches * 25.4 for inches in figure.get_size_inches())
    wide, high = rect[2] - rect[0], rect[3] - rect[1]
    axes = figure.add_axes((rect[0] / across, rect[1] / up, wide / across, high / up))
    lines = wrapped(quote(block.title), each, size + 1.0, bold=True)
    axes.set_title("\n".join(lines), size=size + 1.0, pad=AIR / POINT, linespacing=LEADING)
    said = _paragraphs(block, each, size)
    axes.set_xlabel("\n".join(said), size=size, loc="left", labelpad=AIR / POINT, linespacing=LEADING)
    return Frame(axes, Paper(wide, high), size)


def _size(pixels: tuple[int, int], each: float) -> tuple[float, float]:
    """Across and up, mm, of a frame that is ``each`` mm wide at the most."""
    scale = min(each / pixels[0], HIGHEST / pixels[1])
    return pixels[0] * scale, pixels[1] * scale


def _head(block: Block, each: float, size: float) -> float:
    return height(len(wrapped(quote(block.title), each, size + 1.0, bold=True)), size + 1.0) + 2.0 * AIR


def _foot(block: Block, each: float, size: float) -> float:
    lines = _paragraphs(block, each, size)
    return (height(len(lines), size) + 2.0 * AIR if lines else AIR) + (KEY if block.key else 0.0)


def _paragraphs(block: Block, each: float, size: float) -> list[str]:
    return [line for text in block.under for line in wrapped(quote(text), each, size)]


def height(lines: int, size: float) -> float:
    """How many mm lines of ``size`` points take."""
    return lines * size * POINT * LEADING


def width(text: str, size: float, *, bold: bool = False) -> float:
    """How many mm a line of ``size`` points takes, by the letters' own widths."""
    return sum(_letter(letter, size, bold=bold) for letter in text)


@functools.lru_cache(maxsize=4096)
def _letter(letter: str, size: float, *, bold: bool) -> float:
    """How many mm a letter takes where it is set on the dots of a PNG, as wide as that may make it."""
    font = FontProperties(family=ink.STYLE["font.family"], size=size, weight="bold" if bold else "normal")
    wide = float(text_to_path.get_text_width_height_descent(letter, font, ismath=False)[0]) * POINT
    return math.ceil(wide / 25.4 * ink.FINE) * 25.4 / ink.FINE


def wrapped(text: str, wide: float, size: float, *, bold: bool = False) -> list[str]:
    """Lines no wider than ``wide`` mm; a word that is wider is cut."""
    lines = [""]
    for word in ENDS.split(text):
        longer = f"{lines[-1]} {word}".strip()
        if width(longer, size, bold=bold) <= wide:
            lines[-1] = longer
            continue
        lines.extend([word] if width(word, size, bold=bold) <= wide else _cut(word, wide, size, bold=bold))
    return [line for line in lines if line]


def _cut(word: str, wide: float, size: float, *, bold: bool) -> list[str]:
    """Pieces of a word, each as long as fits."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width(pieces[-1] + letter, size, bold=bold) > wide:
            pieces.append("")
        pieces[-1] += letter
    return pieces
