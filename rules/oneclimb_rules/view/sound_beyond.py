"""VIEW-12: a microphone that takes up what is said on others' ground."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

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
    setting,
)
from oneclimb.study import EARSHOT
from oneclimb.trade import sound
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import NOTHING
from oneclimb_rules.view.overlap import OPEN, PRIVATE

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.earshot import Heard


class SoundSettings(Settings, frozen=True):
    """How far above a quiet background talk on others' ground may be at the microphone, dB."""

    limits: Limits = Limits(note=0.0, warning=10.0)
    talk: float = setting(sound.TALK, "talk at 1 m, dB(A)", unit="dB", minimum=40.0, maximum=90.0)


class SoundBeyond(Rule["Camera"]):
    """Level of talk on the nearest of others' ground at the microphone, over a quiet background."""

    info = Info(
        code="VIEW-12",
        title="sound beyond the boundary",
        sources=(
            "ISO 9921: normal speech 60 dB(A) at 1 m (from memory, check against the document)",
            "ISO 9613-2: geometrical divergence, 20 log10 of the distance",
            "UK ICO, domestic CCTV: sound is the greater intrusion (as restated in print)",
            "a quiet background of 35 to 45 dB(A): estimate",
        ),
        page="sound_beyond.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = NOTHING
    settings = SoundSettings

    def measure(self, subject: Camera, q: Query, settings: SoundSettings) -> Iterable[Reading | Unknown]:
        """Talk on the nearest private ground and on the nearest public way; a question where it could be heard and
        the plan speaks of microphones, but not of this camera's.
        """
        spoken_of = any(camera.microphone is not None for camera in q.all("camera"))
        if subject.sits == "indoors" or subject.microphone is False or not spoken_of:
            return
        heard = q.of(EARSHOT, subject)
        if not heard:
            yield Unknown(Ref("site", "site", "boundary"), "how far does the property reach on each side?")
        nearest = {_kind(one, q): one for one in reversed(heard)}
        found = [_reading(subject, kind, one, settings, q) for kind, one in sorted(nearest.items())]
        if subject.microphone is not None:
            yield from found
        elif any(self.level(reading, reading.figure.value, settings) for reading in found):
            yield from unsaid(q, subject, "microphone")

    def level(self, reading: Reading, value: float, settings: SoundSettings) -> Level | None:
        """The limits; never more than a note where it is a public way, or the neighbour agrees."""
        found = settings.limits.level(value, "low")
        return "note" if found and reading.key == OPEN else found

    def tell(self, reading: Reading, q: Trial, settings: SoundSettings) -> Told:
        """How near they talk, how loud that is here, and how far it would have to be."""
        camera: Camera = q.get(reading.at.thing)
        heard, level = reading.facts["heard"], reading.facts["level"]
        far, near = (
            sound.earshot(settings.talk, background) for background in (sound.BACKGROUND[0], sound.BACKGROUND[2])
        )
        text = (
            f"the microphone of {camera.id} is {q.say.tape(heard.distance)} from {_called(heard.ref, q)}: "
            f"talk there reaches it at about {level:.0f} dB(A); in quiet it is heard from {q.say.span(near, far)} off"
        )
        off = (
            (
                f"switch the microphone of {camera.id} off",
                Change("replace", Ref("camera", camera.id, "microphone"), by=False),
            ),
        )
        remedies = (
            *cures(q, off),
            Remedy("tell those it hears, on the sign and in what is agreed with the neighbour"),
        )
        steps = (
            f"{settings.talk:.0f} dB(A) at 1 m − 20 log10({heard.distance:.1f}) = {level:.1f} dB(A)",
            f"quiet background {sound.BACKGROUND[0]:.0f} to {sound.BACKGROUND[2]:.0f} dB(A)",
        )
        return Told(text, remedies, steps=steps)


def _reading(camera: Camera, kind: str, heard: Heard, settings: SoundSettings, q: Query) -> Reading:
    low, usual, high = sound.BACKGROUND
    level = sound.level(settings.talk, heard.distance)
    return Reading(
        Figure("talk over the background", level - usual, "dB", level - high, level - low),
        Ref("camera", camera.id, "microphone"),
        kind,
        related=(Related(heard.ref, f"{_called(heard.ref, q)}: {q.say.tape(heard.distance)} away"),),
        facts={"heard": heard, "level": level},
    )


def _kind(heard: Heard, q: Query) -> str:
    """Whether it is open to everybody or agreed, or somebody's own."""
    land = q.get(heard.ref) if heard.ref.kind == "land" else None
    return OPEN if land and (land.kind == "public-way" or land.agrees) else PRIVATE


def _called(ref: Ref, q: Query) -> str:
    if ref.kind == "site":
        return "the boundary"
    land = q.get(ref)
    side = land.id.removeprefix("beyond-")
    name = "" if side != land.id else f" of {land.id}"
    return f"the public way{name}" if land.kind == "public-way" else f"the neighbour's ground{name}"
