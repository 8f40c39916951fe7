"""Small plans for tests, built from the plan's own nouns, and a query over them."""

from __future__ import annotations

import datetime as dt
import importlib
import math
from collections.abc import Mapping, Sequence
from typing import Any, Literal, TypeVar, cast

from msgspec.structs import replace

from oneclimb.api import Change, Ref, Say, Study
from oneclimb.plan.model import (
    Aim,
    Area,
    Building,
    Camera,
    Eave,
    Infrared,
    Lamp,
    Land,
    Mount,
    Object,
    Plan,
    Site,
    Spot,
    Vec,
    Vec2,
    View,
    Wall,
    Window,
)
from oneclimb.plan.say import Tape
from oneclimb.trade.materials import BUILT_IN

R = TypeVar("R")
S = TypeVar("S")


def house(
    width: float = 11.4,
    depth: float = 7.2,
    height: float = 2.7,
    eave: float = 0.45,
    *,
    at: Vec2 = (0.0, 0.0),
    name: str = "house",
    surface: str = "white render",
    windows: Mapping[str, Window] | None = None,
    neighbour: str | None = None,
) -> Building:
    """A rectangle with its front wall along +x at y = ``at[1]``, facing -y."""
    x, y = at
    corners = [(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)]
    normals = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]
    panes = dict(windows or {})
    walls = tuple(
        Wall(wall, corners[i], corners[(i + 1) % 4], normals[i], surface, (panes[wall],) if wall in panes else ())
        for i, wall in enumerate(("front", "right", "back", "left"))
    )
    over = Eave(height, eave, ("front", "back")) if eave else None
    return Building(name, walls, height, over, neighbour=neighbour)


def pipe(
    x: float, y: float, *, name: str = "pipe", diameter: float = 0.08, tall: float = 2.7, surface: str = "white plastic"
) -> Object:
    """A vertical pipe about (x, y)."""
    return Object(name, "downpipe", "cylinder", Spot(x, y, 0.0), surface, tall, diameter=diameter)


def box(
    x: float,
    y: float,
    *,
    name: str = "box",
    wide: float = 1.0,
    deep: float = 1.0,
    tall: float = 1.0,
    yaw: float = 0.0,
    surface: str = "white paint",
    kind: str = "box",
    z: float = 0.0,
) -> Object:
    """A box standing about (x, y)."""
    return Object(name, kind, "box", Spot(x, y, z), surface, tall, wide, deep, yaw=yaw)


def camera(
    spot: Vec = (11.0, 0.0, 2.6),
    bearing: float = 180.0,
    tilt: float = 15.0,
    *,
    name: str = "cam",
    turned: float = 0.0,
    across: float = 85.0,
    down: float | None = None,
    pixels: tuple[int, int] = (2560, 1440),
    normal: Vec = (0.0, -1.0, 0.0),
    projection: Literal["rectilinear", "equidistant"] = "rectilinear",
    shape: str = "turret",
    **more: Any,
) -> Camera:
    """A wall-mounted camera; in a site with +y to the north, bearing 180 looks along -y."""
    if down is None and projection == "rectilinear":
        down = math.degrees(2 * math.atan(math.tan(math.radians(across / 2)) * pixels[1] / pixels[0]))
    view = View(across, down if down is not None else across * pixels[1] / pixels[0], projection)
    given: dict[str, Any] = {"infrared": Infrared(30.0), **more}
    mount = Mount(Spot(*spot), "wall", normal)
    return Camera(name, cast("Any", shape), mount, Aim(bearing, tilt, turned), view, pixels, "infrared", **given)


def lamp(spot: Vec, lumens: float = 800.0, *, name: str = "lamp", **more: Any) -> Lamp:
    """A bare white LED lamp."""
    given: dict[str, Any] = {"kind": "white LED", "lit": "switched", **more}
    return Lamp(name, Spot(*spot), lumens, **given)


def area(*outline: Vec2, name: str = "yard", task: str = "detect", **more: Any) -> Area:
    """An area; one point is a spot, two a line."""
    return Area(name, cast("Any", task), tuple(outline), **more)


def plan(*things: Building | Object | Area | Lamp | Camera, site: Site | None = None, **more: Any) -> Plan:
    """A plan of the things given, with the built-in materials."""

    def of(kind: type[R]) -> tuple[R, ...]:
        return tuple(thing for thing in things if isinstance(thing, kind))

    return Plan(
        "metres",
        site or Site(),
        of(Building),
        objects=of(Object),
        areas=of(Area),
        lamps=of(Lamp),
        cameras=of(Camera),
        materials=BUILT_IN,
        **more,
    )


