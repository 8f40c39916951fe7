"""A camera's own battery: two years on its panel, what the panel gives by month, and how long it lasts alone."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from oneclimb.api import Figure as Value
from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.charts import BAND, SMALL, WIDE, Label, beside, small
from oneclimb.report import words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import SHADE, STORE
from oneclimb.trade import battery
from oneclimb.trade.months import MONTHS
from oneclimb.trade.streams import STORED

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.trade.battery import Range

PANEL = 40.0
"""mm of each part of the picture"""
INNER = 27.0
"""mm of a part's axes, about"""
PARTS = 5
"""of a month, told apart"""
NONE = (0.0, 0.0, 0.0)
WORST, USUAL, BEST = range(3)
STRIPS = {USUAL: -0.10, WORST: -0.24}
"""under the charge: how high on its axes it is shown when it is empty"""


class Life(Struct, frozen=True):
    """A battery's figures. ``taken`` Wh a day; ``alone`` days from full at ``celsius``, None for one that records all
    day; ``given`` Wh a day that its panel brings by month, ``year`` the share of its charge left over two years from
    the month ``first`` on, worst, usual, best: both empty where it has no panel.
    """

    taken: Range
    alone: Range | None
    celsius: float
    given: tuple[Range, ...] = ()
    year: tuple[tuple[float, ...], ...] = ()
    first: int = 0

    @property
    def worst_month(self) -> int:
        """The month, 0 to 11, in which its panel usually gives least."""
        return min(range(12), key=lambda month: self.given[month][1])

    def empty(self, end: int) -> list[str]:
        """The months in which it is empty at some time, in their order from the first."""
        state = np.array(self.year[end]).reshape(24, PARTS).min(axis=1) <= 0.0
        return list(dict.fromkeys(MONTHS[(self.first + i) % 12] for i in np.flatnonzero(state)))


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One a camera with a battery of its own that the plan describes."""
    say = tape(sitting.review)
    for camera in sitting.world.plan.cameras:
        try:
            life = of(camera, sitting.world)
        except Unknown:
            continue
        if life is not None:
            make = functools.partial(_drawn, life, say)
            at = Ref("camera", camera.id, "power")
            title, told = _title(camera, life, say), _words(camera, life, say)
            yield Picture(named("battery", camera.id), "battery", title, told, at, make)


def of(camera: Camera, world: World) -> Life | None:
    """A camera's battery in figures; None where it has none, or one that holds nothing; ``Unknown`` where little is said."""
    power, always = camera.power, camera.records == "continuous"
    if power.source not in STORED or (always and power.panel is None):
        return None
    store = world.of(STORE, camera)
    if not store.capacity:
        return None
    taken, cold = store.day(), store.coldest
    alone = None if always else _alone(list(store.days(taken, cold).values()))
    if power.panel is None:
        return Life(taken, alone, cold)
    given = store.given(world.of(SHADE, camera).months)
    return Life(taken, alone, cold, tuple(given), store.year(given, taken, PARTS), battery.best(given))


def _alone(kinds: Sequence[Range]) -> Range:
    """Days of what it usually is, and the ends of all that it may be."""
    return min(low for low, _, _ in kinds), kinds[0][1], max(high for _, _, high in kinds)


def _days(life: Life, say: Tape) -> str:
    low, usual, high = life.alone or NONE
    return say.figure(Value("", usual, "days", low, high))


def _lasts(life: Life, say: Tape) -> str:
    sun = " without sun" if life.given else ""
    return f"{_days(life, say)} on a charge{sun} at {life.celsius:.0f} °C"


def _title(camera: Camera, life: Life, say: Tape) -> str:
    if life.given:
        month = life.worst_month
        gives = f"its panel gives {life.given[month][1]:.2g} Wh a day in {MONTHS[month]}"
        return f"{camera.id}: {gives}, it takes {life.taken[1]:.2g}"
    return f"{camera.id}'s battery lasts {_lasts(life, say)}"


def _drawn(life: Life, say: Tape) -> Figure:
    parts = [_year, _months] if life.given else []
    parts += [functools.partial(_discharge, say=say)] if life.alone else []
    figure = ink.sheet(WIDE, PANEL * len(parts))
    for axes, part in zip(np.ravel(figure.subplots(len(parts), 1)), parts, strict=True):
        small(axes)
        part(axes, life)
    return figure


def _year(axes: Axes, life: Life) -> None:
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


def _runs(flags: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> Iterator[tuple[int, int]]:
    """First and last of each run of what is so."""
    at = 0
    for so, run in itertools.groupby(flags.tolist()):
        size = len(list(run))
        if so:
            yield at, at + size - 1
        at += size


def _months(axes: Axes, life: Life) -> None:
    """What the panel gives in a day of each month, as a range with its usual, against what the camera takes."""
    low, usual, high = life.taken
    axes.axhspan(low, high, facecolor=BAND, edgecolor=ink.PALE, linewidth=ink.THIN, zorder=1.0)
    axes.axhline(usual, color=ink.INK, linewidth=ink.LINE, linestyle=(0, (5, 2)), zorder=2.0)
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
    axes.annotate("it takes " + _ranged(life.taken, "\n"), (1.02, usual), **where)
    axes.set_xlabel("Wh a day from the panel, by month (each step up is more by a share)", size=SMALL, loc="left")


def _ranged(value: Range, between: str = " ") -> str:
    low, usual, high = value
    return f"{usual:.2g}{between}({low:.2g} to {high:.2g})" if low < high else f"{usual:.2g}"


def _tens() -> Iterator[float]:
    """1, 3, 10, 30 and so on, over and under."""
    for power in range(-4, 6):
        yield 10.0**power
        yield 3 * 10.0**power


def _discharge(axes: Axes, life: Life, say: Tape) -> None:
    """From full to empty with nothing given."""
    low, usual, high = life.alone or NONE
    axes.fill([0.0, low, high], [1.0, 0.0, 0.0], facecolor=BAND, edgecolor=ink.PALE, linewidth=ink.THIN)
    axes.plot([0.0, usual], [1.0, 0.0], color=ink.MARK, linewidth=ink.BOLD, zorder=3.0)
    for at, size in ((low, 4.0), (usual, 6.0), (high, 4.0)):
        axes.plot(at, 0.0, "x", color=ink.INK, markersize=size, markeredgewidth=ink.LINE, clip_on=False, zorder=4.0)
    axes.set(xlim=(0.0, 1.04 * high), ylim=(0.0, 1.04), yticks=[0.0, 0.5, 1.0])
    axes.set_yticklabels(["0", "50 %", "full"])
    axes.annotate(f"empty after {_days(life, say)}", (0.98, 0.86), xycoords="axes fraction", size=SMALL, ha="right")
    sun = ", without sun," if life.given else ""
    axes.set_xlabel(f"days from full{sun} at {life.celsius:.0f} °C", size=SMALL, loc="left")


def _words(camera: Camera, life: Life, say: Tape) -> str:
    told = [f"{quote(camera.id)} takes, Wh a day: {_ranged(life.taken)}."]
    if life.given:
        months = [f"{MONTHS[i]} {_ranged(one)}" for i, one in enumerate(life.given)]
        told.append(f"Its panel gives, Wh a day: {'; '.join(months)}.")
        for end, said in ((USUAL, "Usually"), (WORST, "At worst")):
            empty = life.empty(end)
            told.append(f"{said} it is {f'empty in {words.listed(empty)}' if empty else 'never empty'}.")
        told.append("The two years are reckoned warm: in the cold it gives less.")
    if life.alone:
        told.append(f"It lasts {_lasts(life, say)}.")
    return " ".join(told)
