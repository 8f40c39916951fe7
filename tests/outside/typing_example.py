"""A rule pack as its author would type it; never run. ``test_wheel`` checks it against the installed wheel."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_type

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Into,
    Limits,
    Query,
    Reading,
    Ref,
    Remedy,
    Rule,
    Settings,
    Told,
    Trial,
    Unknown,
    pack_hook,
    setting,
)
from oneclimb.plan.model import Camera
from oneclimb.study import COVER
from oneclimb.study.cover import Cover


class LevelSettings(Settings, frozen=True):
    limits: Limits = Limits(note=10.0)
    most: float = setting(60.0, "the steepest tilt that is looked at", unit="deg")


class Level(Rule[Camera]):
    """LEVEL-90: a camera that looks over people's heads."""

    info = Info("LEVEL-90", "Camera level", ("invented for this example",), "level.md")
    subject = "camera"
    settings = LevelSettings

    def measure(self, subject: Camera, q: Query, settings: LevelSettings) -> Iterable[Reading | Unknown]:
        cover = q.of(COVER, subject)
        assert_type(cover, Cover)
        at = Ref("camera", subject.id, "aim")
        if not cover.watched:
            yield Unknown(at, "what is it for?")
        yield Reading(Figure("tilt above the horizon", settings.most - subject.aim.tilt, "deg"), at)

    def tell(self, reading: Reading, q: Trial, settings: LevelSettings) -> Told:
        steps = [(Change("replace", reading.at, {"tilt": f"{tilt} deg"}),) for tilt in range(1, int(settings.most))]
        remedy = q.least(lambda i: f"tilt it to {i + 1}", steps)
        assert_type(remedy, Remedy | None)
        return Told("it looks over heads", (remedy,) if remedy else ())


@pack_hook
def oneclimb_pack(into: Into) -> None:
    into.rule(Level)
