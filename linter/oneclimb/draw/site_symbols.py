"""Small things of the site from above, each of a size of its own on the paper: gear, lamps, cameras."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from matplotlib.patches import Circle, PathPatch, Polygon

from oneclimb.draw import ink
from oneclimb.draw.ground_plan import beam
from oneclimb.place.lens import axes as camera_axes
from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.draw.ground_plan import Ground
    from oneclimb.plan.model import Camera, Lamp, Plan

LAMP_RAYS = 8
SIGHT = 7.0
"""mm of the lines that show how wide a camera sees"""


def gear(plan: Plan) -> dict[str, tuple[float, float]]:
    """Where boxes, switches, supplies, recorders, access points and panels are, by what they are called."""
    kinds: Sequence[Sequence[Any]] = (plan.boxes, plan.switches, plan.supplies, plan.recorders, plan.access_points)
    listed = [thing for kind in kinds for thing in kind]
    found = {thing.id: (thing.spot.x, thing.spot.y) for thing in listed if thing.spot}
    panels = [(camera.id, camera.power.panel) for camera in plan.cameras if camera.power and camera.power.panel]
    return found | {f"{name}: panel": (one.spot.x, one.spot.y) for name, one in panels if one.spot}


def boxed(ground: Ground, x: float, y: float) -> None:
    """A crossed box."""
    ground.paper.take(*ground.mm(x, y), 2.4, 2.4)
    half = 1.1 * ground.metre
    corners = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    ground.axes.add_patch(Polygon(corners, facecolor=ink.PAPER, edgecolor=ink.INK, linewidth=ink.LINE, zorder=5.0))
    ground.axes.plot((x - half, x + half), (y - half, y + half), color=ink.INK, linewidth=ink.THIN, zorder=5.1)


def lit(ground: Ground, lamp: Lamp) -> None:
    """A ring with rays."""
    mm, x, y = ground.metre, lamp.spot.x, lamp.spot.y
    ground.paper.take(*ground.mm(x, y), 3.6, 3.6)
    for i in range(LAMP_RAYS):
        c, s = math.cos(2 * math.pi * i / LAMP_RAYS), math.sin(2 * math.pi * i / LAMP_RAYS)
        ends = [x + mm * c, x + 1.9 * mm * c], [y + mm * s, y + 1.9 * mm * s]
        ground.axes.plot(*ends, color=ink.INK, linewidth=ink.LINE, zorder=5.0)
    ground.axes.add_patch(
        Circle((x, y), 0.8 * mm, facecolor=ink.PAPER, edgecolor=ink.INK, linewidth=ink.LINE, zorder=5.0)
    )


def looking(ground: Ground, camera: Camera, plan: Plan, colour: str) -> None:
    """A lens that looks where the camera does, and the edges of what it sees."""
    spot, aim = camera.mount.spot, camera.aim
    forward = camera_axes(aim.bearing, aim.tilt, aim.turned, plan.site.plus_y)[2]
    heading = math.atan2(forward[1], forward[0])
    for side in (-0.5, 0.5) if camera.view.across < 180 else ():
        turn = heading + side * math.radians(camera.view.across)
        ends = [(at, at + SIGHT * ground.metre * way(turn)) for at, way in ((spot.x, math.cos), (spot.y, math.sin))]
        ground.axes.plot(*ends, color=colour, linewidth=ink.THIN, zorder=5.9)
    shape = beam(heading, spot.x, spot.y, ground.metre)
    body = PathPatch(shape, facecolor=colour, edgecolor=ink.PAPER, linewidth=0.8, zorder=6.0)
    body.set_gid(f"camera-{quote(camera.id)}")
    ground.axes.add_patch(body)
    ground.paper.take(*ground.mm(spot.x, spot.y), 4.5, 4.5)
