"""Where a cable's low stretches can really be run higher: what must come down stays down."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from oneclimb.api import Query, Ref
from oneclimb_rules.moves import TAPE, foot, metres

if TYPE_CHECKING:
    from oneclimb.plan.model import Cable, Leg, Spot

HIGHEST = 3.0
"""m: cables are raised to here at most (above it a trained person: common practice)"""
AT_CAMERA = 0.3
"""m: a route's end this near its camera's screw hole is where the camera is, and stays there (estimate)"""
EXACT = 1e-6


def raised(cable: Cable, low: Sequence[int], q: Query) -> Iterator[tuple[float, list[tuple[int, str]]]]:
    """Heights above the ground, from low to high, m, each with the points of the route that rise to it as edits.

    ``low`` are the legs within reach. Of those only ends below the height rise. Nothing is
    offered where an end must stay low, or heights are written from a storey's floor or from a
    building's ground away from its walls; nor a height at which a stretch would vanish.
    """
    legs: tuple[Leg, ...] = cable.legs or ()
    spots = [legs[0].a, *(leg.b for leg in legs)]
    points = sorted({point for leg in low for point in (leg, leg + 1)})
    route = Ref("cable", cable.id)
    floors = [*(f"route.{i}.storey" for i in points), *(f"route.{i}.building" for i in points if not spots[i].wall)]
    if any(q.known(route.at(floor)) == "written" for floor in floors):
        return
    ground = {point: foot(spots[point], q) for point in points}
    heights = {point: spots[point].z - ground[point] for point in points}
    kept = {point for leg in low for point in _kept(leg, low, spots)} | set(_at_camera(cable, spots, q))
    lowest = min(heights.values())
    for step in range(math.floor(lowest / TAPE + EXACT) + 1, round(HIGHEST / TAPE) + 1):
        up = step * TAPE
        rising = {point for point in points if heights[point] < up - EXACT}
        if rising & kept:
            return
        now = [spots[i].z if i not in rising else ground[i] + up for i in range(len(spots))]
        if all(_apart(spots[leg], spots[leg + 1], now[leg] - now[leg + 1]) >= TAPE - EXACT for leg in low):
            yield up, [(point, metres(up)) for point in sorted(rising)]


def _kept(leg: int, low: Sequence[int], spots: Sequence[Spot]) -> Iterator[int]:
    """The lower end of a drop that ends there, or goes in or under cover there: it comes down to go somewhere."""
    ends = (leg, leg + 1)
    if _apart(spots[leg], spots[leg + 1], 0.0) >= TAPE:
        return
    under = min(ends, key=lambda point: spots[point].z)
    onward = leg + 1 if under == leg + 1 else leg - 1
    if onward not in low:
        yield under


def _at_camera(cable: Cable, spots: Sequence[Spot], q: Query) -> Iterator[int]:
    """The ends of the route that are at the camera."""
    if not cable.camera:
        return
    hole = q.get(Ref("camera", cable.camera)).mount.spot
    yield from (i for i in (0, len(spots) - 1) if math.dist(spots[i].xyz, hole.xyz) <= AT_CAMERA)


def _apart(a: Spot, b: Spot, rise: float) -> float:
    """Distance of two points of the plan, one ``rise`` above the other, m."""
    return math.hypot(a.x - b.x, a.y - b.y, rise)
