"""Reading the nouns that packs bring, and what they add to the place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from oneclimb.api import Ref
from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Context, Here, each
from oneclimb.plan.model import Lamp, Object, Spot
from oneclimb.plan.units import quantity
from oneclimb.plan.where import spot

if TYPE_CHECKING:
    from oneclimb.api import Kind


class ForeignError(Exception):
    """A pack's noun that raised while a plan was read: ``key`` is the noun's, the cause what it raised."""

    def __init__(self, key: str, error: Exception) -> None:
        super().__init__(f"the pack's noun {key!r} failed: {type(error).__name__}: {error}")
        self.key = key


@contextmanager
def foreign(key: str) -> Iterator[None]:
    """Round every call of a pack's noun: a fault of the plan passes, anything else is the pack's own."""
    try:
        yield
    except UnreadableError:
        raise
    except Exception as error:
        raise ForeignError(key, error) from error


class Entry:
    """What a pack's kind is handed to read its entry with."""

    def __init__(self, here: Here) -> None:
        self._here = here

    def length(self, value: str | float) -> float:
        """A length in m."""
        return quantity(value, "length", self._here.c.units)

    def where(self, entry: Mapping[str, Any]) -> Spot:
        """The place an entry (or a mapping in it) says."""
        placed = spot(Here(self._here.c, entry, self._here.path, self._here.thing))
        if placed is None:
            raise UnreadableError("PLAN-21", "this has no place")
        return placed

    def assume(self, field: str, taken: str) -> None:
        """Put a default on record."""
        self._here.note(field, taken)


def read_things(c: Context, data: Mapping[str, Any], key: str, kind: Kind[Any]) -> tuple[Any, ...]:
    """Every thing of a pack's noun."""
    read = (_thing(here, kind) for here in each(c, data, key, kind.type))
    return tuple(thing for thing in read if thing is not None)


def _thing(here: Here, kind: Kind[Any]) -> Any:
    """A pack's own noun."""
    before = len(here.c.faults)
    with foreign(kind.key):
        thing = here.tried("", lambda: kind.read(here.data, Entry(here)))
    del here.c.faults[before + 1 :]  # a place that can't be read is one fault, not also that of the whole
    return thing


def added(kinds: Mapping[str, Kind[Any]], things: Mapping[str, tuple[Any, ...]]) -> tuple[tuple[Ref, Object], ...]:
    """What packs' things add to the place."""
    solids: list[tuple[Ref, Object]] = []
    for key, listed in things.items():
        with foreign(key):
            solids += [(Ref(kinds[key].type, thing.id), s) for thing in listed for s in kinds[key].surfaces(thing)]
    return tuple(solids)


def lights(c: Context, kinds: Mapping[str, Kind[Any]], things: Mapping[str, tuple[Any, ...]]) -> Iterator[Lamp]:
    """The lamps packs' things add; each one's origin is the thing's."""
    for key, listed in things.items():
        for thing in listed:
            with foreign(key):
                lit = tuple(kinds[key].lights(thing))
            for lamp in lit:
                c.paths.setdefault(("lamp", lamp.id), c.paths[kinds[key].type, thing.id])
                yield lamp
