"""CABLE-15: a network cable bent too tightly."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.trade import conduit
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable


class BendSettings(Settings, frozen=True):
    """The tightest bend's radius over the least one."""

    limits: Limits = Limits(warning=1.0, error=0.5)


class TightBend(Rule["Cable"]):
    """Holds the tightest bend against four times the cable's diameter."""

    info = Info(
        code="CABLE-15",
        title="bent too tightly",
        sources=(
            "TIA-568: bend radius at least 4 times the diameter of a four-pair cable (two installers' references)",
        ),
        page="tight_bend.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = BendSettings

    def measure(self, subject: Cable, q: Query, settings: BendSettings) -> Iterable[Reading]:
        """Radius over the least; asks for the diameter where a bend is told."""
        del settings
        if subject.bend is None or subject.kind != "copper":
            return
        diameter: float = q.need(subject, "diameter")
        least = conduit.bend_radius(diameter * 1000) / 1000
        yield Reading(
            Figure("bend radius", subject.bend / least, "", good="high"),
            Ref("cable", subject.id, "bend"),
            facts={"cable": subject, "least": least},
        )

    def tell(self, reading: Reading, q: Trial, settings: BendSettings) -> Told:
        """The radius, and the least."""
        del settings
        cable: Cable = reading.facts["cable"]
        least: float = reading.facts["least"]
        radius = cable.bend or 0.0
        text = (
            f"{cable.id} is bent to a radius of {q.say.fine(radius)}, {q.say.fine(least)} is the least for its "
            "diameter: its pairs are pushed out of shape, and a kink does not come back"
        )
        steps = (f"least radius 4 × {least * 250:g} mm = {least * 1000:g} mm; bent to {radius * 1000:g} mm",)
        up = f"lead it round at a radius of {q.say.fine(least)} or more"
        if q.plan.site.stage != "design":
            return Told(text, (Remedy(f"{up}; replace a stretch that has been kinked, and test it again"),), "", steps)
        wider = Change("replace", Ref("cable", cable.id, "bend"), f"{least * 1000:.1f} mm")
        return Told(text, tuple(cures(q, [(up, wider)])), "", steps)
