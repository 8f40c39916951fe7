"""RECORD-07: what starts the recording is blind, late, badly placed, or set off by the road."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Level,
    Limits,
    Reading,
    Ref,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
    setting,
)
from oneclimb.study import TRIGGERED
from oneclimb.trade import blur
from oneclimb.trade.streams import STORED
from oneclimb_rules import moves
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import SIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Trigger
    from oneclimb.study.triggered import Towards

PANE, LAG, DIRECTION, ROAD = "pane", "lag", "direction", "road"
NEAREST = 2.0
"""m: a trigger's reach is shortened to no less"""
MASKED = "mask the road out of the trigger's own zone, if the camera has one to set, and walk it to see that it is"
MOST_KEPT = 10
"""s kept from before the trigger, at most (common practice)"""


class TriggerSettings(Settings, frozen=True):
    """Metres gone before the first picture; the angle at which people come; the share of the zone that is road."""

    limits: Limits = Limits(note=1.0, warning=3.0, error=10.0)
    angle: float = setting(
        30.0, "a way that lies closer than this to the line of sight is a note", unit="deg", minimum=0.0, maximum=90.0
    )
    road_note: float = setting(0.02, "more of the zone than this on a public way is a note", minimum=0.0, maximum=1.0)
    road_warning: float = setting(0.15, "more than this, off a battery, is a warning", minimum=0.0, maximum=1.0)


