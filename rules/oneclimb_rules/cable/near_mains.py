"""CABLE-07: a cable that runs too near mains wiring."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import WAY
from oneclimb.trade import burial
from oneclimb_rules.asks import unsaid
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable
    from oneclimb.study.way import Near

CAUTION = (
    "Mains wiring, meters and supply lines are a licensed electrician's, or the supplier's: touch, open and move "
    "none of them. Local codes decide."
)


class NearMainsSettings(Settings, frozen=True):
    """How near mains wiring a cable may run; metres."""

    limits: Limits = Limits(warning=burial.MAINS_GAP)


class NearMains(Rule["Cable"]):
    """Holds the distance from mains, declared or along the route, against 50 mm."""

    info = Info(
        code="CABLE-07",
        title="too near mains wiring",
        sources=(
            "NEC 800.133 and 725.136: 50 mm (2 in), with exceptions (as quoted in print)",
            "EN 50174-2: distances against noise (from memory, check against the document)",
        ),
        page="near_mains.md",
        safety=True,
    )
    subject: ClassVar[str] = "cable"
    settings = NearMainsSettings

    def measure(self, subject: Cable, q: Query, settings: NearMainsSettings) -> Iterable[Reading | Unknown]:
        """The least distance; asked for where the route passes a lamp, meter or supply line."""
        del settings
        if subject.kind == "fibre":
            return
        near = q.of(WAY, subject).near if subject.legs is not None else ()
        wired = [one for one in near if one.at.kind == "object"]
        ways = [] if subject.mains is None else [(subject.mains, "declared by the plan")]
        ways += [(one.metres, f"along the route, to {called(one.at)}") for one in wired[:1]]
        if ways:
            metres, how = min(ways)
            yield Reading(
                Figure("distance from mains", metres, "m", good="high"),
                Ref("cable", subject.id, "mains"),
                related=tuple(Related(one.at, "on the mains") for one in wired),
                facts={"cable": subject, "how": how},
            )
        if subject.mains is None and near:
            yield from (_by(unknown, near[0], q) for unknown in unsaid(q, subject, "mains"))

    def tell(self, reading: Reading, q: Trial, settings: NearMainsSettings) -> Told:
        """How near, and how to part them."""
        del settings
        cable: Cable = reading.facts["cable"]
        metres = reading.figure.value
        gap = q.say.fine(burial.MAINS_GAP)
        text = (
            f"{cable.id} runs {q.say.fine(metres)} from mains wiring ({reading.facts['how']}): "
            f"{gap} are wanted between them, unless one of them is in a conduit or sheath of its own"
        )
        remedies = (
            Remedy(f"lead the network cable at least {gap} away from the mains, and cross it at a right angle"),
            Remedy("or put the network cable in a conduit of its own over that stretch"),
        )
        return Told(text, remedies, CAUTION, (f"{reading.facts['how']}: {metres * 1000:.0f} mm, wanted 50 mm",))


def _by(unknown: Unknown, near: Near, q: Query) -> Unknown:
    return Unknown(unknown.ref, f"{unknown.asks} (it passes {called(near.at)} at {q.say.fine(round(near.metres, 2))})")
