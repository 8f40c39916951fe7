"""MOUNT-06: infrared where an eye can come close."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import PEER
from oneclimb.trade import eye
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.mount.raising import raised

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.standing import Peer


class EyeSettings(Settings, frozen=True):
    """What share of the exposure limit for a long stay is worth a word."""

    limits: Limits = Limits(note=0.3, warning=1.0)


class InfraredAtTheEye(Rule["Camera"]):
    """The most infrared an eye can get from a camera, against the limit for cornea and lens."""

    info = Info(
        code="MOUNT-06",
        title="infrared at the eye",
        sources=(
            "IEC 62471 clause 4.3.7, ICNIRP Health Phys. 105 (2013) 74 (100 W/m2 over 1000 s; as quoted in print)",
            "estimate (radiant intensity of a camera from its rated range)",
        ),
        page="infrared_at_the_eye.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = EyeSettings

    def measure(self, subject: Camera, q: Query, settings: EyeSettings) -> Iterable[Reading | Unknown]:
        """Irradiance at the nearest eye as a share of the limit."""
        del settings
        if subject.infrared is None or subject.night not in ("infrared", "both"):
            return
        peer = q.of(PEER, subject)
        if subject.infrared.range is None:
            if peer.distance <= eye.NEAR:
                yield from unsaid(q, subject, "infrared.range")
            return
        watts = eye.intensity_of(subject.infrared.range)
        low, usual, high = (one * peer.per / eye.LONG for one in watts)
        yield Reading(
            Figure("share of the eye's limit", usual, "", low, high),
            Ref("camera", subject.id, "mount"),
            facts={"camera": subject, "peer": peer, "watts": watts},
        )

    def level(self, reading: Reading, value: float, settings: EyeSettings) -> Level | None:
        """Only where an eye comes as near as nobody's should."""
        peer: Peer = reading.facts["peer"]
        return settings.limits.level(value, "low") if peer.distance <= eye.NEAR + 1e-9 else None

    def tell(self, reading: Reading, q: Trial, settings: EyeSettings) -> Told:
        """How near, how strong, how far off it is harmless."""
        camera: Camera = reading.facts["camera"]
        peer: Peer = reading.facts["peer"]
        low, usual, high = reading.facts["watts"]
        safe = eye.safe_distance(high)
        text = (
            f"an eye can come within {q.say.tape(peer.distance)} of {camera.id}'s infrared, in its beam, and may get "
            f"{q.say.figure(reading.figure)} of what it may bear for long; from {q.say.tape(safe)} off it is within it"
        )
        steps = (
            f"estimated {low:.2f}, {usual:.2f}, {high:.2f} W/sr (low, usual, high) by the rated range",
            f"at {peer.distance:.2f} m, {peer.off:.0f}° off the axis: {usual * peer.per:.1f} W/m2 of {eye.LONG:g} W/m2",
        )
        return Told(
            text,
            tuple(_remedies(raised(self, reading, q, settings))),
            "Infrared is not seen and nobody blinks: don't stare into it.",
            steps,
        )


def _remedies(up: Iterator[Remedy]) -> Iterator[Remedy]:
    """Out of eye height; its own infrared off near a door."""
    yield from up
    yield Remedy("switch its own infrared off and light the place with a lamp of its own, away from faces")
    yield Remedy("ask its maker for the radiant intensity or the IEC 62471 risk group: it outranks this estimate")
