"""Reading cameras: mount, aim, view, and what is built into them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from oneclimb.plan.changes import long_form
from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Here, Raw, nearest
from oneclimb.plan.lenses import read_view
from oneclimb.plan.model import Aim, Area, Camera, Infrared, Mask, Mount, Object, Pane, Power, Spot, Vec, White
from oneclimb.plan.outline import crosses
from oneclimb.plan.read_ground import target
from oneclimb.plan.units import quantity, span
from oneclimb.plan.where import spot
from oneclimb.trade.housing import HOUSINGS

PIXELS = (2560, 1440)
TILT = 15.0
"""degrees below the horizontal where no aim is written (common practice); a doorbell looks level"""


def merged(own: Mapping[str, Any], shared: Mapping[str, Any]) -> dict[str, Any]:
    """A camera's own keys over its type's; mappings are merged key by key, short values written out first."""
    out = {**shared, **own}
    for key, value in shared.items():
        mine = own.get(key)
        if isinstance(mine, dict):
            out[key] = {**long_form(key, value), **mine}
    for key, other in (("view", "lens"), ("lens", "view")):
        if key in own and other not in own:
            out.pop(other, None)
    return out


def with_type(here: Here) -> Here:
    """The camera's mapping with what it inherits from its type."""
    name = here.data.get("type")
    if name is None:
        return here
    if name not in here.c.types:
        here.fault("type", "PLAN-19", f"no type is called `{name}`", nearest(name, here.c.types))
        return here
    return Here(here.c, merged(here.data, here.c.types[name]), here.path, here.thing)


def read_camera(written: Here, targets: Mapping[str, Area | Object]) -> Camera | None:
    """A camera, its type's keys included."""
    here = with_type(written)
    shape = here.word("shape", "turret")
    point, aimed = _aimed_at(here, targets)
    mount = _mount(here, shape, point)
    pixels = _pixels(here)
    view = read_view(here, pixels)
    aim = _aim(here, shape, mount, point, aimed) if mount else None
    night, infrared, white = _night(here)
    behind = here.at("behind")
    here.absent("behind", "no pane in front of it")
    here.absent("masks", "no masks")
    if not (mount and aim and view):
        return None
    return Camera(
        id=here.thing[1],
        shape=shape,
        mount=mount,
        aim=aim,
        view=view,
        pixels=pixels,
        night=night,
        infrared=infrared,
        white=white,
        name=here.data.get("name", ""),
        type=here.data.get("type", ""),
        metering=here.word("metering", "frame"),
        front=here.word("front", "clean"),
        hood=here.flag("hood", "no hood"),
        status_light=None if not here.has("status-light") else here.data["status-light"] == "lit",
        behind=_pane(behind) if here.has("behind") else None,
        moves=here.flag("moves", "does not pan or tilt by itself"),
        masks=_masks(here),
        watches=_watches(here, targets),
        records=here.word("records"),
        link=_link(here),
        power=_power(here),
        bitrate=here.maybe("bitrate", "rate"),
        rated=tuple(here.data["rated"]) if here.has("rated") else None,
    )


def _aimed_at(here: Here, targets: Mapping[str, Area | Object]) -> tuple[Vec | None, str]:
    """The point a camera is aimed at, and the id it was named by; nothing where a bearing or no aim is written."""
    aim = here.data.get("aim")
    if isinstance(aim, str):
        return here.tried("aim", lambda: target(aim, targets)), aim
    if isinstance(aim, dict) and not ("bearing" in aim or "tilt" in aim):
        placed = spot(here.at("aim"))
        return (placed.xyz if placed else None), ""
    return None, ""


def _mount(here: Here, shape: str, point: Vec | None) -> Mount | None:
    mount = here.at("mount")
    to = mount.word("to", "wall")
    house = here.c.buildings.get(mount.data.get("building", next(iter(here.c.buildings), "")))
    eave = house.eave if house else None
    height, out = HOUSINGS[shape].height, 0.0
    if to == "soffit":
        if eave is None:
            mount.fault("to", "PLAN-33", "there is no eave here to have a soffit", "write the house's `eave:`")
            return None
        height, out = eave.height, eave.depth / 2
    placed = spot(mount, height, out)
    arm = mount.size("arm", 0.0, taken="no arm")
    if placed is None:
        return None
    _on_wall(mount, placed, to)
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


def _aim(here: Here, shape: str, mount: Mount, point: Vec | None, name: str) -> Aim | None:
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


