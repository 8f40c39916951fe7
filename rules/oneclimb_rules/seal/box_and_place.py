"""SEAL-06: a box rated for less than its place, or with no way out for the water that condenses in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import SHELTER
from oneclimb.trade import ratings
from oneclimb_rules.asks import unsaid
from oneclimb_rules.offers import offered_at_design
from oneclimb_rules.shortfall import asked_of, listed, marking, short

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Box

WEATHER = ("open", "eave")
"""where rain comes"""
DAMP = ("open", "eave", "soffit")
"""where air cools and condenses in a box"""
UNDRAINED = 1.0
"""points of a box with no way out for water (estimate)"""


class BoxSettings(Settings, frozen=True):
    """How many numerals short, an undrained box counting one, are worth a word."""

    limits: Limits = Limits(note=0.5, warning=1.5, error=3.5)


class BoxAndPlace(Rule["Box"]):
    """Holds a box's marking and its drain against its place."""

    info = Info(
        code="SEAL-06",
        title="box not fit for its place",
        sources=(
            "IEC 60529 (characteristic numerals; clause 6: above numeral 6 no jet is covered; as restated in print)",
            "common practice (a drain at the lowest point; which numeral a place asks for is an estimate)",
        ),
        page="box_and_place.md",
    )
    subject: ClassVar[str] = "box"
    settings = BoxSettings

    def measure(self, subject: Box, q: Query, settings: BoxSettings) -> Iterable[Reading | Unknown]:
        """Numerals short, and one for no drain."""
        sits = q.need(subject, "sits")
        if sits not in DAMP:
            return
        silent = tuple(unsaid(q, subject, "drains"))
        points = UNDRAINED * (subject.drains is False)
        need, lacks, worst, rain = (0, 0), (0, 0), (0, 0), 0.0
        coast = q.plan.site.coast
        if sits in WEATHER:
            rated = q.need(subject, "rated")
            rain = q.of(SHELTER, subject).rain
            need = asked_of(rain, coast)
            found = short(rated, need)
            sea = short(rated, asked_of(rain, 0.0 if coast is None else coast))
            if found is None or sea is None:
                raise Unknown(Ref("box", subject.id, "rated"), "what is the box's IP rating, both numerals?")
            lacks, worst = found, sea
        value = sum(lacks) + points
        figure = Figure("numerals short", value, "numerals", high=sum(worst) + points + UNDRAINED * bool(silent))
        facts = {"box": subject, "need": need, "lacks": lacks, "rain": rain}
        reading = Reading(figure, Ref("box", subject.id), facts=facts)
        yield reading
        yield from silent
        if coast is None and self.level(reading, value + sum(worst) - sum(lacks), settings) != self.level(
            reading, value, settings
        ):
            yield from unsaid(q, q.plan.site, "coast")

    def tell(self, reading: Reading, q: Trial, settings: BoxSettings) -> Told:
        """What reaches it, what it stands up to, whether it drains."""
        del settings
        box: Box = reading.facts["box"]
        need, lacks = reading.facts["need"], reading.facts["lacks"]
        parts = []
        if any(lacks):
            parts.append(
                f"is rated {listed(box.rated or ())}, its place asks for {marking(need)} "
                f"({q.say.share(reading.facts['rain'])} of the directions rain comes from reach it)"
            )
        if box.drains is False:
            parts.append("has no way out for the water that condenses in it")
        steps = (f"short by {lacks[0]} of dust, {lacks[1]} of water; no drain: {int(box.drains is False)}",)
        return Told(f"the box {box.id} {' and '.join(parts)}", tuple(_remedies(box, need, any(lacks), q)), steps=steps)


def _remedies(box: Box, need: ratings.Need, lacks: bool, q: Trial) -> Iterator[Remedy]:
    """A better box; a drain made for it."""
    at = Ref("box", box.id)
    ways = []
    if lacks:
        mark = marking((max(need[0], 6), max(need[1], 6)))
        ways.append((f"choose a box rated {mark}", Change("replace", at.at("rated"), [mark])))
    if box.drains is False:
        ways.append(("fit a drain or breather plug at its lowest point", Change("replace", at.at("drains"), by=True)))
    both = tuple(change for _, change in ways)
    if len(both) > 1 and q.plan.site.stage == "design":
        every = q.least(lambda _: " and ".join(text for text, _ in ways), [both])
        if every:
            yield every
        return
    yield from offered_at_design(q, ways)
