"""SEAL-03: a hole behind the camera that leads rain into the house or the housing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.trade import ladder
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import NOTHING
from oneclimb_rules.offers import offered_at_design
from oneclimb_rules.seal.wet import rain_score

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera

FALLS = {"outside": 0.05, "level": 0.5, "inside": 1.0}
"""share of the water at a hole that runs in, by its slope (estimate, in the order of common practice)"""
SEALED = 0.1
"""what a sealed hole lets in of it: sealant ages (estimate)"""
CAUTION = (
    "Before the drill: find cables and pipes; old boards and coatings may hold asbestos: stop, have them tested. "
    "A hole through a fire wall is stopped with what its code asks for."
)


class HoleSettings(Settings, frozen=True):
    """How much rain led in is worth a word; points of 10."""

    limits: Limits = Limits(note=0.4, warning=1.0, error=3.0)


class EntryHole(Rule["Camera"]):
    """Rain at the housing, times what the hole behind it leads in."""

    info = Info(
        code="SEAL-03",
        title="entry hole",
        sources=(
            "IEC 60529 (numeral 3: spray up to 60° from the vertical; as restated in print)",
            "common practice (holes fall to the outside and are sealed; the weights are estimates)",
        ),
        page="entry_hole.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = NOTHING
    settings = HoleSettings

    def measure(self, subject: Camera, q: Query, settings: HoleSettings) -> Iterable[Reading | Unknown]:
        """Rain led in, of 10; asked only of a hole the plan speaks of, where rain reaches it."""
        del settings
        hole = subject.entry.hole if subject.entry else None
        if hole is None:
            return
        rain = rain_score(subject, q)
        if hole.falls is None or hole.sealed is None:
            yield from unsaid(q, subject, "entry.hole.falls", "entry.hole.sealed") if rain else ()
            return
        share = FALLS[hole.falls] * (SEALED if hole.sealed else 1.0)
        yield Reading(
            Figure("rain led in by the hole", rain * share, "of 10"),
            Ref("camera", subject.id, "entry.hole"),
            facts={"camera": subject, "rain": rain, "share": share},
        )

    def tell(self, reading: Reading, q: Trial, settings: HoleSettings) -> Told:
        """Which way it falls, whether anything stops the water, what to do."""
        del settings
        camera: Camera = reading.facts["camera"]
        hole = camera.entry.hole if camera.entry else None
        falls = str(hole.falls) if hole else ""
        way = {"inside": "slopes down to the inside", "level": "is level", "outside": "slopes down to the outside"}[
            falls
        ]
        sealed = "sealed" if hole and hole.sealed else "not sealed"
        text = (
            f"the hole behind {camera.id} {way} and is {sealed}: water that gets behind the housing runs along the "
            "cable into the wall or the room"
        )
        steps = (
            f"rain {reading.facts['rain']:.2f} of 10, times {reading.facts['share']:.2f} led in: "
            f"{reading.figure.value:.2f} of 10",
        )
        return Told(text, tuple(_remedies(camera, q)), CAUTION, steps)


def _remedies(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """Drilled the right way, or sealed."""
    at = Ref("camera", camera.id, "entry.hole")
    ways = [
        (
            "drill it rising from the outside to the inside, so that it drains out",
            Change("replace", at.at("entry.hole.falls"), "outside"),
        ),
        (
            "seal it round the cable, and the housing's back to the wall",
            Change("replace", at.at("entry.hole.sealed"), by=True),
        ),
    ]
    yield from offered_at_design(q, ways, ladder=camera.mount.spot.z > ladder.FROM_THE_GROUND)
