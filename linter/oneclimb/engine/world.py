"""A world: the plan as written, or as it would be under some changes.

Rules and studies ask it; whatever is dear is computed once a subject and world, and
dropped when the subject's turn is over.
"""

from __future__ import annotations

import datetime as dt
import importlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, TypeVar, cast

from msgspec import Struct, field

from oneclimb.api import Change, Ref, Say, Study, Unknown
from oneclimb.plan import model
from oneclimb.plan.edit import edited
from oneclimb.plan.say import Tape

if TYPE_CHECKING:
    from oneclimb.plan.read import Loaded

R = TypeVar("R")
S = TypeVar("S")

NOUNS: Mapping[type[Any], str] = {
    model.Site: "site",
    model.Building: "building",
    model.Land: "land",
    model.Object: "object",
    model.Area: "area",
    model.Lamp: "lamp",
    model.Camera: "camera",
    model.Cable: "cable",
    model.Connector: "connector",
    model.Conduit: "conduit",
    model.Box: "box",
    model.Switch: "switch",
    model.Injector: "injector",
    model.Supply: "supply",
    model.Recorder: "recorder",
    model.Ups: "ups",
    model.AccessPoint: "access-point",
    model.Proof: "proof",
}
LISTS: Mapping[str, str] = {
    "building": "buildings",
    "land": "land",
    "object": "objects",
    "area": "areas",
    "lamp": "lamps",
    "camera": "cameras",
    "cable": "cables",
    "conduit": "conduits",
    "box": "boxes",
    "switch": "switches",
    "injector": "injectors",
    "supply": "supplies",
    "recorder": "recorders",
    "ups": "ups",
    "access-point": "access_points",
    "proof": "proofs",
}


def ref_of(thing: Any, kinds: Mapping[type[Any], str] = NOUNS) -> Ref:
    """The reference of a thing of the plan."""
    kind = kinds[type(thing)]
    return Ref(kind, "site" if kind == "site" else thing.id)


class Shared(Struct):
    """What all worlds of one review have in common."""

    nouns: Mapping[type[Any], str]
    today: dt.date
    functions: dict[str, Callable[..., Any]] = field(default_factory=dict)
    each: int = 0
    """how many other worlds the remedies of one subject may be tried in"""
    trials: int = 0
    """how many of them are left in the turn of the subject that is looked at"""

    def function(self, at: str | Callable[..., Any]) -> Callable[..., Any]:
        """A study's function, imported when first asked for."""
        if not isinstance(at, str):
            return at
        if at not in self.functions:
            module, _, name = at.partition(":")
            self.functions[at] = getattr(importlib.import_module(module), name)
        return self.functions[at]


class World:
    """One world (``api.Query``)."""

    def __init__(
        self, loaded: Loaded, shared: Shared, changes: tuple[Change, ...] = (), base: World | None = None
    ) -> None:
        if loaded.plan is None or loaded.origins is None:
            raise ValueError("a world needs a plan without faults")
        self.loaded = loaded
        self.shared = shared
        self.say: Say = Tape(loaded.plan.units)
        self._plan = loaded.plan
        self._origins = loaded.origins
        self._changes = changes
        self._base = base
        self._gone = frozenset(c.at for c in changes if c.how == "absent")
        self._kept: dict[tuple[str, Ref], Any] = {}
        self._passing: dict[tuple[str, Ref], Any] = {}
        self._worlds: dict[tuple[Change, ...], World] = {}
        self._index: dict[str, dict[str, Any]] = {}
        self._all: dict[str, tuple[Any, ...]] = {}

    @property
    def plan(self) -> model.Plan:
        """The plan in this world."""
        return self._plan

    @property
    def today(self) -> dt.date:
        """The date of the review."""
        return self.shared.today

    @property
    def changes(self) -> tuple[Change, ...]:
        """What makes this world differ from the plan as written."""
        return self._changes

    def all(self, kind: str) -> Sequence[Any]:
        """Every thing of a kind that is there in this world."""
        if kind not in self._all:
            self._all[kind] = tuple(self._by_id(kind).values())
        return self._all[kind]

    def kinds(self) -> frozenset[str]:
        """The kinds of which the plan has a thing."""
        return frozenset(kind for kind in self.shared.nouns.values() if self._by_id(kind))

    def get(self, ref: Ref) -> Any:
        """The thing a reference names; ``KeyError`` when it is not there."""
        return self._by_id(ref.kind)[ref.id]

    def _by_id(self, kind: str) -> dict[str, Any]:
        if kind not in self._index:
            gone = {ref.id for ref in self._gone if ref.kind == kind and not ref.field}
            self._index[kind] = {i: thing for i, thing in self._listed(kind) if i not in gone}
        return self._index[kind]

    def _listed(self, kind: str) -> Iterator[tuple[str, Any]]:
        if kind == "site":
            yield "site", self._plan.site
        elif kind == "connector":
            yield from ((c.id, c) for cable in self._plan.cables for c in cable.connectors)
        elif kind in LISTS:
            yield from ((t.id, t) for t in getattr(self._plan, LISTS[kind]))
        else:
            yield from (
                (t.id, t) for things in self._plan.things.values() for t in things if self.shared.nouns[type(t)] == kind
            )

    def ref(self, thing: Any) -> Ref:
        """The reference of a thing."""
        return ref_of(thing, self.shared.nouns)

    def need(self, subject: Any, field: str) -> Any:
        """A field's value, by its dotted path of the plan's keys; ``Unknown`` where the plan is silent."""
        value = subject
        for key in field.split("."):
            value = getattr(value, key.replace("-", "_"))
            if value is None:
                ref = self.ref(subject).at(field)
                raise Unknown(ref, self._origins.asks(ref))
        return value

    def known(self, ref: Ref) -> Literal["written", "default", "unknown"]:
        """Where a field's value comes from."""
        return self._origins.how(ref)

    def of(self, study: Study[S, R], subject: S) -> R:
        """A study's result for a subject, computed once in this world."""
        memo = self._kept if study.keep == "run" else self._passing
        key = (study.name, self.ref(subject))
        if key not in memo:
            memo[key] = self._compute(study, subject)
        return cast("R", memo[key])

    def _compute(self, study: Study[S, R], subject: S) -> R:
        if self._base is not None and study.vary is not None:
            before = self._base.get(self.ref(subject))
            new = self._changes[len(self._base.changes) :]
            got = self.shared.function(study.vary)(self._base.of(study, before), subject, new, self)
            if got is not None:
                return cast("R", got)
        return cast("R", self.shared.function(study.compute)(subject, self))

    def vary(self, *changes: Change) -> World:
        """The same plan under further changes."""
        if not changes:
            return self
        if changes not in self._worlds:
            edits = tuple(c for c in changes if c.how == "replace")
            loaded = edited(self.loaded, edits) if edits else self.loaded
            self._worlds[changes] = World(loaded, self.shared, (*self._changes, *changes), self)
        return self._worlds[changes]

    def forget(self) -> None:
        """Drop what was kept for the subject whose turn is over, other worlds included."""
        self._passing.clear()
        self._worlds.clear()
