"""Reading where a camera is fixed and where it looks."""

from __future__ import annotations

import math
from collections.abc import Mapping

from oneclimb.plan.heights import check_height
from oneclimb.plan.here import Here
from oneclimb.plan.model import Aim, Area, Mount, Object, Spot, Vec
from oneclimb.plan.read_ground import target
from oneclimb.plan.where import spot
from oneclimb.trade.housing import HOUSINGS

TILT = 15.0
"""degrees below the horizontal where no aim is written (common practice); a doorbell looks level"""


def aimed_at(here: Here, targets: Mapping[str, Area | Object]) -> tuple[Vec | None, str]:
    """The point a camera is aimed at, and the id it was named by; nothing where a bearing or no aim is written."""
    aim = here.data.get("aim")
    if isinstance(aim, str):
        return here.tried("aim", lambda: target(here.c, aim, targets)), aim
    if isinstance(aim, dict) and not ("bearing" in aim or "tilt" in aim):
        placed = spot(here.at("aim"))
        return (placed.xyz if placed else None), ""
    return None, ""


def read_mount(here: Here, shape: str, point: Vec | None) -> Mount | None:
    """Where a camera is fixed; ``point`` is what it is aimed at, if that is a point."""
    mount = here.at("mount")
    to = mount.word("to", "wall")
    house = here.c.buildings.get(mount.data.get("building", next(iter(here.c.buildings), "")))
    eave = house.eave if house else None
    height, out = HOUSINGS[shape].height, 0.0
    if to == "soffit":
        if house is None and here.c.roofless():
            return None
        if eave is None:
            mount.fault("to", "PLAN-33", "there is no eave here to have a soffit", "write the house's `eave:`")
            return None
        height, out = eave.height, eave.depth / 2
    placed = spot(mount, height, out)
    arm = mount.size("arm", 0.0, taken="no arm")
    if placed is None:
        return None
    _on_wall(mount, placed, to)
    check_height(mount, placed.z, placed.building, placed.out)
    normal = _faces(here, placed, to, point)
    if arm and normal == (0.0, 0.0, 0.0):
        mount.fault("arm", "PLAN-30", "an arm needs a wall to reach out from")
    moved = Spot(
        placed.x + normal[0] * arm,
        placed.y + normal[1] * arm,
        placed.z + normal[2] * arm,
        placed.building,
        placed.wall,
        placed.along,
        placed.out + (arm if normal[2] == 0.0 else 0.0),
        placed.normal,
    )
    return Mount(moved, to, normal, arm)


def _on_wall(mount: Here, placed: Spot, to: str) -> None:
    """A camera on a wall is on it: not past its ends."""
    house = mount.c.buildings.get(placed.building)
    wall = next((w for w in house.walls if w.id == placed.wall), None) if house else None
    if wall and to == "wall" and not -0.005 <= placed.along <= wall.length + 0.005:
        text = f"{mount.c.say.tape(placed.along)} along is off the wall, which is {mount.c.say.tape(wall.length)} long"
        mount.fault("along", "PLAN-23", text)


def _faces(here: Here, placed: Spot, to: str, point: Vec | None) -> Vec:
    """The direction away from what it is fixed to: the wall's, or where it looks, on a pole."""
    if to in ("soffit", "ceiling"):
        return (0.0, 0.0, -1.0)
    if placed.normal != (0.0, 0.0):
        return (*placed.normal, 0.0)
    aim = here.data.get("aim")
    if isinstance(aim, dict) and "bearing" in aim:
        bearing = here.at("aim").maybe("bearing", "angle")
        return (*here.c.unit(bearing), 0.0) if bearing is not None else (0.0, 0.0, 0.0)
    if point is None or math.hypot(point[0] - placed.x, point[1] - placed.y) < 0.01:
        return (0.0, 0.0, 0.0)
    far = math.hypot(point[0] - placed.x, point[1] - placed.y)
    return ((point[0] - placed.x) / far, (point[1] - placed.y) / far, 0.0)


def pivot(mount: Mount, shape: str) -> Vec:
    """The point a camera turns about, just off what it is fixed to."""
    out, n, s = HOUSINGS[shape].out, mount.normal, mount.spot
    return (s.x + n[0] * out, s.y + n[1] * out, s.z + n[2] * out)


def read_aim(here: Here, shape: str, mount: Mount, point: Vec | None, name: str) -> Aim | None:
    """Where a camera looks: at a point (of the thing named, if any), by bearing and tilt, or straight out."""
    turned = here.size("turned", 0.0, "angle", "upright")
    aim = here.data.get("aim")
    if aim is None:
        return _straight(here, shape, mount, turned)
    if isinstance(aim, dict) and ("bearing" in aim or "tilt" in aim):
        return _bearing(here.at("aim"), mount, turned)
    if point is None:
        return None
    x, y, z = pivot(mount, shape)
    dx, dy, dz = point[0] - x, point[1] - y, point[2] - z
    if math.sqrt(dx * dx + dy * dy + dz * dz) < 0.05:
        here.fault("aim", "PLAN-30", "the camera is aimed at its own place")
        return None
    return Aim(here.c.bearing(dx, dy), math.degrees(math.atan2(-dz, math.hypot(dx, dy))), turned, name)


def _straight(here: Here, shape: str, mount: Mount, turned: float) -> Aim | None:
    nx, ny = mount.spot.normal
    if (nx, ny) == (0.0, 0.0):
        here.fault(
            "",
            "PLAN-30",
            "where the camera looks is missing",
            "write `aim:` with an area's id, or a bearing and a tilt",
        )
        return None
    tilt = 0.0 if shape == "doorbell" else TILT
    here.note("aim", f"straight out from the wall, {tilt:g} deg down" if tilt else "straight out from the wall, level")
    return Aim(here.c.bearing(nx, ny), tilt, turned)


def _bearing(aim: Here, mount: Mount, turned: float) -> Aim | None:
    bearing = aim.maybe("bearing", "angle")
    if bearing is None and not aim.has("bearing") and mount.spot.normal != (0.0, 0.0):
        bearing = aim.c.bearing(*mount.spot.normal)
        aim.note("bearing", "straight out from the wall")
    if bearing is None:
        aim.fault("", "PLAN-30", "the bearing the camera looks along is missing")
        return None
    tilt = aim.size("tilt", TILT, "angle", f"{TILT:g} deg down")
    if abs(tilt) > 90:
        aim.fault("tilt", "PLAN-16", "a tilt lies between -90 (straight up) and 90 (straight down)")
        return None
    return Aim(bearing % 360.0, tilt, turned)
