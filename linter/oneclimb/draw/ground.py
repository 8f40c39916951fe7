"""Each camera's own ground from above: what it shows of a person by day, and where one is usable by night."""

from __future__ import annotations

import functools
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import matplotlib as mpl
import numpy as np
import shapely

from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.ground_plan import FOOT_OF_SHEET, HALO, laid, north, patch_of, scale_bar
from oneclimb.draw.site import area
from oneclimb.draw.site_things import area_label, shape_of, things
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import ALL, CHART, DARK
from oneclimb.study.extent import ABOUT, charted, extent
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from matplotlib.contour import ContourSet
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from oneclimb.draw import Sitting
    from oneclimb.draw.ground_plan import Ground
    from oneclimb.draw.placing import Rect
    from oneclimb.plan.model import Area, Camera, Plan
    from oneclimb.study.chart import Chart

    Array = NDArray[np.float64]

WIDE, HIGHEST = 204.0, 110.0
"""mm of the sheet, and of each panel at the most"""
BETWEEN, HEAD = 6.0, 6.0
MOST = 1e5
"""px/m and stops: more than any camera has anywhere"""
DARKER = "darker: finer; along a line\nthe task named is just met"
ROOMY = 92.0
"""mm of a panel from which it has room for that beside its scale"""
USABLE = "#bccfe0"
SPREAD = 2
"""steps by which margins go on beyond an edge"""
STEEP = 2.0
"""stops beyond which a margin is as good as any: keeps lines smooth beside shadows"""
TASKS = {name: least for name, least in CATEGORIES.items() if least >= CATEGORIES["detect"]}


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One picture a camera that shows a person anywhere."""
    for camera in sitting.world.plan.cameras:
        chart = sitting.world.of(CHART, camera)
        if chart.stood.sum() > 3:
            title = f"The ground {camera.id} shows, by day and by night"
            make = functools.partial(_drawn, sitting, camera, chart)
            ref = Ref("camera", camera.id)
            yield Picture(named("ground", camera.id), "ground", title, _words(sitting, camera, chart), ref, make)


def _drawn(sitting: Sitting, camera: Camera, chart: Chart) -> Figure:
    plan = sitting.world.plan
    rect, scale = _fitted(_extent(chart, camera, plan), charted(plan))
    figure = ink.sheet(WIDE, (rect[3] - rect[1]) * scale + FOOT_OF_SHEET + HEAD + 1.0)
    figure.set_layout_engine("none")
    day, night = (laid(figure, rect, (left, FOOT_OF_SHEET), scale) for left in (1.0, (WIDE + BETWEEN) / 2))
    for ground in (day, night):
        things(ground, plan, camera)
        ground.label(camera.mount.spot.x, camera.mount.spot.y, camera.id, size=8.0, colour=ink.MARK, off=2.2)
    _day(day, chart)
    _night(night, chart, sitting)
    for ground in (day, night):
        for one in _near(chart, plan):
            area_label(ground, one, size=6.5)
    scale_bar(day, plan)
    north(day, plan.site.plus_y)
    if day.paper.wide > ROOMY:
        day.axes.text(*day.m(56.0, -5.0), DARKER, size=6.5, color=ink.GREY, va="center", clip_on=False)
    return figure


def _near(chart: Chart, plan: Plan) -> list[Area]:
    """The areas that lie, in part, on ground where a person shows; what is to be avoided only there too."""
    return [one for one in plan.areas if chart.shown.intersects(shape_of(one))]


def _day(ground: Ground, chart: Chart) -> None:
    """Shades and labelled lines at each task's least px/m; finer is darker."""
    ground.axes.set_title("By day: pixels a metre on a person", size=8.0, pad=3.0)
    field, levels = np.ma.masked_less(chart.open, 1.0), [*TASKS.values(), MOST]
    colours = mpl.colormaps[ink.SHADES](np.linspace(0.95, 0.2, len(TASKS)))
    shades = ground.axes.contourf(chart.x, chart.y, field, levels=levels, colors=colours, alpha=0.6, zorder=1.0)
    _clipped(ground, shades, chart)
    ground.axes.add_patch(patch_of(chart.shown, facecolor="none", edgecolor=ink.GREY, linewidth=ink.THIN, zorder=1.3))
    inside, labelled = shapely.intersection(chart.shown, shapely.box(*ground.rect)), False
    for name, least in TASKS.items():
        if not field.min() < least < field.max():
            continue
        lines = ground.axes.contour(
            chart.x, chart.y, field, levels=[least], colors=[ink.INK], linewidths=ink.THIN, zorder=1.2
        )
        _clipped(ground, lines, chart)
        at = _along(lines, inside)
        if at:
            ground.label(*at, f"{name}: {least:g} px/m", size=6.5, off=-3.0)
            labelled = True
    if not labelled and not inside.is_empty:
        middle = inside.representative_point()
        ground.label(middle.x, middle.y, _throughout(chart), size=6.5, off=-3.0)


def _throughout(chart: Chart) -> str:
    """What all of a camera's ground is fine enough for."""
    met = [
        f"{name} throughout: {least:g} px/m or more" for name, least in TASKS.items() if least <= np.nanmin(chart.pxm)
    ]
    return met[-1] if met else f"under {CATEGORIES['detect']:g} px/m throughout"


def _clipped(ground: Ground, drawn: ContourSet, chart: Chart) -> None:
    """Only where a person shows."""
    drawn.set_clip_path(patch_of(chart.shown, transform=ground.axes.transData))


