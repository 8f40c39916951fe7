"""The site from above, to scale: what stands there, what the cameras see of the ground, where the findings are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink
from oneclimb.draw.ground_plan import FOOT_OF_SHEET, laid, north, patch_of, scale_bar
from oneclimb.draw.marks import PITCH, loose, loose_rows, marked, places
from oneclimb.draw.placing import Rect
from oneclimb.draw.site_key import key
from oneclimb.draw.site_things import labels, things
from oneclimb.plan.say import Tape
from oneclimb.plan.units import FOOT
from oneclimb.report import words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import CHART, COVER
from oneclimb.study.extent import ABOUT, extent
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from oneclimb.draw import Sitting
    from oneclimb.draw.ground_plan import Ground
    from oneclimb.plan.model import Camera
    from oneclimb.study.chart import Chart

    Array = NDArray[np.float64]

WIDE, HIGHEST, LOWEST = 204.0, 244.0, 80.0
"""mm of the sheet, and of the ground on it: with its foot it fits on A4 and Letter"""
KEY_LINE = 2.9
"""mm a line of the key takes"""
MARGIN = 8.0
"""mm round everything"""
LAND = 300
"""of the places of others' ground that show, no more than this are marked"""
POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """The one picture of the whole site; none where the plan has nothing that stands anywhere."""
    plan = sitting.world.plan
    if plan.buildings or plan.cameras or plan.objects:
        title = f"{plan.site.name or 'The site'} from above"
        yield Picture("site", "site", title, _words(sitting), Ref("site", "site"), lambda: _drawn(sitting))


def _drawn(sitting: Sitting) -> Figure:
    plan, found = sitting.world.plan, places(sitting)
    rect, scale = _fitted(extent(plan))
    wide, high = (rect[2] - rect[0]) * scale, (rect[3] - rect[1]) * scale
    rows = loose_rows(found.get(None, []), wide)
    told = key(plan)
    foot, left = FOOT_OF_SHEET + (rows - 1) * PITCH + (len(told) - 2) * KEY_LINE, (WIDE - wide) / 2
    figure = ink.sheet(WIDE, high + foot + 1.0)
    figure.set_layout_engine("none")
    ground = laid(figure, rect, (left, foot), scale)
    for camera in plan.cameras:
        _seen(ground, sitting.world.of(CHART, camera))
    for camera in plan.cameras:
        _trespassed(ground, camera, sitting)
    things(ground, plan)
    for place in found:
        if place is not None:
            ground.paper.take(*ground.mm(*place), 2.0, 2.0)
    labels(ground, plan)
    marked(ground, found)
    scale_bar(ground, plan)
    north(ground, plan.site.plus_y)
    loose(ground, found.get(None, []))
    at = ground.m(1.5 - left, 0.8 - foot)
    ground.axes.text(*at, "\n".join(told), size=6.5, color=ink.GREY, va="bottom", clip_on=False)
    return figure


def _seen(ground: Ground, chart: Chart) -> None:
    """The ground a camera sees, darker where several do; hidden ground is left out."""
    if not chart.bare.is_empty:
        ground.axes.add_patch(patch_of(chart.bare, facecolor=ink.MARK, alpha=0.13, linewidth=0.0, zorder=1.0))
        edge: dict[str, Any] = {"facecolor": "none", "edgecolor": ink.MARK, "linewidth": 0.4}
        ground.axes.add_patch(patch_of(chart.bare, zorder=1.1, **edge))


