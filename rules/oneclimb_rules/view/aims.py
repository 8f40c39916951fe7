"""What can be done to a camera so that it shows an area better: aim, tilt, lens."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oneclimb.api import Change, Ref
from oneclimb.plan.model import Camera
from oneclimb_rules.moves import Move, aimed, down, turn

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Area

STEP = 5
"""degrees between lenses that are tried"""
NARROWEST, WIDEST = 20, 120
"""degrees across: lenses of fixed cameras"""
TURNS = 40
"""degrees a camera is turned at most"""


def up(camera: Camera, furthest: int = 20) -> Iterator[Move]:
    """Tilted further up, a degree at a time, on the same bearing."""
    tilts = [camera.aim.tilt - i for i in range(1, furthest + 1) if camera.aim.tilt - i >= 0]
    steps = tuple(aimed(camera, camera.aim.bearing, tilt) for tilt in tilts)
    yield Move(lambda i: f"tilt {camera.id} {i + 1}° further up", steps)


def aims(camera: Camera) -> Iterator[Move]:
    """Every small change of aim; none of a doorbell, which neither turns nor tilts."""
    if camera.shape != "doorbell":
        yield from (*turn(camera, TURNS), *down(camera), *up(camera))


def wider(camera: Camera) -> Move:
    """A wider lens, 5° at a time."""
    angles = [angle for angle in range(NARROWEST, WIDEST + 1, STEP) if angle > camera.view.across]
    return _lens(camera, angles, "wider")


def narrower(camera: Camera) -> Move:
    """A narrower lens, 5° at a time."""
    angles = [angle for angle in range(WIDEST, NARROWEST - 1, -STEP) if angle < camera.view.across]
    return _lens(camera, angles, "narrower")


def _lens(camera: Camera, angles: list[int], how: str) -> Move:
    steps = tuple((Change("replace", Ref("camera", camera.id, "view"), f"{angle} deg"),) for angle in angles)
    return Move(lambda i: f"a {how} lens for {camera.id}, {angles[i]}° across", steps)


def at(camera: Camera, area: Area) -> tuple[Change, ...]:
    """The edit that aims a camera at an area."""
    return (Change("replace", Ref("camera", camera.id, "aim"), area.id),)


def nearest(area: Area, q: Query) -> tuple[Camera, ...]:
    """Cameras that name no other ground in ``watches``, the nearest to an area first."""
    x, y = (sum(corner[i] for corner in area.outline) / len(area.outline) for i in (0, 1))

    def away(camera: Camera) -> float:
        spot = camera.mount.spot
        return float((spot.x - x) ** 2 + (spot.y - y) ** 2)

    able = [camera for camera in q.all("camera") if not camera.watches or area.id in camera.watches]
    return tuple(sorted(able, key=away))
