"""SEAL-04: a gland that doesn't close on its cable, or a joint in a box nobody has named."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb_rules.asks import unsaid
from oneclimb_rules.offers import offered_at_design

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Connector


class GlandSettings(Settings, frozen=True):
    """How far outside the gland's range is worth a word; millimetres."""

    limits: Limits = Limits(warning=0.0, error=1.0)


class GlandAndCable(Rule["Connector"]):
    """Holds the cable's diameter against what the gland closes on."""

    info = Info(
        code="SEAL-04",
        title="gland doesn't fit the cable",
        sources=("common practice (a gland seals only on the diameters its insert is made for)",),
        page="gland_and_cable.md",
    )
    subject: ClassVar[str] = "connector"
    settings = GlandSettings

    def measure(self, subject: Connector, q: Query, settings: GlandSettings) -> Iterable[Reading | Unknown]:
        """Millimetres outside the gland's range; negative inside it."""
        del settings
        if subject.sits == "box" and not subject.box and q.plan.boxes:
            yield Unknown(Ref("connector", subject.id, "box"), "which box does the joint sit in?")
        cable = q.get(Ref("cable", subject.cable))
        if subject.clamps is None:
            if subject.seal == "gland" and cable.diameter is not None:
                yield from unsaid(q, subject, "clamps")
            return
        diameter = q.need(cable, "diameter") * 1000
        low, high = (end * 1000 for end in subject.clamps)
        out = max(low - diameter, diameter - high)
        yield Reading(
            Figure("outside the gland's range", round(out, 6), "mm"),
            Ref("connector", subject.id, "clamps"),
            related=(Related(Ref("cable", cable.id, "diameter"), "the cable it closes on"),),
            facts={"connector": subject, "diameter": diameter, "range": (low, high)},
        )

    def tell(self, reading: Reading, q: Trial, settings: GlandSettings) -> Told:
        """Too thin or too thick, and the insert that fits."""
        del settings
        connector: Connector = reading.facts["connector"]
        diameter, (low, high) = reading.facts["diameter"], reading.facts["range"]
        thin = diameter < low
        way = (
            "too thin: water creeps in beside it" if thin else "too thick: it isn't screwed home, or the jacket is cut"
        )
        text = (
            f"the gland of {connector.id} closes on {low:g} to {high:g} mm and the cable {connector.cable} is "
            f"{diameter:g} mm, {way}"
        )
        wanted = f"{max(diameter - 1, 0.5):g} to {diameter + 1:g} mm"
        change = Change("replace", Ref("connector", connector.id, "clamps"), wanted)
        ways = tuple(
            offered_at_design(q, [(f"take an insert or gland made for {diameter:g} mm, say {wanted}", change)])
        )
        more = (Remedy("no tape wound round a thin cable: water follows it"),) if thin else ()
        return Told(text, (*ways, *more), steps=(f"{reading.figure.value:.1f} mm outside {low:g} to {high:g} mm",))
