"""What stands on the site, from above: each kind its own shape, line and hatch."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import shapely
from matplotlib.patches import Circle, Polygon

from oneclimb.api import as_written
from oneclimb.draw import ink
from oneclimb.draw.site_symbols import boxed, gear, lit, looking
from oneclimb.report.quote import quote
from oneclimb.study.run_footing import footprint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.draw.ground_plan import Ground
    from oneclimb.plan.model import Area, Building, Cable, Camera, Land, Object, Plan

COVERS = {
    "none": ("solid", "solid: bare"),
    "conduit": ((0, (6, 1.2)), "long dashes: conduit"),
    "wall": ((0, (3, 1.5)), "dashes: in the wall"),
    "buried": ((0, (1, 1.4)), "dots: buried"),
    "indoors": ((0, (0.6, 2.6)), "sparse dots: indoors"),
}
"""by what covers a cable: its line, and the words of the key"""


def things(ground: Ground, plan: Plan, chief: Camera | None = None) -> None:
    """All of it, what lies under first; labels come after, in ``labels``. Where it is about a ``chief`` camera, the
    others are grey.
    """
    for land in plan.land:
        _land(ground, land)
    if len(plan.boundary) > 2:
        edge = Polygon(plan.boundary, fill=False, edgecolor=ink.GREY, linewidth=ink.LINE, linestyle=(0, (7, 2, 1, 2)))
        ground.axes.add_patch(edge)
    for area in plan.areas:
        _area(ground, area)
    for building in plan.buildings:
        _building(ground, building)
    for thing in plan.objects:
        _object(ground, thing)
    for cable in plan.cables:
        _cable(ground, cable)
    for place in gear(plan).values():
        boxed(ground, *place)
    for lamp in plan.lamps:
        lit(ground, lamp)
    for camera in plan.cameras:
        looking(ground, camera, plan, ink.MARK if chief in (None, camera) else ink.GREY)


def labels(ground: Ground, plan: Plan) -> None:
    """Every name beside what it names, those of cameras first, so that they lie nearest."""
    for camera in plan.cameras:
        spot = camera.mount.spot
        ground.label(spot.x, spot.y, camera.id, size=8.0, colour=ink.MARK, off=2.2)
    for area in plan.areas:
        area_label(ground, area)
    for building in plan.buildings:
        ground.label(*_middle(building.outline), building.id, size=8.0, off=-3.0)
    for name, place in gear(plan).items():
        ground.label(*place, name, size=6.5, off=1.6)
    for lamp in plan.lamps:
        ground.label(lamp.spot.x, lamp.spot.y, lamp.id, size=6.5, off=2.0)
    for thing in plan.objects:
        if thing.id != as_written(thing.id):
            continue  # its first stretch has its name
        ground.label(*_middle_of(thing), thing.id, size=6.0, colour=ink.GREY, off=1.0)
    for land in plan.land:
        shown = shapely.Polygon(land.outline).intersection(shapely.box(*ground.rect))
        if not shown.is_empty and shown.area > 4.0:
            middle = shown.representative_point()
            ground.label(middle.x, middle.y, _whose(land), size=6.5, colour=ink.GREY, off=-2.0)


def area_label(ground: Ground, area: Area, size: float = 7.0) -> None:
    """An area's name and task: within it where it is wide, else beside it."""
    ground.label(
        *_middle(area.outline), f"{area.id}: {area.task}", size=size, off=-2.0 if len(area.outline) > 2 else 1.8
    )


def _whose(land: Land) -> str:
    if land.kind == "public-way":
        return "public way"
    name = "neighbour" if land.id.startswith("beyond-") else f"neighbour {land.id}"
    return f"{name} (agreed)" if land.agrees else name


def _middle(outline: Sequence[tuple[float, float]]) -> tuple[float, float]:
    if len(outline) < 3:
        return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)
    point = shapely.Polygon(outline).representative_point()
    return point.x, point.y


def _middle_of(thing: Object) -> tuple[float, float]:
    return thing.spot.x, thing.spot.y


def _land(ground: Ground, land: Land) -> None:
    hatch = ".." if land.kind == "public-way" else "////"
    patch = Polygon(land.outline, facecolor="none", hatchcolor=ink.PALE, hatch=hatch, linewidth=0.0, zorder=0.5)
    patch.set_hatch_linewidth(0.35)
    ground.axes.add_patch(patch)


def shape_of(area: Area) -> Any:
    """An area as plane geometry (shapely): a spot, a line or a polygon."""
    if len(area.outline) > 2:
        return shapely.Polygon(area.outline)
    return shapely.LineString(area.outline) if len(area.outline) == 2 else shapely.Point(*area.outline)


