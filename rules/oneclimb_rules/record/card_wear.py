"""RECORD-03: a memory card that is soon worn out by writing, or holds but a few days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
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
from oneclimb.study import LOAD
from oneclimb.trade import storage, streams
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import KEEPING
from oneclimb_rules.record import kept

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera

WEAR, DAYS = "wear", "days"
SIZES = (32, 64, 128, 256, 512, 1024)
"""GB: sizes cards are sold in (common practice)"""
RATED = (20, 40, 60, 80, 120, 160, 240, 320, 480)
"""TB: what cards made for recording may be rated for (estimate)"""


class CardSettings(Settings, frozen=True):
    """How long a card is to last, years of writing; and how many days an only copy is to hold."""

    limits: Limits = Limits(note=3.0, warning=1.0, error=0.5)
    days_note: float = setting(7.0, "fewer days than this on a card alone are a note", unit="days", minimum=0.0)
    days_warning: float = setting(2.0, "fewer days than this on a card alone are a warning", unit="days", minimum=0.0)


class CardWear(Rule["Camera"]):
    """Terabytes written a year against what a card takes in its life; and the days it holds."""

    info = Info(
        code="RECORD-03",
        title="card worn out or short",
        sources=(
            "arithmetic: 1 Mbit/s all the time is 3.94 TB (10¹² bytes) a year",
            "estimates (100 to 1500 times an ordinary card may be written full, where the plan tells no endurance)",
            "police advice for homes, Fife (7 days at least; fife.police.uk)",
        ),
        page="card_wear.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = KEEPING
    settings = CardSettings

    def measure(self, subject: Camera, q: Query, settings: CardSettings) -> Iterable[Reading | Unknown]:
        """Years of writing; days, where the plan names nothing else that keeps the pictures."""
        card = subject.card
        if card is None or q.need(subject, "records") == "none":
            return
        low, usual, high = (max(rate, storage.LEAST) for rate in streams.sent(subject))
        rates = (low, usual, high)
        alone = q.of(LOAD, q.plan.site).feeds[subject.id].recorder is None
        facts = {"camera": subject, "alone": alone}
        if card.endurance is None or alone:
            q.need(subject, "card.size")
        reading = _wear(subject, rates, facts)
        yield reading
        if card.endurance is None and self.level(reading, reading.figure.low, settings):
            yield from unsaid(q, subject, "card.endurance")
        if alone:
            yield _days(subject, rates, facts)

    def level(self, reading: Reading, value: float, settings: CardSettings) -> Level | None:
        """Years against the limits, no more than a note beside a recorder; days against their own."""
        if reading.key == DAYS:
            return Limits(settings.days_note, settings.days_warning).level(value, "high")
        found = settings.limits.level(value, "high")
        return found if reading.facts["alone"] else found and "note"

    def tell(self, reading: Reading, q: Trial, settings: CardSettings) -> Told:
        """How soon, how little, and the card that would do."""
        del settings
        camera: Camera = reading.facts["camera"]
        if reading.key == DAYS:
            text = f"{camera.id} keeps its pictures on its card alone, which soon writes over them"
            return Told(text, tuple(_larger(camera, q)), steps=reading.facts["steps"])
        beside = "" if reading.facts["alone"] else ", if it is written beside the recorder"
        guess = "" if camera.card and camera.card.endurance else " (an ordinary card; its own figure is not told)"
        text = f"{camera.id} wears out its memory card{beside}{guess}; a worn card fails without a word"
        return Told(text, tuple(_tougher(camera, q)), steps=reading.facts["steps"])


def _wear(camera: Camera, rates: streams.Range, facts: dict[str, object]) -> Reading:
    """Years until the card is written out."""
    card = camera.card
    declared = card.endurance if card else None
    size = (card.size if card else None) or 0.0
    low, usual, high = (declared,) * 3 if declared is not None else storage.endurance_of_size(size)
    years = [storage.card_years(e, r) for e, r in zip((low, usual, high), reversed(rates), strict=True)]
    said = (
        f"{usual:.3g} TB, as declared"
        if declared is not None
        else f"{usual:.3g} TB ({low:.3g} to {high:.3g}, estimate)"
    )
    steps = (
        f"{streams.said(camera)}; recorded {streams.awake(camera)[1]:.0%} of the time",
        f"3.94 x {rates[1]:.3g} = {storage.terabytes_a_year(rates[1]):.3g} TB written a year",
        f"{said} / that = {years[1]:.2g} years",
    )
    figure = Figure("the card lasts", years[1], "years", years[0], years[2], "high")
    return Reading(figure, Ref("camera", camera.id, "card"), WEAR, facts={**facts, "steps": steps})


def _days(camera: Camera, rates: streams.Range, facts: dict[str, object]) -> Reading:
    """Days on the card."""
    size = (camera.card.size if camera.card else None) or 0.0
    low, usual, high = storage.lasts(size / 1000.0, rates)
    steps = (
        streams.said(camera),
        f"{size:g} GB x {storage.USABLE[1]:g} usable / (10.8 x {rates[1]:.3g} Mbit/s) = {usual:.2g} days",
    )
    figure = Figure("days on the card", usual, "days", low, high, "high")
    return Reading(figure, Ref("camera", camera.id, "card"), DAYS, facts={**facts, "steps": steps})


def _tougher(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """The least endurance that serves; recording on motion."""
    declared = (camera.card.endurance if camera.card else None) or 0.0
    rated = [tera for tera in RATED if tera > declared]
    at = Ref("camera", camera.id, "card.endurance")
    remedy = q.least(
        lambda i: f"fit a card made for recording, rated for {rated[i]} TB written or more",
        [(Change("replace", at, f"{tera} TB"),) for tera in rated],
    )
    if remedy:
        yield remedy
    yield from kept.motion((camera,), q)


def _larger(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """The least card that serves; recording on motion; a recorder."""
    size = (camera.card.size if camera.card else None) or 0.0
    sizes = [one for one in SIZES if one > size]
    at = Ref("camera", camera.id, "card.size")
    remedy = q.least(
        lambda i: f"fit a card of {sizes[i]} GB, if the camera takes one",
        [(Change("replace", at, f"{one} GB"),) for one in sizes],
    )
    if remedy:
        yield remedy
    yield from kept.motion((camera,), q)
    yield Remedy("or let a recorder keep its pictures too")
