"""CABLE-13: a jacket in the ground or in a wet conduit that is not made for it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Rule, Settings, Told
from oneclimb.study import WAY
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cable.suited import suited
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Cable

SUITS = {"burial": ("burial",), "wet": ("wet", "burial")}
"""what a jacket in earth, and one in a wet conduit, may be said to suit"""


class WetSettings(Settings, frozen=True):
    """How much cable may lie wet that is not made for it; metres."""

    limits: Limits = Limits(note=0.0, warning=1.0)


class WetJacket(Rule["Cable"]):
    """Measures what lies in earth, or in a conduit outdoors, against what the jacket is said to suit."""

    info = Info(
        code="CABLE-13",
        title="jacket not made for wet places",
        sources=(
            "NEC 300.5(B) and 300.9: the inside of a conduit in the ground, or outdoors, is a wet place (from memory, "
            "check against the document)",
            "common practice (gel-filled or water-blocked cable in earth)",
        ),
        page="wet_jacket.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = WetSettings

    def measure(self, subject: Cable, q: Query, settings: WetSettings) -> Iterable[Reading | Unknown]:
        """Metres that lie wetter than the jacket is made for; asked for only where some lie wet, or may."""
        del settings
        piped = q.get(Ref("conduit", subject.conduit)) if subject.conduit and subject.legs is None else None
        if piped and piped.runs is None and not set(subject.suits or ()) & set(SUITS["wet"]):
            yield from unsaid(q, piped, "runs")
            return
        wet = _wet(subject, q)
        if sum(wet.values()) and subject.suits is None:
            yield from unsaid(q, subject, "suits")
            return
        says = set(subject.suits or ())
        lacks = {need: metres for need, metres in wet.items() if metres and not says & set(SUITS[need])}
        yield Reading(
            Figure("wet jacket", math.fsum(lacks.values()), "m"),
            Ref("cable", subject.id, "suits"),
            facts={"cable": subject, "wet": wet, "lacks": lacks},
        )

    def tell(self, reading: Reading, q: Trial, settings: WetSettings) -> Told:
        """How much lies in what."""
        del settings
        cable: Cable = reading.facts["cable"]
        lacks: dict[str, float] = reading.facts["lacks"]
        where = {"burial": "in earth", "wet": "in a conduit where it is wet"}
        parts = " and ".join(f"{q.say.tape(metres)} {where[need]}" for need, metres in lacks.items())
        text = f"{cable.id} lies {parts}, and its jacket is not said to suit that: water gets in and creeps along it"
        steps = tuple(f"{metres:.1f} m {where[need]}" for need, metres in reading.facts["wet"].items())
        need = "burial" if "burial" in lacks else "wet"
        return Told(text, tuple(suited(cable, need, q)), "", steps)


def _wet(cable: Cable, q: Query) -> dict[str, float]:
    """Metres in earth and in wet conduit. Without a route, all of a conduit that runs buried or in the open."""
    piped = q.get(Ref("conduit", cable.conduit)) if cable.conduit else None
    if cable.legs is None:
        length = piped.length if piped and piped.runs in ("buried", "open") else 0.0
        if piped and length is None:
            length = q.need(piped, "length")
        return {"burial": 0.0, "wet": float(length or 0.0)}
    found = {"burial": 0.0, "wet": 0.0}
    for stretch in q.of(WAY, cable).stretches:
        if stretch.cover == "buried":
            found["wet" if piped else "burial"] += stretch.length
        elif stretch.cover == "conduit":
            found["wet"] += stretch.outside
    return found
