"""CABLE-12: mains and network cables in one conduit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Conduit

CAUTION = (
    "Leave the conduit and its boxes shut, and pull nothing in or out of them: a licensed electrician parts the two. "
    "Local codes decide."
)


class MainsSettings(Settings, frozen=True):
    """Mains cables beside network or low-voltage cables in one conduit."""

    limits: Limits = Limits(error=0.0)


class MainsInConduit(Rule["Conduit"]):
    """Counts the mains cables in a conduit that network or low-voltage cables run in too."""

    info = Info(
        code="CABLE-12",
        title="mains and network in one conduit",
        sources=(
            "NEC 800.133 and 725.136: no raceway or box is shared with power without a barrier (as quoted in print)",
        ),
        page="mains_in_conduit.md",
        safety=True,
    )
    subject: ClassVar[str] = "conduit"
    settings = MainsSettings

    def measure(self, subject: Conduit, q: Query, settings: MainsSettings) -> Iterable[Reading]:
        """How many mains cables lie beside others."""
        del settings
        cables = [cable for cable in q.all("cable") if cable.conduit == subject.id]
        mains = sum(one.count for one in subject.contents if one.carries == "mains")
        others = len(cables) + sum(one.count for one in subject.contents if one.carries != "mains")
        yield Reading(
            Figure("mains cables beside others", float(mains if others else 0), "in it"),
            Ref("conduit", subject.id, "contents"),
            related=tuple(Related(Ref("cable", cable.id), "runs in it") for cable in cables),
            facts={"conduit": subject, "mains": mains, "others": others, "cables": cables},
        )

    def tell(self, reading: Reading, q: Trial, settings: MainsSettings) -> Told:
        """What shares it, and that the two part."""
        del q, settings
        conduit: Conduit = reading.facts["conduit"]
        names = ", ".join(cable.id for cable in reading.facts["cables"]) or "a network or low-voltage cable"
        text = f"conduit {conduit.id} carries mains beside {names}: a fault puts mains voltage on the camera's cable"
        steps = (f"{reading.facts['mains']} mains and {reading.facts['others']} other cables in one conduit",)
        return Told(text, (Remedy("give the network cables a conduit and boxes of their own"),), CAUTION, steps)
