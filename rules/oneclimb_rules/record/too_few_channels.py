"""RECORD-02: a recorder with fewer channels than cameras."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb_rules.asks import unsaid
from oneclimb_rules.record.kept import kept_by, many

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Camera, Recorder

SOLD = (4, 8, 16, 32, 64, 128)
"""channels recorders are sold with (common practice)"""


class ChannelSettings(Settings, frozen=True):
    """How much of its channels a recorder's cameras may take, as a share."""

    limits: Limits = Limits(error=1.0)


class TooFewChannels(Rule["Recorder"]):
    """Cameras that a recorder is to keep, over its channels."""

    info = Info(
        code="RECORD-02",
        title="more cameras than the recorder has channels",
        sources=("common practice (a camera takes a channel; recorders are sold with 4, 8, 16, 32 …)",),
        page="too_few_channels.md",
    )
    subject: ClassVar[str] = "recorder"
    settings = ChannelSettings

    def measure(self, subject: Recorder, q: Query, settings: ChannelSettings) -> Iterable[Reading | Unknown]:
        """The share taken; asked for only where the smallest recorder sold would not do."""
        del settings
        cameras = kept_by(subject, q)
        if subject.channels is None:
            yield from unsaid(q, subject, "channels") if len(cameras) > SOLD[0] else ()
        elif cameras:
            share = len(cameras) / subject.channels
            yield Reading(
                Figure("of the recorder's channels are taken", share, ""),
                Ref("recorder", subject.id, "channels"),
                related=tuple(Related(Ref("camera", camera.id), "takes a channel") for camera in cameras),
                facts={"recorder": subject, "cameras": cameras},
            )

    def tell(self, reading: Reading, q: Trial, settings: ChannelSettings) -> Told:
        """How many are left out, and the recorder that would take them."""
        del settings
        recorder: Recorder = reading.facts["recorder"]
        cameras: tuple[Camera, ...] = reading.facts["cameras"]
        channels = recorder.channels or 0
        left = many(len(cameras) - channels, "camera")
        text = f"{recorder.id} has {many(channels, 'channel')} for {len(cameras)} cameras: {left} will not be recorded"
        sizes = [size for size in SOLD if size >= len(cameras)]
        larger = q.least(
            lambda i: f"take a recorder with {sizes[i]} channels",
            [(Change("replace", reading.at, size),) for size in sizes],
        )
        other = Remedy("or give what is left over a second recorder, which in another place is a second chance too")
        step = f"{len(cameras)} / {channels} = {reading.figure.value:.0%}"
        return Told(text, (larger, other) if larger else (other,), steps=(step,))
