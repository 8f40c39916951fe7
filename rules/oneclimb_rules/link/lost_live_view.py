"""LINK-04: what a radio link costs in retries, and how long it is without pictures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.trade import airtime
from oneclimb_rules.heeds import AIR
from oneclimb_rules.link.levels import link, margin, need, wireless

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class LostSettings(Settings, frozen=True):
    """The share of the time without live pictures that is worth a word."""

    limits: Limits = Limits(note=0.01, warning=0.1, error=0.5)


class LostLiveView(Rule["Camera"]):
    """The share of packets given up over a level that swings from day to day."""

    info = Info(
        code="LINK-04",
        title="live view lost on a weak radio link",
        sources=(
            "De Couto, Aguayo, Bicket and Morris 2003 (expected transmissions)",
            "IEEE 802.11 (10 % of packets lost at the least sensitivity; seven tries, from memory)",
            "log-normal fading: textbook; how far a level swings, how fast losses grow: estimates",
        ),
        page="lost_live_view.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = AIR
    settings = LostSettings

    def measure(self, subject: Camera, q: Query, settings: LostSettings) -> Iterable[Reading | Unknown]:
        """The share of the time without pictures, from the level and what the stream needs."""
        del settings
        if not wireless(subject):
            return
        got, wants = link(subject, q), need(subject)
        above = margin(got.level, wants.level)
        (_, most), (tries, usual), (_, least) = (airtime.over_time(one) for one in above)
        yield Reading(
            Figure("time without live pictures", usual, "", least, most),
            Ref("camera", subject.id, "wireless" if subject.wireless else "link"),
            facts={
                "camera": subject,
                "tries": tries,
                "steps": (
                    *got.steps,
                    *wants.steps,
                    f"{got.level[1]:.0f} - ({wants.level[1]:.0f}) = {above[1]:.0f} dB above the least level",
                    f"swinging by {airtime.SWING:g} dB (estimate): {tries:.2g} tries a packet, {usual:.2g} of them "
                    "given up",
                ),
            },
        )

    def tell(self, reading: Reading, q: Trial, settings: LostSettings) -> Told:
        """What the link costs until it is mended, and what helps without mending it: the mending is LINK-02's."""
        del settings
        camera: Camera = reading.facts["camera"]
        kept = "; its card keeps the recording" if camera.card else ""
        text = (
            f"until its link is mended (LINK-02) {camera.id} is likely to be without live pictures "
            f"{q.say.share(reading.figure.value)} of the time, each packet sent {reading.facts['tries']:.1f} times (an "
            f"estimate){kept}"
        )
        return Told(text, tuple(_remedies(camera)), steps=reading.facts["steps"])


def _remedies(camera: Camera) -> Iterator[Remedy]:
    """A card, so that the recording stands the gaps; a stream that a slower rate carries."""
    if not camera.card:
        yield Remedy("put a card in it, so that what the link loses is recorded all the same")
    yield Remedy("lower the recorded stream (H.265, fewer pictures a second), so that a slower rate carries it")
