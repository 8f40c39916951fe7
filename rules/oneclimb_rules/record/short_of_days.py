"""RECORD-01: a recorder whose disks hold fewer days than are wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb.trade import storage, streams
from oneclimb_rules.asks import unsaid
from oneclimb_rules.record import kept

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Camera, Recorder

SOLD = (1.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0)
"""TB: sizes disks are sold in (common practice)"""


class DaysSettings(Settings, frozen=True):
    """How much of the days wanted may be missing: shares of them that are kept."""

    limits: Limits = Limits(warning=1.0, error=0.5)


class ShortOfDays(Rule["Recorder"]):
    """Days that the disks hold of all the streams they are sent, by day and by night."""

    info = Info(
        code="RECORD-01",
        title="fewer days kept than wanted",
        sources=(
            "arithmetic: 1 Mbit/s is 10.8 GB (10⁹ bytes) a day",
            "estimates (streams where the plan tells no rate; night; share of the time on motion; what a disk's "
            "own tables take)",
        ),
        page="short_of_days.md",
    )
    subject: ClassVar[str] = "recorder"
    settings = DaysSettings

    def measure(self, subject: Recorder, q: Query, settings: DaysSettings) -> Iterable[Reading | Unknown]:
        """Days kept of the cameras whose recording the plan tells; the others could only make it less."""
        cameras = kept.kept_by(subject, q)
        if not cameras:
            yield from kept.unnamed(q)
            return
        wants: float = q.need(subject, "wants")
        disks: tuple[float, ...] = q.need(subject, "disks")
        reading = _reading(subject, cameras, wants, mirrored=bool(subject.mirrored))
        if reading:
            yield reading
        if reading is None or self.level(reading, reading.figure.value, settings) != "error":
            for camera in cameras:
                yield from unsaid(q, camera, "records")
            yield from kept.unnamed(q)
        if reading is not None and subject.mirrored is None and len(disks) > 1:
            halved = _reading(subject, cameras, wants, mirrored=True)
            worse = halved and self.level(halved, halved.figure.value, settings)
            if worse != self.level(reading, reading.figure.value, settings):
                yield from unsaid(q, subject, "mirrored")

    def level(self, reading: Reading, value: float, settings: DaysSettings) -> Level | None:
        """By the share of the days wanted."""
        return settings.limits.level(value / max(reading.facts["wants"], 1e-9), "high")

    def tell(self, reading: Reading, q: Trial, settings: DaysSettings) -> Told:
        """How long the pictures last, and what would make them last."""
        del settings
        cameras: tuple[Camera, ...] = reading.facts["cameras"]
        recorder: Recorder = reading.facts["recorder"]
        low, high = reading.figure.low, reading.figure.high
        lasts = f"{low:.0f} to {high:.0f}" if round(low) != round(high) else f"{high:.0f}"
        many = kept.many(len(cameras), "camera")
        text = (
            f"{recorder.id} writes over the pictures of {many} after about {lasts} days; "
            f"{reading.facts['wants']:g} are wanted"
        )
        return Told(text, (*_bigger(recorder, q), *kept.motion(cameras, q)), steps=reading.facts["steps"])


def _reading(recorder: Recorder, cameras: tuple[Camera, ...], wants: float, *, mirrored: bool) -> Reading | None:
    """The days kept; None where nothing is known to be sent."""
    recorded = streams.sends(cameras)
    rates = streams.total(recorded, streams.sent)
    if not recorded:
        return None
    tera = storage.together(recorder.disks or (), mirrored=mirrored)
    low, usual, high = storage.lasts(tera, rates)
    sure = storage.terabytes_for(wants, rates[2], usable=storage.USABLE[0])
    steps = (
        *(f"{one.id}: {streams.said(one)}; recorded {streams.awake(one)[1]:.0%} of the time" for one in recorded),
        f"all together {rates[1]:.3g} Mbit/s ({rates[0]:.2g} to {rates[2]:.3g}), night and pauses counted",
        f"{rates[1]:.3g} x 10.8 = {storage.gigabytes_a_day(rates[1]):.3g} GB a day",
        f"{tera:g} TB x {storage.USABLE[1]:g} usable / that = {usual:.3g} days ({low:.2g} to {high:.3g})",
        f"to be sure of {wants:g} days at the high end: {sure:.2g} TB",
    )
    return Reading(
        Figure("days kept", usual, "days", low, high, "high"),
        Ref("recorder", recorder.id, "disks"),
        related=tuple(Related(Ref("camera", one.id), f"{streams.sent(one)[1]:.2g} Mbit/s") for one in recorded),
        facts={"recorder": recorder, "cameras": recorded, "wants": wants, "steps": steps},
    )


def _bigger(recorder: Recorder, q: Trial) -> Iterator[Remedy]:
    """The least disks of a size sold that keep the days by the middle value."""
    disks = recorder.disks or ()
    slots = max(1, len(disks))
    sizes = [size for size in SOLD if size > max(disks, default=0.0)]
    at = Ref("recorder", recorder.id, "disks")
    remedy = q.least(
        lambda i: f"fit {kept.many(slots, 'disk')} of {sizes[i]:g} TB{' each' * (slots > 1)}",
        [(Change("replace", at, [f"{size:g} TB"] * slots),) for size in sizes],
    )
    if remedy:
        yield remedy