def _pixels(here: Here) -> tuple[int, int]:
    here.absent("pixels", f"{PIXELS[0]} x {PIXELS[1]}")
    if not here.has("pixels"):
        return PIXELS
    across, _, down = str(here.data["pixels"]).replace("×", "x").partition("x")
    size = int(across), int(down)
    if not all(16 <= n <= 100_000 for n in size):
        here.fault("pixels", "PLAN-16", f"{here.data['pixels']} is not a picture's size, such as 2560 x 1440")
        return PIXELS
    return size


def _night(here: Here) -> tuple[Any, Infrared | None, White | None]:
    lamps = (here.has("infrared"), here.has("white"))
    usual = {(True, True): "both", (False, True): "white"}.get(lamps, "infrared")
    night = here.word("night", usual)
    infrared = _infrared(here) if here.has("infrared") or night in ("infrared", "both") else None
    white = here.at("white")
    lit = here.has("white") or night in ("white", "both")
    return night, infrared, White(white.maybe("lumens", "flux"), white.maybe("beam", "angle")) if lit else None


def _infrared(here: Here) -> Infrared:
    written = here.data.get("infrared", {})
    if not isinstance(written, dict):
        here = Here(here.c, {"infrared": {"range": written}}, here.path, here.thing)
        reach = here.tried("infrared", lambda: quantity(written, "length", here.c.units))
        one = Here(here.c, {}, (*here.path, "infrared"), here.thing, "infrared.")
    else:
        one = here.at("infrared")
        reach = one.maybe("range")
    if reach is not None and reach <= 0:
        here.fault("infrared", "PLAN-26", "the infrared's range is nothing: write `night: none` if it has none")
        reach = None
    beam = None if one.data.get("beam") == "lens" else one.maybe("beam", "angle")
    if beam is None:
        one.note("beam", "as wide as the view")
    wavelength = one.size("wavelength", 850.0, "wavelength", "850 nm")
    return Infrared(reach, round(wavelength), beam, one.flag("dims", "does not dim its own infrared"))


def _pane(here: Here) -> Pane:
    return Pane(here.maybe("gap"), here.word("sealed"), here.surface("surface", "window glass"))


def _masks(here: Here) -> tuple[Mask, ...]:
    masks: list[Mask] = []
    for i, entry in enumerate(here.data.get("masks", ())):
        one = Here(here.c, entry, (*here.path, "masks", i), here.thing, f"masks.{entry['id']}.")
        outline = one.tried("", lambda one=one: _mask_outline(one))  # type: ignore[misc]
        if any(mask.id == entry["id"] for mask in masks):
            one.fault("id", "PLAN-18", f"another mask of this camera is already called `{entry['id']}`")
        if outline:
            masks.append(Mask(entry["id"], outline, one.word("set", "planned")))
    return tuple(masks)


def _mask_outline(here: Here) -> tuple[tuple[float, float], ...]:
    if here.has("outline") == here.has("box"):
        raise UnreadableError("PLAN-21", "a mask has an `outline` or a `box`: one of the two")
    if here.has("outline"):
        points = tuple((quantity(x, "share"), quantity(y, "share")) for x, y in here.data["outline"])
    else:
        box = here.at("box")
        (x0, x1), (y0, y1) = (span(box.data[key], "share") for key in ("x", "y"))
        if x0 > x1 or y0 > y1:
            raise UnreadableError("PLAN-22", "in a range the smaller number comes first")
        points = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    if any(not 0 <= v <= 1 for point in points for v in point):
        raise UnreadableError("PLAN-16", "a mask lies in the picture: x from 0 (left) to 1, y from 0 (top) to 1")
    if crosses(points):
        raise UnreadableError("PLAN-25", "the mask crosses itself, or covers nothing")
    return points


def _watches(here: Here, targets: Mapping[str, Area | Object]) -> tuple[str, ...]:
    here.absent("watches", "every wanted area in its frame")
    for i, name in enumerate(here.data.get("watches", ())):
        if name in targets:
            continue
        walls = {wall.id for house in here.c.buildings.values() for wall in house.walls}
        if name not in walls:
            text = f"no area, object or wall is called `{name}`"
            hint = nearest(name, [*targets, *sorted(walls)])
            here.c.faults.append(Raw("PLAN-19", text, (*here.path, "watches", i), hint))
    return tuple(here.data.get("watches", ()))


def _link(here: Here) -> Any:
    if here.has("link") or not here.has("cable"):
        return here.word("link")
    if here.data["cable"].get("carries", "data+power") == "power":
        return None
    return here.word("link", "cable", "by the cable written")


def _power(here: Here) -> Power:
    written = here.data.get("power")
    if written is None:
        return Power(None)
    if written == "battery":
        return Power("battery")
    if not isinstance(written, dict):
        return Power(None, here.maybe("power", "power"))
    power = here.at("power")
    return Power(power.word("source"), power.maybe("watts", "power"), power.maybe("capacity", "energy"))