def _area(ground: Ground, area: Area) -> None:
    avoid = area.task == "avoid"
    style: dict[str, Any] = {
        "edgecolor": ink.INK,
        "linewidth": ink.LINE,
        "linestyle": (0, (1, 1.2)) if avoid else (0, (4, 2)),
    }
    if len(area.outline) > 2:
        hatch = "xx" if avoid else None
        ground.axes.add_patch(Polygon(area.outline, facecolor="none", hatch=hatch, zorder=3.0, **style))
    elif len(area.outline) == 2:
        x, y = zip(*area.outline, strict=True)
        ground.axes.plot(x, y, color=ink.INK, linewidth=ink.BOLD, linestyle=(0, (2, 0.8)), zorder=3.0)
    else:
        ground.paper.take(*ground.mm(*area.outline[0]), 3.0, 3.0)
        ground.axes.plot(*area.outline[0], marker="+", color=ink.INK, markersize=7.0, zorder=3.0)
        ring = Circle(
            area.outline[0], 1.4 * ground.metre, fill=False, edgecolor=ink.INK, linewidth=ink.LINE, zorder=3.0
        )
        ground.axes.add_patch(ring)


def _building(ground: Ground, building: Building) -> None:
    if building.eave:
        roof = _roof(building)
        over: dict[str, Any] = {
            "facecolor": "none",
            "edgecolor": ink.GREY,
            "linewidth": ink.THIN,
            "linestyle": (0, (4, 1.5)),
        }
        ground.axes.add_patch(Polygon(roof, zorder=3.6, **over))
    hatch = None if building.neighbour is None else "////"
    walls = Polygon(
        building.outline,
        facecolor=ink.WASH,
        edgecolor=ink.INK,
        linewidth=ink.BOLD,
        hatch=hatch,
        hatchcolor=ink.PALE,
        zorder=3.5,
    )
    walls.set_gid(f"building-{quote(building.id)}")
    ground.axes.add_patch(walls)
    for wall in building.walls:
        along = ((wall.b[0] - wall.a[0]) / wall.length, (wall.b[1] - wall.a[1]) / wall.length)
        for window in wall.windows:
            ends = [(wall.a[0] + s * along[0], wall.a[1] + s * along[1]) for s in window.along]
            x, y = zip(*ends, strict=True)
            ground.axes.plot(x, y, color=ink.PAPER, linewidth=ink.BOLD + 1.2, solid_capstyle="butt", zorder=3.7)
            ground.axes.plot(x, y, color=ink.INK, linewidth=ink.THIN, solid_capstyle="butt", zorder=3.8)


def _roof(building: Building) -> list[tuple[float, float]]:
    """The eaves' edge: walls with an eave pushed out by its depth."""
    if building.eave is None:
        return list(building.outline)
    depth = building.eave.depth
    under = [shapely.LineString([wall.a, wall.b]) for wall in building.walls if wall.id in building.eave.walls]
    strips = [line.buffer(depth, cap_style="square") for line in under]
    return list(shapely.unary_union([shapely.Polygon(building.outline), *strips]).exterior.coords)


def _object(ground: Ground, thing: Object) -> None:
    seldom = thing.there == "sometimes"
    line = (0, (3, 1.5)) if seldom else "solid"
    style: dict[str, Any] = {"edgecolor": ink.GREY, "linewidth": ink.LINE, "linestyle": line, "zorder": 4.0}
    if thing.shape == "crown":
        crown = Circle((thing.spot.x, thing.spot.y), thing.diameter / 2, facecolor="none", hatch="oo", **style)
        crown.set_hatch_linewidth(0.3)
        ground.axes.add_patch(crown)
        if thing.trunk:
            ground.axes.add_patch(
                Circle((thing.spot.x, thing.spot.y), thing.trunk[1] / 2, facecolor=ink.INK, zorder=4.1)
            )
        return
    outline = footprint(thing)
    if thing.to is not None and math.dist((thing.spot.x, thing.spot.y), (thing.to.x, thing.to.y)) > thing.diameter:
        outline = shapely.LineString([(thing.spot.x, thing.spot.y), (thing.to.x, thing.to.y)]).buffer(
            thing.diameter / 2, cap_style="flat"
        )
    least = 0.8 * ground.metre
    if outline.area < least * least:  # still to be seen on the paper
        outline = outline.union(shapely.Point(thing.spot.x, thing.spot.y).buffer(least / 2))
    leaves = thing.kind in ("hedge", "bush")
    corners = list(outline.exterior.coords)
    if not (leaves or seldom):  # under the ground that is seen: what is low hides nothing
        ground.axes.add_patch(Polygon(corners, facecolor=ink.PALE, linewidth=0.0, zorder=0.9))
    patch = Polygon(corners, facecolor="none", hatch="oo" if leaves else None, **style)
    patch.set_hatch_linewidth(0.3)
    patch.set_gid(f"object-{quote(thing.id)}")
    ground.axes.add_patch(patch)


def _cable(ground: Ground, cable: Cable) -> None:
    for leg in cable.legs or ():
        style = COVERS[leg.cover][0]
        x, y = (leg.a.x, leg.b.x), (leg.a.y, leg.b.y)
        ground.axes.plot(x, y, color=ink.MARK, linewidth=ink.LINE, linestyle=style, zorder=4.5)
