"""Under a camera's section, by the same distances: its own light on a person, and bars of what holds from where to
where.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.patches import Rectangle
from msgspec import Struct

from oneclimb.draw import ink, side_words
from oneclimb.draw.ground import USABLE
from oneclimb.plan.units import FOOT
from oneclimb.report.quote import quote
from oneclimb.study.night_targets import PERSON
from oneclimb.trade import face

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from oneclimb.plan.model import Plan
    from oneclimb.plan.say import Tape
    from oneclimb.study.side import Side
    from oneclimb.study.side_cut import Stretch

CURVE, WORDS = 22.0, 4.0
"""mm: the curve's height, and a line of words over it"""
UNDER, BAR, OVER, ROW, BELOW = 1.0, 2.6, 0.9, 7.6, 6.0
"""mm: under a bar, its own height, between it and its words, all of it; and for the distances under the last"""
TICKS_M, TICKS_FT = (0.5, 1, 2, 5, 10, 20, 50), (1, 2, 5, 10, 20, 50, 100, 200)
PITCH = 11.0
"""mm between the distances that are written, at the least"""
TICK = 1.5
"""mm"""
EDGE = 3.0
"""mm from the sheet's right edge to the last distance written, at the least"""
LETTERS = 150
"""letters of a line across the sheet"""
FAINTEST = 0.1
"""of the light at the rated range: less is not drawn"""


class Bar(Struct, frozen=True):
    """A row: what is said over it, and its pieces with how each is drawn."""

    said: str
    pieces: tuple[tuple[Stretch, dict[str, Any]], ...]
    gid: str


FILLED: dict[str, Any] = {"facecolor": USABLE, "edgecolor": ink.MARK, "linewidth": ink.LINE}
DOTTED: dict[str, Any] = {"facecolor": "none", "edgecolor": ink.INK, "linestyle": (0, (1, 1.2)), "linewidth": ink.LINE}
CROSSED: dict[str, Any] = {"facecolor": "none", "edgecolor": ink.INK, "hatch": "xxxx", "linewidth": ink.LINE}
STRIPED: dict[str, Any] = {"facecolor": "none", "edgecolor": ink.GREY, "hatch": "///", "linewidth": ink.THIN}
PLAIN: dict[str, Any] = {"facecolor": "none", "edgecolor": ink.INK, "linewidth": ink.LINE}


def bars(side: Side, say: Tape) -> list[Bar]:
    """The rows under a section: by night, of faces, and what is watched."""
    return [*_night(side, say), _faces(side, say), *_watched(side, say)]


def _night(side: Side, say: Tape) -> Iterator[Bar]:
    if side.night is None:
        return
    told = side_words.night(side, say)
    told += " (filled)" if side_words.told(side.usable) else ""
    lost = sum(far - near for near, far in side.stood) - sum(far - near for near, far in side.usable)
    told += "; dotted: in the picture, and lost" if lost >= side_words.SLIVER else ""
    pieces = [(one, DOTTED) for one in side.stood] + [(one, FILLED) for one in side.usable]
    yield Bar(told, tuple(pieces), "usable")


def _faces(side: Side, say: Tape) -> Bar:
    bad, fair = side.steep_within(face.USABLE), side.steep_within(face.PREFERRED)
    looks = ((0.0, bad, CROSSED), (bad, fair, STRIPED), (fair, np.inf, PLAIN))
    both = [(span, style) for low, high, style in looks for span in ((low, high), (-high, -low))]
    pieces = [
        ((max(near, low), min(far, high)), style)
        for (low, high), style in both
        for near, far in side.stood
        if min(far, high) > max(near, low)
    ]
    return Bar(side_words.steepness(side, say), tuple(pieces), "faces")


def _watched(side: Side, say: Tape) -> Iterator[Bar]:
    for one in side.watched:
        told = f"watches {one.area.id}: {one.area.task}, {side_words.place(one, say)}"
        yield Bar(told, (((one.near, one.far), PLAIN),), f"watched-{quote(one.area.id)}")
    if side.aside:
        yield Bar(f"watches, beside this line: {', '.join(side.aside)}", (), "aside")


