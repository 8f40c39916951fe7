"""The plan as frozen values: SI units, degrees for angles, site coordinates in metres.

Site coordinates: x to the right, y up the page, z above the ground at the house
(``site.plus-y`` gives the compass bearing of +y, 0 by default). Field names are the
plan's own keys with ``-`` written ``_``; ``None`` means the plan does not say (and there is
no default). A thing's place is already resolved: whoever reads ``spot`` need not know
whether it was written along a wall or in coordinates.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Literal

from msgspec import Struct, field

from oneclimb.api import Ref
from oneclimb.plan.limits import Limits
from oneclimb.trade.materials import Material

Task = Literal["monitor", "detect", "observe", "recognise", "identify", "inspect", "avoid"]
Night = Literal["infrared", "white", "both", "none"]
Stage = Literal["design", "ready", "as-built"]
Vec = tuple[float, float, float]
Vec2 = tuple[float, float]


class Spot(Struct, frozen=True):
    """A place. ``x, y, z`` in site coordinates; the wall it was measured from, if any.

    ``out`` is the distance straight out from the wall's face, ``normal`` the wall's outward
    unit vector (``(0, 0, 0)`` where the place was given in coordinates).
    """

    x: float
    y: float
    z: float
    building: str = ""
    wall: str = ""
    along: float = 0.0
    out: float = 0.0
    normal: Vec2 = (0.0, 0.0)

    @property
    def xyz(self) -> Vec:
        """The coordinates alone."""
        return (self.x, self.y, self.z)


# --------------------------------------------------------------------- site and buildings


class Site(Struct, frozen=True):
    """The place as a whole. Keys: name, place, country, coast, weather, temperature, stage, plus-y."""

    name: str = ""
    place: Vec2 | None = None
    """latitude, longitude, degrees"""
    country: str | None = None
    coast: float | None = None
    """distance to salt water, m"""
    weather: tuple[Literal["fog", "driving-rain", "frost", "dry"], ...] | None = None
    temperature: Vec2 | None = None
    """coldest and hottest air, degrees C"""
    stage: Stage = "design"
    plus_y: float = 0.0
    """compass bearing of +y, degrees"""


class Window(Struct, frozen=True):
    """A pane in a wall. Along and height are the ranges it spans, m."""

    id: str
    along: Vec2
    height: Vec2
    surface: str = "window glass"


class Wall(Struct, frozen=True):
    """One wall: ``a`` its left end seen from outside, ``b`` its right, ``normal`` outward."""

    id: str
    a: Vec2
    b: Vec2
    normal: Vec2
    surface: str
    windows: tuple[Window, ...] = ()
    build: str | None = None
    """build-up, what a radio wave crosses: ``brick 215 mm`` …"""

    @property
    def length(self) -> float:
        """From ``a`` to ``b``, m."""
        return float(((self.b[0] - self.a[0]) ** 2 + (self.b[1] - self.a[1]) ** 2) ** 0.5)


class Eave(Struct, frozen=True):
    """The roof's overhang: the height of its underside (soffit), its depth, which walls."""

    height: float
    depth: float
    walls: tuple[str, ...]
    surface: str = "white paint"
    thickness: float = 0.15


class Building(Struct, frozen=True):
    """Walls in order anticlockwise round the outline (seen from above), closed."""

    id: str
    walls: tuple[Wall, ...]
    height: float
    """top of the walls above the ground, m"""
    eave: Eave | None = None
    base: float = 0.0
    storeys: int = 1
    storey_height: float = 2.6
    flat_roof: bool = False
    """a flat roof someone can stand on"""
    neighbour: str | None = None
    """id of the neighbour it belongs to; None: one's own"""

    @property
    def outline(self) -> tuple[Vec2, ...]:
        """The corners in order, not repeated at the end."""
        return tuple(w.a for w in self.walls)


class Agreed(Struct, frozen=True):
    """Somebody's word: who, when (ISO date), what."""

    who: str
    when: str
    what: str = ""


