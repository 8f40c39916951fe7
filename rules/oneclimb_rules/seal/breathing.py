"""SEAL-05: a hole or conduit that pumps a warm room's air into the cold, where it condenses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.trade import dew, heat
from oneclimb_rules.asks import unsaid
from oneclimb_rules.offers import offered_at_design

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Conduit, Hole, Site

USUAL = 5.0
"""W of a camera whose watts the plan doesn't say: only the doubt's kind end rests on it (estimate)"""
COLD_ENDS = ("outdoors", "box", "ground")
JOINS = "what air is at the conduit's ends: a room, a cavity, the roof space, outdoors, a box, the ground?"


class BreathingSettings(Settings, frozen=True):
    """How far below the room's dew point is worth a word; kelvins."""

    limits: Limits = Limits(note=0.0, warning=5.0)


class Breathing(Rule["Site"]):
    """Holds the coldest housing or conduit against the dew point of a heated room's air."""

    info = Info(
        code="SEAL-05",
        title="breathing hole or conduit",
        sources=(
            "Alduchov and Eskridge 1996 (Magnus's formula; coefficients from memory, two as restated in print)",
            "NEC 300.7(A) (conduit between warm and cold places is sealed; from memory, check against the document)",
            "estimate (35 to 65 % relative humidity of a heated room in winter)",
        ),
        page="breathing.md",
    )
    subject: ClassVar[str] = "site"
    settings = BreathingSettings

    def measure(self, subject: Site, q: Query, settings: BreathingSettings) -> Iterable[Reading | Unknown]:
        """Kelvins below the dew point of each camera whose hole leads to a room, each conduit from a room outdoors."""
        del settings
        for camera in q.all("camera"):
            hole = camera.entry.hole if camera.entry else None
            if not hole or camera.sits != "outdoors":
                continue
            if hole.to == "room":
                yield from _camera(camera, hole, subject, q)
            elif hole.to is None and hole.sealed is False and _may_be_wet(subject):
                yield from unsaid(q, camera, "entry.hole.to")
        for conduit in q.all("conduit"):
            if "room" in conduit.joins and any(end in conduit.joins for end in COLD_ENDS):
                yield from _conduit(conduit, subject, q)
            elif not conduit.joins and conduit.sealed is False and _may_be_wet(subject):
                yield Unknown(Ref("conduit", conduit.id, "joins"), JOINS)

    def tell(self, reading: Reading, q: Trial, settings: BreathingSettings) -> Told:
        """Whose air, how cold, and the plug that stops it."""
        del settings
        at, cold = reading.at, reading.facts["cold"]
        usual = dew.wet_below()[1]
        what = f"the hole behind {at.id}" if at.kind == "camera" else f"the conduit {at.id}"
        where = "its housing" if at.kind == "camera" else "its cold end"
        text = (
            f"{what} joins a warm room to the outdoors and isn't sealed: room air is pumped through it, and at "
            f"{cold:.0f} C {where} lies {reading.figure.value:.0f} K below the dew point of such air ({usual:.0f} C): "
            "it gets wet inside, a dome mists over"
        )
        change = Change("replace", at, by=True)
        steps = (
            f"room {dew.ROOM:g} C at {dew.ROOM_HUMIDITY[1]:.0%}: dew point {usual:.1f} C",
            f"coldest {cold:.1f} C: {usual - cold:.1f} K below it",
        )
        remedies = offered_at_design(q, [("plug it airtight at the warm end, with putty or duct seal", change)])
        drained = at.kind == "conduit" and q.get(at.thing).drained
        drain = () if drained else (Remedy("and let what still condenses drain at the lowest point"),)
        return Told(text, (*remedies, *drain), steps=steps)


def _may_be_wet(site: Site) -> bool:
    """Whether it gets as cold as room air condenses at, the dampest it may be; so where the plan does not say."""
    return site.temperature is None or site.temperature[0] < dew.wet_below()[2]


def _camera(camera: Camera, hole: Hole, site: Site, q: Query) -> Iterator[Reading | Unknown]:
    silent = tuple(unsaid(q, camera, "entry.hole.sealed"))
    yield from silent
    if silent or hole.sealed:
        return
    coldest = q.need(site, "temperature")[0]
    rise = heat.own(camera.power.watts or USUAL)
    cold = coldest + (rise[0] if camera.power.watts else 0.0)
    yield _reading(Ref("camera", camera.id, "entry.hole.sealed"), coldest, cold, max(cold, coldest + rise[1]))


def _conduit(conduit: Conduit, site: Site, q: Query) -> Iterator[Reading | Unknown]:
    silent = tuple(unsaid(q, conduit, "sealed"))
    yield from silent
    if silent or conduit.sealed:
        return
    coldest = q.need(site, "temperature")[0]
    yield _reading(Ref("conduit", conduit.id, "sealed"), coldest, coldest, coldest)


def _reading(at: Ref, coldest: float, cold: float, warmest: float) -> Reading:
    """How far the cold surface, °C with its doubt, lies below the dew point of room air with its own."""
    low, usual, high = dew.wet_below()
    figure = Figure("below the dew point", usual - cold, "K", low - warmest, high - coldest)
    return Reading(figure, at, key=at.path, facts={"cold": cold})
