"""The site from above, to scale: what stands there, what the cameras see of the ground, where the findings are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink
from oneclimb.draw.ground_plan import FOOT_OF_SHEET, laid, north, scale_bar
from oneclimb.draw.marks import loose, marked, places
from oneclimb.draw.placing import Rect, bounds
from oneclimb.draw.site_things import COVERS, labels, things
from oneclimb.plan.say import Tape
from oneclimb.report import words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import CHART, COVER
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from oneclimb.draw import Sitting
    from oneclimb.draw.ground_plan import Ground
    from oneclimb.plan.model import Camera, Plan
    from oneclimb.study.chart import Chart

    Array = NDArray[np.float64]

WIDE, HIGHEST, LOWEST = 250.0, 300.0, 90.0
"""mm of the sheet, and of the ground on it"""
MARGIN = 6.0
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
    plan = sitting.world.plan
    rect, scale = _fitted(extent(plan))
    high = (rect[3] - rect[1]) * scale
    figure = ink.sheet(WIDE, high + FOOT_OF_SHEET + 1.0)
    figure.set_layout_engine("none")
    ground = laid(figure, rect, ((WIDE - (rect[2] - rect[0]) * scale) / 2, FOOT_OF_SHEET), scale)
    for camera in plan.cameras:
        _seen(ground, sitting.world.of(CHART, camera))
        _trespassed(ground, camera, sitting)
    things(ground, plan)
    found = places(sitting)
    for place in found:
        if place is not None:
            ground.paper.take(*ground.mm(*place), 2.0, 2.0)
    labels(ground, plan)
    marked(ground, found)
    scale_bar(ground, plan)
    north(ground, plan.site.plus_y)
    loose(ground, found.get(None, []), ground.paper.wide - 14.0)
    ground.axes.text(*ground.m(0.0, -9.6), _key(plan), size=6.0, color=ink.GREY, va="center", clip_on=False)
    return figure


def _key(plan: Plan) -> str:
    """What the shapes mean, in one line."""
    covers = dict.fromkeys(leg.cover for cable in plan.cables for leg in cable.legs or ())
    lines = {"none": "solid", "conduit": "long dashes", "wall": "dashes", "buried": "dots", "indoors": "sparse dots"}
    told = [f"{COVERS[cover][1]} {lines[cover]}" for cover in COVERS if cover in covers]
    cables = f"   cables: {', '.join(told)}" if told else ""
    return (
        "shaded: ground a camera sees, fine enough to detect a person   small crosses: a neighbour in the picture   "
        f"square: error, diamond: warning, circle: note{cables}"
    )


def _seen(ground: Ground, chart: Chart) -> None:
    """The ground a camera sees, darker where several do; hidden ground is left out."""
    shown = (chart.ground & (chart.pxm >= CATEGORIES["detect"])).astype(np.float64)
    if shown.any() and min(shown.shape) > 1:
        ground.axes.contourf(chart.x, chart.y, shown, levels=[0.5, 1.5], colors=[ink.MARK], alpha=0.12, zorder=1.0)
        ground.axes.contour(chart.x, chart.y, shown, levels=[0.5], colors=[ink.MARK], linewidths=0.35, zorder=1.1)


def _trespassed(ground: Ground, camera: Camera, sitting: Sitting) -> None:
    """Small crosses on neighbours' ground that shows."""
    for shown in _trespasses(camera, sitting).values():
        x, y, _ = shown[:: 1 + len(shown) // LAND].T
        ground.axes.plot(x, y, "x", color=ink.MARK, markersize=2.6, markeredgewidth=0.6, zorder=2.0)


def _trespasses(camera: Camera, sitting: Sitting) -> dict[str, Array]:
    """By the id of neighbours' land whose owner has not agreed: places (k, 3) on it where a person shows, unmasked."""
    found = {}
    for name, cover in sitting.world.of(COVER, camera).land.items():
        land = sitting.world.get(Ref("land", name))
        shown = cover.ground[cover.seen & ~cover.masked]
        if land.kind == "neighbour" and not land.agrees and len(shown):
            found[name] = shown
    return found


def extent(plan: Plan) -> Rect:
    """The box round all that the plan has a place for, m."""
    points = [point for building in plan.buildings for point in building.outline]
    points += [*plan.boundary, *(point for area in plan.areas for point in area.outline)]
    points += [(thing.spot.x, thing.spot.y) for thing in plan.objects]
    points += [(lamp.spot.x, lamp.spot.y) for lamp in plan.lamps]
    points += [(camera.mount.spot.x, camera.mount.spot.y) for camera in plan.cameras]
    points += [(spot.x, spot.y) for cable in plan.cables for leg in cable.legs or () for spot in (leg.a, leg.b)]
    return bounds(points)


def _fitted(box: Rect) -> tuple[Rect, float]:
    """The ground the sheet shows, and mm a metre: everything, with a margin, as large as it goes."""
    across, up = max(box[2] - box[0], 4.0), max(box[3] - box[1], 4.0)
    scale = min((WIDE - 2 * MARGIN - 2.0) / across, (HIGHEST - 2 * MARGIN) / up)
    least = max(0.0, LOWEST / scale - up - 2 * MARGIN / scale) / 2
    side = max(0.0, (WIDE - 2.0) / scale - across - 2 * MARGIN / scale) / 2
    m = MARGIN / scale
    return (box[0] - m - side, box[1] - m - least, box[2] + m + side, box[3] + m + least), scale


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
        f"{quote(camera.id)}, {say.tape(camera.mount.spot.z)} up, looks {where}, {camera.aim.tilt:.0f}° down, "
        f"and shows a person well enough to detect on {area(chart.served(CATEGORIES['detect']), say)}, "
        f"to identify on {area(chart.served(CATEGORIES['identify']), say)}"
    ]
    if chart.night:
        parts.append(f"by night, every lamp out, a person is usable on {area(chart.usable(), say)}")
    else:
        parts.append(f"by night cannot tell: {quote(chart.unknown)}")
    beyond = [quote(name) for name in _trespasses(camera, sitting)]
    if beyond:
        parts.append(f"neighbours' ground in the picture: {words.listed(beyond)}")
    return "; ".join(parts) + "."


def area(size: float, say: Tape) -> str:
    """Ground in the plan's own units: ``41 m²``, ``440 sq ft``."""
    value, unit = (size / 0.3048**2, "sq ft") if say.units == "feet" else (size, "m²")
    rounded = round(value, -1 if value >= 100 else 0)
    return f"{rounded:.0f} {unit}" if rounded or not value else f"under 1 {unit}"