def _trespassed(ground: Ground, camera: Camera, sitting: Sitting) -> None:
    """Small crosses on neighbours' ground and windows that show."""
    for shown in _trespasses(camera, sitting).values():
        x, y, _ = shown[:: 1 + len(shown) // LAND].T
        ground.axes.plot(x, y, "x", color=ink.INK, markersize=2.6, markeredgewidth=0.6, zorder=3.9)


def _trespasses(camera: Camera, sitting: Sitting) -> dict[str, Array]:
    """By what it is called, of neighbours who have not agreed: places (k, 3) on their ground where a person shows, and
    of windows that show, unmasked.
    """
    found, cover = {}, sitting.world.of(COVER, camera)
    for name, land in cover.land.items():
        owner = sitting.world.get(Ref("land", name))
        if owner.kind == "neighbour" and not owner.agrees:
            found[name] = land.ground[land.seen & ~land.masked]
    for name, pane in cover.panes.items():
        found[f"window {name}"] = pane.points[pane.seen & ~pane.masked]
    return {name: shown for name, shown in found.items() if len(shown)}


def _fitted(box: Rect) -> tuple[Rect, float]:
    """The ground the sheet shows, and mm a metre: everything, with a margin no wider than is charted, as large as it
    goes.
    """
    across, up = max(box[2] - box[0], 4.0), max(box[3] - box[1], 4.0)
    scale = min((WIDE - 2 * MARGIN - 2.0) / across, (HIGHEST - 2 * MARGIN) / up)
    least = min(MARGIN / scale, ABOUT)
    beside = min(max(least, (WIDE - 2.0) / scale / 2 - across / 2), ABOUT)
    above = min(max(least, LOWEST / scale / 2 - up / 2), ABOUT)
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    w, h = across / 2 + beside, up / 2 + above
    return (x - w, y - h, x + w, y + h), scale


def _words(sitting: Sitting) -> str:
    plan, say = sitting.world.plan, tape(sitting.review)
    rect = extent(plan)
    size = f"{say.tape(rect[2] - rect[0])} by {say.tape(rect[3] - rect[1])}"
    told = [f"The site from above, {size}, with {words.count(len(plan.cameras), 'camera')}."]
    told += [_camera(camera, sitting, say) for camera in plan.cameras]
    numbered = [f"{n} {one.finding.level} at {_called(one.finding.at)}" for n, one in sitting.numbered]
    if numbered:
        told.append(f"Findings: {'; '.join(numbered)}.")
    return " ".join(told)


def _called(ref: Ref) -> str:
    return words.thing(ref.kind, ref.id)


def _camera(camera: Camera, sitting: Sitting, say: Tape) -> str:
    """What one camera sees from where, with figures."""
    chart = sitting.world.of(CHART, camera)
    where = POINTS[round(camera.aim.bearing / 45.0) % 8]
    parts = [
        f"{quote(camera.id)}, {say.tape(camera.mount.spot.z)} up, looks {where}, {_slope(camera.aim.tilt)}, "
        f"and shows a person well enough to detect on {area(chart.served(CATEGORIES['detect']), say)}, "
        f"to identify on {area(chart.served(CATEGORIES['identify']), say)}"
    ]
    if chart.night:
        parts.append(f"by night, every lamp out, a person is usable on {area(chart.usable(), say)}")
    else:
        parts.append(f"by night cannot tell: {quote(chart.unknown)}")
    beyond = [quote(name) for name in _trespasses(camera, sitting)]
    if beyond:
        parts.append(f"neighbours in the picture: {words.listed(beyond)}")
    return "; ".join(parts) + "."


def _slope(tilt: float) -> str:
    degrees = round(tilt)
    return "level" if not degrees else f"{abs(degrees)}° {'down' if degrees > 0 else 'up'}"


def area(size: float, say: Tape) -> str:
    """Ground in the plan's own units: ``4.5 m²``, ``41 m²``, ``440 sq ft``."""
    value, unit = (size / FOOT**2, "sq ft") if say.units == "feet" else (size, "m²")
    if value < 9.95:
        shown = f"{value:.1f}".removesuffix(".0")
        return f"under 0.1 {unit}" if shown == "0" and value else f"{shown} {unit}"
    return f"{round(value, -1 if value >= 100 else 0):.0f} {unit}"
