"""MOUNT-03: weather, and sun on the housing, beyond the air temperatures a camera is rated for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import WARMED
from oneclimb.trade import heat
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import SIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class TemperatureSettings(Settings, frozen=True):
    """How far beyond its rating is worth a word; kelvins."""

    limits: Limits = Limits(warning=0.0, error=15.0)


class Temperature(Rule["Camera"]):
    """Two readings: the hottest air with the sun on the housing, and a start in the coldest."""

    info = Info(
        code="MOUNT-03",
        title="temperature with sun on the housing",
        sources=(
            "ASHRAE sol-air temperature (film 17 W/(m2 K); as restated in print)",
            "handbook values, from memory (what a colour takes up of sunlight)",
            "Ineichen and Perez 2002 (clear sky), NREL SPA within 0.02 degrees (where the sun stands)",
        ),
        page="temperature.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = TemperatureSettings

    def measure(self, subject: Camera, q: Query, settings: TemperatureSettings) -> Iterable[Reading | Unknown]:
        """Kelvins beyond the rated air temperatures, hot and cold."""
        if subject.sits == "indoors" or subject.operating is None:
            return
        coldest, hottest = q.need(q.plan.site, "temperature")
        lowest, highest = subject.operating
        at = Ref("camera", subject.id, "operating")
        facts = {"camera": subject, "air": (coldest, hottest)}
        yield Reading(Figure("below its lowest air temperature", lowest - coldest, "K"), at, "cold", facts=facts)
        silent = tuple(unsaid(q, q.plan.site, "place"))
        beam, share = (heat.STRONG_SUN, None) if silent else _sun(subject, q)
        low, usual, high = heat.felt(hottest, beam, subject.colour)
        over = Figure(
            "above its highest air temperature",
            (hottest if silent else usual) - highest,
            "K",
            (hottest if silent else low) - highest,
            high - highest,
        )
        facts = {**facts, "sun": share, "beam": beam, "felt": (low, usual, high)}
        reading = Reading(over, at, "hot", facts=facts)
        yield reading
        if self.level(reading, over.high, settings) != self.level(reading, over.value, settings):
            yield from silent

    def tell(self, reading: Reading, q: Trial, settings: TemperatureSettings) -> Told:
        """How hot or cold, against which figure of the data sheet, and what brings it back."""
        del settings
        camera: Camera = reading.facts["camera"]
        coldest, hottest = reading.facts["air"]
        lowest, highest = camera.operating or (coldest, hottest)
        if reading.key == "cold":
            text = (
                f"the air falls to {coldest:g} C and {camera.id} is rated down to {lowest:g} C: running, its own watts "
                "help it; after a power cut in frost it may not start"
            )
            backup = Remedy("keep it running in frost: power that doesn't fail, and a start tried on a cold day")
            return Told(text, (*_rated(camera, f"{coldest:g} to {highest:g} C", q), backup))
        low, usual, high = reading.facts["felt"]
        sun = reading.facts["sun"]
        warm = (
            f"the sun can stand on it in {q.say.share(sun)} of the hours of strong sun from spring to autumn, and the "
            f"{camera.colour} housing then feels {low:.0f} to {high:.0f} C"
            if sun
            else "no strong sun reaches it"
        )
        text = f"the air rises to {hottest:g} C and {camera.id} is rated up to {highest:g} C: {warm}"
        steps = (
            f"sun {reading.facts['beam']:.0f} W/m2 on a {camera.colour} housing in air of {hottest:g} C",
            f"felt: {low:.1f}, {usual:.1f}, {high:.1f} C (low, usual, high) against {highest:g} C",
        )
        return Told(text, tuple(_cooler(camera, usual, lowest, q)), steps=steps)


def _sun(camera: Camera, q: Query) -> tuple[float, float]:
    """The strongest sun on the housing, W/m², and the share of the strong sun's hours it is there."""
    warmed = q.of(WARMED, camera)
    return warmed.beam, warmed.share


def _cooler(camera: Camera, usual: float, lowest: float, q: Trial) -> Iterator[Remedy]:
    """A white housing; one rated for it; shade."""
    if camera.colour != "white":
        yield from cures(
            q, [("choose the white housing", Change("replace", Ref("camera", camera.id, "colour"), "white"))]
        )
    yield from _rated(camera, f"{lowest:g} to {usual + 1:.0f} C", q)
    yield Remedy("shade it: further in under an eave, on a side the sun leaves early, or with the maker's sun shield")


def _rated(camera: Camera, wanted: str, q: Trial) -> Iterator[Remedy]:
    change = Change("replace", Ref("camera", camera.id, "operating"), wanted)
    if q.plan.site.stage == "design":
        yield from cures(q, [(f"choose a camera rated {wanted}", change)])