def _along(lines: ContourSet, inside: Any) -> tuple[float, float] | None:
    """Half-way along the longest part of a line that lies inside."""
    found = [np.asarray(part) for path in lines.get_paths() for part in path.to_polygons(closed_only=False)]
    whole = [part for part in found if len(part) > 1]
    parts = shapely.get_parts(shapely.intersection(shapely.MultiLineString(whole), inside)).tolist()
    longest = max(parts, key=lambda part: part.length, default=None)
    if longest is None or not longest.length:
        return None
    middle = longest.interpolate(0.5, normalized=True)
    return middle.x, middle.y


def _night(ground: Ground, chart: Chart, sitting: Sitting) -> None:
    """Where a person is usable with every lamp out; dotted where one shows and is lost; dashed with all lit."""
    if chart.night is None:
        ground.axes.set_title("By night: cannot tell", size=8.0, pad=3.0)
        said = "\n".join(textwrap.wrap(quote(chart.unknown), 60))
        ground.axes.text(*ground.m(2.0, ground.paper.high - 2.0), said, size=7.0, va="top", zorder=9.0, **HALO)
        return
    say, shown = tape(sitting.review), float(chart.stood.sum()) * chart.cell
    head = f"By night, every lamp out: usable on {area(chart.usable(), say)} of {area(shown, say)}"
    ground.axes.set_title(head, size=8.0, pad=3.0)
    lost = patch_of(chart.shown, facecolor="none", hatch="...", hatchcolor=ink.GREY, linewidth=0.0, zorder=1.0)
    lost.set_hatch_linewidth(0.3)
    ground.axes.add_patch(lost)
    margins = _spread(chart.margins(DARK))
    usable: dict[str, Any] = {"levels": [0.0, MOST], "colors": [USABLE], "zorder": 1.1}
    _clipped(ground, ground.axes.contourf(chart.x, chart.y, margins, **usable), chart)
    edge: dict[str, Any] = {"levels": [0.0], "zorder": 1.3}
    line = ground.axes.contour(chart.x, chart.y, margins, colors=[ink.MARK], linewidths=ink.LINE, **edge)
    _clipped(ground, line, chart)
    ground.axes.add_patch(patch_of(chart.shown, facecolor="none", edgecolor=ink.GREY, linewidth=ink.THIN, zorder=1.3))
    told = "filled: a person is usable   dotted: in the picture, and lost"
    lit = _all_lit(chart, sitting)
    if lit is not None:
        dashed: dict[str, Any] = {"colors": [ink.INK], "linewidths": ink.LINE, "linestyles": "dashed"}
        _clipped(ground, ground.axes.contour(chart.x, chart.y, _spread(lit), **dashed, **edge), chart)
        told += f"\ndashed: the edge of it with every lamp lit, {area(chart.usable(ALL), say)} then"
    ground.axes.text(*ground.m(0.0, -5.0), told, size=6.5, color=ink.GREY, va="center", clip_on=False)


def _spread(margins: Array) -> Array:
    """The same with places beyond the edge filled from beside them, so that lines go on to the edge itself."""
    found = margins
    for _ in range(SPREAD):
        near = np.lib.stride_tricks.sliding_window_view(np.pad(found, 1, constant_values=np.nan), (3, 3))
        known = ~np.isnan(near)
        mean = np.where(known, near, 0.0).sum(axis=(2, 3)) / np.maximum(known.sum(axis=(2, 3)), 1)
        found = np.where(np.isnan(found) & known.any(axis=(2, 3)), mean, found)
    return np.ma.masked_invalid(np.where(np.isnan(found), np.nan, np.clip(found, -STEEP, STEEP)))


def _all_lit(chart: Chart, sitting: Sitting) -> Array | None:
    """The margins with every lamp lit; None where there is no lamp, or one is not described."""
    if not sitting.world.plan.lamps:
        return None
    try:
        return chart.margins(ALL)
    except Unknown:
        return None


def _extent(chart: Chart, camera: Camera, plan: Plan) -> Rect:
    """The ground on which a person shows, as far as the plan has anything to say of it, and the camera."""
    row, col = np.nonzero(chart.stood)
    x, y = [*chart.x[col], camera.mount.spot.x], [*chart.y[row], camera.mount.spot.y]
    left, bottom, right, top = extent(plan)
    return (
        max(float(min(x)), left - ABOUT),
        max(float(min(y)), bottom - ABOUT),
        min(float(max(x)), right + ABOUT),
        min(float(max(y)), top + ABOUT),
    )


def _fitted(box: Rect, most: Rect) -> tuple[Rect, float]:
    """Each panel's ground and mm a metre: a little round a box, but no more than is charted."""
    half = (WIDE - BETWEEN - 2.0) / 2
    across, up = max(box[2] - box[0], 3.0) * 1.06, max(box[3] - box[1], 3.0) * 1.06
    scale = min(half / across, HIGHEST / up)
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    w, h = half / scale / 2, up / 2
    return (max(x - w, most[0]), max(y - h, most[1]), min(x + w, most[2]), min(y + h, most[3])), scale


def _words(sitting: Sitting, camera: Camera, chart: Chart) -> str:
    say = tape(sitting.review)
    served = [(name, least, chart.served(least)) for name, least in TASKS.items()]
    tasks = [f"{name} ({least:g} px/m) on {area(size, say)}" for name, least, size in served if size]
    told = [f"By day {quote(camera.id)} shows a person standing well enough to {'; '.join(tasks) or 'do nothing'}."]
    if chart.night is None:
        told.append(f"By night cannot tell: {quote(chart.unknown)}")
    else:
        shown = float(chart.stood.sum()) * chart.cell
        told.append(f"By night, every lamp out, one is usable on {area(chart.usable(), say)} of {area(shown, say)}.")
        lit = _all_lit(chart, sitting)
        if lit is not None:
            told.append(f"With every lamp lit: on {area(chart.usable(ALL), say)}.")
    return " ".join(told)
