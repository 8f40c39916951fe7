"""Each camera's own ground from above: what it shows of a person by day, and where one is usable by night."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import TYPE_CHECKING

import matplotlib as mpl
import numpy as np

from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.ground_plan import FOOT_OF_SHEET, laid, north, scale_bar
from oneclimb.draw.site import area, extent
from oneclimb.draw.site_things import things
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import ALL, CHART, DARK
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from oneclimb.draw import Sitting
    from oneclimb.draw.ground_plan import Ground
    from oneclimb.draw.placing import Rect
    from oneclimb.plan.model import Camera, Plan
    from oneclimb.study.chart import Chart

    Array = NDArray[np.float64]

WIDE, HIGHEST = 250.0, 130.0
"""mm of the sheet, and of each panel at the most"""
BETWEEN, HEAD = 6.0, 6.0
MOST = 1e5
"""px/m: more than any camera has anywhere"""
ABOUT = 5.0
"""m round the plan's own things that its ground is shown"""
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
    plan, say = sitting.world.plan, tape(sitting.review)
    rect, scale = _fitted(_extent(chart, camera, plan))
    wide, high = (rect[2] - rect[0]) * scale, (rect[3] - rect[1]) * scale
    figure = ink.sheet(WIDE, high + FOOT_OF_SHEET + HEAD + 1.0)
    figure.set_layout_engine("none")
    panels = [laid(figure, rect, (left, FOOT_OF_SHEET), scale) for left in (1.0, WIDE - 1.0 - wide)]
    _day(panels[0], chart)
    _night(panels[1], chart, sitting)
    heads = (
        f"By day: pixels a metre on a person; identify on {area(chart.served(CATEGORIES['identify']), say)}",
        f"By night, every lamp out: usable on {area(chart.usable(), say)}" if chart.night else "By night: cannot tell",
    )
    for ground, head in zip(panels, heads, strict=True):
        things(ground, plan)
        ground.label(camera.mount.spot.x, camera.mount.spot.y, camera.id, size=8.0, colour=ink.MARK, off=2.2)
        for one in plan.areas:
            x, y = (sum(part) / len(one.outline) for part in zip(*one.outline, strict=True))
            ground.label(x, y, f"{one.id}: {one.task}", size=6.5, off=-2.0)
        ground.axes.set_title(head, size=8.0, pad=3.0)
    scale_bar(panels[0], plan)
    north(panels[1], plan.site.plus_y)
    return figure


def _day(ground: Ground, chart: Chart) -> None:
    """Shades and labelled lines at each task's least px/m; finer is darker."""
    levels = [*TASKS.values(), MOST]
    colours = mpl.colormaps[ink.SHADES](np.linspace(0.95, 0.2, len(TASKS)))
    shown = np.ma.masked_invalid(chart.pxm)
    ground.axes.contourf(chart.x, chart.y, shown, levels=levels, colors=colours, alpha=0.6, zorder=1.0)
    for name, least in TASKS.items():
        if not shown.min() < least < shown.max():
            continue
        lines = ground.axes.contour(
            chart.x, chart.y, shown, levels=[least], colors=[ink.INK], linewidths=ink.THIN, zorder=1.2
        )
        path = lines.get_paths()[0].vertices
        inside = [(float(x), float(y)) for x, y in np.asarray(path) if ground.holds(float(x), float(y))]
        if inside:
            ground.label(*inside[len(inside) // 2], f"{name}: {least:g} px/m", size=6.5, off=-3.0)


def _night(ground: Ground, chart: Chart, sitting: Sitting) -> None:
    """Where a person is usable with every lamp out; dotted where one shows and is lost; dashed with all lit."""
    if chart.night is None:
        middle = (ground.paper.wide / 2, ground.paper.high * 0.9)
        ground.label(*ground.m(*middle), f"cannot tell: {chart.unknown}", size=7.0)
        return
    margins = chart.margins(DARK)
    lost = np.where(chart.stood & (margins <= 0.0), 1.0, 0.0)
    usable = np.where(margins > 0.0, 1.0, 0.0)
    if lost.any():
        dots = ground.axes.contourf(
            chart.x, chart.y, lost, levels=[0.5, 1.5], colors=["none"], hatches=["..."], zorder=1.0
        )
        dots.set_edgecolor(ink.PALE)
        dots.set_linewidth(0.0)
    if usable.any():
        ground.axes.contourf(chart.x, chart.y, usable, levels=[0.5, 1.5], colors=[ink.MARK], alpha=0.30, zorder=1.1)
        ground.axes.contour(chart.x, chart.y, usable, levels=[0.5], colors=[ink.MARK], linewidths=ink.LINE, zorder=1.2)
    told = "filled: a person is usable   dotted: in the picture, and lost"
    lit = _all_lit(chart, sitting)
    if lit is not None and lit.any():
        ground.axes.contour(
            chart.x, chart.y, lit, levels=[0.5], colors=[ink.INK], linewidths=ink.LINE, linestyles="dashed", zorder=1.3
        )
        told += "   dashed: usable with every lamp lit"
    ground.axes.text(*ground.m(0.0, -4.0), told, size=6.5, color=ink.GREY, va="center", clip_on=False)


def _all_lit(chart: Chart, sitting: Sitting) -> Array | None:
    """Where a person is usable with every lamp lit; None where there is no lamp, or one is not described."""
    if not sitting.world.plan.lamps:
        return None
    try:
        return np.where(chart.margins(ALL) > 0.0, 1.0, 0.0)
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


def _fitted(box: Rect) -> tuple[Rect, float]:
    """Each panel's ground and mm a metre."""
    half = (WIDE - BETWEEN - 2.0) / 2
    across, up = max(box[2] - box[0], 3.0) * 1.06, max(box[3] - box[1], 3.0) * 1.06
    scale = min(half / across, HIGHEST / up)
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    w, h = half / scale / 2, up / 2
    return (x - w, y - h, x + w, y + h), scale


def _words(sitting: Sitting, camera: Camera, chart: Chart) -> str:
    say = tape(sitting.review)
    tasks = [f"{name} ({least:g} px/m) on {area(chart.served(least), say)}" for name, least in TASKS.items()]
    told = [f"By day {quote(camera.id)} shows a person standing well enough to {'; '.join(tasks)}."]
    if chart.night is None:
        told.append(f"By night cannot tell: {quote(chart.unknown)}")
    else:
        shown = float(chart.stood.sum()) * chart.cell
        told.append(f"By night, every lamp out, one is usable on {area(chart.usable(), say)} of {area(shown, say)}.")
        lit = _all_lit(chart, sitting)
        if lit is not None:
            told.append(f"With every lamp lit: on {area(float(lit.sum()) * chart.cell, say)}.")
    return " ".join(told)