class TriggerMisses(Rule["Camera"]):
    """Four ways in which a trigger misses what it is for, each with its figure."""

    info = Info(
        code="RECORD-07",
        title="trigger blind, late or set off by the road",
        sources=(
            "arithmetic (lag times speed: 1 s is 1.4 m at a walk, 5.6 m for a car)",
            "textbook optics (window glass lets no heat of a body, 8 to 14 micrometres, through)",
            "common practice (heat sensors answer to what crosses their zones sooner than to what comes straight on)",
        ),
        page="trigger_misses.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = TriggerSettings

    def measure(self, subject: Camera, q: Query, settings: TriggerSettings) -> Iterable[Reading | Unknown]:
        """Each that can matter for this camera."""
        trigger = subject.trigger
        if trigger is None:
            return
        waits = subject.records in ("motion", "schedule") or subject.power.source in STORED
        if subject.behind is not None:
            by = q.need(subject, "trigger.by")
            yield _reading(
                subject, PANE, Figure("of a body's heat passes the pane", float(by != "heat"), "", good="high")
            )
            if by == "heat":
                return
        yield from _lag(subject, trigger, q, settings, waits=waits)
        if subject.power.source in STORED and trigger.range is None:
            if q.of(TRIGGERED, subject).road > 0:
                yield Unknown(Ref("camera", subject.id, "trigger.range"), "how far does the camera's trigger reach?")
        elif trigger.range is not None:
            road = q.of(TRIGGERED, subject).road
            yield _reading(subject, ROAD, Figure("of the trigger's zone is public way", road, ""))
        ways = q.of(TRIGGERED, subject).ways
        if trigger.by == "heat" and ways:
            figure = Figure("angle between their way and the line of sight", ways[0].angle, "deg", good="high")
            yield _reading(subject, DIRECTION, figure, way=ways[0])

    def level(self, reading: Reading, value: float, settings: TriggerSettings) -> Level | None:
        """A blind sensor is an error; metres by the limits; direction a note; a road more off a battery."""
        camera: Camera = reading.facts["camera"]
        if reading.key == PANE:
            return "error" if value < 0.5 else None
        if reading.key == DIRECTION:
            return "note" if value < settings.angle else None
        if reading.key == ROAD:
            warning = settings.road_warning if camera.power.source in STORED else None
            return Limits(settings.road_note, warning).level(value, "low")
        return settings.limits.level(value, "low")

    def tell(self, reading: Reading, q: Trial, settings: TriggerSettings) -> Told:
        """What is missed, and what would see it."""
        del settings
        camera: Camera = reading.facts["camera"]
        words = {PANE: _pane, LAG: _late, DIRECTION: _towards, ROAD: _road}[reading.key]
        return words(camera, reading, q)


def _reading(camera: Camera, key: str, figure: Figure, **facts: Any) -> Reading:
    field = "trigger.by" if key == PANE else "trigger.range" if key == ROAD else "trigger"
    return Reading(figure, Ref("camera", camera.id, field), key, facts={"camera": camera, **facts})


def _lag(
    camera: Camera, trigger: Trigger, q: Query, settings: TriggerSettings, *, waits: bool
) -> Iterator[Reading | Unknown]:
    """Metres gone from the trigger to the first picture kept; nothing is lost where it records all the time."""
    if not waits and q.need(camera, "records") != "motion":
        return
    lag: float = q.need(camera, "trigger.lag")
    pace = q.of(TRIGGERED, camera).pace
    speed = pace or blur.SPEEDS["walking"]
    gone = lag * speed
    before = trigger.before or 0.0
    if settings.limits.level(gone, "low"):
        before = q.need(camera, "trigger.before")
    left = max(0.0, lag - before) * speed
    walks = "as fast as the plan says things move there" if pace else "at a walk"
    steps = (f"({lag:g} s until the first picture - {before:g} s kept from before) x {speed:g} m/s = {left:.2g} m",)
    figure = Figure("gone before the first picture", left, "m")
    yield _reading(camera, LAG, figure, walks=walks, lag=lag, steps=steps)


def _pane(camera: Camera, reading: Reading, q: Trial) -> Told:
    del reading
    text = (
        f"{camera.id} wakes by heat and looks through a pane: glass lets none of a body's heat through, it never wakes"
    )
    at = Ref("camera", camera.id, "trigger.by")
    ways = [("let the picture itself start the recording", Change("replace", at, "picture"))]
    step = "window glass passes light up to about 4 micrometres; a body's heat is 8 to 14: nothing arrives"
    remedies = (*cures(q, ways), Remedy("or mount a camera that wakes by heat outside, in front of the pane"))
    return Told(text, remedies, steps=(step,))


def _late(camera: Camera, reading: Reading, q: Trial) -> Told:
    text = (
        f"{camera.id} keeps its first picture {reading.facts['lag']:g} s after the trigger: by then what it is for has "
        f"gone on ({reading.facts['walks']}), maybe out of the frame"
    )
    at = Ref("camera", camera.id, "trigger.before")
    seconds = [s for s in range(1, MOST_KEPT + 1) if s > ((camera.trigger and camera.trigger.before) or 0.0)]
    keep = None
    if camera.power.source not in STORED:
        keep = q.least(
            lambda i: f"keep {seconds[i]} s from before the trigger",
            [(Change("replace", at, f"{s} s"),) for s in seconds],
        )
    advice = (
        "a camera that sleeps cannot keep what was before: wake it earlier (a longer reach, a sensor of its own "
        "further up the way), or feed it by a cable"
    )
    remedies = [keep] if keep else [Remedy(advice)] if camera.power.source in STORED else []
    return Told(text, (*remedies, Remedy("or place it where they still come towards it")), steps=reading.facts["steps"])


def _towards(camera: Camera, reading: Reading, q: Trial) -> Told:
    way: Towards = reading.facts["way"]
    text = (
        f"whoever comes along {way.area} walks almost straight at {camera.id}, {q.say.tape(way.distance)} off: a heat "
        "sensor notices late what does not cross its view"
    )
    step = f"{way.angle:.0f} degrees between the long way of {way.area} and the line from the lens to its middle"
    remedy = Remedy("hang it to the side of the way, so that people cross its view; walk it to see where it wakes")
    return Told(text, (remedy,), steps=(step,))


def _road(camera: Camera, reading: Reading, q: Trial) -> Told:
    stored = camera.power.source in STORED
    cost = "each passer-by costs its battery" if stored else "each passer-by makes a recording nobody wants"
    reach = camera.trigger.range if camera.trigger else None
    text = f"{q.say.share(reading.figure.value)} of what sets off {camera.id}"
    text += f", out to {q.say.tape(reach)}, is public way: {cost}" if reach else f" is public way: {cost}"
    zone = f"{camera.view.across:.0f} degrees across, out to {reach or 0.0:g} m, less what is hidden"
    step = f"{zone}: {reading.figure.value:.0%}"
    return Told(text, tuple(_off_the_road(camera, reach or 0.0, q)), steps=(step,))


def _off_the_road(camera: Camera, reach: float, q: Trial) -> Iterator[Remedy]:
    """A shorter reach that still gets to all wanted ground it gets to now; turning away; a mask as advice."""
    at = Ref("camera", camera.id, "trigger.range")
    steps = [reach - 0.5 * i for i in range(1, 1 + math.floor((reach - NEAREST) / 0.5))]
    wanted = set(q.of(TRIGGERED, camera).reached)

    def keeps(world: Query) -> bool:
        there = world.of(TRIGGERED, world.get(Ref("camera", camera.id)))
        return wanted <= set(there.reached)

    shorter = q.least(
        lambda i: f"set the trigger's reach to {q.say.tape(steps[i])}",
        [(Change("replace", at, f"{step:.2f} m"),) for step in steps],
        keeps=keeps,
    )
    tried = [*([shorter] if shorter else ()), *moves.offered(q, moves.turn(camera), moves.StillSees(camera, q))]
    yield from tried
    yield Remedy(MASKED if tried else f"shorten its reach or turn it as far as what it is for allows; {MASKED}")
