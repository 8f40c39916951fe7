"""Reading cameras: their type's keys, what they see by, and what is built into them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from oneclimb.plan.changes import long_form
from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Here, Raw, nearest
from oneclimb.plan.lenses import read_view
from oneclimb.plan.model import Area, Camera, Infrared, Mask, Object, White
from oneclimb.plan.outline import crosses
from oneclimb.plan.read_body import read_body
from oneclimb.plan.read_feed import read_kept, read_power
from oneclimb.plan.read_mounts import aimed_at, read_aim, read_mount
from oneclimb.plan.units import quantity, span

PIXELS = (2560, 1440)


def merged(own: Mapping[str, Any], shared: Mapping[str, Any]) -> dict[str, Any]:
    """A camera's own keys over its type's; mappings are merged key by key, short values written out first."""
    out = {**shared, **own}
    for key, value in shared.items():
        mine = own.get(key)
        if isinstance(mine, dict):
            out[key] = _over(mine, long_form(key, value))
    for key, other in (("view", "lens"), ("lens", "view")):
        if key in own and other not in own:
            out.pop(other, None)
    return out


def _over(own: Mapping[str, Any], shared: Mapping[str, Any]) -> dict[str, Any]:
    """One mapping over another, and so on within."""
    both = {key: _over(mine, shared[key]) for key, mine in own.items() if _mappings(mine, shared.get(key))}
    return {**shared, **own, **both}


def _mappings(*values: Any) -> bool:
    return all(isinstance(value, dict) for value in values)


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
    point, aimed = aimed_at(here, targets)
    mount = read_mount(here, shape, point)
    pixels = _pixels(here)
    view = read_view(here, pixels)
    aim = read_aim(here, shape, mount, point, aimed) if mount else None
    night, infrared, white = _night(here)
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
        moves=here.flag("moves", "does not pan or tilt by itself"),
        masks=_masks(here),
        watches=_watches(here, targets),
        records=here.word("records"),
        link=_link(here),
        power=read_power(here),
        recorded=_size(here, "recorded") if here.has("recorded") else None,
        rated=tuple(here.data["rated"]) if here.has("rated") else None,
        **read_kept(here),
        **read_body(here),
    )


def _pixels(here: Here) -> tuple[int, int]:
    here.absent("pixels", f"{PIXELS[0]} x {PIXELS[1]}")
    return _size(here, "pixels") or PIXELS if here.has("pixels") else PIXELS


def _size(here: Here, key: str) -> tuple[int, int] | None:
    across, _, down = str(here.data[key]).replace("×", "x").partition("x")
    size = int(across), int(down)
    if not all(16 <= n <= 100_000 for n in size):
        here.fault(key, "PLAN-16", f"{here.data[key]} is not a picture's size, such as 2560 x 1440")
        return None
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


def _masks(here: Here) -> tuple[Mask, ...]:
    masks: list[Mask] = []
    for i, entry in enumerate(here.data.get("masks", ())):
        one = Here(here.c, entry, (*here.path, "masks", i), here.thing, f"masks.{entry['id']}.")
        outline = one.tried("", partial(_mask_outline, one))
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
        if name in targets or here.c.lost(name, targets, "area", "object"):
            continue
        walls = {wall.id for house in here.c.buildings.values() for wall in house.walls}
        if name not in walls and not here.c.roofless():
            text = f"no area, object or wall is called `{name}`"
            hint = nearest(name, [*targets, *sorted(walls)])
            here.c.faults.append(Raw("PLAN-19", text, (*here.path, "watches", i), hint))
    return tuple(here.data.get("watches", ()))


def _link(here: Here) -> Any:
    if here.has("link"):
        return here.word("link")
    if not here.has("cable"):
        return here.word("link", "wireless", "by what is written of its radio") if here.has("wireless") else None
    if here.data["cable"].get("carries", "data+power") == "power":
        return None
    return here.word("link", "cable", "by the cable written")
