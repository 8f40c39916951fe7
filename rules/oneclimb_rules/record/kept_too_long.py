"""RECORD-04: pictures kept longer than was stated, or than may be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.trade import streams
from oneclimb_rules.record import kept

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Recorder

STATED, MOST = "stated", "most"
FIELDS = {STATED: "keeps", MOST: "most"}
SAID = {STATED: "stated on the sign or in the agreement", MOST: "that may be kept at most"}


class LongSettings(Settings, frozen=True):
    """Times the days stated that may be kept; over the most that may be kept is always an error."""

    limits: Limits = Limits(warning=1.0, error=4.0)


class KeptTooLong(Rule["Recorder"]):
    """Days the pictures are kept, as set or as the disks hold, against what the plan says of them."""

    info = Info(
        code="RECORD-04",
        title="kept longer than stated",
        sources=(
            "EDPB Guidelines 3/2019 v2.0 (limit storage; erase by itself after days; as restated in print)",
            "UK ICO, domestic CCTV (delete what is no longer needed; as restated in print)",
            "the plan's own words (site handling: keeps, most)",
        ),
        page="kept_too_long.md",
    )
    subject: ClassVar[str] = "recorder"
    settings = LongSettings

    def measure(self, subject: Recorder, q: Query, settings: LongSettings) -> Iterable[Reading | Unknown]:
        """The days, against each figure the plan states; nothing where it states none."""
        del settings
        handling = q.plan.site.handling
        stated = {STATED: handling.keeps, MOST: handling.most} if handling else {}
        limits = {key: limit for key, limit in stated.items() if limit is not None}
        if not limits or not kept.kept_by(subject, q):
            return
        held = _held(subject, q)
        if held is None:
            wants = float(q.need(subject, "wants"))
            held = (wants, wants, wants)
        low, usual, high = held
        for key, limit in limits.items():
            yield Reading(
                Figure("days kept", usual, "days", low, high),
                Ref("recorder", subject.id, "wants"),
                key,
                facts={"recorder": subject, "limit": limit},
            )

    def level(self, reading: Reading, value: float, settings: LongSettings) -> Level | None:
        """Times the days stated; past the most that may be kept always an error."""
        times = value / max(reading.facts["limit"], 1e-9)
        if reading.key == MOST:
            return "error" if times > (settings.limits.warning or 1.0) else None
        return settings.limits.level(times, "low")

    def tell(self, reading: Reading, q: Trial, settings: LongSettings) -> Told:
        """How much longer, and the setting that erases in time."""
        del settings
        recorder: Recorder = reading.facts["recorder"]
        limit = reading.facts["limit"]
        how = "is to keep" if recorder.wants is not None else "has room for, and names no day on which it erases,"
        days = f"{reading.figure.value:.0f} days of pictures"
        text = f"{recorder.id} {how} {days}; {limit:g} are {SAID[reading.key]} (declared by the plan)"
        steps = (f"{reading.figure.value:.3g} days / {limit:g} = {reading.figure.value / max(limit, 1e-9):.2g} times",)
        return Told(text, tuple(_remedies(recorder, reading, q)), steps=steps)


def _held(recorder: Recorder, q: Query) -> streams.Range | None:
    """Days kept: as wanted, which is what it is set to; else what its disks hold. None where neither is told."""
    if recorder.wants is not None:
        return recorder.wants, recorder.wants, recorder.wants
    cameras = kept.kept_by(recorder, q)
    if not recorder.disks or any(camera.records is None for camera in cameras):
        return None
    if recorder.mirrored is None and len(recorder.disks) > 1:
        return None
    return streams.days_kept(recorder, cameras)


def _remedies(recorder: Recorder, reading: Reading, q: Trial) -> Iterator[Remedy]:
    """Erasing in time, tried; stating the longer time, as advice."""
    limit = reading.facts["limit"]
    change = Change("replace", Ref("recorder", recorder.id, "wants"), f"{limit:g} days")
    remedy = q.least(lambda _: f"set {recorder.id} to erase by itself after {limit:g} days", [(change,)])
    if remedy:
        yield remedy
    if reading.key == STATED:
        yield Remedy("or state the longer time on the sign and in the agreement, with the reason it is needed")
    else:
        yield Remedy("or have a longer time agreed in writing by whoever set the most")