def rigid(given: Plan, dx: float = 0.0, dy: float = 0.0, turn: float = 0.0) -> Plan:
    """The same place moved, and turned ``turn`` degrees anticlockwise about (0, 0) together with its north."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def way(v: Sequence[float]) -> tuple[Any, ...]:
        return (c * v[0] - s * v[1], s * v[0] + c * v[1], *v[2:])

    def at(v: Sequence[float]) -> tuple[Any, ...]:
        x, y, *z = way(v)
        return (x + dx, y + dy, *z)

    def spot(p: Spot) -> Spot:
        x, y, z = at(p.xyz)
        return replace(p, x=x, y=y, z=z, normal=way(p.normal))

    def building(b: Building) -> Building:
        walls = tuple(replace(w, a=at(w.a), b=at(w.b), normal=way(w.normal)) for w in b.walls)
        return replace(b, walls=walls)

    def thing(o: Object) -> Object:
        return replace(o, spot=spot(o.spot), to=spot(o.to) if o.to else None, yaw=o.yaw + turn)

    def eye(k: Camera) -> Camera:
        return replace(k, mount=replace(k.mount, spot=spot(k.mount.spot), normal=way(k.mount.normal)))

    return replace(
        given,
        site=replace(given.site, plus_y=given.site.plus_y + turn),
        buildings=tuple(building(b) for b in given.buildings),
        objects=tuple(thing(o) for o in given.objects),
        areas=tuple(replace(a, outline=tuple(at(p) for p in a.outline)) for a in given.areas),
        land=tuple(replace(a, outline=tuple(at(p) for p in a.outline)) for a in given.land),
        lamps=tuple(replace(lit, spot=spot(lit.spot), aim=at(lit.aim) if lit.aim else None) for lit in given.lamps),
        cameras=tuple(eye(k) for k in given.cameras),
    )


def yard() -> Plan:
    """A house with a drive, a car, a tree, a sign, neighbours and a street: a bit of everything."""
    right = house(
        8, 7, at=(18, 0), name="next-door", neighbour="next", windows={"left": Window("side", (2, 4), (0.9, 2.1))}
    )
    return plan(
        house(windows={"front": Window("bay", (2, 4), (0.9, 2.1))}),
        right,
        pipe(10.5, -0.1),
        box(9, -4, name="car", wide=1.8, deep=4.4, tall=1.5, kind="car", surface="car paint"),
        box(14, -5, name="fence", wide=10, deep=0.05, tall=1.8, yaw=90, kind="fence", surface="weathered wood"),
        Object("tree", "tree", "crown", Spot(3, -7, 0), "green leaves", 3, diameter=3, trunk=(2, 0.3)),
        Object("sign", "sign", "panel", Spot(8, 0, 1.4, wall="front", normal=(0, -1)), "white plastic", 0.3, wide=0.4),
        Object("run", "pipe", "cylinder", Spot(1, -0.1, 2.2), "white plastic", 1, diameter=0.1, to=Spot(9, -0.1, 2.0)),
        area((8, -9), (11, -9), name="gate", task="recognise"),
        area((7, -9), (11.4, -9), (11.4, 0), (7, 0), name="drive"),
        area((3.2, -1), name="door", task="identify"),
        area((1, -9), (5, -9), (3, -5), name="bed", task="avoid", height=0.0),
        camera((11.2, 0, 2.5), 200, 15, name="drive-cam"),
        camera((0.3, 0, 2.6), 130, 12, name="corner-cam", shape="bullet"),
        camera((5.0, 0, 2.4), 180, 35, name="wide-cam", across=170, projection="equidistant", shape="dome"),
        land=(
            Land("next", "neighbour", ((14, -9), (44, -9), (44, 12), (14, 12))),
            Land("street", "public-way", ((-20, -39), (40, -39), (40, -9), (-20, -9))),
        ),
    )


LISTS = {
    "building": "buildings",
    "land": "land",
    "object": "objects",
    "area": "areas",
    "lamp": "lamps",
    "camera": "cameras",
    "cable": "cables",
}


def ref_of(thing: Any) -> Ref:
    """The reference of a thing of the plan."""
    return Ref("site", "site") if isinstance(thing, Site) else Ref(type(thing).__name__.lower(), thing.id)


def _function(at: Any) -> Any:
    if not isinstance(at, str):
        return at
    module, _, name = at.partition(":")
    return getattr(importlib.import_module(module), name)


class FakeQuery:
    """A query over a plan without a text behind it; ``replace`` takes whole things (``by`` is the new thing)."""

    def __init__(self, written: Plan, changes: tuple[Change, ...] = (), base: FakeQuery | None = None) -> None:
        self.plan = written
        self.changes = changes
        self.say: Say = Tape("metres")
        self._base = base
        self._memo: dict[tuple[str, Ref], Any] = {}
        self._index: dict[str, dict[Ref, Any]] = {}

    @property
    def today(self) -> dt.date:
        return dt.date(2026, 3, 1)

    def all(self, kind: str) -> Sequence[Any]:
        gone = {c.at for c in self.changes if c.how == "absent"}
        things = (self.plan.site,) if kind == "site" else getattr(self.plan, LISTS[kind])
        return tuple(t for t in things if ref_of(t) not in gone)

    def get(self, ref: Ref) -> Any:
        if ref.kind not in self._index:
            self._index[ref.kind] = {ref_of(t): t for t in self.all(ref.kind)}
        return self._index[ref.kind][ref]

    def need(self, subject: Any, field: str) -> Any:
        value = subject
        for key in field.split("."):
            value = getattr(value, key)
        return value

    def known(self, ref: Ref) -> Literal["written", "default", "unknown"]:
        del ref
        return "written"

    def of(self, study: Study[S, R], subject: S) -> R:
        key = (study.name, ref_of(subject))
        if key not in self._memo:
            self._memo[key] = self._computed(study, subject)
        return cast("R", self._memo[key])

    def _computed(self, study: Study[S, R], subject: S) -> Any:
        if self._base is not None and study.vary is not None:
            before = self._base.of(study, self._base.get(ref_of(subject)))
            new = self.changes[len(self._base.changes) :]
            got = _function(study.vary)(before, subject, new, self)
            if got is not None:
                return got
        return _function(study.compute)(subject, self)

    def vary(self, *changes: Change) -> FakeQuery:
        written = self.plan
        for change in changes:
            if change.how == "replace":
                key = LISTS[change.at.kind]
                things = tuple(change.by if ref_of(t) == change.at else t for t in getattr(written, key))
                written = cast("Any", replace)(written, **{key: things})
        return FakeQuery(written, (*self.changes, *changes), self)