class Land(Struct, frozen=True):
    """Ground beyond the boundary, or any ground with a say: neighbour's or public way."""

    id: str
    kind: Literal["neighbour", "public-way"]
    outline: tuple[Vec2, ...]
    agrees: Agreed | None = None
    frontage: bool = False
    """open to the street: a front garden or path everyone passes"""


# ------------------------------------------------------------- objects, areas and lamps

Shape = Literal["cylinder", "box", "crown", "panel"]


class Object(Struct, frozen=True):
    """A solid thing. ``kind`` is the plan's word (downpipe, car, hedge…), ``shape`` what it is made of.

    cylinder: ``diameter`` about a vertical axis from ``spot.z`` to ``spot.z + tall``
    (or along ``to`` when a pipe runs from spot to spot).
    box, panel: ``wide`` by ``deep`` by ``tall`` standing on ``spot`` (centre of the base), its
    wide side turned to ``yaw`` degrees anticlockwise from +x. A fence, wall or hedge drawn
    as a line is such a box.
    crown: an ellipsoid ``diameter`` across and ``tall`` high with its lowest point at ``spot.z``;
    a tree's stands on its ``trunk`` (height and diameter), whose foot is at ``spot``.
    """

    id: str
    kind: str
    shape: Shape
    spot: Spot
    surface: str
    tall: float
    wide: float = 0.0
    deep: float = 0.0
    diameter: float = 0.0
    yaw: float = 0.0
    to: Spot | None = None
    trunk: Vec2 | None = None
    there: Literal["always", "sometimes"] = "always"
    wanted: bool = False
    """meant to be seen: it is not foliage or wall in the way"""
    stand: bool = False
    """someone can stand on it (steps, a low wall, a flat roof)"""
    grows: float = 0.0
    """growth, m a year"""
    fixed_by: Literal["own", "others", "never"] = "own"
    """``others``: not the owner's to touch; ``never``: gas pipe, flue, vent, meter, lightning conductor"""


class Area(Struct, frozen=True):
    """Ground that matters. ``outline`` is one point (a spot), two (a line) or a polygon, on the
    ground; ``height`` is the target's height above it that matters, m (0: the ground itself).
    ``avoid`` areas are unwanted.
    """

    id: str
    task: Task
    outline: tuple[Vec2, ...]
    height: float = 1.5
    when: Literal["day", "night", "both"] = "both"
    base: float = 0.0


LampKind = Literal["white LED", "halogen", "incandescent", "fluorescent", "sodium", "infrared"]


class Lamp(Struct, frozen=True):
    """A light. ``beam`` is the full angle at half intensity (None: all round, 4 pi sr)."""

    id: str
    spot: Spot
    lumens: float | None
    kind: LampKind | None = None
    beam: float | None = None
    aim: Vec | None = None
    """point the beam is aimed at, site coordinates; straight down by default if it has a beam"""
    lit: Literal["always", "dusk", "motion", "switched"] | None = None
    range: float | None = None
    """an infrared lamp's rated range, m (in place of lumens)"""
    shade: bool = False
    """a shade keeps its light from going above the horizontal"""


# ---------------------------------------------------------------------------- cameras

CameraShape = Literal["turret", "dome", "bullet", "box", "doorbell"]
Record = Literal["continuous", "motion", "schedule", "none"]
Link = Literal["cable", "wireless"]
Source = Literal["poe", "adapter", "low-voltage", "battery", "solar"]


class Mount(Struct, frozen=True):
    """Where the camera is fixed. ``spot`` is the screw hole (after ``arm``); ``normal`` points
    away from what it is fixed to (straight down under a soffit or ceiling).
    """

    spot: Spot
    to: Literal["wall", "soffit", "ceiling", "pole"]
    normal: Vec
    arm: float = 0.0


class Aim(Struct, frozen=True):
    """Where it looks: compass ``bearing`` of the axis, ``tilt`` below the horizontal, ``turned`` (roll),
    degrees. ``at`` the id of the area or object aimed at, if it was written so.
    """

    bearing: float
    tilt: float
    turned: float = 0.0
    at: str = ""


