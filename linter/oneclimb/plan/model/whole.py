"""The plan as a whole, and what it says of itself."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Literal

from msgspec import Struct, field

from oneclimb.api import Ref
from oneclimb.plan.limits import Limits
from oneclimb.plan.model.base import Vec2
from oneclimb.plan.model.cable import Box, Cable, Conduit
from oneclimb.plan.model.camera import Camera
from oneclimb.plan.model.gear import AccessPoint, Injector, Proof, Recorder, Supply, Switch, Ups
from oneclimb.plan.model.site import Building, Land, Site
from oneclimb.plan.model.things import Area, Lamp, Object
from oneclimb.trade.materials import Material


class Deviation(Struct, frozen=True):
    """An accepted finding: code, path (or path prefix), reason, who agreed, until when."""

    code: str
    at: str
    reason: str
    agreed: str
    until: str | None = None


class Assumed(Struct, frozen=True):
    """A default in use: field of a kind of thing, what is taken, whose."""

    kind: str
    field: str
    taken: str
    ids: tuple[str, ...]


_EMPTY: Mapping[str, Any] = MappingProxyType({})


class Plan(Struct, frozen=True):
    """The whole install. Things keep the order in which they were written."""

    units: Literal["metres", "feet"]
    site: Site
    buildings: tuple[Building, ...] = ()
    boundary: tuple[Vec2, ...] = ()
    land: tuple[Land, ...] = ()
    objects: tuple[Object, ...] = ()
    areas: tuple[Area, ...] = ()
    lamps: tuple[Lamp, ...] = ()
    cameras: tuple[Camera, ...] = ()
    cables: tuple[Cable, ...] = ()
    conduits: tuple[Conduit, ...] = ()
    boxes: tuple[Box, ...] = ()
    switches: tuple[Switch, ...] = ()
    injectors: tuple[Injector, ...] = ()
    supplies: tuple[Supply, ...] = ()
    recorders: tuple[Recorder, ...] = ()
    ups: tuple[Ups, ...] = ()
    access_points: tuple[AccessPoint, ...] = ()
    proofs: tuple[Proof, ...] = ()
    materials: Mapping[str, Material] = field(default_factory=lambda: _EMPTY)
    constants: Mapping[str, float | tuple[float, float, float]] = field(default_factory=lambda: _EMPTY)
    settings: Mapping[str, Mapping[str, Any]] = field(default_factory=lambda: _EMPTY)
    deviations: tuple[Deviation, ...] = ()
    things: Mapping[str, tuple[Any, ...]] = field(default_factory=lambda: _EMPTY)
    """what packs' own kinds read, by key"""
    added: tuple[tuple[Ref, Object], ...] = ()
    """the objects that packs' things add to the place (``Kind.surfaces``), each with the thing's own reference"""
    assumed: tuple[Assumed, ...] = ()
    limits: Limits = field(default_factory=Limits)
    """how much it may hold"""
