"""The site: its weather, network and handling, its buildings and the land about it."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from oneclimb.plan.model.base import Agreed, Vec2

Stage = Literal["design", "ready", "as-built"]
Password = Literal["own", "shared", "default"]
Updates = Literal["current", "ended"]
Room = Literal["bedroom", "bathroom", "guest room", "changing room", "other"]
PRIVATE: tuple[Room, ...] = ("bedroom", "bathroom", "guest room", "changing room")
"""rooms no camera may look into"""


class Hill(Struct, frozen=True):
    """Part of the horizon that stands up: between two compass bearings (clockwise), degrees above the level."""

    bearings: Vec2
    up: float


class Network(Struct, frozen=True):
    """The network the pictures travel, as the plan declares it."""

    password: Password | None = None
    """of the router and recorder"""
    forwarded: bool | None = None
    """ports are forwarded from outside to a camera or recorder"""
    separate: bool | None = None
    """the cameras have a network of their own"""
    jacks: Literal["open", "locked"] | None = None
    """sockets and switch ports that can be reached from outdoors"""
    updates: Updates | None = None
    uplink: float | None = None
    """Mbit/s out of the house"""


class Handling(Struct, frozen=True):
    """What is done with the pictures, as the plan declares it."""

    purpose: str | None = None
    sign: Literal["up", "planned", "none"] | None = None
    keeps: float | None = None
    """days, as the sign or the agreement states"""
    most: float | None = None
    """days that may be kept at most, by law or agreement"""
    account: Literal["owner", "installer"] | None = None
    """who holds the main account"""
    labels: bool | None = None
    """both ends of every cable are labelled"""
    drawing: bool | None = None
    """the plan as built is handed over"""


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
    clock: float | None = None
    """hours ahead of UTC in winter"""
    hills: tuple[Hill, ...] = ()
    protected: bool | None = None
    """a listed building, a conservation area or the like"""
    network: Network | None = None
    handling: Handling | None = None


class Window(Struct, frozen=True):
    """A pane in a wall. Along and height are the ranges it spans, m."""

    id: str
    along: Vec2
    height: Vec2
    surface: str = "window glass"
    room: Room | None = None
    """what is behind it"""
    curtain: Literal["drawn", "none"] | None = None
    """at night"""


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


class Land(Struct, frozen=True):
    """Ground beyond the boundary, or any ground with a say: neighbour's or public way."""

    id: str
    kind: Literal["neighbour", "public-way"]
    outline: tuple[Vec2, ...]
    agrees: Agreed | None = None
    frontage: bool = False
    """open to the street: a front garden or path everyone passes"""
