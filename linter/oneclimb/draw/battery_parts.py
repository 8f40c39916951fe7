"""The parts of a battery's picture: its charge over two years, its panel by month, and how it empties alone."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from oneclimb.draw import ink
from oneclimb.draw.battery_life import BEST, PARTS, USUAL, WORST
from oneclimb.draw.charts import BAND, DASHED, SMALL, Label, beside
from oneclimb.trade.months import MONTHS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from oneclimb.draw.battery_life import Life
    from oneclimb.trade.battery import Range

INNER = 27.0
"""mm of a part's axes, about"""
STRIPS = {USUAL: -0.10, WORST: -0.24}
"""under the charge: how high on its axes it is shown when it is empty"""


def year(axes: Axes, life: Life) -> None:
    """The charge over two years, and when it is empty."""
    x = np.arange(24 * PARTS + 1) / PARTS
    states = [np.array([1.0, *state]) for state in life.year]
    band = np.concatenate([states[WORST], states[BEST][::-1]])
    axes.fill(np.concatenate([x, x[::-1]]), band, facecolor=BAND, edgecolor=ink.PALE, linewidth=ink.THIN)
    axes.plot(x, states[USUAL], color=ink.MARK, linewidth=ink.BOLD, zorder=3.0)
    looks: dict[int, dict[str, Any]] = {
        USUAL: {"facecolor": ink.INK},
        WORST: {"facecolor": ink.PAPER, "hatch": "//////"},
    }
    for end, at in STRIPS.items():
        for start, stop in _runs(states[end] <= 0.0):
            width = max(x[stop] - x[start], 0.5 / PARTS)
            axes.barh(at, width, left=x[start], height=0.11, edgecolor=ink.INK, linewidth=ink.THIN, **looks[end])
    axes.axhline(0.0, color=ink.GREY, linewidth=ink.THIN)
    axes.set(xlim=(0.0, 24.0), ylim=(-0.32, 1.04), yticks=[0.0, 0.5, 1.0])
    axes.set_yticklabels(["0", "50 %", "full"])
    axes.set_xticks(range(0, 24, 3), [MONTHS[(life.first + i) % 12][:3] for i in range(0, 24, 3)])
    never = {end: "" if life.empty(end) else "never " for end in STRIPS}
    usual, worst = f"usually {never[USUAL]}empty", f"{never[WORST]}empty at worst"
    beside(axes, [Label(STRIPS[USUAL], usual), Label(STRIPS[WORST], worst)], INNER)
    axes.set_xlabel("charge over two years: line usual, ground worst to best", size=SMALL, loc="left")


def _runs(flags: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """First and last of each run of what is so."""
    at = 0
    for so, run in itertools.groupby(flags.tolist()):
        size = len(list(run))
        if so:
            yield at, at + size - 1
        at += size


def months(axes: Axes, life: Life) -> None:
    """What the panel gives in a day of each month, as a range with its usual, against what the camera takes."""
    low, usual, high = life.taken
    axes.axhspan(low, high, facecolor=BAND, edgecolor=ink.PALE, linewidth=ink.THIN, zorder=1.0)
    axes.axhline(usual, color=ink.INK, linewidth=ink.LINE, linestyle=DASHED, zorder=2.0)
    for month, (least, middle, most) in enumerate(life.given):
        axes.plot([month, month], [least, most], color=ink.MARK, linewidth=ink.LINE, marker="_", markersize=4.0)
        axes.plot(month, middle, "o", color=ink.MARK, markersize=3.6, zorder=3.0)
    every = [value for each in (*life.given, life.taken) for value in each if value > 0.0]
    axes.set_yscale("log")
    axes.set(xlim=(-0.5, 11.5), ylim=(min(every) / 1.4, max(every) * 1.4))
    ticks = [tick for tick in _tens() if min(every) / 1.4 <= tick <= max(every) * 1.4]
    axes.set_yticks(ticks, [f"{tick:g}" for tick in ticks])
    axes.minorticks_off()
    axes.set_xticks(range(12), [name[:3] for name in MONTHS])
    where: dict[str, Any] = {"xycoords": axes.get_yaxis_transform(), "size": SMALL, "va": "center", "clip_on": False}
    axes.annotate("it takes " + ranged(life.taken, "\n"), (1.02, usual), **where)
    axes.set_xlabel("Wh a day from the panel, by month (each step up is more by a share)", size=SMALL, loc="left")


def ranged(value: Range, between: str = " ") -> str:
    """A figure and its range, where it has one."""
    low, usual, high = value
    return f"{usual:.2g}{between}({low:.2g} to {high:.2g})" if low < high else f"{usual:.2g}"


def _tens() -> Iterator[float]:
    """1, 3, 10, 30 and so on, over and under."""
    for power in range(-4, 6):
        yield 10.0**power
        yield 3 * 10.0**power


def discharge(axes: Axes, life: Life, alone: Range, days: str) -> None:
    """From full to empty with nothing given, ``alone`` days from full, which are told as ``days``."""
    low, usual, high = alone
    axes.fill([0.0, low, high], [1.0, 0.0, 0.0], facecolor=BAND, edgecolor=ink.PALE, linewidth=ink.THIN)
    axes.plot([0.0, usual], [1.0, 0.0], color=ink.MARK, linewidth=ink.BOLD, zorder=3.0)
    for at, size in ((low, 4.0), (usual, 6.0), (high, 4.0)):
        axes.plot(at, 0.0, "x", color=ink.INK, markersize=size, markeredgewidth=ink.LINE, clip_on=False, zorder=4.0)
    axes.set(xlim=(0.0, 1.04 * high), ylim=(0.0, 1.04), yticks=[0.0, 0.5, 1.0])
    axes.set_yticklabels(["0", "50 %", "full"])
    axes.annotate(f"empty after {days}", (0.98, 0.86), xycoords="axes fraction", size=SMALL, ha="right")
    sun = ", without sun," if life.given else ""
    axes.set_xlabel(f"days from full{sun} at {life.celsius:.0f} °C", size=SMALL, loc="left")
