"""What a contractor looks up: power, links and storage, a row a camera or recorder."""

from __future__ import annotations

import contextlib
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Reading, Unknown
from oneclimb.report import facts, gear, words
from oneclimb.study import DROP, LOAD
from oneclimb.trade import ethernet, streams

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from oneclimb.api import Ref
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera, Recorder
    from oneclimb.review import Review
    from oneclimb.study.load import Feed

UNSAID, APART = "not said", "does not apply"
FAMILIES = {"power": "POWER", "links": "LINK", "storage": "RECORD"}
"""by section: the family of rules whose figures stand in it"""
WIRED = ("poe", "low-voltage")
SOURCES = {
    "poe": "network cable (PoE)",
    "adapter": "adapter beside it",
    "low-voltage": "low-voltage wire",
    "battery": "battery",
    "solar": "battery and panel",
}


class Table(Struct, frozen=True):
    """A table: the first cell of a row names it."""

    name: str
    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Pair(Struct, frozen=True):
    """A section's tables: what the plan joins together, and every figure that was measured of it."""

    joined: Table
    figures: Table


def tables(review: Review, world: World) -> dict[str, Pair]:
    """The tables of each section that has any row."""
    joined = {"power": _power(world), "links": _links(world), "storage": _storage(world)}
    made = {name: Pair(one, _figures(name, review, world)) for name, one in joined.items()}
    return {name: pair for name, pair in made.items() if pair.joined.rows or pair.figures.rows}


def _power(world: World) -> Table:
    head = (
        "camera",
        "fed by",
        "from",
        "asks for",
        "port gives",
        "draws",
        "cable",
        "volts at the camera",
        "needs at least",
    )
    feeds = world.of(LOAD, world.plan.site).feeds
    rows = tuple(tuple(_fed(camera, feeds[camera.id], world)) for camera in world.all("camera"))
    return Table("power", "What feeds each camera", head, rows)


def _fed(camera: Camera, feed: Feed, world: World) -> Iterator[str]:
    yield camera.id
    yield SOURCES[feed.source] if feed.source else UNSAID
    giver = feed.port or feed.supply
    yield giver.id if giver else UNSAID if feed.source in (None, *WIRED) else "itself"
    yield _asked(camera, feed)
    gives = feed.port.gives if feed.port else None
    yield gives or (UNSAID if feed.source in (None, "poe") else APART)
    yield f"{camera.power.watts:g} W" if camera.power.watts else UNSAID
    wire = feed.wire or feed.data
    yield (world.say.tape(wire.length) if wire.length else UNSAID) if wire else "none"
    yield from _volts(camera, world)


def _volts(camera: Camera, world: World) -> tuple[str, str]:
    """Volts at the camera, usual and from worst to best, and the least it needs; what the wire passes where that is
    less than it draws.
    """
    try:
        drop = world.of(DROP, camera)
    except Unknown as silent:
        return f"cannot tell: {silent.asks}", UNSAID
    if drop is None:
        return APART, APART
    return gear.volts(drop), f"{drop.least:.1f} V"


def _asked(camera: Camera, feed: Feed) -> str:
    """The class it asks for, as written or by its watts; the volts where a wire feeds it."""
    power = camera.power
    if feed.source != "poe":
        volts = f"{power.volts:g} V {power.current or ''}".strip() if power.volts else ""
        return volts or (UNSAID if feed.source in (None, *WIRED) else APART)
    if power.standard and power.poe is None:
        return power.standard
    if power.poe is not None:
        return f"class {power.poe}"
    least = ethernet.class_for(power.watts) if power.watts else None
    return f"class {least.number}, by its watts" if least else UNSAID


def _links(world: World) -> Table:
    head = ("camera", "link", "to", "recorded", "stream by day")
    feeds = world.of(LOAD, world.plan.site).feeds
    rows = tuple(tuple(_linked(camera, feeds[camera.id])) for camera in world.all("camera"))
    return Table("links", "How each camera's pictures travel", head, rows)


def _linked(camera: Camera, feed: Feed) -> Iterator[str]:
    yield camera.id
    radio = camera.wireless
    if camera.link == "wireless":
        wide = f"{radio.width} MHz wide" if radio and radio.width else ""
        yield ", ".join(filter(None, ("radio", radio.band if radio else "", wide)))
        yield (radio.to if radio else "") or UNSAID
    else:
        yield "cable" if feed.data else UNSAID
        yield (feed.data.to if feed.data else "") or UNSAID
    yield camera.records or UNSAID
    yield _rate(camera)


def _rate(camera: Camera) -> str:
    low, usual, high = streams.by_day(camera)
    return f"{usual:.3g} Mbit/s" if low == high else f"{usual:.2g} Mbit/s ({low:.2g} to {high:.2g}), estimate"


def _storage(world: World) -> Table:
    head = ("recorder", "keeps", "channels", "disks", "days kept", "days wanted")
    kept = world.of(LOAD, world.plan.site).kept
    rows = tuple(tuple(_recorded(one, kept.get(one.id, ()), world)) for one in world.all("recorder"))
    return Table("storage", "What the recorders keep", head, rows)


def _recorded(one: Recorder, cameras: Sequence[Camera], world: World) -> Iterator[str]:
    yield one.id
    yield words.count(len(cameras), "camera")
    yield str(one.channels or UNSAID)
    disks = " + ".join(f"{size:g} TB" for size in one.disks or ())
    yield f"{disks}{', mirrored' if one.mirrored else ''}" if disks else UNSAID
    kept = streams.days_kept(one, cameras)
    yield gear.days(kept, world.say) if kept else UNSAID
    yield f"{one.wants:g}" if one.wants else UNSAID


def _figures(section: str, review: Review, world: World) -> Table:
    """Every figure of a family's rules, past a limit or not; the scores of checklists are no figures to look up."""
    tape = facts.tape(review)
    rows = [
        (words.thing(ref.kind, ref.id), tape.figure(item.figure), item.figure.name, level or "none", code)
        for code, ref, item, level in _measured(FAMILIES[section], review, world)
        if not item.figure.unit.startswith("of ")
    ]
    caption = "Every figure that was measured, past a limit or not"
    return Table(f"{section}-figures", caption, ("thing", "figure", "of what", "limit passed", "rule"), tuple(rows))


def _measured(family: str, review: Review, world: World) -> Iterator[tuple[str, Ref, Reading, str | None]]:
    """The readings of a family's rules; those that failed on this plan are left out, as is what can't be told."""
    failed = {crash.code for crash in review.crashes}
    for rule in review.rules:
        code = rule.info.code
        if not code.startswith(f"{family}-") or code in failed or review.policy is None:
            continue
        for subject in world.all(rule.subject):
            with contextlib.suppress(Unknown):
                for item in rule.measure(subject, world, review.policy.settings(rule)):
                    if isinstance(item, Reading):
                        known = item.settled()
                        yield code, world.ref(subject), known, review.policy.level(rule, known)[0]
