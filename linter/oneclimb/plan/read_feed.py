"""Reading what a camera is fed, woken, reached and kept by."""

from __future__ import annotations

from typing import Any

from oneclimb.plan.heights import check_height
from oneclimb.plan.here import Here
from oneclimb.plan.model import Card, Panel, Power, Trigger, Wireless
from oneclimb.plan.plain import Fields, measure, named, plain, within, word
from oneclimb.plan.read_gear import place

PANEL = 2.5
"""m: the usual height of a solar panel, out of reach (common practice)"""

POWER: Fields = {
    "source": word,
    "watts": measure("power"),
    "capacity": measure("energy"),
    "poe": word,
    "standard": word,
    "volts": measure("volts"),
    "current": word,
    "tolerance": within("share", 0, 1),
    "supply": named("supply"),
    "standby": measure("power"),
    "daily": measure("energy"),
    "chemistry": word,
}
SOLAR: Fields = {"watts": measure("power"), "faces": measure("angle"), "tilt": within("angle", 0, 90)}
WIRELESS: Fields = {
    "to": named("access-point"),
    "band": word,
    "standard": word,
    "width": word,
    "measured": measure("decibels"),
    "gain": measure("decibels"),
}
TRIGGER: Fields = {
    "by": word,
    "range": measure("length"),
    "lag": measure("seconds"),
    "before": measure("seconds"),
}
CARD: Fields = {"size": measure("data"), "endurance": measure("bulk data")}
KEPT: Fields = {
    "codec": word,
    "frames": word,
    "bitrate": measure("rate"),
    "night_bitrate": measure("rate"),
    "motion": within("share", 0, 1),
    "events": word,
    "clip": measure("seconds"),
    "address": word,
    "password": word,
    "updates": word,
    "clock": word,
    "recorder": named("recorder"),
    "purpose": word,
}


def read_power(here: Here) -> Power:
    """Where its power comes from, and how much."""
    written = here.data.get("power")
    if written == "battery":
        return Power("battery")
    if not isinstance(written, dict):
        return Power(None, here.maybe("power", "power"))
    power = here.at("power")
    return Power(**plain(power, POWER), panel=_panel(power.at("panel")) if power.has("panel") else None)


def _panel(here: Here) -> Panel:
    placed = place(here, PANEL)
    if placed:
        check_height(here, placed.z, placed.building, placed.out)
    return Panel(**plain(here, SOLAR), spot=placed)


def read_kept(here: Here) -> dict[str, Any]:
    """How its pictures are started, sent and kept, by field of the camera."""
    radio = here.at("wireless")
    if here.has("wireless"):
        radio.absent("to", "the access point that is received best")
    parts = {
        "wireless": Wireless(**plain(radio, WIRELESS)) if here.has("wireless") else None,
        "trigger": Trigger(**plain(here.at("trigger"), TRIGGER)) if here.has("trigger") else None,
        "card": Card(**plain(here.at("card"), CARD)) if here.has("card") else None,
    }
    return {**parts, **plain(here, KEPT)}
