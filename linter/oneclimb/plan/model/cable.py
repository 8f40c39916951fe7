"""Cables, what they run in, and their joints."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from oneclimb.plan.model.base import Spot, Vec2

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
    clamps: Vec2 | None = None
    """the cable diameters its gland closes on, m"""
    box: str = ""
    """id of the box it sits in"""


Suits = Literal["sun", "wet", "burial", "indoors", "air space"]
Cover = Literal["none", "conduit", "wall", "buried", "indoors"]


class Leg(Struct, frozen=True):
    """A straight stretch of a cable's route, from ``a`` to ``b``, and what covers it."""

    a: Spot
    b: Spot
    cover: Cover
    depth: float | None = None
    """below the ground, m"""


class Gauge(Struct, frozen=True):
    """A conductor's size as written, AWG or mm², and its metal's cross-section, mm²."""

    text: str
    mm2: float
    awg: float | None = None


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
    kind: Literal["copper", "fibre", "coax"] = "copper"
    category: Literal["cat5e", "cat6", "cat6a"] | None = None
    gauge: Gauge | None = None
    stranded: bool | None = None
    cords: float | None = None
    """m of stranded patch cords at its ends"""
    diameter: float | None = None
    """outer, m"""
    suits: tuple[Suits, ...] | None = None
    """what its print or data sheet says it suits"""
    conduit: str = ""
    """id of the conduit it runs in"""
    made: Literal["self", "factory"] | None = None
    """who made its ends"""
    wires: tuple[tuple[str, ...], tuple[str, ...]] | None = None
    """the colours on pins 1 to 8, at one end and at the other"""
    pins: str | None = None
    """a tester's reading: ``1-1 2-2 3-6 …``"""
    tested: bool | None = None
    mains: float | None = None
    """how near it runs to mains wiring, m"""
    surge: Literal["both", "one", "none"] | None = None
    """ends with surge protection, bonded"""
    between: tuple[str, str] | None = None
    """ids of the buildings it joins, where its route does not say"""
    through: tuple[Literal["fire wall", "air space"], ...] = ()
    fire_stopped: bool | None = None
    bend: float | None = None
    """the tightest bend's radius, m"""


class Content(Struct, frozen=True):
    """What else lies in a conduit: so many cables of one diameter, m."""

    diameter: float
    count: int = 1
    carries: Literal["data", "low-voltage", "mains"] = "data"


class Conduit(Struct, frozen=True):
    """A pipe for cables."""

    id: str
    bore: float | None = None
    """inner diameter, m"""
    length: float | None = None
    bends: tuple[float, ...] | None = None
    """degrees each"""
    runs: Literal["open", "buried", "wall", "indoors"] | None = None
    depth: float | None = None
    """cover above it where it is buried, m"""
    contents: tuple[Content, ...] = ()
    drained: bool | None = None
    sealed: bool | None = None
    """its ends are stopped against air and water"""
    joins: tuple[Literal["room", "cavity", "roof", "outdoors", "box", "ground"], ...] = ()
    """what air is at its ends"""


class Box(Struct, frozen=True):
    """A junction or back box."""

    id: str
    spot: Spot | None = None
    rated: tuple[str, ...] | None = None
    sits: Place | None = None
    drains: bool | None = None
