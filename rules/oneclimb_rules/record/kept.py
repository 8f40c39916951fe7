"""Which cameras a recorder keeps, and what would make their pictures last longer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from oneclimb.api import Change, Ref, Remedy, Unknown
from oneclimb.study import LOAD

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Recorder


def kept_by(recorder: Recorder, q: Query) -> tuple[Camera, ...]:
    """The cameras that the plan says it keeps."""
    return q.of(LOAD, q.plan.site).kept.get(recorder.id, ())


def unnamed(q: Query) -> Iterator[Unknown]:
    """A question for each camera that records and tells no recorder and no card."""
    for name, feed in q.of(LOAD, q.plan.site).feeds.items():
        camera = feed.camera
        if not feed.recorder and not camera.card and camera.records != "none":
            yield Unknown(Ref("camera", name, "recorder"), "which recorder keeps the camera's pictures?")


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
