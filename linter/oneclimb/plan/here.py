"""A place in the plan's data while it is read: values with their faults, and defaults on record."""

from __future__ import annotations

import datetime as dt
import difflib
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping
from typing import Any, TypeVar

from msgspec import Struct, field

from oneclimb.api import Ref
from oneclimb.plan.faults import ToldError, UnreadableError
from oneclimb.plan.limits import Limits, passed
from oneclimb.plan.model import Building, Wall
from oneclimb.plan.say import Tape
from oneclimb.plan.units import BadQuantity, Units, quantity, span

T = TypeVar("T")
Path = tuple[str | int, ...]
_MOST_NAMES, _LONGEST = 200, 64
"""names compared for a hint, and characters of them: a hint is not worth more time"""
_ALL = 60
"""names that are all listed in a hint"""
_FAR = 1e7
"""m: no grid's coordinates are larger (a quarter of the way round the Earth)"""


class Raw(Struct, frozen=True):
    """A fault as the reader meets it: at a path of the data, its place in the file not yet looked up."""

    code: str
    text: str
    path: Path
    hint: str = ""
    key: bool = False
    """the fault is the key, not its value"""


class Context(Struct):
    """What reading one thing needs of the rest: units, limits, walls, and where faults and defaults go."""

    units: Units
    limits: Limits
    plus_y: float = 0.0
    buildings: dict[str, Building] = field(default_factory=dict)
    types: Mapping[str, Any] = field(default_factory=dict)
    materials: frozenset[str] = frozenset()
    named: Mapping[str, Mapping[str, None]] = field(default_factory=dict)
    """the ids written in the plan, by kind of thing, whether or not these can be read"""
    faults: list[Raw] = field(default_factory=list)
    notes: MutableMapping[tuple[str, str], dict[str, str]] = field(default_factory=dict)
    paths: MutableMapping[tuple[str, str], Path] = field(default_factory=dict)

    @property
    def say(self) -> Tape:
        """The plan's units."""
        return Tape(self.units)

    def unit(self, bearing: float) -> tuple[float, float]:
        """A compass bearing as a unit vector of the site."""
        angle = math.radians(bearing - self.plus_y)
        return (_trim(math.sin(angle)), _trim(math.cos(angle)))

    def bearing(self, dx: float, dy: float) -> float:
        """A direction of the site as a compass bearing, degrees."""
        return (math.degrees(math.atan2(dx, dy)) + self.plus_y) % 360.0

    def building(self, name: str | None) -> Building:
        """A building by id, or the first."""
        if not self.buildings:
            if self.roofless():
                raise ToldError
            raise UnreadableError("PLAN-33", "there is no house to measure from", "write `house:`, or `at: [x, y]`")
        if name is None:
            return next(iter(self.buildings.values()))
        if self.lost(name, self.buildings, "building"):
            raise ToldError
        return pick(name, self.buildings, "building")

    def roofless(self) -> bool:
        """Whether a building of the plan couldn't be read, so that its walls aren't known."""
        return any(kind == "building" and name not in self.buildings for kind, name in self.paths)

    def lost(self, name: str, known: Mapping[str, Any], *kinds: str) -> bool:
        """Whether the plan has a thing of that name and kind that couldn't be read."""
        return name not in known and any((kind, name) in self.paths for kind in kinds)

    def wall(self, name: str, building: str | None = None) -> tuple[Building, Wall]:
        """A wall by its id, of the building named, or of the first."""
        house = self.building(building)
        return house, pick(name, {wall.id: wall for wall in house.walls}, f"wall of {house.id}")


def _trim(x: float) -> float:
    """Without the last digits' noise, so that a square house stays square."""
    return round(x, 15) + 0.0


def nearest(word: str, known: Iterable[str], more: str = "") -> str:
    """A hint naming the nearest of the known words, or all of them; ``more`` says where to see very many."""
    names = list(known)
    written = word[:_LONGEST].lower()
    near = [name for name in names if abs(len(name) - len(word)) < 4 and {name[:1], name[-1:]} & _ends(word)]
    alike = {name.lower(): name for name in near[:_MOST_NAMES]}
    close = [alike[name] for name in difflib.get_close_matches(written, alike, 1, 0.6)]
    close = close or [name for name in names[:_MOST_NAMES] if name in re.split("[ _-]", written)]
    if close:
        return f"did you mean `{close[0]}`?"
    if len(names) > _ALL:
        return f"known: {_listed(names[:8])} and {len(names) - 8} more{f': {more}' if more else ''}"
    return f"known: {_listed(names)}" if names else ""


def _ends(word: str) -> set[str]:
    ends = {word[:1], word[-1:]}
    return ends | {end.lower() for end in ends} | {end.upper() for end in ends}


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)


def pick(name: str, known: Mapping[str, T], what: str) -> T:
    """The thing of that name. Raises ``UnreadableError`` with the nearest one."""
    if name not in known:
        raise UnreadableError("PLAN-19", f"no {what} is called `{name}`", nearest(name, known))
    return known[name]


