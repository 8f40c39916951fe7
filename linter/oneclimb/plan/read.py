"""From a file to a plan: text, schema, then every noun in the order they lean on one another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeVar

from oneclimb.api import Ref
from oneclimb.plan.faults import Fault, UnreadableError
from oneclimb.plan.here import Context, Here, nearest
from oneclimb.plan.limits import Limits, passed
from oneclimb.plan.model import Area, Assumed, Cable, Camera, Lamp, Object, Plan, Spot, Vec2
from oneclimb.plan.origins import Origins, locate
from oneclimb.plan.read_buildings import read_buildings
from oneclimb.plan.read_cables import read_cable, read_own_cable
from oneclimb.plan.read_cameras import read_camera
from oneclimb.plan.read_ground import read_area, read_lamp
from oneclimb.plan.read_land import read_boundary, read_land
from oneclimb.plan.read_objects import read_object
from oneclimb.plan.read_policy import read_constants, read_deviations, read_materials, read_settings
from oneclimb.plan.read_site import read_site
from oneclimb.plan.schema import check
from oneclimb.plan.sense import Solids, check_camera, check_width
from oneclimb.plan.text import Document, read_document
from oneclimb.plan.units import quantity
from oneclimb.plan.where import spot

if TYPE_CHECKING:
    from oneclimb.api import Kind

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Source:
    """What a plan was read from, kept so that one thing of it can be read again."""

    data: Mapping[str, Any]
    context: Context
    kinds: Mapping[str, Kind[Any]]
    schema: Mapping[str, Any]
    solids: Solids
    targets: Mapping[str, Area | Object]
    """what can be aimed at, by id"""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A plan's file, read: the plan, or the faults that keep it from being one."""

    path: str
    document: Document | None
    plan: Plan | None
    faults: tuple[Fault, ...] = ()
    origins: Origins | None = None
    source: Source | None = field(default=None, repr=False, compare=False)


def load(path: str, kinds: Mapping[str, Kind[Any]], schema: Mapping[str, Any], limits: Limits | None = None) -> Loaded:
    """Read a plan's file. Never raises for what the file holds."""
    limits = limits or Limits()
    document = read_document(path, limits)
    if not isinstance(document, Document):
        return Loaded(path, None, None, tuple(document))
    return load_document(document, kinds, schema, limits)


def load_document(
    document: Document, kinds: Mapping[str, Kind[Any]], schema: Mapping[str, Any], limits: Limits | None = None
) -> Loaded:
    """Read a plan from its document."""
    limits = limits or Limits()
    faults = check(schema, document, limits)
    if faults:
        return Loaded(document.path, document, None, faults)
    c = Context(_units(document.data), limits)
    plan, solids = read_plan(c, document.data, kinds, schema)
    if c.faults:
        return Loaded(document.path, document, None, locate(c, document, document.data), None)
    source = Source(document.data, c, kinds, schema, solids, targets_of(plan.objects, plan.areas))
    return Loaded(document.path, document, plan, (), Origins(document, document.data, c, schema, kinds), source)


def _units(data: Mapping[str, Any]) -> Any:
    return data.get("units", "metres")


def read_plan(
    c: Context, data: Mapping[str, Any], kinds: Mapping[str, Kind[Any]], schema: Mapping[str, Any]
) -> tuple[Plan, Solids]:
    """Every noun of a plan; faults and defaults are left in the context."""
    if "units" not in data:
        c.notes["site", "site"] = {"units": "metres"}
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
    things = MappingProxyType({key: _things(c, data, key, kind) for key, kind in kinds.items()})
    plan = Plan(
        units=c.units,
        site=site,
        buildings=buildings,
        boundary=tuple(a for _, a, _ in sides),
        land=land,
        objects=objects,
        areas=areas,
        lamps=(*lamps, *_lights(c, kinds, things)),
        cameras=cameras,
        cables=cables,
        materials=materials,
        constants=read_constants(c, data),
        settings=read_settings(c, data, schema),
        deviations=read_deviations(c, data),
        things=things,
        added=_added(kinds, things),
        assumed=assumed_of(c),
        limits=c.limits,
    )
    solids = Solids.of(buildings, objects)
    for camera in cameras:
        check_camera(c, camera, solids)
    check_width(c, _placed(plan))
    return plan, solids


