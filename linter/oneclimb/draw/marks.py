"""The findings' numbers on a drawing: a square is an error, a diamond a warning, a circle a note."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

import shapely
from matplotlib.patches import Circle, Polygon

from oneclimb.api import Finding, Level, Ref
from oneclimb.draw import ink

if TYPE_CHECKING:
    from oneclimb.draw import Sitting
    from oneclimb.draw.ground_plan import Ground
    from oneclimb.plan.model import Cable, Plan

SIZE = 4.0
"""mm a mark takes"""
GAP = 1.1
PITCH = SIZE + GAP
TAKEN = 80.0
"""mm under the ground that scale bar and north take of a row of marks"""
ROW = 5
"""marks side by side in a cluster"""
LEADER = 3.5
"""mm from its place beyond which a cluster is tied to it by a line"""

Place = tuple[float, float]


def places(sitting: Sitting) -> dict[Place | None, list[tuple[int, Level]]]:
    """The findings by where they are, m; those of no one place under None."""
    found: dict[Place | None, list[tuple[int, Level]]] = {}
    plan = sitting.world.plan
    for number, one in sitting.numbered:
        found.setdefault(place_of(one.finding, plan), []).append((number, one.finding.level))
    return found


def place_of(finding: Finding, plan: Plan) -> Place | None:
    """Where a finding's thing stands; None where it has no place on the site."""
    return _place(finding.at.thing, plan)


def _place(ref: Ref, plan: Plan) -> Place | None:
    things: Mapping[str, Iterable[Any]] = {
        "camera": plan.cameras,
        "object": plan.objects,
        "lamp": plan.lamps,
        "area": plan.areas,
        "building": plan.buildings,
        "land": plan.land,
        "cable": plan.cables,
        "connector": [joint for cable in plan.cables for joint in cable.connectors],
        "box": plan.boxes,
        "switch": plan.switches,
        "supply": plan.supplies,
        "recorder": plan.recorders,
        "access-point": plan.access_points,
    }
    thing = next((one for one in things.get(ref.kind, ()) if one.id == ref.id), None)
    if thing is None:
        return None
    if ref.kind == "camera":
        return thing.mount.spot.x, thing.mount.spot.y
    if ref.kind == "cable" and thing.legs:
        return _along(thing)
    if hasattr(thing, "outline"):
        return _middle(thing.outline)
    spot = getattr(thing, "spot", None)
    if spot is not None:
        return spot.x, spot.y
    owner = getattr(thing, "camera", "") or next((c.camera for c in plan.cables if thing in c.connectors), "")
    return _place(Ref("camera", owner), plan) if owner else None


def _along(cable: Cable) -> Place:
    """Half-way along a cable's route."""
    legs = cable.legs or ()
    line = shapely.LineString([(legs[0].a.x, legs[0].a.y), *((leg.b.x, leg.b.y) for leg in legs)])
    middle = line.interpolate(0.5, normalized=True)
    return middle.x, middle.y


def _middle(outline: tuple[Place, ...]) -> Place:
    if len(outline) < 3:
        return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)
    point = shapely.Polygon(outline).representative_point()
    return point.x, point.y


def marked(ground: Ground, found: Mapping[Place | None, list[tuple[int, Level]]]) -> None:
    """Every finding's mark beside its place, in clusters that lie over nothing."""
    for place, numbers in sorted(found.items(), key=lambda item: -len(item[1])):
        if place is None:
            continue
        columns, rows = min(ROW, len(numbers)), -(-len(numbers) // ROW)
        wide, high = columns * PITCH, rows * PITCH
        at = ground.mm(*place)
        middle = ground.paper.room(*at, wide, high, off=2.0)
        corner = middle[0] - wide / 2, middle[1] + high / 2
        if max(abs(middle[0] - at[0]) - wide / 2, abs(middle[1] - at[1]) - high / 2) > LEADER:
            nearest = min(_middles(len(numbers), corner, ROW), key=lambda one: math.dist(one, at))
            x, y = zip(place, ground.m(*nearest), strict=True)
            ground.axes.plot(x, y, color=ink.INK, linewidth=ink.THIN, zorder=8.0)
        _cluster(ground, numbers, corner)


def loose_rows(numbers: list[tuple[int, Level]], wide: float) -> int:
    """How many rows those of no one place make under ground ``wide`` mm wide."""
    return max(1, -(-len(numbers) // _across(wide)))


def _across(wide: float) -> int:
    return max(1, int((wide - TAKEN) / PITCH))


def loose(ground: Ground, numbers: list[tuple[int, Level]]) -> None:
    """Those of no one place, under the ground at its right."""
    if not numbers:
        return
    columns = min(len(numbers), _across(ground.paper.wide))
    left = ground.paper.wide - 14.0 - columns * PITCH
    ground.axes.text(*ground.m(left - 1.0, -4.2), "the whole:", size=6.5, ha="right", va="center", clip_on=False)
    _cluster(ground, numbers, (left, -4.2 + PITCH / 2), columns)


def _cluster(ground: Ground, numbers: list[tuple[int, Level]], corner: Place, columns: int = ROW) -> None:
    for (number, level), middle in zip(numbers, _middles(len(numbers), corner, columns), strict=True):
        mark(ground, number, level, ground.m(*middle))


def _middles(count: int, corner: Place, columns: int) -> list[Place]:
    """Where the marks of a cluster go, mm, row by row from its upper left."""
    cells = (divmod(i, columns) for i in range(count))
    return [(corner[0] + (column + 0.5) * PITCH, corner[1] - (row + 0.5) * PITCH) for row, column in cells]


def mark(ground: Ground, number: int, level: Level, at: Place) -> None:
    """One mark, which in a page leads to its finding."""
    half, (x, y) = SIZE / 2 * ground.metre, at
    face, words = (ink.INK, ink.PAPER) if level == "error" else (ink.PAPER, ink.INK)
    weight = {"error": ink.THIN, "warning": 1.4, "note": ink.THIN}[level]
    style: dict[str, Any] = {
        "facecolor": face,
        "edgecolor": ink.INK,
        "linewidth": weight,
        "zorder": 10.0,
        "clip_on": False,
    }
    if level == "error":
        h = 0.88 * half
        shape: Any = Polygon([(x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h)], **style)
    elif level == "warning":
        h = 1.12 * half
        shape = Polygon([(x - h, y), (x, y - h), (x + h, y), (x, y + h)], **style)
    else:
        shape = Circle((x, y), half, **style)
    shape.set_url(f"#finding-{number}")
    shape.set_gid(f"shape-{number}")
    ground.axes.add_patch(shape)
    size = 6.0 if number < 100 else 5.0
    ground.axes.text(x, y, str(number), size=size, color=words, ha="center", va="center_baseline", zorder=10.1)
