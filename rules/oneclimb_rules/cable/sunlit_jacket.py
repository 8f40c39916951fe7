"""CABLE-02: sun on a jacket that is not made for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told, setting
from oneclimb.study import SUNLIT
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cable.suited import suited
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import SIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Cable
    from oneclimb.study.cable_sun import Sunlit


class SunlitSettings(Settings, frozen=True):
    """How much sun is worth a word; possible hours a year."""

    limits: Limits = Limits(note=0.0, warning=700.0)
    short: float = setting(
        0.3, "a sunlit stretch up to this long is no more than a note", unit="m", minimum=0.0, maximum=100.0
    )


class SunlitJacket(Rule["Cable"]):
    """Counts the hours of the year in which the sun stands on the bare stretches of a cable."""

    info = Info(
        code="CABLE-02",
        title="sun on a jacket not made for it",
        sources=(
            "Meeus, Astronomical Algorithms, chapters 12, 13 and 25 (where the sun stands; tested against NREL's SPA)",
            "common practice (sunlight ages indoor jackets; outdoor polyethylene and what is marked so bears it)",
        ),
        page="sunlit_jacket.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = SIGHT
    settings = SunlitSettings

    def measure(self, subject: Cable, q: Query, settings: SunlitSettings) -> Iterable[Reading | Unknown]:
        """Possible hours of sun a year on its sunniest point; asks for the jacket only where there is sun."""
        if subject.legs is None:
            return
        at = Ref("cable", subject.id, "suits")
        if "sun" in (subject.suits or ()):
            yield Reading(Figure("sun on the jacket", 0.0, "h a year"), at)
            return
        sun = q.of(SUNLIT, subject)
        reading = Reading(
            Figure("sun on the jacket", sun.hours.value, "h a year"),
            at,
            facts={"cable": subject, "sun": sun},
            ends=lambda: sun.hours.ends,
        )
        if subject.suits is not None:
            yield reading
        elif self.level(reading, sun.hours.value, settings):
            yield from unsaid(q, subject, "suits")

    def level(self, reading: Reading, value: float, settings: SunlitSettings) -> Level | None:
        """The limits; a short stretch is no more than a note."""
        level = settings.limits.level(value, reading.figure.good)
        sun: Sunlit | None = reading.facts.get("sun")
        return "note" if level and sun and sun.metres <= settings.short else level

    def tell(self, reading: Reading, q: Trial, settings: SunlitSettings) -> Told:
        """How long the sun is on how much of it."""
        del settings
        cable: Cable = reading.facts["cable"]
        sun: Sunlit = reading.facts["sun"]
        most = f"up to {round(sun.hours.value, -1):.0f} h a year, as far as clouds allow"
        text = (
            f"the jacket of {cable.id} is not said to suit sunlight, and the sun stands on {q.say.tape(sun.metres)} of "
            f"it ({most}): it turns brittle and lets water in"
        )
        steps = (
            f"{sun.bare:.1f} m bare outdoors, {sun.metres:.1f} m of it sunlit for 100 h a year and more",
            f"sunniest point {sun.hours.value:.0f} h with the sun 10° up and more; bearings 10° out: "
            f"{sun.hours.low:.0f} to {sun.hours.high:.0f} h",
        )
        return Told(text, tuple(_remedies(cable, q)), "", steps)


def _remedies(cable: Cable, q: Trial) -> Iterator[Remedy]:
    """A jacket made for it, or a pipe round it."""
    yield from suited(cable, "sun", q)
    bare = [i for i, leg in enumerate(cable.legs or ()) if leg.cover == "none"]
    if len(bare) == 1:
        cover = Change("replace", Ref("cable", cable.id, f"route.{bare[0]}.cover"), "conduit")
        yield from cures(q, [("put that stretch in conduit made for sunlight", cover)], ladder=True)
        return
    edits = tuple(Change("replace", Ref("cable", cable.id, f"route.{i}.cover"), "conduit") for i in bare)
    covered = q.least(lambda _: "put its bare stretches in conduit made for sunlight", [edits], ladder=True)
    if covered:
        yield covered
