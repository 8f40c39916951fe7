"""LINK-02: a radio link too weak for its stream through the walls that are really in the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import TYPE_CHECKING, ClassVar

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
from oneclimb.trade import radio
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import AIR
from oneclimb_rules.link.levels import link, margin, need, through, wireless

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import AccessPoint, Camera

STEP = 0.5
"""m: a move of an access point worth making"""


class SignalSettings(Settings, frozen=True):
    """Where the margin is too small, dB; and the fade to keep above the receiver's sensitivity."""

    limits: Limits = Limits(note=0.0, warning=0.0, error=-15.0)
    fade: float = setting(
        radio.FADE, "kept above the least level the stream needs", unit="dB", minimum=0.0, maximum=40.0
    )


class WeakSignal(Rule["Camera"]):
    """The level received, held against what the stream needs with a margin for fading."""

    info = Info(
        code="LINK-02",
        title="radio link too weak for its stream",
        sources=(
            "ITU-R P.525-5 (free space), P.1238 (homes; to edition 9, in part from memory), P.2040 (walls)",
            "IEEE 802.11 HT, VHT and HE: least receiver sensitivities, as printed in a national radio regulation",
            "common practice (10 dB either way of a reckoned level; 10 dB kept for fading)",
        ),
        page="weak_signal.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = AIR
    settings = SignalSettings

    def measure(self, subject: Camera, q: Query, settings: SignalSettings) -> Iterable[Reading | Unknown]:
        """The margin of the best link it has."""
        if not wireless(subject):
            return
        got, wants = link(subject, q), need(subject)
        low, usual, high = (one - settings.fade for one in margin(got.level, wants.level))
        yield Reading(
            Figure("margin above what its stream needs", usual, "dB", low, high, good="high"),
            Ref("camera", subject.id, "wireless" if subject.wireless else "link"),
            facts={
                "camera": subject,
                "link": got,
                "need": wants,
                "steps": (
                    *got.steps,
                    *wants.steps,
                    f"{got.level[1]:.0f} - ({wants.level[1]:.0f}) - {settings.fade:g} dB for fading = {usual:.0f} dB",
                ),
            },
        )
        if low < 0.0 <= high:
            yield from got.silent

    def level(self, reading: Reading, value: float, settings: SignalSettings) -> Level | None:
        """By the margin; a note where only its low end falls short; no error where a card keeps the pictures."""
        limits: Limits = settings.limits
        found = limits.level(value, "high")
        if found is None and limits.note is not None and reading.figure.low < limits.note:
            return "note"
        return "warning" if found == "error" and reading.facts["camera"].card else found

    def tell(self, reading: Reading, q: Trial, settings: SignalSettings) -> Told:
        """How it is received, through what, against what, and the ways out."""
        camera: Camera = reading.facts["camera"]
        got, wants = reading.facts["link"], reading.facts["need"]
        low, usual, high = got.level
        stands = "poor" if reading.figure.high < 0.0 else "doubtful"
        where = (
            "as measured"
            if got.path is None
            else f"over {q.say.tape(got.path.length)}{_past(tuple(through(got.path)))}"
        )
        to = f" to {got.path.to.id}" if got.path else ""
        text = (
            f"{camera.id}'s radio link{to} is {stands}: {usual:.0f} dBm ({low:.0f} to {high:.0f}) {where}, where its "
            f"stream of about {wants.mbits[1]:.2g} Mbit/s needs {wants.level[1]:.0f} dBm and "
            f"{settings.fade:g} dB more for fading"
        )
        kept = "; its card keeps what the link loses" if camera.card else ""
        return Told(
            text + kept, tuple(_remedies(camera, got.path.to if got.path else None, q)), steps=reading.facts["steps"]
        )


def _past(things: tuple[str, ...]) -> str:
    """``, through the back wall and a floor``."""
    if not things:
        return " in the open"
    return f" through {', '.join(things[:-1])}{' and ' * (len(things) > 1)}{things[-1]}"


def _remedies(camera: Camera, to: AccessPoint | None, q: Trial) -> Iterator[Remedy]:
    """The access point along its wall, another band, a cable; and what only a person on the spot can find."""
    ref = Ref("camera", camera.id)
    if to:
        yield from _along(camera, to, q)
        yield from _bands(camera, q)
    yield from cures(q, (("bring it a data cable", Change("replace", ref.at("link"), "cable")),))
    what = "the access point, or an aerial on a lead," if to else "the access point"
    yield Remedy(f"move {what} to where fewer walls stand between, and measure again at the mount")


def _bands(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """Another band, where it is at least some help."""
    own = camera.wireless.band if camera.wireless else None
    at = Ref("camera", camera.id, "wireless.band")
    tried = (q.lessens(f"use the {band} band", (Change("replace", at, band),)) for band in radio.BANDS if band != own)
    yield from (remedy for remedy in tried if remedy)


def _along(camera: Camera, to: AccessPoint, q: Trial) -> Iterator[Remedy]:
    """Along the wall that camera and access point share, towards the camera."""
    spot, there = to.spot, camera.mount.spot
    if spot is None or not spot.wall or (spot.building, spot.wall) != (there.building, there.wall):
        return
    way = 1.0 if there.along > spot.along else -1.0
    shifts = [STEP * i for i in range(1, int(abs(there.along - spot.along) / STEP) + 1)]
    at = Ref("access-point", to.id, "along")
    steps = [(Change("replace", at, f"{spot.along + way * shift:.2f} m"),) for shift in shifts]
    moved = q.least(partial(_moved, to.id, q, shifts), steps)
    if moved:
        yield moved


def _moved(name: str, q: Trial, shifts: Sequence[float], i: int) -> str:
    return f"move {name} {q.say.tape(shifts[i])} along its wall towards the camera"
