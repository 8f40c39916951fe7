"""Reading cables, their routes and connectors; a camera's own `cable` among them."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from types import MappingProxyType
from typing import Any

from oneclimb.plan.here import Here, nearest
from oneclimb.plan.model import Cable, Camera, Connector, Gauge, Leg, Spot
from oneclimb.plan.plain import Fields, all_named, checked, date, measure, named, plain, ranged, word, words
from oneclimb.plan.units import awg
from oneclimb.plan.where import is_placed, spot
from oneclimb.trade.wire_map import read_pins

_CABLE: Fields = MappingProxyType(
    {
        "length": measure("length"),
        "conductor": word,
        "jacket": word,
        "category": word,
        "stranded": word,
        "cords": measure("length"),
        "diameter": measure("length"),
        "suits": words,
        "conduit": named("conduit"),
        "made": word,
        "pins": checked(read_pins),
        "tested": word,
        "mains": measure("length"),
        "surge": word,
        "between": all_named("building"),
        "fire_stopped": word,
        "bend": measure("length"),
    }
)
_JOINT: Fields = MappingProxyType(
    {
        "sits": word,
        "seal": word,
        "terminated": word,
        "until": date,
        "clamps": ranged("length"),
        "box": named("box"),
    }
)


def read_cable(here: Here, cameras: Mapping[str, Camera]) -> Cable | None:
    """A cable of the list ``cables``."""
    camera = here.data.get("camera", "")
    if here.c.lost(camera, cameras, "camera"):
        return None
    if camera and camera not in cameras:
        here.fault("camera", "PLAN-19", f"no camera is called `{camera}`", nearest(camera, cameras))
        return None
    mount = cameras[camera].mount.spot if camera else None
    carries = here.word("carries", "data+power")
    return _cable(here, camera, carries, _connectors(here, camera, mount, carries))


def read_own_cable(here: Here, camera: Camera) -> Cable:
    """The cable written with a camera: its plug is at the mount."""
    carries = here.word("carries", "data+power")
    plug = Here(here.c, here.data, here.path, ("connector", f"{camera.id}-plug"))
    return _cable(here, camera.id, carries, (_joint(plug, camera.mount.spot, here.thing[1], camera.id, carries),))


def _cable(here: Here, camera: str, carries: Any, connectors: tuple[Connector, ...]) -> Cable:
    return Cable(
        id=here.thing[1],
        camera=camera,
        to=here.data.get("to", ""),
        carries=carries,
        legs=_legs(here),
        armoured=here.flag("armoured", "not armoured"),
        connectors=connectors,
        kind=here.word("kind", "copper", "copper, not fibre or coax"),
        gauge=_gauge(here),
        wires=_wires(here),
        through=tuple(here.data.get("through", ())),
        **plain(here, _CABLE),
    )


def _wires(here: Here) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    if not here.has("wires"):
        return None
    one, other = here.data["wires"]
    return tuple(one), tuple(other)


def _gauge(here: Here) -> Gauge | None:
    mm2 = here.maybe("gauge", "cross-section")
    if mm2 is not None and mm2 <= 0:
        here.fault("gauge", "PLAN-26", "a conductor of no size")
    return None if mm2 is None else Gauge(here.data["gauge"], mm2, awg(here.data["gauge"]))


def _legs(here: Here) -> tuple[Leg, ...] | None:
    """The route's stretches; each point says what covers the cable from there to the next."""
    if not here.has("route"):
        return None
    points: list[tuple[Spot | None, Any, float | None]] = []
    for i, entry in enumerate(here.data["route"]):
        one = Here(here.c, entry, (*here.path, "route", i), here.thing, f"route.{i}.")
        placed = spot(one)
        last = i == len(here.data["route"]) - 1
        points.append((placed, "none" if last else one.word("cover", "none", "nothing"), one.maybe("depth")))
    legs = []
    for (a, cover, depth), (b, _, _) in pairwise(points):
        if a and b:
            legs.append(Leg(a, b, cover, depth))
    return tuple(legs)


def _connectors(here: Here, camera: str, mount: Spot | None, carries: Any) -> tuple[Connector, ...]:
    if not here.has("connectors"):
        if not camera:
            return ()
        name = f"{here.thing[1]}-plug"
        here.note("connectors", "one plug at the camera")
        plug = Here(here.c, {}, here.path, ("connector", name))
        here.c.paths["connector", name] = here.path
        return (_joint(plug, mount, here.thing[1], camera, carries),)
    made = []
    for i, entry in enumerate(here.data["connectors"]):
        one = Here(here.c, entry, (*here.path, "connectors", i), ("connector", entry["id"]))
        here.c.paths.setdefault(("connector", entry["id"]), one.path)
        placed = mount
        if is_placed(one):
            placed = spot(one)
        elif mount is not None:
            one.note("at", "at the camera's mount")
        made.append(_joint(one, placed, here.thing[1], camera if placed == mount else "", "data"))
    return tuple(made)


def _joint(here: Here, placed: Spot | None, cable: str, camera: str, carries: Any) -> Connector:
    return Connector(
        id=here.thing[1],
        spot=placed,
        carries=here.word("carries", carries),
        cable=cable,
        camera=camera,
        **plain(here, _JOINT),
    )
