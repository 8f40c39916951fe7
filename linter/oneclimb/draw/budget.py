"""The watts of each switch and supply: what every camera on it takes, one after the other, against what there is."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.charts import DASHED, SMALL, sheet, short
from oneclimb.report import words
from oneclimb.report.quote import quote
from oneclimb.study import LOAD
from oneclimb.trade import budget

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.plan.model import Supply, Switch
    from oneclimb.study.load import Load

ROW, FOOT_AND_HEAD = 5.2, 19.0
"""mm of a camera's row, and of what is over and under the rows"""


class Share(Struct, frozen=True):
    """What one camera takes, W: as declared with what the cable loses, and by its class (None: there are none)."""

    camera: str
    drawn: float
    by_class: float | None
    told: bool


class Bars(Struct, frozen=True):
    """A switch or supply, what it ``gives`` (W, None: not said) and what each camera takes, in the plan's order."""

    ref: Ref
    gives: float | None
    shares: tuple[Share, ...]

    @property
    def drawn(self) -> float:
        """W of all of them."""
        return sum(each.drawn for each in self.shares)

    @property
    def by_class(self) -> float | None:
        """W that all of them ask for by class; None where there are no classes."""
        asked = [each.by_class for each in self.shares if each.by_class is not None]
        return sum(asked) if asked else None


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One a switch that feeds a camera, and one a supply."""
    load = sitting.world.of(LOAD, sitting.world.plan.site)
    for bars in (*_switches(load, sitting), *_supplies(load, sitting)):
        make = functools.partial(_drawn, bars)
        yield Picture(named("budget", bars.ref.id), "budget", _verdict(bars), _words(bars), bars.ref, make)


def _switches(load: Load, sitting: Sitting) -> Iterator[Bars]:
    for switch in sitting.world.plan.switches:
        fed = load.sides[switch.id].fed
        if fed:
            yield of_switch(switch, load)


def of_switch(switch: Switch, load: Load) -> Bars:
    """What the cameras that a switch feeds take of it."""
    shares = []
    for camera in load.sides[switch.id].fed:
        one = budget.one(camera, switch.gives)
        told = camera.power.watts is not None or camera.power.poe is not None
        shares.append(Share(camera.id, one.port, max(one.by_class, one.port), told))
    return Bars(Ref("switch", switch.id), switch.budget, tuple(shares))


def _supplies(load: Load, sitting: Sitting) -> Iterator[Bars]:
    for supply in sitting.world.plan.supplies:
        bars = of_supply(supply, load)
        if bars.drawn:
            yield bars


def of_supply(supply: Supply, load: Load) -> Bars:
    """What the cameras on a supply take of it."""
    fed = load.supplied.get(supply.id, ())
    shares = [Share(one.id, one.power.watts or 0.0, None, one.power.watts is not None) for one in fed]
    return Bars(Ref("supply", supply.id), supply.watts, tuple(shares))


def _verdict(bars: Bars) -> str:
    many = words.count(len(bars.shares), "camera")
    take = "takes" if len(bars.shares) == 1 else "take"
    of, unsaid = (f" of its {bars.gives:g} W", "") if bars.gives is not None else ("", "; what it has is not said")
    return f"{many} on {bars.ref.id} {take} {bars.drawn:.0f} W{of} with everything on{unsaid}"


def _drawn(bars: Bars) -> Figure:
    rows = len(bars.shares)
    figure, axes = sheet(ROW * rows + FOOT_AND_HEAD)
    most = max(bars.drawn, bars.by_class or 0.0, bars.gives or 0.0)
    axes.set(xlim=(0.0, 1.04 * most), ylim=(rows - 0.4, -0.6))
    drawn = asked = 0.0
    for row, each in enumerate(bars.shares):
        _bar(axes, row, drawn, each.drawn, classed=False)
        drawn += each.drawn
        if each.by_class is not None:
            _bar(axes, row, asked, each.by_class, classed=True)
            asked += each.by_class
    axes.set_yticks(range(rows), [_named(each) for each in bars.shares])
    axes.tick_params(axis="y", length=0.0)
    figure.supxlabel(_key(bars), x=0.02, ha="left", size=SMALL)
    _limit(axes, bars, most)
    return figure


def _named(each: Share) -> str:
    """A camera's name, and its watts."""
    return f"{short(each.camera)}  {f'{each.drawn:.1f} W' if each.told else 'not said'}"


def _bar(axes: Axes, row: int, start: float, watts: float, *, classed: bool) -> None:
    """One camera's part, where the one before it ends: by class under it, hatched."""
    if classed:
        look: dict[str, Any] = {"facecolor": ink.PAPER, "edgecolor": ink.GREY, "hatch": "//////", "linewidth": ink.THIN}
        axes.barh(row + 0.22, watts, height=0.3, left=start, zorder=2.0, **look)
    else:
        axes.barh(row - 0.16, watts, height=0.42, left=start, color=ink.MARK, zorder=3.0)


def _limit(axes: Axes, bars: Bars, most: float) -> None:
    """What there is, as a line over all rows."""
    if bars.gives is None:
        axes.set_title("what it has is not said", size=SMALL, loc="right", weight="normal", pad=3.0)
        return
    axes.axvline(bars.gives, color=ink.INK, linewidth=ink.BOLD, linestyle=DASHED, zorder=4.0)
    right = bars.gives > most / 2
    said = f"{quote(bars.ref.id)} has {bars.gives:g} W"
    look: dict[str, Any] = {"size": SMALL, "ha": "right" if right else "left", "va": "bottom", "clip_on": False}
    axes.annotate(said, (bars.gives, 1.02), xycoords=axes.get_xaxis_transform(), **look)


def _key(bars: Bars) -> str:
    """The sums, and what the bars are."""
    if bars.by_class is None:
        return f"watts, one camera after the other: {bars.drawn:.1f} W as declared"
    return (
        "watts, one camera after the other\n"
        f"filled: as declared, and what the longest cable loses: {bars.drawn:.1f} W\n"
        f"hatched: what a port sets aside by class: {bars.by_class:.1f} W"
    )


def _words(bars: Bars) -> str:
    told = [f"{quote(_verdict(bars))}."]
    for each, upto in zip(bars.shares, itertools.accumulate(one.drawn for one in bars.shares), strict=True):
        asks = f", {each.by_class:.1f} W by class" if each.by_class is not None else ""
        takes = f"{each.drawn:.1f} W" if each.told else "not said"
        told.append(f"{quote(each.camera)}: {takes}{asks} (together {upto:.1f} W).")
    if bars.by_class is not None:
        told.append(f"By class all of them ask for {bars.by_class:.1f} W.")
    return " ".join(told)
