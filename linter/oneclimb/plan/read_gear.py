"""Reading what feeds, carries and keeps, and what was tested."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from oneclimb.plan.here import Context, Here, each
from oneclimb.plan.model import AccessPoint, Injector, Proof, Recorder, Spot, Supply, Switch, Ups
from oneclimb.plan.plain import Fields, all_named, date, measure, measures, named, plain, word, words
from oneclimb.plan.where import is_placed, spot

SHELF = 1.0
"""m: the height of a shelf or table, where such things usually stand (common practice)"""
FED = ("switch", "injector", "recorder", "supply", "access-point", "camera")
"""what a backup can feed"""
TESTED = ("camera", "cable")

SWITCH: Fields = {
    "sits": word,
    "ports": word,
    "gives": word,
    "budget": measure("power"),
    "volts": measure("volts"),
    "speed": measure("rate"),
    "uplink": measure("rate"),
    "to": named("switch"),
    "within": named("recorder"),
}
INJECTOR: Fields = {"gives": word, "volts": measure("volts"), "sits": word, "to": named("switch")}
SUPPLY: Fields = {
    "volts": measure("volts"),
    "current": word,
    "watts": measure("power"),
    "sits": word,
    "rated": words,
    "protected": word,
}
RECORDER: Fields = {
    "channels": word,
    "most": measure("rate"),
    "disks": measures("bulk data"),
    "mirrored": word,
    "wants": measure("days"),
    "copy": word,
    "alerts": word,
    "locked": word,
    "clock": word,
    "password": word,
    "updates": word,
    "address": word,
    "watts": measure("power"),
}
UPS: Fields = {"capacity": measure("energy"), "watts": measure("power")}
ACCESS_POINT: Fields = {"power": measure("decibels"), "gain": measure("decibels"), "uplink": measure("rate")}
PROOF: Fields = {
    "kind": word,
    "when": date,
    "by": word,
    "lamps": all_named("lamp"),
    "cameras": all_named("camera"),
    "passed": word,
}


def place(here: Here, height: float = SHELF) -> Spot | None:
    """The place of something that need not have one."""
    return spot(here, height) if is_placed(here) else None


def read_switch(here: Here) -> Switch:
    """A switch."""
    return Switch(here.thing[1], place(here), **plain(here, SWITCH))


def read_injector(here: Here) -> Injector:
    """An injector."""
    return Injector(here.thing[1], **plain(here, INJECTOR))


def read_supply(here: Here) -> Supply:
    """An adapter or low-voltage supply."""
    return Supply(here.thing[1], place(here), **plain(here, SUPPLY))


def read_recorder(here: Here) -> Recorder:
    """A recorder."""
    return Recorder(here.thing[1], place(here), **plain(here, RECORDER))


def read_ups(here: Here) -> Ups:
    """An uninterruptible supply."""
    return Ups(here.thing[1], feeds=all_named(*FED)(here, "feeds") or (), **plain(here, UPS))


def read_access_point(here: Here) -> AccessPoint:
    """An access point."""
    return AccessPoint(here.thing[1], place(here), **plain(here, ACCESS_POINT))


def read_proof(here: Here) -> Proof:
    """Something tested."""
    here.absent("of", "all of them")
    return Proof(here.thing[1], of=all_named(*TESTED)(here, "of") or (), **plain(here, PROOF))


GEAR: Mapping[str, tuple[str, Callable[[Here], Any]]] = {
    "switches": ("switch", read_switch),
    "injectors": ("injector", read_injector),
    "supplies": ("supply", read_supply),
    "recorders": ("recorder", read_recorder),
    "ups": ("ups", read_ups),
    "access-points": ("access-point", read_access_point),
    "proofs": ("proof", read_proof),
}
"""the lists of gear: key of the plan, kind of thing, how one is read"""


def read_gear(c: Context, data: Mapping[str, Any]) -> dict[str, tuple[Any, ...]]:
    """Every list of gear, by its field of the plan."""
    gear = {
        key.replace("-", "_"): tuple(read(here) for here in each(c, data, key, kind))
        for key, (kind, read) in GEAR.items()
    }
    _no_ring(c, {switch.id: switch.to for switch in gear["switches"]})
    return gear


def _no_ring(c: Context, uplinks: Mapping[str, str]) -> None:
    """Switches whose uplinks run in a ring lead to no recorder."""
    clear: set[str] = set()
    for first in uplinks:
        way: dict[str, None] = {}
        at = first
        while at and at not in clear and at not in way:
            way[at] = None
            at = uplinks.get(at, "")
        if at in way:
            here = Here(c, {}, c.paths["switch", at], ("switch", at))
            here.fault(
                "to", "PLAN-37", "the switches' uplinks run in a ring", "take out the `to` of the one at the recorder"
            )
        clear.update(way)
