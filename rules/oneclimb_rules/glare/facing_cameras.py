"""GLARE-02: another camera's infrared in this one's picture."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from msgspec.structs import replace

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Level,
    Limits,
    Query,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Trial,
    Unknown,
    setting,
)
from oneclimb.plan.model import Camera
from oneclimb.study import NIGHT
from oneclimb_rules import moves
from oneclimb_rules.glare.shares import gives
from oneclimb_rules.heeds import LIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.study.night_told import Contribution
    from oneclimb.study.night_view import NightView

FOUR = "prove the pair at night in four states: neither lit, one, the other, both"
APART = (
    "stagger the two so that neither lens looks into the other's lamp; or let one lamp serve both, with the other's "
    "infrared off, and prove both pictures"
)
GAIN = "/gain"
"""what the key of a reading of gain ends in"""
NEAR = 15.0
"""m: farther off, a lamp rated for the usual 30 m and straight in the frame makes a veil of under half the threshold
signal, 5 * 0.02 * 30²/15² = 0.4 (estimate)"""
EXACT = 1e-6
"""share of the night view: a change smaller than this is none"""


class FacingSettings(Settings, frozen=True):
    """Limits on the change of the night view; a gain worth a note has its own."""

    limits: Limits = Limits(note=-0.05, warning=-0.10, error=-0.50)
    gain: float = setting(
        0.5,
        "this much more in hand on the wanted ground is worth a note: the pair help each other",
        unit="stops",
        minimum=0,
    )


class FacingCameras(Rule[Camera]):
    """For each other camera whose infrared reaches this picture: the net change, and what it helps."""

    info = Info(
        code="GLARE-02",
        title="facing cameras",
        sources=(
            "inverse square (photometry, textbook)",
            "veiling glare: ISO 9358:1994, definition",
            "a loss of 10 % with a clean front as the limit: common practice",
        ),
        page="facing_cameras.md",
    )
    subject = "camera"
    heeds = LIGHT
    settings = FacingSettings

    def measure(self, camera: Camera, q: Query, settings: FacingSettings) -> Iterable[Reading | Unknown]:
        """Change of this camera's night view by each other camera's infrared, and what it adds in hand."""
        del settings
        if camera.night not in ("infrared", "both"):
            return
        q.need(camera, "infrared.range")
        night = q.of(NIGHT, camera)
        now = night.view()
        for part in night.contributions():
            if part.ref.kind != "camera" or part.ref.id == camera.id:
                continue
            without = q.vary(Change("dark", part.ref)).of(NIGHT, camera).view()
            yield from faced(camera, part, now, without, q)
        yield from (why for why in night.untold if near(camera, why.ref, q))

    def level(self, reading: Reading, value: float, settings: FacingSettings) -> Level | None:
        """Warn only where the other's lamp lies in this frame; a gain, or a loss from outside it, is a note."""
        if reading.key.endswith(GAIN):
            return "note" if value > settings.gain else None
        worst = settings.limits.level(value, "high")
        return worst and (worst if inside(reading.facts["part"]) else "note")

    def tell(self, reading: Reading, q: Trial, settings: FacingSettings) -> Told:
        """Gain or loss, clean and dirty, and the least turn that mends it."""
        del settings
        part, now, without, gain = (reading.facts[name] for name in ("part", "now", "without", "gain"))
        camera, other = q.get(reading.at.thing), part.ref
        lit, unlit = (q.say.reach(view.reach.low, view.reach.high) for view in (now, without))
        reach = f"; with it lit a person is usable as far as {lit}; with it dark {unlit}"
        steps = (
            gives(part, q),
            f"on the wanted ground {gain:+.1f} stops in hand by it, on the mean",
        )
        if reading.key.endswith(GAIN):
            more = f"the wanted ground has {gain:.1f} stops more in hand by it{reach if lit != unlit else ''}"
            return Told(f"{called(other)} helps: {more}; keep both fronts clean", (Remedy(FOUR),), steps=steps)
        where = "in the frame" if inside(part) else "just outside the frame"
        dirty = q.vary(Change("replace", Ref("camera", camera.id, "front"), "dirty"))
        worse = dirty.of(NIGHT, dirty.get(reading.at.thing)).view().reach
        text = (
            f"{called(other)}, {q.say.tape(part.nearest)} away and {where}, shines in: "
            f"{q.say.share(-reading.figure.value)} of the night view is lost{reach}; "
            f"with a dirty front {q.say.reach(worse.low, worse.high)}"
        )
        tried = tuple(remedies(camera, other, q)) or (Remedy(APART),)
        return Told(text, (*tried, Remedy(FOUR)), steps=steps)


def faced(camera: Camera, part: Contribution, now: NightView, without: NightView, q: Query) -> Iterator[Reading]:
    """The net change that another camera's infrared makes; and, where that is no loss, what it adds in hand."""
    kept = now.kept(without)
    gain = now.headroom.value - without.headroom.value
    net = Reading(
        Figure("change of the night view", kept.value - 1, "", good="high"),
        Ref("camera", camera.id, "aim"),
        key=part.ref.path,
        related=(Related(Ref("camera", part.ref.id, "mount"), f"{part.ref.id}, {q.say.tape(part.nearest)} away"),),
        facts={"part": part, "now": now, "without": without, "gain": gain},
        ends=lambda: (kept.low - 1, kept.high - 1),
    )
    yield net
    helps = max(0.0, gain) if net.figure.value >= -EXACT else 0.0
    figure = Figure("more in hand on the wanted ground", helps, "stops", good="high")
    yield replace(net, figure=figure, key=net.key + GAIN, ends=None, welcome=True)


def near(camera: Camera, other: Ref, q: Query) -> bool:
    """Whether a camera whose lamp is not described is near enough to ask about."""
    return math.dist(camera.mount.spot.xyz, q.get(other.thing).mount.spot.xyz) <= NEAR


def inside(part: Contribution) -> bool:
    """Whether most of the other lamp's light on the glass comes from inside the frame: then it lies in it."""
    return part.outside < 0.5


def remedies(camera: Camera, other: Ref, q: Trial) -> Iterator[Remedy]:
    """Turn this one, or the other, a little; else move this one along its wall."""
    facing = q.get(Ref("camera", other.id))
    yield from moves.offered(q, moves.turn(camera), moves.StillSees(camera, q))
    yield from moves.offered(q, (*moves.turn(facing), *moves.down(facing)), moves.StillSees(facing, q))
    yield from moves.offered(q, moves.along(camera, q), moves.StillSees(camera, q))
