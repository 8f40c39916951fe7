"""SEAL-02: rain that runs along the cable into the housing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import SHELTER, WIRING
from oneclimb.trade import ladder
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.offers import offered_at_design
from oneclimb_rules.seal.wet import rain_score

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera

RUNS_IN = {"below": 0.0, "behind": 0.3, "side": 0.4, "above": 1.0}
"""share of the water on a cable that its way in takes into the housing (estimate, in the order of common practice)"""
LOOP = 0.08
"""what a drip loop leaves of it (estimate)"""
SIDE = {"side": "at the side", "above": "from above", "behind": "from behind", "below": "from below"}


class DripSettings(Settings, frozen=True):
    """How much rain led in is worth a word; points of 10."""

    limits: Limits = Limits(note=0.5, warning=1.5, error=3.0)


class DripLoop(Rule["Camera"]):
    """Rain at the housing, times what the cable's way in leads inside."""

    info = Info(
        code="SEAL-02",
        title="no drip loop",
        sources=(
            "IEC 60529 (numeral 3: spray up to 60° from the vertical; as restated in print)",
            "common practice (cable in from below, or a drip loop; the weights are estimates)",
        ),
        page="drip_loop.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = DripSettings

    def measure(self, subject: Camera, q: Query, settings: DripSettings) -> Iterable[Reading | Unknown]:
        """Rain led in, of 10; asked only where rain reaches a camera that has a cable."""
        del settings
        if not any(camera.entry for camera in q.all("camera")) or not q.of(WIRING, q.plan.site).get(subject.id):
            return
        rain, entry = rain_score(subject, q), subject.entry
        if entry is None or entry.side is None:
            yield from unsaid(q, subject, "entry.side") if rain else ()
            return
        share = RUNS_IN[entry.side]
        if rain and share and entry.loop is None:
            yield from unsaid(q, subject, "entry.loop")
            return
        share *= LOOP if entry.loop else 1.0
        yield Reading(
            Figure("rain led in along the cable", rain * share, "of 10"),
            Ref("camera", subject.id, "entry"),
            facts={"camera": subject, "rain": rain, "share": share, "side": entry.side},
        )

    def tell(self, reading: Reading, q: Trial, settings: DripSettings) -> Told:
        """Which way the water runs, and the loop that stops it."""
        del settings
        camera: Camera = reading.facts["camera"]
        rain = q.of(SHELTER, camera).rain
        text = (
            f"the cable comes into {camera.id} {SIDE[reading.facts['side']]} with no drip loop below, and "
            f"{q.say.share(rain)} of the directions rain comes from reach it: water runs along the cable and in"
        )
        steps = (
            f"rain {reading.facts['rain']:.2f} of 10, times {reading.facts['share']:.2f} led in: "
            f"{reading.figure.value:.2f} of 10",
        )
        return Told(text, tuple(_remedies(camera, q)), steps=steps)


def _remedies(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """A loop; the way in from below."""
    at = Ref("camera", camera.id)
    ways = [
        (
            "leave a hand's breadth of cable hanging in a loop below the way in",
            Change("replace", at.at("entry.loop"), by=True),
        ),
        ("bring the cable in from below", Change("replace", at.at("entry.side"), "below")),
    ]
    yield from offered_at_design(q, ways, ladder=camera.mount.spot.z > ladder.FROM_THE_GROUND)
