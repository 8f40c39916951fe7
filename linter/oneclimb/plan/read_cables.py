"""Reading cables, their routes and connectors; a camera's own `cable` among them."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from oneclimb.plan.here import Here, nearest
from oneclimb.plan.model import Cable, Camera, Connector, Leg, Spot
from oneclimb.plan.where import is_placed, spot


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
    return Cable(
        id=here.thing[1],
        camera=camera,
        to=here.data.get("to", ""),
        carries=carries,
        length=here.maybe("length"),
        legs=_legs(here),
        conductor=here.word("conductor"),
        jacket=here.word("jacket"),
        armoured=here.flag("armoured", "not armoured"),
        connectors=_connectors(here, camera, mount, carries),
    )


def read_own_cable(here: Here, camera: Camera) -> Cable:
    """The cable written with a camera: its plug is at the mount."""
    carries = here.word("carries", "data+power")
    name = here.thing[1]
    plug = Here(here.c, here.data, here.path, ("connector", f"{camera.id}-plug"))
    return Cable(
        id=name,
        camera=camera.id,
        to=here.data.get("to", ""),
        carries=carries,
        length=here.maybe("length"),
        legs=_legs(here),
        conductor=here.word("conductor"),
        jacket=here.word("jacket"),
        armoured=here.flag("armoured", "not armoured"),
        connectors=(_joint(plug, camera.mount.spot, name, camera.id, carries),),
    )


def _legs(here: Here) -> tuple[Leg, ...] | None:
    """The route's stretches; each point says what covers the cable from there to the next."""
    if not here.has("route"):
        return None
    points: list[tuple[Spot | None, Any]] = []
    for i, entry in enumerate(here.data["route"]):
        one = Here(here.c, entry, (*here.path, "route", i), here.thing, f"route.{i}.")
        placed = spot(one)
        last = i == len(here.data["route"]) - 1
        points.append((placed, "none" if last else one.word("cover", "none", "nothing")))
    legs = []
    for (a, cover), (b, _) in pairwise(points):
        if a and b:
            legs.append(Leg(a, b, cover))
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
        sits=here.word("sits"),
        seal=here.word("seal"),
        carries=here.word("carries", carries),
        terminated=here.word("terminated"),
        until=here.date("until"),
        cable=cable,
        camera=camera,
    )
