"""A review: one plan, read, studied, judged; what every report is made from."""

from __future__ import annotations

import datetime as dt
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field
from msgspec.structs import replace

from oneclimb.api import LEVELS, Finding, Ref, Rule
from oneclimb.engine.measure import CannotTell, Measurer
from oneclimb.engine.round import Crash, Tell, go_round, told_by_rule
from oneclimb.engine.world import LISTS, NOUNS, Shared, World
from oneclimb.plan.faults import START, Fault
from oneclimb.plan.read import Loaded, load
from oneclimb.plan.read_packs import ForeignError
from oneclimb.policy import Accepted, Policy
from oneclimb.study import SCENE

if TYPE_CHECKING:
    from oneclimb.packs import PackCrash, Packs
    from oneclimb.plan.owner import Owner
    from oneclimb.plan.schema import Schemas
    from oneclimb.plan.text import Limits

TRIALS, MOST, FEWEST = 600, 80, 2
"""Readings that may be taken again after a remedy: so many in all, shared out evenly over the cameras, but no more and
no fewer than these for one thing. Bounds what a large plan spends on looking for remedies.
"""


class Review(Struct, frozen=True):
    """What came of one plan. ``findings`` are sorted worst first, then by place in the file."""

    path: str
    loaded: Loaded
    findings: tuple[Finding, ...] = ()
    cannot_tell: tuple[CannotTell, ...] = ()
    accepted: tuple[Accepted, ...] = ()
    crashes: tuple[Crash, ...] = ()
    rules: tuple[Rule[Any], ...] = ()
    policy: Policy | None = None
    timing: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def unlocks(self) -> tuple[tuple[str, Ref, int], ...]:
        """The answers that would unlock most figures: question, first place, how many; most first."""
        count = Counter(item.asks for item in self.cannot_tell)
        first = {item.asks: item.ref for item in reversed(self.cannot_tell)}
        return tuple((asks, first[asks], n) for asks, n in sorted(count.items(), key=lambda kv: (-kv[1], kv[0])))


def check(
    path: str,
    packs: Packs,
    schemas: Schemas,
    owner: Owner | None = None,
    *,
    limits: Limits | None = None,
    progress: Callable[[int, int], None] | None = None,
    today: dt.date | None = None,
    hands: int = 1,
) -> Review:
    """Review the plan in a file, by some ``hands``. Never raises for what the plan holds: faults are in ``loaded``."""
    start = time.perf_counter()
    try:
        loaded = load(path, packs.kinds, schemas, limits)
    except ForeignError as error:
        crash = Crash(error.key, None, str(error), traceback.format_exc())
        return Review(path, Loaded(path, None, None), crashes=(*_broken(packs.crashes), crash))
    read = time.perf_counter()
    return review(loaded, packs, owner, progress=progress, today=today, hands=hands, timing={"read": read - start})


def review(
    loaded: Loaded,
    packs: Packs,
    owner: Owner | None = None,
    *,
    progress: Callable[[int, int], None] | None = None,
    today: dt.date | None = None,
    hands: int = 1,
    world: World | None = None,
    tell: Tell = told_by_rule,
    timing: Mapping[str, float] = MappingProxyType({}),
) -> Review:
    """Review a plan that has been read, in a ``world`` of its own or a given one."""
    if loaded.plan is None or loaded.origins is None or loaded.document is None:
        return Review(loaded.path, loaded, crashes=_broken(packs.crashes), timing=timing)
    start = time.perf_counter()
    day = today or dt.datetime.now().astimezone().date()
    plan, origins = loaded.plan, loaded.origins
    world = world or world_of(loaded, packs, day)
    rules, unfit = packs.called_for(world.kinds(), words(loaded.document.data))
    broken = _broken((*packs.crashes, *unfit))
    policy = Policy(rules, plan.settings, owner.settings if owner else {})
    fault = unbuilt(world)
    if fault:
        return Review(loaded.path, replace(loaded, plan=None, faults=(fault,)), crashes=broken, timing=timing)
    out = go_round(world, Measurer(rules, policy), progress, hands, tell)
    found = (*out.findings, *policy.findings)
    stand, accepted = policy.accept(found, plan.deviations, owner.deviations if owner else None, day)

    def place(finding: Finding) -> tuple[object, ...]:
        span = origins.span(finding.at)
        return (-LEVELS.index(finding.level), span.line, span.column, finding.code, finding.path)

    return Review(
        loaded.path,
        loaded,
        tuple(sorted(stand, key=place)),
        tuple(sorted({*out.cannot_tell, *unlisted(world, packs)}, key=lambda c: (c.ref, c.code, c.asks))),
        tuple(accepted),
        (*broken, *out.crashes),
        rules,
        policy,
        {**timing, "check": time.perf_counter() - start},
    )


def world_of(loaded: Loaded, packs: Packs, day: dt.date) -> World:
    """The world as a plan describes it."""
    return World(loaded, shared_of(loaded, packs, day))


def shared_of(loaded: Loaded, packs: Packs, day: dt.date) -> Shared:
    """What all worlds of a review have in common."""
    cameras = len(loaded.plan.cameras) if loaded.plan else 0
    return Shared(nouns(packs, loaded), day, each=min(MOST, max(FEWEST, TRIALS // max(cameras, 1))))


def _broken(crashes: Iterable[PackCrash]) -> tuple[Crash, ...]:
    """The packs and rules that could not be loaded, as every review reports them."""
    return tuple(Crash(crash.pack, None, crash.text, crash.trace) for crash in crashes)


def unlisted(world: World, packs: Packs) -> Iterator[CannotTell]:
    """A question for each list that the plan leaves out, though rules are about what would be in it."""
    lists = world.loaded.source.schema["properties"] if world.loaded.source else {}
    for kind in LISTS.keys() - world.kinds():
        key = LISTS[kind].replace("_", "-")
        asks = lists.get(key, {}).get("asks")
        if asks:
            ref = Ref("site", "site", key)
            yield from (CannotTell(code, ref, asks) for code in packs.rules if packs.rules.subject(code) == kind)


def words(data: Any) -> set[str]:
    """Every key that is written somewhere in a plan."""
    found: set[str] = set()
    rest = [data]
    while rest:
        value = rest.pop()
        if isinstance(value, dict):
            found.update(value)
            rest += value.values()
        elif isinstance(value, list):
            rest += value
    return found


def unbuilt(world: World) -> Fault | None:
    """Build the place; the fault where its solids cannot be made."""
    from oneclimb.place.mesh import PlaceError

    try:
        world.of(SCENE, world.plan.site)
    except PlaceError as error:
        span = world.loaded.origins.span(error.ref) if world.loaded.origins else START
        return Fault("PLAN-35", error.text, span)
    return None


def nouns(packs: Packs, loaded: Loaded) -> Mapping[type[Any], str]:
    """The noun of every class of thing, packs' own included."""
    things = loaded.plan.things if loaded.plan else {}
    return {**NOUNS, **{type(thing): packs.kinds[key].type for key, listed in things.items() for thing in listed}}
