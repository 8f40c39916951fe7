"""What charts have in common: a sheet that reads on a phone, labels that keep apart, lengths in the plan's units."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from oneclimb.draw import ink
from oneclimb.plan.units import FOOT
from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.plan.say import Tape

WIDE = 110.0
"""mm of a chart's sheet: a little more than a phone is wide, so that its words are read there"""
SMALL = 7.0
"""points of a chart's words"""
INNER = WIDE - 6.0
"""mm of axes that have nothing beside them"""
APART = 3.4
"""mm between two labels, one over the other"""
LETTER = 1.35
"""mm a letter of a chart's words is wide, about"""
NAME = 20
"""letters of a name that there is room for beside a row"""
DASHED, DOTTED = (0, (5, 2)), (0, (1, 1.6))
BAND = "#dde3e7"
"""the ground of what may be"""


class Label(NamedTuple):
    """Words that belong to a height of the axes."""

    at: float
    said: str
    colour: str = ink.INK


def sheet(high: float) -> tuple[Figure, Axes]:
    """A chart's sheet, so many mm high, with axes that fill it."""
    figure = ink.sheet(WIDE, high)
    axes = figure.add_subplot()
    small(axes)
    return figure, axes


def small(axes: Axes) -> None:
    """Numbers beside axes as small as a chart's words."""
    axes.tick_params(labelsize=SMALL, length=2.0, width=ink.THIN, pad=2.0)


def beside(axes: Axes, labels: Sequence[Label], high: float) -> None:
    """Labels at the right of axes that are ``high`` mm high, each at its height and none over another."""
    bottom, top = axes.get_ylim()
    mm = (top - bottom) / high
    ordered = sorted(labels, key=lambda one: one.at)
    heights = spread([one.at / mm for one in ordered], [one.said.count("\n") + 1.0 for one in ordered])
    for one, height in zip(ordered, heights, strict=True):
        style: dict[str, Any] = {"size": SMALL, "color": one.colour, "va": "center", "clip_on": False}
        axes.annotate(quoted(one.said), (1.02, height * mm), xycoords=axes.get_yaxis_transform(), **style)


def spread(heights: Sequence[float], rows: Sequence[float]) -> list[float]:
    """Rising heights (mm) of labels of so many rows, moved up and down no further than keeps them apart."""
    found: list[list[float]] = []
    for height, row in zip(heights, rows, strict=True):
        group = [height, row * APART, 1.0]
        while found and found[-1][0] + found[-1][1] / 2 > group[0] - group[1] / 2:
            below = found.pop()
            size = below[1] + group[1]
            middle = (below[0] * below[1] + group[0] * group[1]) / size
            group = [middle, size, below[2] + group[2]]
        found.append(group)
    placed: list[float] = []
    for middle, size, count in found:
        at = middle - size / 2
        for row in rows[len(placed) : len(placed) + int(count)]:
            placed.append(at + row * APART / 2)
            at += row * APART
    return placed


def over(axes: Axes, labels: Sequence[Label], across: float) -> None:
    """Labels over axes that show ``across``, each at its place along them; one that would be over another, higher."""
    mm = across / INNER
    ends: list[float] = []
    for one in sorted(labels, key=lambda label: label.at):
        half = len(one.said) * LETTER / 2
        middle = min(max(one.at / mm, half), INNER - half)
        row = next((row for row, end in enumerate(ends) if end <= middle - half), len(ends))
        ends[row : row + 1] = [middle + half + LETTER]
        style: dict[str, Any] = {"size": SMALL, "color": one.colour, "ha": "center", "va": "bottom", "clip_on": False}
        up: dict[str, Any] = {"xytext": (0.0, 2.0 + row * APART * 72 / 25.4), "textcoords": "offset points"}
        axes.annotate(quote(one.said), (middle * mm, 1.0), xycoords=axes.get_xaxis_transform(), **up, **style)


def short(name: str) -> str:
    """A name, its middle left out where there is no room for it."""
    said, half = quote(name), NAME // 2
    return said if len(said) <= NAME else f"{said[: half - 1]}…{said[-half:]}"


def quoted(said: str) -> str:
    """Words as they leave, line by line."""
    return "\n".join(quote(line) for line in said.split("\n"))


def unit(say: Tape) -> tuple[str, float]:
    """The plan's unit of lengths as a word, and how many metres one is."""
    return ("feet", FOOT) if say.units == "feet" else ("metres", 1.0)
