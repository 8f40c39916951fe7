"""Reading a camera's body: where it sits, its housing, what it is fixed to, and where its cable comes in."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from oneclimb.plan.here import Here
from oneclimb.plan.model import Entry, Fixing, Hole, Pane, Vec
from oneclimb.plan.plain import Fields, measure, named, plain, ranged, word

_BODY: Fields = MappingProxyType(
    {
        "room": word,
        "operating": ranged("temperature"),
        "shutter": measure("seconds"),
        "switches_at": ranged("light"),
        "microphone": word,
    }
)
_FIXING: Fields = MappingProxyType(
    {"to": word, "sway": measure("angle"), "held_by": named("object"), "backed": word},
)
_HOLE: Fields = MappingProxyType({"falls": word, "sealed": word, "to": word})
_ENTRY: Fields = MappingProxyType({"side": word, "loop": word})
_PANE: Fields = MappingProxyType(
    {"gap": measure("length"), "sealed": word, "coated": word, "room": word, "curtain": word}
)


def read_body(here: Here) -> dict[str, Any]:
    """The fields of a camera that say what its body is and how it is fixed, by name."""
    here.absent("behind", "no pane in front of it")
    return {
        "sits": here.word("sits", "outdoors"),
        "colour": here.word("colour", "white"),
        "size": _size(here.at("size")) if here.has("size") else None,
        "fixing": Fixing(**plain(here.at("fixing"), _FIXING)) if here.has("fixing") else None,
        "entry": _entry(here.at("entry")) if here.has("entry") else None,
        "behind": _pane(here.at("behind")) if here.has("behind") else None,
        **plain(here, _BODY),
    }


def _size(here: Here) -> Vec | None:
    wide, high, deep = (here.maybe(key) for key in ("wide", "high", "deep"))
    if wide is None or high is None or deep is None:
        return None
    if min(wide, high, deep) <= 0:
        here.fault("", "PLAN-26", "a housing of no size")
    return wide, high, deep


def _entry(here: Here) -> Entry:
    hole = Hole(**plain(here.at("hole"), _HOLE)) if here.has("hole") else None
    return Entry(hole=hole, **plain(here, _ENTRY))


def _pane(here: Here) -> Pane:
    return Pane(surface=here.surface("surface", "window glass"), **plain(here, _PANE))
