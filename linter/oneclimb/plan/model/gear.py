"""What feeds, carries and keeps: switches, supplies, radios, recorders; and what was tested."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from oneclimb.plan.model.base import Spot
from oneclimb.plan.model.cable import Place
from oneclimb.plan.model.site import Password, Updates


class Switch(Struct, frozen=True):
    """A switch, with or without power over Ethernet; a cable's ``to`` names it."""

    id: str
    spot: Spot | None = None
    sits: Place | None = None
    ports: int | None = None
    gives: str | None = None
    """the standard of its powered ports: a key of ``trade.ethernet.PORTS``"""
    budget: float | None = None
    """W for all ports together"""
    volts: float | None = None
    """at its ports"""
    speed: float | None = None
    """Mbit/s a port"""
    uplink: float | None = None
    """Mbit/s towards the recorder or router"""
    to: str = ""
    """id of the switch its uplink goes to"""
    within: str = ""
    """id of the recorder whose own ports these are"""

    @property
    def whole(self) -> str:
        """The id of what one would plug in: the recorder whose ports these are, else its own."""
        return self.within or self.id


class Injector(Struct, frozen=True):
    """Puts power on one cable; a cable's ``to`` names it."""

    id: str
    gives: str | None = None
    volts: float | None = None
    sits: Place | None = None
    to: str = ""
    """id of the switch behind it"""


class Supply(Struct, frozen=True):
    """An adapter or low-voltage supply."""

    id: str
    spot: Spot | None = None
    volts: float | None = None
    current: Literal["DC", "AC"] | None = None
    watts: float | None = None
    sits: Place | None = None
    rated: tuple[str, ...] | None = None
    protected: bool | None = None
    """its socket has a residual-current device (RCD, GFCI)"""


class Recorder(Struct, frozen=True):
    """Keeps the pictures."""

    id: str
    spot: Spot | None = None
    channels: int | None = None
    most: float | None = None
    """Mbit/s it takes in"""
    disks: tuple[float, ...] | None = None
    """TB each"""
    mirrored: bool | None = None
    wants: float | None = None
    """days the pictures are to be kept"""
    copy: Literal["none", "cloud", "elsewhere"] | None = None
    """a second copy out of reach of whoever takes the recorder"""
    alerts: bool | None = None
    """it tells somebody when a camera or disk dies"""
    locked: bool | None = None
    clock: Literal["network", "hand", "none"] | None = None
    password: Password | None = None
    updates: Updates | None = None
    address: str | None = None
    watts: float | None = None


class Ups(Struct, frozen=True):
    """Carries on when the mains stop: what it feeds, by id."""

    id: str
    capacity: float | None = None
    """Wh"""
    watts: float | None = None
    feeds: tuple[str, ...] = ()


class AccessPoint(Struct, frozen=True):
    """The other end of the radio links."""

    id: str
    spot: Spot | None = None
    power: float | None = None
    """radiated (EIRP), dBm"""
    gain: float | None = None
    """aerial on receiving, dBi"""
    uplink: float | None = None
    """Mbit/s of the cable behind it"""


class Proof(Struct, frozen=True):
    """Something tested or shown, by a person, on a day."""

    id: str
    kind: Literal["bench", "cable", "day", "night", "export", "power cut"]
    of: tuple[str, ...] = ()
    """ids of cameras or cables; empty: all"""
    when: str | None = None
    """ISO date"""
    by: str | None = None
    lamps: tuple[str, ...] | None = None
    """which lamps were lit"""
    cameras: tuple[str, ...] | None = None
    """whose infrared was lit"""
    passed: bool | None = None
