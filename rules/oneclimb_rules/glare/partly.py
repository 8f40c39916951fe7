"""A turn away from what sends light back, where none cures it: it may still help in part."""

from __future__ import annotations

import math
from bisect import bisect_left
from typing import TYPE_CHECKING

from msgspec.structs import replace

from oneclimb_rules import moves

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from oneclimb.api import Change, Query, Ref, Remedy, Trial
    from oneclimb.plan.model import Camera

PART = "expect part of the view back"


def turned_away(camera: Camera, thing: Ref, q: Trial, sees: Callable[[Query], bool]) -> Remedy | None:
    """As far away from a thing as the wanted ground stays in the frame: one trial, None where it helps too little."""
    side = _side(camera, thing, q)
    if side is None:
        return None
    left, right = moves.turn(camera)
    move = right if side > 0 else left
    last = bisect_left(move.steps, x=True, key=lambda step: not _stays(step, q, sees)) - 1
    turned = q.lessens(move.words(last), move.steps[last]) if last >= 0 else None
    return in_part(turned) if turned else None


def in_part(remedy: Remedy) -> Remedy:
    """The same remedy, with what to expect of it where it only helps."""
    return replace(remedy, text=f"{remedy.text}: {PART}") if remedy.partial else remedy


def _side(camera: Camera, thing: Ref, q: Query) -> float | None:
    """Which way is away from a thing, more than 0 to the right; None where it has no side.

    An object is where it stands; the wall that the camera is on is behind the camera's screw holes.
    """
    spot = camera.mount.spot
    if thing.kind == "object":
        to = q.get(thing).spot
        x, y = to.x - spot.x, to.y - spot.y
    elif (thing.kind, thing.id, thing.field) == ("building", spot.building, f"walls.{spot.wall}"):
        x, y = -spot.normal[0], -spot.normal[1]
    else:
        return None
    bearing = q.plan.site.plus_y + math.degrees(math.atan2(x, y))
    return -math.remainder(bearing - camera.aim.bearing, 360.0) or None


def _stays(step: Sequence[Change], q: Query, sees: Callable[[Query], bool]) -> bool:
    """Whether the plan can take a step and the wanted ground stays in the frame."""
    try:
        return sees(q.vary(*step))
    except ValueError:
        return False
