"""RECORD-10: the only copy of a camera's pictures hangs in the camera itself."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.study import LOAD, STANDING
from oneclimb.trade.reach import REACH_UP
from oneclimb_rules.heeds import KEEPING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Camera


class CardSettings(Settings, frozen=True):
    """Copies of the pictures that must be left once the camera is taken."""

    limits: Limits = Limits(note=0.5, warning=0.5)


class OnlyOnCard(Rule["Camera"]):
    """Counts the copies left without the camera, and how high it hangs above where someone can stand."""

    info = Info(
        code="RECORD-10",
        title="only copy in the camera itself",
        sources=(
            "common practice (a second copy out of a thief's reach)",
            "IEC 60364-4-41 Annex B, BS 7671 Figure 417 (arm's reach 2.5 m; as quoted in print; a use of our own)",
        ),
        page="only_on_card.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = KEEPING
    settings = CardSettings

    def measure(self, subject: Camera, q: Query, settings: CardSettings) -> Iterable[Reading | Unknown]:
        """One copy with a recorder, none without."""
        del settings
        if subject.card is None or subject.records == "none":
            return
        recorder = q.of(LOAD, q.plan.site).feeds[subject.id].recorder
        height = q.of(STANDING, subject).height
        yield Reading(
            Figure("left when the camera is taken", float(recorder is not None), "copies", good="high"),
            Ref("camera", subject.id, "card"),
            facts={"camera": subject, "height": height},
        )

    def level(self, reading: Reading, value: float, settings: CardSettings) -> Level | None:
        """A warning within a hand's reach, else a note."""
        found = settings.limits.level(value, "high")
        camera: Camera = reading.facts["camera"]
        near = reading.facts["height"] <= REACH_UP and camera.sits != "indoors"
        return found if near else found and "note"

    def tell(self, reading: Reading, q: Trial, settings: CardSettings) -> Told:
        """How high it hangs, and what a second copy would be."""
        del settings
        camera: Camera = reading.facts["camera"]
        hangs = f"{q.say.tape(reading.facts['height'])} above where someone can stand"
        text = f"{camera.id}, {hangs}, has the only copy of its pictures on its card: whoever takes it takes them along"
        return Told(text, (Remedy("let a recorder, or a store of the maker's, keep its pictures too"),))
