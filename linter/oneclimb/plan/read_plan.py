"""Every noun of a plan, read in the order they lean on one another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeVar

from oneclimb.api import as_written
from oneclimb.plan.here import Context, Here, each, nearest
from oneclimb.plan.limits import passed
from oneclimb.plan.model import Area, Assumed, Cable, Camera, Object, Plan, Vec2
from oneclimb.plan.plain import names_of
from oneclimb.plan.read_buildings import read_buildings
from oneclimb.plan.read_cables import read_cable, read_own_cable
from oneclimb.plan.read_cameras import read_camera
from oneclimb.plan.read_conduits import read_box, read_conduit
from oneclimb.plan.read_gear import read_gear
from oneclimb.plan.read_ground import read_area, read_lamp
from oneclimb.plan.read_land import read_boundary, read_land
from oneclimb.plan.read_objects import read_object
from oneclimb.plan.read_packs import added, lights, read_things
from oneclimb.plan.read_policy import read_constants, read_deviations, read_materials, read_settings
from oneclimb.plan.read_site import read_site
from oneclimb.plan.sense import Solids, check_camera, check_width

if TYPE_CHECKING:
    from oneclimb.api import Kind

T = TypeVar("T")


def read_plan(
    c: Context, data: Mapping[str, Any], kinds: Mapping[str, Kind[Any]], schema: Mapping[str, Any]
) -> tuple[Plan, Solids]:
    """Every noun of a plan; faults and defaults are left in the context."""
    if "units" not in data:
        c.notes["site", "site"] = {"units": "metres"}
    c.named = names_of(data)
    site = read_site(c, data)
    c.types = data.get("types", {})
    c.paths.update({("type", name): ("types", name) for name in c.types})
    materials = read_materials(c, data)
    buildings = read_buildings(c, data)
    sides = read_boundary(c, data)
    land = read_land(c, data, sides)
    _neighbours_named(c, land)
    objects = tuple(o for here in each(c, data, "objects", "object") for o in read_object(here))
    areas = _read(each(c, data, "areas", "area"), read_area)
    targets = targets_of(objects, areas)
    lamps = _read(each(c, data, "lamps", "lamp"), lambda here: read_lamp(here, targets))
    cameras = _cameras(c, data, targets)
    cables = _cables(c, data, cameras)
    conduits = _read(each(c, data, "conduits", "conduit"), read_conduit)
    boxes = _read(each(c, data, "boxes", "box"), read_box)
    gear = read_gear(c, data)
    things = MappingProxyType({key: read_things(c, data, key, kind) for key, kind in kinds.items()})
    plan = Plan(
        units=c.units,
        site=site,
        buildings=buildings,
        boundary=tuple(a for _, a, _ in sides),
        land=land,
        objects=objects,
        areas=areas,
        lamps=(*lamps, *lights(c, kinds, things)),
        cameras=cameras,
        cables=cables,
        conduits=conduits,
        boxes=boxes,
        **gear,
        materials=materials,
        constants=read_constants(c, data),
        settings=read_settings(c, data, schema),
        deviations=read_deviations(c, data),
        things=things,
        added=added(kinds, things),
        assumed=assumed_of(c),
        limits=c.limits,
    )
    solids = Solids.of(buildings, objects)
    for camera in cameras:
        check_camera(c, camera, solids)
    check_width(c, _placed(plan))
    return plan, solids


def _read(entries: Iterable[Here], read: Callable[[Here], T | None]) -> tuple[T, ...]:
    return tuple(thing for here in entries if (thing := read(here)) is not None)


def targets_of(objects: Iterable[Object], areas: Iterable[Area]) -> dict[str, Area | Object]:
    """What can be aimed at, by id. An area goes before an object of the same id."""
    return {**{o.id: o for o in objects}, **{a.id: a for a in areas}}


def _neighbours_named(c: Context, land: tuple[Any, ...]) -> None:
    known = [one.id for one in land]
    for building in c.buildings.values():
        if building.neighbour is not None and building.neighbour not in known:
            here = Here(c, {}, c.paths["building", building.id], ("building", building.id))
            text = f"no neighbour is called `{building.neighbour}`"
            here.fault("neighbour", "PLAN-19", text, nearest(building.neighbour, known))


def _cameras(c: Context, data: Mapping[str, Any], targets: Mapping[str, Area | Object]) -> tuple[Camera, ...]:
    if len(data["cameras"]) > c.limits.cameras:
        what = passed("cameras", f"{len(data['cameras'])} cameras are more than {c.limits.cameras}")
        Here(c, data, (), ("site", "site")).fault("cameras", "PLAN-02", what, at_key=True)
        return ()
    return _read(each(c, data, "cameras", "camera"), lambda here: read_camera(here, targets))


def _cables(c: Context, data: Mapping[str, Any], cameras: tuple[Camera, ...]) -> tuple[Cable, ...]:
    by_id = {camera.id: camera for camera in cameras}
    own = [own_cable(c, data, camera) for camera in cameras]
    listed = _read(each(c, data, "cables", "cable"), lambda here: read_cable(here, by_id))
    cables = (*(cable for cable in own if cable), *listed)
    seen: set[str] = set()
    for joint in (joint for cable in cables for joint in cable.connectors):
        if joint.id in seen:
            path = c.paths["cable", joint.cable]
            Here(c, {}, path, ("connector", joint.id)).fault(
                "connectors", "PLAN-18", f"another connector is already called `{joint.id}`"
            )
        seen.add(joint.id)
    return cables


def own_cable(c: Context, data: Mapping[str, Any], camera: Camera) -> Cable | None:
    """The cable written with a camera (its type's `cable` does not count: it goes elsewhere)."""
    path = c.paths["camera", camera.id]
    entry = data["cameras"][path[1]]
    if "cable" not in entry:
        return None
    name = f"{camera.id}-cable"
    c.paths["cable", name] = (*path, "cable")
    c.paths["connector", f"{camera.id}-plug"] = (*path, "cable")
    return read_own_cable(Here(c, entry["cable"], (*path, "cable"), ("cable", name)), camera)


def assumed_of(c: Context) -> tuple[Assumed, ...]:
    """The defaults in use, one entry for each kind, field and value; ids in the plan's order."""
    groups: defaultdict[tuple[str, str, str], list[str]] = defaultdict(list)
    order = {thing: i for i, thing in enumerate(c.paths)}
    for (kind, name), notes in sorted(c.notes.items(), key=lambda one: order.get(one[0], -1)):
        for where, taken in notes.items():
            groups[kind, where, taken].append(name)
    return tuple(Assumed(*key, tuple(ids)) for key, ids in sorted(groups.items()))


def _placed(plan: Plan) -> Iterator[tuple[tuple[str, str], Vec2]]:
    """Everything that has a place, with one point of it, or every corner."""
    for kind, outlined in (("building", plan.buildings), ("area", plan.areas), ("land", plan.land)):
        for one in outlined:
            for corner in one.outline:
                yield (kind, one.id), corner
    for camera in plan.cameras:
        yield ("camera", camera.id), (camera.mount.spot.x, camera.mount.spot.y)
    for kind, things in _with_spot(plan):
        for thing in things:
            if thing.spot:
                yield (kind, as_written(thing.id)), (thing.spot.x, thing.spot.y)


def _with_spot(plan: Plan) -> tuple[tuple[str, tuple[Any, ...]], ...]:
    return (
        ("object", plan.objects),
        ("lamp", plan.lamps),
        ("box", plan.boxes),
        ("switch", plan.switches),
        ("supply", plan.supplies),
        ("recorder", plan.recorders),
        ("access-point", plan.access_points),
    )