class Here:
    """One mapping of the plan, for one thing: values in SI, faults at their key, defaults noted."""

    __slots__ = ("c", "data", "path", "prefix", "thing")

    def __init__(
        self, c: Context, data: Mapping[str, Any], path: Path, thing: tuple[str, str], prefix: str = ""
    ) -> None:
        self.c, self.data, self.path, self.thing, self.prefix = c, data, path, thing, prefix

    @property
    def ref(self) -> Ref:
        """The thing being read."""
        return Ref(*self.thing)

    def has(self, key: str) -> bool:
        """Whether the key is written."""
        return key in self.data

    def at(self, key: str) -> Here:
        """The mapping under a key (empty where it is not written)."""
        return Here(self.c, self.data.get(key, {}), (*self.path, key), self.thing, f"{self.prefix}{key}.")

    def note(self, key: str, taken: str) -> None:
        """Put a default on record."""
        self.c.notes.setdefault(self.thing, {})[self.prefix + key] = taken

    def absent(self, key: str, taken: str) -> None:
        """Where a key isn't written, put on record what its absence is taken to mean."""
        if key not in self.data:
            self.note(key, taken)

    def fault(self, key: str, code: str, text: str, hint: str = "", *, at_key: bool = False) -> None:
        """A fault at a key (or at the mapping itself, with an empty key)."""
        path = (*self.path, key) if key else self.path
        self.c.faults.append(Raw(code, text, path, hint, at_key))

    def tried(self, key: str, read: Callable[[], T]) -> T | None:
        """What ``read`` gives, or ``None`` with its fault on record at the key."""
        try:
            return read()
        except ToldError:
            return None
        except UnreadableError as error:
            self.fault(key, error.code, error.text, error.hint)
        except BadQuantity as error:
            self.fault(key, error.code, str(error))
        return None

    def word(self, key: str, default: Any = None, taken: str = "") -> Any:
        """A value as written; the default is noted unless it is ``None`` (unknown)."""
        if key in self.data:
            return self.data[key]
        if default is not None:
            self.note(key, taken or str(default))
        return default

    def flag(self, key: str, without: str) -> bool:
        """A plain true or false, false by default; ``without`` says what false means."""
        return bool(self.word(key, default=False, taken=without))

    def size(self, key: str, default: float, kind: str = "length", taken: str = "") -> float:
        """A quantity with a default (SI)."""
        value = self.maybe(key, kind)
        if value is not None or key in self.data:
            return default if value is None else value
        self.note(key, taken or (self.c.say.fine(default) if kind == "length" else f"{default:g}"))
        return default

    def maybe(self, key: str, kind: str = "length") -> float | None:
        """A quantity that may be unknown (SI)."""
        if key not in self.data:
            return None
        value = self.data[key]
        try:
            return quantity(value, kind, self.c.units)
        except BadQuantity as error:
            self.fault(key, error.code, str(error))
            return None

    def range(self, key: str, kind: str = "length") -> tuple[float, float] | None:
        """A range, low first; ``None`` where it is not written or faulty."""
        if key not in self.data:
            return None
        ends = self.tried(key, lambda: span(self.data[key], kind, self.c.units))
        if ends and ends[0] > ends[1]:
            self.fault(key, "PLAN-22", f"{self.data[key]!r}: the smaller number comes first")
            return None
        return ends

    def date(self, key: str) -> str | None:
        """An ISO date that is on the calendar."""
        if key not in self.data:
            return None
        try:
            return dt.date.fromisoformat(str(self.data[key])).isoformat()
        except ValueError:
            self.fault(key, "PLAN-27", f"{self.data[key]} is not a date", "write it as year-month-day: 2026-03-31")
            return None

    def surface(self, key: str, default: str) -> str:
        """A material's name, which must be known."""
        name = str(self.word(key, default))
        if name not in self.c.materials:
            self.fault(key, "PLAN-20", f"no material is called `{name}`", nearest(name, sorted(self.c.materials)))
        return name

    def point(self, key: str, value: Any) -> tuple[float, float]:
        """A pair of coordinates, site metres."""
        x, y = (quantity(v, "length", self.c.units) for v in value)
        if max(abs(x), abs(y)) > _FAR:
            raise UnreadableError("PLAN-31", f"`{key}` {value} is not a place on a site")
        return x, y

    def points(self, key: str) -> tuple[tuple[float, float], ...] | None:
        """A list of coordinates, bounded in number."""
        if key not in self.data:
            return None
        listed = self.data[key]
        if len(listed) > self.c.limits.corners:
            self.fault(key, "PLAN-02", passed("corners", f"an outline of more than {self.c.limits.corners} corners"))
            return None
        return self.tried(key, lambda: tuple(self.point(key, value) for value in listed))


def each(c: Context, data: Mapping[str, Any], key: str, kind: str) -> Iterator[Here]:
    """The entries of a list, each under its own id; a second one of the same id is a fault.

    They end where there are more faults than are shown.
    """
    for i, entry in enumerate(data.get(key, ())):
        if len(c.faults) > c.limits.faults:
            return
        here = Here(c, entry, (key, i), (kind, entry["id"]))
        if here.thing in c.paths:
            here.fault("id", "PLAN-18", f"another {kind} is already called `{entry['id']}`")
            continue
        c.paths[here.thing] = here.path
        yield here
