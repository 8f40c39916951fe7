"""Entries of a plan read again by themselves after an edit, and what leans on them."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec.structs import replace

from oneclimb.api import as_written
from oneclimb.plan.here import Here, Path
from oneclimb.plan.model import Area, Assumed, Cable, Camera, Object, Plan
from oneclimb.plan.origins import Origins, locate
from oneclimb.plan.read import Loaded, Source
from oneclimb.plan.read_cables import read_cable
from oneclimb.plan.read_cameras import read_camera
from oneclimb.plan.read_ground import read_area, read_lamp
from oneclimb.plan.read_objects import read_object
from oneclimb.plan.read_plan import assumed_of, own_cable, targets_of
from oneclimb.plan.sense import Solids, check_camera

if TYPE_CHECKING:
    from oneclimb.plan.text import Document

Key = tuple[str, str]


def as_loaded(loaded: Loaded, source: Source, plan: Plan) -> Loaded:
    """An edited plan, as if it had been loaded."""
    document = loaded.document
    if document is None:
        raise ValueError("a plan without a document can't be edited")
    origins = Origins(document, source.data, source.context, source.schema, source.kinds)
    return Loaded(loaded.path, document, plan, (), origins, source)


class Again:
    """Things read again by themselves, and what leans on them."""

    def __init__(self, loaded: Loaded, plan: Plan, source: Source, document: Document, data: dict[str, Any]) -> None:
        self.loaded, self.plan, self.source, self.document, self.data = loaded, plan, source, document, data
        base = source.context
        self.c = replace(base, faults=[], notes=ChainMap({}, base.notes), paths=ChainMap({}, base.paths))
        self.before: dict[Key, Mapping[str, str]] = {}
        self.things: dict[str, dict[str, Any]] = {}
        """by list of the plan, id to what it is now"""
        self.targets: Mapping[str, Area | Object] = source.targets
        self.solids = source.solids

    def read(self, paths: Iterable[Path]) -> Loaded:
        """The plan with the entries at these paths read again."""
        touched: dict[str, dict[str, int]] = {}
        for path in paths:
            index = int(path[1])
            touched.setdefault(str(path[0]), {})[self.data[str(path[0])][index]["id"]] = index
        aimed = {*touched.get("objects", ()), *touched.get("areas", ())}
        self._objects(touched.get("objects", {}))
        self._each("areas", "area", touched.get("areas", {}), read_area)
        if aimed:
            self.targets = targets_of(self._now("objects"), self._now("areas"))
        self._each("lamps", "lamp", touched.get("lamps", {}) | self._leaning("lamps", aimed), self._lamp)
        cameras = touched.get("cameras", {}) | self._leaning("cameras", aimed)
        self._each("cameras", "camera", cameras, lambda here: read_camera(here, self.targets))
        self._cables(touched.get("cables", {}), cameras)
        self._sense(cameras, touched.get("objects", {}))
        if self.c.faults:
            return Loaded(self.loaded.path, self.document, None, locate(self.c, self.document, self.data))
        lists: dict[str, Any] = {key: self._now(key) for key in self.things}
        plan = replace(self.plan, assumed=self._assumed(), **lists)
        source = replace(self.source, data=self.data, context=self.c, solids=self.solids, targets=self.targets)
        return as_loaded(self.loaded, source, plan)

    def _here(self, key: str, kind: str, name: str, index: int) -> Here:
        thing = (kind, name)
        if thing not in self.before:
            self.before[thing] = self.c.notes.get(thing, {})
            if thing in self.c.notes:
                self.c.notes[thing] = {}
        return Here(self.c, self.data[key][index], (key, index), thing)

    def _each(self, key: str, kind: str, touched: Mapping[str, int], read: Callable[[Here], Any]) -> None:
        for name, index in touched.items():
            thing = read(self._here(key, kind, name, index))
            if thing is not None:
                self.things.setdefault(key, {})[name] = thing

    def _lamp(self, here: Here) -> Any:
        return read_lamp(here, self.targets)

    def _objects(self, touched: Mapping[str, int]) -> None:
        for name, index in touched.items():
            self.things.setdefault("objects", {})[name] = read_object(self._here("objects", "object", name, index))
        if touched:
            new = frozenset(solid.id for listed in self.things["objects"].values() for solid in listed)
            self.solids = self.source.solids.instead(self._now("objects"), new)

    def _now(self, key: str) -> tuple[Any, ...]:
        """A list of the plan as it is now: an object's stretches in the place of the old ones."""
        new = self.things.get(key)
        before: tuple[Any, ...] = getattr(self.plan, key)
        if new is None:
            return before
        out: list[Any] = []
        for thing in before:
            name = as_written(thing.id)
            if name not in new:
                out.append(thing)
            elif key != "objects":
                out.append(new[name])
            elif thing.id == name:
                out += new[name]
        return tuple(out)

    def _leaning(self, key: str, aimed: set[str]) -> dict[str, int]:
        """The lamps or cameras aimed at what has moved."""
        if not aimed:
            return {}
        entries = enumerate(self.data.get(key, ()))
        return {e["id"]: i for i, e in entries if isinstance(e.get("aim"), str) and e["aim"] in aimed}

    def _cables(self, touched: Mapping[str, int], cameras: Mapping[str, int]) -> None:
        """Cables touched, those written with a camera that is, and those that end at its mount."""
        by_id = {camera.id: camera for camera in self._now("cameras")} if touched or cameras else {}
        found: dict[str, Cable | None] = {}
        for name, index in cameras.items():
            if name in by_id and "cable" in self.data["cameras"][index]:
                self._forget(("cable", f"{name}-cable"), ("connector", f"{name}-plug"))
                found[f"{name}-cable"] = own_cable(self.c, self.data, by_id[name])
        ends = {e["id"]: i for i, e in enumerate(self.data.get("cables", ())) if e.get("camera") in cameras}
        for name, index in {**touched, **ends}.items():
            for joint in self._joints(name):
                self._forget(("connector", joint))
            found[name] = read_cable(self._here("cables", "cable", name, index), by_id)
        if found:
            self.things["cables"] = found

    def _joints(self, cable: str) -> Iterator[str]:
        return (joint.id for c in self.plan.cables if c.id == cable for joint in c.connectors)

    def _forget(self, *things: Key) -> None:
        for thing in things:
            self.before.setdefault(thing, self.c.notes.get(thing, {}))
            if thing in self.c.notes:
                self.c.notes[thing] = {}

    def _sense(self, cameras: Mapping[str, int], objects: Mapping[str, int]) -> None:
        now: dict[str, Camera] = {camera.id: camera for camera in self._now("cameras")}
        for name in cameras:
            if name in now:
                check_camera(self.c, now[name], self.solids)
        if objects and not np.array_equal(self.solids.boxes, self.source.solids.boxes):
            moved = (solid for listed in self.things.get("objects", {}).values() for solid in listed)
            only = Solids.of((), tuple(moved))
            for camera in now.values():
                if camera.id not in cameras:
                    check_camera(self.c, camera, only, walls=False)

    def _assumed(self) -> tuple[Assumed, ...]:
        """The defaults in use. Fewer of them need no new order of ids, more of them do."""
        gone: set[tuple[str, str, str, str]] = set()
        for (kind, name), before in self.before.items():
            now = self.c.notes.get((kind, name), {})
            if now.items() - before.items():
                return assumed_of(self.c)
            gone |= {(kind, field, taken, name) for field, taken in before.items() - now.items()}
        if not gone:
            return self.plan.assumed
        groups = (_without(one, gone) for one in self.plan.assumed)
        return tuple(one for one in groups if one.ids)


def _without(one: Assumed, gone: set[tuple[str, str, str, str]]) -> Assumed:
    """A default, without the things that don't take it any more."""
    names = {name for kind, field, taken, name in gone if (kind, field, taken) == (one.kind, one.field, one.taken)}
    return replace(one, ids=tuple(i for i in one.ids if i not in names)) if names else one