def each(c: Context, data: Mapping[str, Any], key: str, kind: str) -> Iterator[Here]:
    """The entries of a list, each under its own id; a second one of the same id is a fault.

    They end where there are more faults than are shown.
    """
    for i, entry in enumerate(data.get(key, ())):
        if len(c.faults) > c.limits.faults:
            return
        here = Here(c, entry, (key, i), (kind, entry["id"]))
        if here.thing in c.paths:
            here.fault("id", "PLAN-18", f"another {kind} is already called `{entry['id']}`")
            continue
        c.paths[here.thing] = here.path
        yield here


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


class Entry:
    """What a pack's kind is handed to read its entry with."""

    def __init__(self, here: Here) -> None:
        self._here = here

    def length(self, value: str | float) -> float:
        """A length in m."""
        return quantity(value, "length", self._here.c.units)

    def where(self, entry: Mapping[str, Any]) -> Spot:
        """The place an entry (or a mapping in it) says."""
        placed = spot(Here(self._here.c, entry, self._here.path, self._here.thing))
        if placed is None:
            raise UnreadableError("PLAN-21", "this has no place")
        return placed

    def assume(self, field: str, taken: str) -> None:
        """Put a default on record."""
        self._here.note(field, taken)


def _things(c: Context, data: Mapping[str, Any], key: str, kind: Kind[Any]) -> tuple[Any, ...]:
    return _read(each(c, data, key, kind.type), lambda here: read_thing(here, kind))


def read_thing(here: Here, kind: Kind[Any]) -> Any:
    """A pack's own noun."""
    before = len(here.c.faults)
    thing = here.tried("", lambda: kind.read(here.data, Entry(here)))
    del here.c.faults[before + 1 :]  # a place that can't be read is one fault, not also that of the whole
    return thing


def _added(kinds: Mapping[str, Kind[Any]], things: Mapping[str, tuple[Any, ...]]) -> tuple[tuple[Ref, Object], ...]:
    """What packs' things add to the place."""
    return tuple(
        (Ref(kinds[key].type, thing.id), solid)
        for key, listed in things.items()
        for thing in listed
        for solid in kinds[key].surfaces(thing)
    )


def _lights(c: Context, kinds: Mapping[str, Kind[Any]], things: Mapping[str, tuple[Any, ...]]) -> Iterator[Lamp]:
    """The lamps packs' things add; each one's origin is the thing's."""
    for key, listed in things.items():
        for thing in listed:
            for lamp in kinds[key].lights(thing):
                c.paths.setdefault(("lamp", lamp.id), c.paths[kinds[key].type, thing.id])
                yield lamp


def assumed_of(c: Context) -> tuple[Assumed, ...]:
    """The defaults in use, one entry for each kind, field and value; ids in the plan's order."""
    groups: defaultdict[tuple[str, str, str], list[str]] = defaultdict(list)
    order = {thing: i for i, thing in enumerate(c.paths)}
    for (kind, name), notes in sorted(c.notes.items(), key=lambda one: order.get(one[0], -1)):
        for where, taken in notes.items():
            groups[kind, where, taken].append(name)
    return tuple(Assumed(*key, tuple(ids)) for key, ids in sorted(groups.items()))


def _placed(plan: Plan) -> Iterator[tuple[tuple[str, str], Vec2]]:
    """Everything that has a place, with one point of it."""
    for building in plan.buildings:
        for corner in building.outline:
            yield ("building", building.id), corner
    for kind, things in (("object", plan.objects), ("lamp", plan.lamps)):
        for thing in things:
            yield (kind, thing.id.partition("~")[0]), (thing.spot.x, thing.spot.y)
    for area in plan.areas:
        for corner in area.outline:
            yield ("area", area.id), corner
    for camera in plan.cameras:
        yield ("camera", camera.id), (camera.mount.spot.x, camera.mount.spot.y)
    for one in plan.land:
        for corner in one.outline:
            yield ("land", one.id), corner