class View(Struct, frozen=True):
    """The lens: full angles across and down the frame before it is turned, degrees."""

    across: float
    down: float
    projection: Literal["rectilinear", "equidistant"]


class Infrared(Struct, frozen=True):
    """The camera's own night light. ``range``: rated, m; ``beam``: full angle at half intensity, degrees."""

    range: float | None
    wavelength: int = 850
    beam: float | None = None
    dims: bool = False
    """the camera turns its own infrared down when the picture is too bright"""


class White(Struct, frozen=True):
    """The camera's own white night light."""

    lumens: float | None
    beam: float | None = None


class Pane(Struct, frozen=True):
    """A pane in front of the camera."""

    gap: float | None
    """lens to glass, m"""
    sealed: bool | None = None
    """the camera is sealed to the glass (shroud or ring)"""
    surface: str = "window glass"


class Mask(Struct, frozen=True):
    """A privacy mask: a polygon in the frame, x to the right and y down, each 0 to 1."""

    id: str
    outline: tuple[Vec2, ...]
    set: Literal["in-camera", "in-recorder", "planned"]


class Power(Struct, frozen=True):
    """Where its power comes from, and how much: watts declared, battery watt-hours."""

    source: Source | None
    watts: float | None = None
    capacity: float | None = None


class Camera(Struct, frozen=True):
    """One camera. Keys as the field names with ``-``; see the schema for what each may be."""

    id: str
    shape: CameraShape
    mount: Mount
    aim: Aim
    view: View
    pixels: tuple[int, int]
    night: Night
    infrared: Infrared | None = None
    white: White | None = None
    name: str = ""
    type: str = ""
    metering: Literal["frame", "centre"] = "frame"
    front: Literal["clean", "dirty"] = "clean"
    hood: bool = False
    status_light: bool | None = None
    behind: Pane | None = None
    moves: bool = False
    """pans or tilts by itself"""
    masks: tuple[Mask, ...] = ()
    watches: tuple[str, ...] = ()
    """ids of the areas, objects and walls (``front``) it is meant to show; empty: every wanted
    area that lies in its frame"""
    records: Record | None = None
    link: Link | None = None
    power: Power = Power(None)
    bitrate: float | None = None
    """recorded stream, Mbit/s"""
    rated: tuple[str, ...] | None = None


# ----------------------------------------------------------------------------- cables

Place = Literal["open", "eave", "soffit", "cavity", "box", "housing", "indoors"]
Seal = Literal["none", "gland", "shell", "gel", "boot", "tape", "self-amalgamating tape"]


class Connector(Struct, frozen=True):
    """A plug, tail or joint. ``sits`` is what is round it; ``seal`` None where the plan does not say.
    ``cable`` is the cable's id, ``camera`` the camera's when it is the joint at its tail.
    """

    id: str
    spot: Spot | None
    sits: Place | None
    seal: Seal | None
    carries: Literal["data", "power", "data+power"] = "data"
    terminated: bool | None = None
    """the plug is already on the cable: a gland that must go on first no longer can"""
    until: str | None = None
    """a stopgap's date, ISO"""
    cable: str = ""
    camera: str = ""


Cover = Literal["none", "conduit", "wall", "buried", "indoors"]


class Leg(Struct, frozen=True):
    """A straight stretch of a cable's route, from ``a`` to ``b``, and what covers it."""

    a: Spot
    b: Spot
    cover: Cover


class Cable(Struct, frozen=True):
    """A cable with its route. ``camera`` is the camera it serves, if any."""

    id: str
    camera: str = ""
    to: str = ""
    carries: Literal["data", "power", "data+power"] = "data+power"
    length: float | None = None
    legs: tuple[Leg, ...] | None = None
    conductor: Literal["copper", "copper-clad aluminium", "aluminium"] | None = None
    jacket: str | None = None
    armoured: bool = False
    connectors: tuple[Connector, ...] = ()


# ----------------------------------------------------------------------- policy and plan


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
