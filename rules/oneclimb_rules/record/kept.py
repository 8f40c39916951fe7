"""Which cameras a recorder keeps, what they send it, and what their disks hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from oneclimb.api import Change, Ref, Remedy, Unknown
from oneclimb.study import LOAD
from oneclimb.trade import storage
from oneclimb_rules import streams

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Recorder

LEAST = 1e-3
"""Mbit/s: whatever gets less than this keeps it for years, and no division by nothing is made"""


def kept_by(recorder: Recorder, q: Query) -> tuple[Camera, ...]:
    """The cameras that the plan says it keeps."""
    return q.of(LOAD, q.plan.site).kept.get(recorder.id, ())


def unnamed(q: Query) -> Iterator[Unknown]:
    """A question for each camera that records and tells no recorder and no card."""
    for name, feed in q.of(LOAD, q.plan.site).feeds.items():
        camera = feed.camera
        if not feed.recorder and not camera.card and camera.records != "none":
            yield Unknown(Ref("camera", name, "recorder"), "which recorder keeps the camera's pictures?")


def total(cameras: Iterable[Camera], rate: Callable[[Camera], streams.Range]) -> streams.Range:
    """The cameras' rates together, Mbit/s, each end of the doubt for itself."""
    low = usual = high = 0.0
    for camera in cameras:
        one = rate(camera)
        low, usual, high = low + one[0], usual + one[1], high + one[2]
    return low, usual, high


def sends(cameras: Iterable[Camera]) -> tuple[Camera, ...]:
    """Those of the cameras that the plan says record something."""
    return tuple(camera for camera in cameras if camera.records and camera.records != "none")


def terabytes(disks: Sequence[float], *, mirrored: bool) -> float:
    """What disks hold together; mirrored, half of it, and no more than all but the largest can hold twice."""
    whole = sum(disks)
    return min(whole / 2, whole - max(disks)) if mirrored and disks else whole


def days(tera: float, rates: streams.Range) -> streams.Range:
    """Low, usual, high days kept of what comes in at these mean rates."""
    low, usual, high = (max(rate, LEAST) for rate in rates)
    return storage.days_range(tera, (low, usual, high))


def motion(cameras: Iterable[Camera], q: Trial) -> Iterator[Remedy]:
    """Those that record all the time recorded on motion instead, tried."""
    always = sorted((camera for camera in cameras if camera.records == "continuous"), key=lambda one: one.id)
    if not always:
        return
    names = ", ".join(camera.id for camera in always)
    text = f"record {names} only when something moves (what the trigger misses is lost)"
    remedy = q.lessens(text, [Change("replace", Ref("camera", one.id, "records"), "motion") for one in always])
    if remedy:
        yield remedy


def many(number: int, one: str) -> str:
    """``1 camera``, ``2 cameras``."""
    return f"{number} {one}{'' if number == 1 else 's'}"
