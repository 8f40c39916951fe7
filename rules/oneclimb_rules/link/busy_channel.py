"""LINK-03: the airtime that all cameras on an access point's channel take together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Level,
    Limits,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
)
from oneclimb.trade import airtime, radio, streams
from oneclimb_rules.asks import unsaid
from oneclimb_rules.link.levels import channel, link, point, wireless

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import AccessPoint, Camera

WIDE = 10.0
"""times: a doubt from end to end above this says nothing, where the ends do not agree and a signal can be measured"""
MOST = 2
"""cameras for which a cable is tried: those that take most"""


class AirSettings(Settings, frozen=True):
    """The share of a channel's time above which live video stutters, and above which it cannot be carried."""

    limits: Limits = Limits(warning=airtime.FULL, error=1.0)


class _Part(Struct, frozen=True):
    """One camera's part: its share of the channel's time, low, usual and high, and its line."""

    camera: Camera
    share: tuple[float, float, float]
    line: str


class BusyChannel(Rule["AccessPoint"]):
    """Each camera's stream over its own rate on the air, added."""

    info = Info(
        code="LINK-03",
        title="radio channel filled by cameras",
        sources=(
            "IEEE 802.11 HT, VHT and HE: rates (from memory), least sensitivities as printed in a regulation",
            "estimate: 50 to 70 % of the rate on the air carries data",
            "common practice (above half of a channel's time live video stutters)",
        ),
        page="busy_channel.md",
    )
    subject: ClassVar[str] = "access-point"
    settings = AirSettings

    def measure(self, subject: AccessPoint, q: Query, settings: AirSettings) -> Iterable[Reading | Unknown]:
        """Of the band that is fullest; cameras of which the plan says too little are asked about, and not in it. Where
        reckoned levels leave it open whether the channel is full, their signals are asked for instead.
        """
        bands: dict[str, list[_Part]] = {}
        for camera in q.all("camera"):
            if not wireless(camera):
                continue
            try:
                found = point(camera, q)
                if found is None or found.id != subject.id:
                    continue
                part = _part(camera, q)
            except Unknown as unknown:
                yield unknown
                continue
            bands.setdefault((camera.wireless.band if camera.wireless else "") or "", []).append(part)
        if not bands:
            return
        if sum(map(len, bands.values())) > 1:
            for part in bands.get("", ()):
                yield from unsaid(q, part.camera, "wireless.band")
        sums = {band: [sum(part.share[i] for part in parts) for i in range(3)] for band, parts in bands.items()}
        band = max(sums, key=lambda one: (sums[one][1], sums[one][2], one))
        parts = sorted(bands[band], key=lambda part: (-part.share[1], part.camera.id))
        low, usual, high = sums[band]
        guessed = [p.camera for p in parts if p.camera.wireless is None or p.camera.wireless.measured is None]
        told = {settings.limits.level(end, "low") for end in (low, high)}
        if guessed and len(parts) > 1 and len(told) > 1 and high > WIDE * low:
            for camera in guessed:
                yield from unsaid(q, camera, "wireless.measured")
            return
        yield Reading(
            Figure("of the channel's time", usual, "", low, high),
            Ref("access-point", subject.id),
            related=tuple(Related(Ref("camera", p.camera.id), f"{q.say.share(p.share[1])} of it") for p in parts),
            facts={"parts": parts, "band": band, "point": subject, "steps": tuple(part.line for part in parts)},
        )

    def level(self, reading: Reading, value: float, settings: AirSettings) -> Level | None:
        """One camera alone is told by its link, not here."""
        return super().level(reading, value, settings) if len(reading.facts["parts"]) > 1 else None

    def tell(self, reading: Reading, q: Trial, settings: AirSettings) -> Told:
        """How full, by whom, and the ways out."""
        del settings
        parts: list[_Part] = reading.facts["parts"]
        air = f"{reading.facts['point'].id}'s {reading.facts['band']} channel".replace("  ", " ")
        text = (
            f"{len(parts)} cameras take {q.say.share(reading.figure.value)} of the time of {air}, "
            f"{parts[0].camera.id} most: what else is on it waits, and pictures stutter"
        )
        return Told(text, tuple(_remedies(parts, q)), steps=reading.facts["steps"])


def _part(camera: Camera, q: Query) -> _Part:
    """By its level's rate: what it sends now and then in the mean, at its high end all at once with the others."""
    q.need(camera, "records")
    rates, awake = streams.peak(camera), streams.awake(camera)
    at_once = (awake[0], awake[1], 1.0 if awake[2] else 0.0)
    width, kind = channel(camera)
    levels = link(camera, q).level
    airs = [_rate(dbm, width, kind) for dbm in reversed(levels)]
    low, usual, high = (
        airtime.share((airtime.Stream(rate * part, air, tries),), efficiency)
        for rate, part, (air, tries), efficiency in zip(rates, at_once, airs, reversed(airtime.EFFICIENCY), strict=True)
    )
    air, tries = airs[1]
    line = (
        f"{camera.id}: {rates[1]:.2g} Mbit/s x {awake[1]:.2g} of the time x {tries:.2g} tries / ({air:.3g} Mbit/s on "
        f"the air at {levels[1]:.0f} dBm x {airtime.EFFICIENCY[1]:g}) = {usual:.0%} ({low:.0%} to {high:.0%})"
    )
    return _Part(camera, (low, usual, high), line)


def _rate(dbm: float, width: int, kind: radio.Generation) -> tuple[float, float]:
    """Mbit/s on the air at a level, the slowest where it is too weak for any, and how often a packet is sent there."""
    mcs, air = radio.rate_at(dbm, width, kind) or (0, radio.rates(width, kind)[0])
    error = min(airtime.error_at(dbm - radio.SENSITIVITY[width][mcs]), 0.999)
    return air, airtime.tries_at_most(error)


def _remedies(parts: list[_Part], q: Trial) -> Iterator[Remedy]:
    """A cable for those that take most, recording on motion, another channel."""
    for part in parts[:MOST]:
        at = Ref("camera", part.camera.id)
        cable = q.lessens(f"bring {part.camera.id} a data cable", (Change("replace", at.at("link"), "cable"),))
        if cable:
            yield cable
    always = next((part.camera.id for part in parts if part.camera.records == "continuous"), None)
    if always:
        change = Change("replace", Ref("camera", always, "records"), "motion")
        less = q.lessens(f"let {always} record only when something moves", (change,))
        if less:
            yield less
    yield Remedy("put half of them on a second access point, on a channel of its own that does not overlap")
