"""A plan looked at again after it was edited: of the studies only what may have changed is computed anew."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, TypeVar, cast

from msgspec.structs import replace

from oneclimb.api import Change, Ref, Study
from oneclimb.engine.trial import Bench
from oneclimb.engine.world import LISTS, Shared, World

if TYPE_CHECKING:
    from oneclimb.plan.model import Plan
    from oneclimb.plan.read import Loaded

R = TypeVar("R")
S = TypeVar("S")

WHOLE = ("units", "boundary", "materials", "constants", "things", "added", "limits")
"""what touches everything: where it differs, nothing is kept"""


def difference(old: Plan, new: Plan) -> tuple[Change, ...] | None:
    """The changes that make one plan of the other, each of a whole thing: other than it was, new, or gone (None).

    A thing that is the same is other than it was where it is written now and was taken by default, or the reverse. None
    where the plans differ in what touches everything, so that nothing found for the one holds for the other.
    """
    if any(getattr(old, name) != getattr(new, name) for name in WHOLE):
        return None
    changes = {change.at: change for change in _changes(old, new)}
    for ref in sorted(_taken(old) ^ _taken(new)):
        at = Ref(ref[0], ref[1])
        changes.setdefault(at, Change("replace", at))
    return tuple(changes.values())


def _taken(plan: Plan) -> set[tuple[str, str, str, str]]:
    """Every default in use: kind and id of the thing, the field, what is taken."""
    return {(one.kind, name, one.field, one.taken) for one in plan.assumed for name in one.ids}


def _changes(old: Plan, new: Plan) -> Iterator[Change]:
    if old.site != new.site:
        yield Change("replace", Ref("site", "site"), new.site)
    for kind, name in LISTS.items():
        before, after = ({thing.id: thing for thing in getattr(plan, name)} for plan in (old, new))
        if before.keys() == after.keys() and list(before) != list(after):
            yield from (Change("replace", Ref(kind, one), thing) for one, thing in after.items())
            continue
        yield from (Change("replace", Ref(kind, gone)) for gone in before if gone not in after)
        yield from (
            Change("replace", Ref(kind, one), thing) for one, thing in after.items() if before.get(one) != thing
        )


def joined(old: Plan, loaded: Loaded) -> Loaded:
    """A new reading of a plan in which every thing that is as it was is the very same thing as before: what was found
    of it may be told by its identity.
    """
    if loaded.plan is None:
        return loaded
    new, lists = loaded.plan, {}
    for name in LISTS.values():
        before = {thing.id: thing for thing in getattr(old, name)}
        lists[name] = tuple(before[t.id] if before.get(t.id) == t else t for t in getattr(new, name))
    site = old.site if old.site == new.site else new.site
    return replace(loaded, plan=replace(new, site=site, **lists))


class Again(World):
    """A world that asks what an earlier one knew, and keeps what it finds for the next."""

    def __init__(self, loaded: Loaded, shared: Shared, before: Again | None = None) -> None:
        super().__init__(joined(before.plan, loaded) if before else loaded, shared)
        alike = before is not None and before.today == shared.today
        self._since = difference(before.plan, self.plan) if before and alike else None
        self._before = before if self._since is not None else None

    @property
    def since(self) -> tuple[Change, ...] | None:
        """What has changed since the earlier world; None where it is of no use."""
        return self._since

    def _compute(self, study: Study[S, R], subject: S) -> R:
        if self._before is not None and self._since is not None:
            old = self._before.known_of(study, self.ref(subject))
            if old is not None and not self._since:
                return cast("R", old)
            if old is not None and study.vary is not None:
                got = self.shared.function(study.vary)(old, subject, self._since, self)
                if got is not None:
                    return cast("R", got)
        return super()._compute(study, subject)

    def known_of(self, study: Study[Any, Any], ref: Ref) -> Any:
        """A study's result, if it was computed; None otherwise."""
        return (self._kept if study.keep == "run" else self._passing).get((study.name, ref))

    def forget(self) -> None:
        """Drop the worlds in which remedies were tried, and nothing else."""
        self._worlds.clear()

    def stand_alone(self) -> None:
        """Let go of the earlier world, so that a long sitting holds one and not all of them."""
        self._before = None


class Untried(Bench):
    """A bench for an answer in haste: no remedy is tried, and none that would have to be is offered."""

    def __init__(self, bench: Bench) -> None:
        vars(self).update(vars(bench))

    def least(self, *_: Any, **__: Any) -> None:
        """None, without a look at any step."""

    def lessens(self, *_: Any, **__: Any) -> None:
        """None, without a look at the edits."""
