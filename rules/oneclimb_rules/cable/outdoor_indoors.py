"""CABLE-11: outdoor cable that runs far indoors."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.study import WAY
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cable.suited import suited
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Cable

UNLISTED = 15.24
"""m (50 ft) of unlisted outdoor cable from where it comes in (NEC 800.48, from memory, check against the document)"""


class IndoorsSettings(Settings, frozen=True):
    """How far a cable may run indoors that is not made for it; metres."""

    limits: Limits = Limits(note=10.0, warning=UNLISTED)


class OutdoorIndoors(Rule["Cable"]):
    """Measures the metres indoors of a cable that is not said to suit indoors."""

    info = Info(
        code="CABLE-11",
        title="outdoor cable far indoors",
        sources=(
            "NEC 800.48: 50 ft of unlisted cable from the point of entrance (from memory, check against the document)",
            "common practice (outdoor polyethylene burns; indoor jackets are tested for it; local code decides)",
        ),
        page="outdoor_indoors.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = IndoorsSettings

    def measure(self, subject: Cable, q: Query, settings: IndoorsSettings) -> Iterable[Reading | Unknown]:
        """Metres indoors outside any conduit; the jacket is asked for where they pass a limit."""
        if subject.legs is None:
            return
        stretches = q.of(WAY, subject).stretches
        inside = sum(stretch.inside for stretch in stretches if stretch.cover in ("none", "indoors"))
        outdoors = any(stretch.outside for stretch in stretches)
        if subject.suits is None:
            if outdoors and settings.limits.level(inside, "low"):
                yield from unsaid(q, subject, "suits")
            return
        counts = inside if outdoors and not {"indoors", "air space"} & set(subject.suits) else 0.0
        yield Reading(
            Figure("outdoor cable indoors", counts, "m"), Ref("cable", subject.id, "suits"), facts={"cable": subject}
        )

    def tell(self, reading: Reading, q: Trial, settings: IndoorsSettings) -> Told:
        """How far, against the figure of one code."""
        del settings
        cable: Cable = reading.facts["cable"]
        metres = reading.figure.value
        text = (
            f"{q.say.tape(metres)} of {cable.id} run indoors in a jacket that is not said to suit indoors: such "
            f"jackets carry fire; one code stops them {q.say.tape(UNLISTED)} from where they come in, others sooner"
        )
        remedies = (
            Remedy("join it to indoor cable in a box near where it comes in, and count the joint in the channel"),
            *suited(cable, "indoors", q),
        )
        return Told(
            text, remedies, "", (f"{metres:.1f} m inside a building, in no conduit; {UNLISTED} m is NEC 800.48's",)
        )
