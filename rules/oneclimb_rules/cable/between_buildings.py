"""CABLE-08: copper outdoors from one building to another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, setting
from oneclimb.study import CROSSING
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Cable
    from oneclimb.study.way import Crossing

CAUTION = (
    "Surge protection is only as good as its bonding to earth: both are a licensed electrician's, as is all about "
    "the two buildings' earths. Keep off the cable in a thunderstorm."
)


class BetweenSettings(Settings, frozen=True):
    """Copper outdoors between buildings; metres."""

    limits: Limits = Limits(note=0.5, warning=3.0)
    both: float = setting(
        0.1, "what a metre counts with surge protection at both ends", unit="share", minimum=0.0, maximum=1.0
    )
    pole: float = setting(
        0.25, "what a metre counts to a pole or shed, not a building", unit="share", minimum=0.0, maximum=1.0
    )


class BetweenBuildings(Rule["Cable"]):
    """Measures the copper that goes outdoors from one building, shed or pole to another."""

    info = Info(
        code="CABLE-08",
        title="copper between buildings",
        sources=(
            "BICSI and NFPA 780 practice: fibre between buildings; a protector, bonded, where copper enters (told in "
            "print)",
            "NEC 800.90 and article 725 (clause numbers from memory, check against the document)",
        ),
        page="between_buildings.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = SIGHT
    settings = BetweenSettings

    def measure(self, subject: Cable, q: Query, settings: BetweenSettings) -> Iterable[Reading | Unknown]:
        """Metres of copper outdoors between them; surge protection is asked for where there are any."""
        if subject.kind == "fibre" or (subject.legs is None and subject.between is None):
            return
        crossing = q.of(CROSSING, subject)
        buildings = {building.id for building in q.all("building")}
        kinds = ["building" if name in buildings else "object" for name in crossing.joins]
        reading = Reading(
            Figure("copper between buildings", crossing.metres, "m"),
            Ref("cable", subject.id, "surge"),
            related=tuple(
                Related(Ref(kind, name), "at an end") for kind, name in zip(kinds, crossing.joins, strict=True)
            ),
            facts={"cable": subject, "crossing": crossing, "poles": "object" in kinds},
        )
        yield reading
        if subject.surge is None and _decides(reading, reading.figure.value, settings):
            yield from unsaid(q, subject, "surge")

    def level(self, reading: Reading, value: float, settings: BetweenSettings) -> Level | None:
        """The limits, a metre counting less with protection at both ends, and to a pole; nothing where only the
        protection, of which the plan is silent, decides.
        """
        cable: Cable = reading.facts["cable"]
        if cable.surge is None and _decides(reading, value, settings):
            return None
        return _at(value * settings.both if cable.surge == "both" else value, reading, settings)

    def tell(self, reading: Reading, q: Trial, settings: BetweenSettings) -> Told:
        """From where to where, how far, and what joins them better."""
        del settings
        cable: Cable = reading.facts["cable"]
        crossing: Crossing = reading.facts["crossing"]
        has = {"both": "surge protection at both ends", "one": "surge protection at one end only"}
        guard = "surge protection not told" if cable.surge is None else has.get(cable.surge, "no surge protection")
        comes = "a surge" if reading.facts["poles"] else "a surge, or a difference between the two earths,"
        least = "" if crossing.known else "at least "
        text = (
            f"{cable.id} is copper from {' to '.join(crossing.joins)}, {least}{q.say.tape(crossing.metres)} of it "
            f"outdoors, with {guard}: {comes} comes in along it"
        )
        remedies = list(_instead(cable))
        if cable.surge != "both":
            remedies.append(Remedy("where it must be copper: surge protection at both ends, by a licensed electrician"))
        how = "along the route" if crossing.known else "between their outlines, as the crow flies"
        return Told(text, tuple(remedies), CAUTION, (f"{how}: {crossing.metres:.1f} m",))


def _at(metres: float, reading: Reading, settings: BetweenSettings) -> Level | None:
    """The level of so many metres, less to a pole or shed."""
    counts = settings.pole if reading.facts["poles"] else 1.0
    return settings.limits.level(metres * counts, reading.figure.good)


def _decides(reading: Reading, metres: float, settings: BetweenSettings) -> bool:
    """Whether protection at both ends makes another level of it than none."""
    return _at(metres * settings.both, reading, settings) != _at(metres, reading, settings)


def _instead(cable: Cable) -> Iterator[Remedy]:
    """What does without copper between them: fibre carries pictures, and no power."""
    if cable.carries == "power":
        yield Remedy("give what it feeds a supply of its own at the far end, by a licensed electrician")
        return
    yield Remedy("join them by fibre, with power for the far end from there")
    yield Remedy("or by a wireless bridge between the two")
