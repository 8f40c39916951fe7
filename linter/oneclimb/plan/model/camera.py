"""Cameras, with all that is built into them or belongs to them alone."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from oneclimb.plan.model.base import Spot, Vec, Vec2
from oneclimb.plan.model.site import Password, Room, Updates

Night = Literal["infrared", "white", "both", "none"]
CameraShape = Literal["turret", "dome", "bullet", "box", "doorbell"]
Record = Literal["continuous", "motion", "schedule", "none"]
Link = Literal["cable", "wireless"]
Source = Literal["poe", "adapter", "low-voltage", "battery", "solar"]
Substrate = Literal[
    "brick",
    "block",
    "concrete",
    "stone",
    "timber",
    "steel",
    "render on insulation",
    "soffit board",
    "plasterboard",
    "gutter",
    "fence panel",
    "post",
    "pole",
    "tree",
]


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
    coated: bool | None = None
    """a metal coating: near-infrared hardly passes"""
    room: Literal["lit", "dark"] | None = None
    """the room behind the camera at night"""
    curtain: bool | None = None
    """drawn behind the camera at night"""


class Mask(Struct, frozen=True):
    """A privacy mask: a polygon in the frame, x to the right and y down, each 0 to 1."""

    id: str
    outline: tuple[Vec2, ...]
    set: Literal["in-camera", "in-recorder", "planned"]


class Panel(Struct, frozen=True):
    """A solar panel: rated watts, the compass bearing it faces and its tilt up from level, degrees, and its place."""

    watts: float | None
    faces: float | None = None
    tilt: float | None = None
    spot: Spot | None = None


class Power(Struct, frozen=True):
    """Where its power comes from, and how much."""

    source: Source | None
    watts: float | None = None
    """at most, night light included"""
    capacity: float | None = None
    """the battery's, Wh"""
    poe: int | None = None
    """class it asks of the port, 0 to 8"""
    standard: str | None = None
    """of power over Ethernet that it understands: a key of ``trade.ethernet.PORTS``"""
    volts: float | None = None
    """rated, of a low-voltage device"""
    current: Literal["DC", "AC"] | None = None
    tolerance: float | None = None
    """share of the rated volts it bears below"""
    supply: str = ""
    """id of the supply that feeds it"""
    standby: float | None = None
    """W, a battery camera waiting"""
    daily: float | None = None
    """Wh a day, measured or the maker's; outranks any estimate"""
    chemistry: Literal["lithium", "lead", "alkaline"] | None = None
    panel: Panel | None = None


class Fixing(Struct, frozen=True):
    """What the camera is fixed to, and how."""

    to: Substrate | None = None
    sway: float | None = None
    """measured, degrees either way"""
    held_by: str = ""
    """id of the pole, post or tree that holds it"""
    backed: bool | None = None
    """a noggin, plate or resin anchor behind a weak face"""


class Hole(Struct, frozen=True):
    """The hole the cable goes through behind the camera."""

    falls: Literal["outside", "inside", "level"] | None = None
    sealed: bool | None = None
    to: Literal["room", "cavity", "roof", "outdoors"] | None = None
    """what air is at its other end"""


class Entry(Struct, frozen=True):
    """Where the cable comes in."""

    side: Literal["below", "side", "above", "behind"] | None = None
    loop: bool | None = None
    """a drip loop hangs below it"""
    hole: Hole | None = None


class Wireless(Struct, frozen=True):
    """Its radio."""

    to: str = ""
    """id of the access point; empty: the strongest that the plan has"""
    band: Literal["2.4 GHz", "5 GHz", "6 GHz"] | None = None
    standard: Literal["n", "ac", "ax"] | None = None
    width: int | None = None
    """channel, MHz"""
    measured: float | None = None
    """received there with its own mount's aerial, dBm: outranks the model"""
    gain: float | None = None
    """aerial, dBi"""


class Trigger(Struct, frozen=True):
    """What wakes it or starts its recording."""

    by: Literal["heat", "picture", "radar"] | None = None
    range: float | None = None
    """m"""
    lag: float | None = None
    """s until the first picture is kept"""
    before: float | None = None
    """s kept from before the trigger"""


class Card(Struct, frozen=True):
    """A memory card in the camera."""

    size: float | None = None
    """GB"""
    endurance: float | None = None
    """TB that may be written in its life"""


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
    sits: Literal["outdoors", "indoors"] = "outdoors"
    room: Room | None = None
    """the room an indoor camera is in"""
    colour: Literal["white", "grey", "black"] = "white"
    size: Vec | None = None
    """housing: wide, high, deep, m"""
    operating: Vec2 | None = None
    """rated air temperatures, degrees C"""
    recorded: tuple[int, int] | None = None
    """pixels of the recorded stream; None: all of them"""
    codec: Literal["H.264", "H.265"] | None = None
    frames: float | None = None
    """recorded pictures a second"""
    night_bitrate: float | None = None
    """Mbit/s by night"""
    motion: float | None = None
    """share of the day it records when it records by motion"""
    shutter: float | None = None
    """longest exposure by night, s"""
    switches_at: Vec2 | None = None
    """lx at which it goes between colour and infrared"""
    microphone: bool | None = None
    trigger: Trigger | None = None
    events: float | None = None
    """a day"""
    clip: float | None = None
    """s an event"""
    fixing: Fixing | None = None
    entry: Entry | None = None
    wireless: Wireless | None = None
    address: str | None = None
    password: Password | None = None
    updates: Updates | None = None
    clock: Literal["network", "hand", "none"] | None = None
    card: Card | None = None
    recorder: str = ""
    """id of the recorder that keeps its pictures"""
    purpose: str | None = None
