"""Plain optional fields, declared: what the plan doesn't say of them is unknown, and that is all there is to it.

A table says by field of the model how its key is read: ``plain(here, {"diameter": measure("length"), "made": word})``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from oneclimb.plan.here import Here, Raw, nearest
from oneclimb.plan.units import BadQuantity, quantity

Read = Callable[[Here, str], Any]
"""reads one key of a mapping; nothing (``None``, or an empty name or list of names) where it isn't written"""
Fields = Mapping[str, Read]
"""how a thing's plain fields are read, by their names in the model"""

LISTS: Mapping[str, str] = MappingProxyType(
    {
        "objects": "object",
        "areas": "area",
        "lamps": "lamp",
        "cameras": "camera",
        "cables": "cable",
        "conduits": "conduit",
        "boxes": "box",
        "switches": "switch",
        "injectors": "injector",
        "supplies": "supply",
        "recorders": "recorder",
        "ups": "ups",
        "access-points": "access-point",
        "proofs": "proof",
    }
)
"""the plan's lists of things with an id: key, and kind of thing"""
_KEYS = {**{kind: key for key, kind in LISTS.items()}, "building": "buildings"}


def plain(here: Here, fields: Fields) -> dict[str, Any]:
    """The values of plain fields, by name, each from the key of that name."""
    return {name: read(here, name.replace("_", "-")) for name, read in fields.items()}


def word(here: Here, key: str) -> Any:
    """A word, number, or true or false, as it is written."""
    return here.data.get(key)


def words(here: Here, key: str) -> tuple[Any, ...] | None:
    """A list as it is written."""
    return tuple(here.data[key]) if here.has(key) else None


def date(here: Here, key: str) -> str | None:
    """An ISO date."""
    return here.date(key)


def measure(kind: str) -> Read:
    """A quantity of that kind (SI)."""
    return lambda here, key: here.maybe(key, kind)


def within(kind: str, low: float, high: float) -> Read:
    """A quantity of that kind between two bounds, in whichever unit it is written."""

    def read(here: Here, key: str) -> float | None:
        size = here.maybe(key, kind)
        if size is not None and not low <= size <= high:
            here.fault(key, "PLAN-16", f"`{key}`: {here.data[key]} is not between {low:g} and {high:g}")
            return None
        return size

    return read


def ranged(kind: str) -> Read:
    """A range of quantities of that kind, low first."""
    return lambda here, key: here.range(key, kind)


def measures(kind: str) -> Read:
    """A list of quantities of that kind; ``None`` where one of them is faulty."""

    def read(here: Here, key: str) -> tuple[float, ...] | None:
        if not here.has(key):
            return None
        found, before = [], len(here.c.faults)
        for i, value in enumerate(here.data[key]):
            try:
                found.append(quantity(value, kind, here.c.units))
            except BadQuantity as error:
                here.c.faults.append(Raw(error.code, str(error), (*here.path, key, i)))
        return tuple(found) if len(here.c.faults) == before else None

    return read


def named(*kinds: str) -> Read:
    """The id of a thing of one of these kinds, which the plan must have; empty where none is written."""

    def read(here: Here, key: str) -> str:
        if not here.has(key):
            return ""
        _must_be(here, here.data[key], kinds, (key,))
        return str(here.data[key])

    return read


def all_named(*kinds: str) -> Read:
    """A list of such ids; ``None`` where no list is written."""

    def read(here: Here, key: str) -> tuple[str, ...] | None:
        if not here.has(key):
            return None
        for i, name in enumerate(here.data[key]):
            if len(here.c.faults) <= here.c.limits.faults:
                _must_be(here, name, kinds, (key, i))
        return tuple(here.data[key])

    return read


def _must_be(here: Here, name: str, kinds: tuple[str, ...], at: tuple[str | int, ...]) -> None:
    if any(name in here.c.named.get(kind, ()) for kind in kinds):
        return
    text = f"no {' or '.join(kind.replace('-', ' ') for kind in kinds)} is called `{name}`"
    hint = nearest(name, [one for kind in kinds for one in here.c.named.get(kind, ())])
    here.c.faults.append(Raw("PLAN-19", text, (*here.path, *at), hint or f"write it among `{_KEYS[kinds[0]]}`"))


def checked(check: Callable[[Any], Any]) -> Read:
    """A value as it is written, which ``check`` must take: a ``ValueError`` of its is a fault at the value."""

    def read(here: Here, key: str) -> Any:
        if not here.has(key):
            return None
        try:
            check(here.data[key])
        except ValueError as error:
            here.fault(key, "PLAN-15", str(error))
            return None
        return here.data[key]

    return read


def names_of(data: Mapping[str, Any]) -> dict[str, Mapping[str, None]]:
    """The ids written in a plan's data, in order, by kind of thing, whether or not these can be read."""
    found = {kind: [entry["id"] for entry in data.get(key, ())] for key, kind in LISTS.items()}
    own = [f"{entry['id']}-cable" for entry in data["cameras"] if "cable" in entry]
    found["cable"] = own + found["cable"]
    found["building"] = ["house"] * ("house" in data) + [entry["id"] for entry in data.get("buildings", ())]
    return {kind: dict.fromkeys(names) for kind, names in found.items()}
