"""The year as hours by date: when the sun is up, when it stands in a camera's frame, near what is wanted, or hidden."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from matplotlib.patches import Patch

from oneclimb.draw import ink
from oneclimb.draw.charts import SMALL
from oneclimb.draw.ground_plan import patch_of
from oneclimb.study.sun import DAYS, MINUTES
from oneclimb.trade import sun
from oneclimb.trade.months import MONTHS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray
    from shapely import Geometry

    from oneclimb.plan.model import Site
    from oneclimb.study.sun import Sun

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]

YEAR, DAY = 365, 1440
"""days across, and minutes up"""
LOOKS: dict[str, dict[str, Any]] = {
    "hidden": {"facecolor": ink.PAPER, "edgecolor": ink.GREY, "hatch": "\\\\\\\\\\\\", "linewidth": ink.THIN},
    "frame": {"facecolor": "#9dbbd6", "edgecolor": ink.MARK, "linewidth": ink.THIN},
    "near": {"facecolor": ink.MARK, "edgecolor": ink.PAPER, "hatch": "//////", "linewidth": ink.THIN},
}
"""by class of hours: how they are filled"""
AWAY = 80.0
"""minutes that the words for the sun's rise and set stand off their lines, into the night"""
EVERY = 10
"""days between two sunrises that are worked out"""


def classes(found: Sun) -> dict[str, Flags]:
    """Which of the moments that the study looked at are of each class; none is of two."""
    look = found.look
    seen = look.inside & look.free
    return {"hidden": look.inside & ~look.free, "frame": seen & ~look.near, "near": seen & look.near}


def hours(found: Sun, which: Flags) -> float:
    """Hours of the year that moments stand for."""
    return float(which.sum()) * found.suns.each


def cells(found: Sun, which: Flags) -> Geometry:
    """Moments by the site's clock as ground: day of the year across (from 0), minutes of the day up."""
    moments = sun.local(found.suns.days[found.look.which[which]], found.suns.zone)
    x = np.array([moment.timetuple().tm_yday - 1 for moment in moments], dtype=np.float64)
    y = np.array([moment.hour * 60 + moment.minute for moment in moments], dtype=np.float64)
    boxes = shapely.box(x, y, np.minimum(x + DAYS, YEAR), np.minimum(y + MINUTES, DAY))
    return shapely.union_all(boxes).simplify(0.0)


def year(axes: Axes, site: Site, found: Sun, when: int) -> None:
    """The year, and what its hours are."""
    x, rises, sets = daylight(site, found.suns.zone, when)
    for edge, end in ((rises, 0.0), (sets, float(DAY))):
        axes.fill([0.0, *x, YEAR], [end, *edge, end], facecolor=ink.WASH, linewidth=0.0, zorder=0.5)
        axes.plot(x, edge, color=ink.INK, linewidth=ink.LINE, zorder=3.0)
    keys = []
    said = {"hidden": "hidden", "frame": "in the frame", "near": "near what is wanted"}
    told = {**{name: hours(found, which) for name, which in classes(found).items()}, "frame": found.in_frame.value}
    for name, which in classes(found).items():
        if which.any():
            axes.add_patch(patch_of(cells(found, which), zorder=2.0, **LOOKS[name]))
            keys.append(Patch(label=f"{said[name]}: {told[name]:.0f} h", **LOOKS[name]))
    _scales(axes, rises, sets)
    below: dict[str, Any] = {"loc": "upper left", "bbox_to_anchor": (-0.12, -0.10), "ncols": 3, "columnspacing": 1.0}
    thin: dict[str, Any] = {"handletextpad": 0.4, "handlelength": 1.6, "borderaxespad": 0.0, "fontsize": SMALL}
    axes.legend(handles=keys[::-1], **below, **thin)


def _scales(axes: Axes, rises: Array, sets: Array) -> None:
    """Months across, and the clock up, an hour before the first sunrise to an hour after the last sunset."""
    starts = [dt.date(2025, month, 1).timetuple().tm_yday - 1 for month in range(1, 13)]
    low, high = max(0.0, float(rises.min()) - 60.0), min(float(DAY), float(sets.max()) + 60.0)
    ticks = [tick for tick in range(0, DAY + 1, 180) if low <= tick <= high]
    axes.set_yticks(ticks, [f"{tick // 60:02d}:00" for tick in ticks])
    axes.set_xticks([start + 15 for start in starts], [name[:3] for name in MONTHS])
    axes.tick_params(axis="x", length=0.0)
    axes.vlines(starts[1:], 0.0, DAY, color=ink.PALE, linewidth=0.35, zorder=1.0)
    axes.set(xlim=(0.0, YEAR), ylim=(low, high))
    axes.set_ylabel("clock, no summer time", size=SMALL)
    darkest = int(np.clip(np.argmax(rises - sets), len(rises) // 8, len(rises) - len(rises) // 8 - 1))
    x = darkest / (len(rises) - 1) * YEAR
    for edge, name, away in ((rises, "sunrise", -AWAY), (sets, "sunset", AWAY)):
        axes.text(x, float(edge[darkest]) + away, name, size=SMALL, ha="center", va="center", zorder=4.0)


def daylight(site: Site, zone: float, when: int) -> tuple[Array, Array, Array]:
    """Days of the year (k,) and when the sun rises and sets on them by the clock, minutes; at the day's ends, or both
    at noon, where it does not.
    """
    if site.place is None:
        raise ValueError("the sun study has no result without a place")
    first = dt.date(when, 1, 1)
    days = [*range(0, YEAR, EVERY), YEAR]
    found = [_light(first + dt.timedelta(days=day), site.place, zone) for day in days]
    rises, sets = np.array(found).T
    return np.array(days, dtype=np.float64), rises, sets


def _light(day: dt.date, place: tuple[float, float], zone: float) -> tuple[float, float]:
    midnight = dt.datetime(day.year, day.month, day.day, tzinfo=dt.UTC)
    rise, sink = sun.sunrise_sunset(day, *place)
    noon = np.array([sun.julian(midnight) + 0.5 - place[1] / 360])
    up = float(sun.position(noon, *place)[1][0]) > sun.RISEN
    ends = (0.0, float(DAY)) if up else (DAY / 2, DAY / 2)
    minutes = [
        end if moment is None else (moment - midnight).total_seconds() / 60 + zone * 60
        for moment, end in zip((rise, sink), ends, strict=True)
    ]
    return min(max(minutes[0], 0.0), float(DAY)), min(max(minutes[1], 0.0), float(DAY))