def drawn_bars(axes: Axes, listed: list[Bar], left: float, right: float) -> None:
    """Rows on axes as wide as the section, whose y is mm over the distances under them."""
    axes.set(xlim=(left, right), ylim=(-BELOW, ROW * len(listed)))
    axes.axis("off")
    for i, bar in enumerate(listed, 1):
        foot = ROW * (len(listed) - i) + UNDER
        axes.plot([left, right], [foot, foot], color=ink.PALE, linewidth=ink.THIN)
        for (near, far), style in bar.pieces:
            piece = Rectangle((near, foot), far - near, BAR, **style)
            piece.set_hatch_linewidth(0.4)
            piece.set_gid(bar.gid)
            axes.add_patch(piece)
        axes.text(left, foot + BAR + OVER, quote(bar.said), size=6.5)


def curve(axes: Axes, side: Side, left: float, right: float) -> None:
    """What its own light gives a person, distance by distance, on a scale of tens; whole where the person shows."""
    light = np.where(side.light > 0.0, side.light, np.nan)
    top = 10.0 ** np.ceil(np.log10(max(float(np.nanmax(light)), 10.0)) + 0.15)
    axes.set(xlim=(left, right), ylim=(FAINTEST, top), yscale="log")
    axes.set_yticks(10.0 ** np.arange(0.0, np.log10(top) + 0.5), minor=False)
    axes.set_yticklabels([f"{10**n:g}×" for n in range(len(axes.get_yticks()))], size=6.5)
    axes.tick_params(axis="both", which="both", length=0.0, labelbottom=False)
    axes.minorticks_off()
    axes.grid(axis="y", color=ink.PALE, linewidth=ink.THIN)
    shown, usable = side.shows(side.along), side.usable_at(side.along)
    axes.fill_between(side.along, FAINTEST, light, where=usable, color=USABLE, linewidth=0.0, zorder=1.0)
    thin: Any = (0, (1, 1.5))
    axes.plot(side.along, light, color=ink.GREY, linewidth=ink.THIN, linestyle=thin, zorder=1.5)
    axes.plot(side.along, np.where(shown, light, np.nan), color=ink.MARK, linewidth=ink.BOLD, zorder=2.0, gid="light")
    most = side.brightest
    if most is not None:
        axes.plot([most.along], [most.light], marker="v", markersize=4.0, color=ink.INK, zorder=3.0, gid="brightest")


def curve_said(side: Side, say: Tape) -> str:
    """What stands over the curve."""
    most = side.brightest
    if side.night is None:
        return side_words.night(side, say)
    if most is None:
        return side_words.unlit(side)
    place = say.tape(most.along) + ("" if most.shown else " (not shown)")
    return (
        f"Its own {side_words.light_name(side)} on a chest {say.fine(PERSON)} up, in times what it gives at its rated "
        f"range; most at {place}; dotted: not shown"
    )


def wrapped(text: str) -> str:
    """Words on as many lines as they take across the sheet."""
    return "\n".join(textwrap.wrap(quote(text), LETTERS, break_on_hyphens=False))


def distances(axes: Axes, plan: Plan, left: float, right: float, scale: float) -> None:
    """Distances under the last row, on the rows' axes; ``scale`` mm a metre."""
    unit, name, steps = (FOOT, "ft", TICKS_FT) if plan.units == "feet" else (1.0, "m", TICKS_M)
    step = next((one for one in steps if one * unit * scale >= PITCH), steps[-1])
    first, last = np.ceil(left / unit / step), np.floor((right - EDGE / scale) / unit / step)
    numbers = np.arange(first, last + 1.0) * step
    axes.plot([left, right], [0.0, 0.0], color=ink.GREY, linewidth=ink.THIN)
    for number in numbers.tolist():
        axes.plot([number * unit] * 2, [0.0, -TICK], color=ink.GREY, linewidth=ink.THIN)
        said = f"{number:g} {name}" if number == numbers[-1] else f"{number + 0.0:g}"
        axes.text(number * unit, -TICK - 0.8, said, size=6.5, ha="center", va="top", color=ink.GREY)
