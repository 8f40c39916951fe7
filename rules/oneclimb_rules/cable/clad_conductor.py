"""CABLE-06: copper-clad aluminium under power over Ethernet."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.study import LOAD
from oneclimb.trade import copper, ethernet
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cable.lengths import known, long
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import FEED

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Cable

CLAD = "copper-clad aluminium"
LOOP = 12.5
"""ohm of a channel's loop over two pairs, cords, joints and heat in (IEEE 802.3, restated in print)"""


class CladSettings(Settings, frozen=True):
    """Loop resistance of what is not copper, as a share of the 12.5 ohm of a channel."""

    limits: Limits = Limits(note=0.0, warning=0.75, error=1.0)


class CladConductor(Rule["Cable"]):
    """Holds the loop resistance of a cable that feeds a camera against the channel's limit."""

    info = Info(
        code="CABLE-06",
        title="copper-clad aluminium under power over Ethernet",
        sources=(
            "TIA-568.2-D: at most 9.38 ohm per 100 m of solid conductor; IEEE 802.3: 12.5 ohm of channel loop "
            "(restated in print)",
            "wire makers' data to ASTM B566: 62.9 % of copper's conductivity (10 % copper by volume)",
            "TIA-568 and ISO/IEC 11801 ask for solid copper (from memory, check against the document)",
        ),
        page="clad_conductor.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = FEED
    settings = CladSettings

    def measure(self, subject: Cable, q: Query, settings: CladSettings) -> Iterable[Reading | Unknown]:
        """Loop ohm over 12.5; the metal is asked for only where clad wire would be a warning."""
        feed = q.of(LOAD, q.plan.site).feeds.get(subject.camera)
        if subject.kind != "copper" or feed is None or feed.source != "poe" or feed.data is not subject:
            return
        if subject.conductor is None:
            if known(subject) and settings.limits.level(_loop(subject, CLAD, q)[0] / LOOP, "low") not in (None, "note"):
                yield from unsaid(q, subject, "conductor")
            return
        loop, least, most = _loop(subject, subject.conductor, q)
        yield Reading(
            Figure("loop resistance", loop / LOOP, "", low=least / LOOP, high=most / LOOP),
            Ref("cable", subject.id, "conductor"),
            facts={"cable": subject, "loop": loop, "watts": feed.camera.power.watts},
        )

    def level(self, reading: Reading, value: float, settings: CladSettings) -> Level | None:
        """The limits; copper itself is held by its length."""
        cable: Cable = reading.facts["cable"]
        return None if cable.conductor == "copper" else settings.limits.level(value, reading.figure.good)

    def tell(self, reading: Reading, q: Trial, settings: CladSettings) -> Told:
        """The loop against its limit, copper's beside it, and what arrives at the camera."""
        del settings
        cable: Cable = reading.facts["cable"]
        loop: float = reading.facts["loop"]
        run = long(cable, q)
        plain = _loop(cable, "copper", q)[0]
        text = (
            f"{cable.id} has conductors of {cable.conductor}: a loop of {loop:.1f} ohm over {q.say.tape(run.metres)}, "
            f"{q.say.share(loop / LOOP)} of what a channel may have with its cords, joints and heat "
            f"(copper: {plain:.1f} ohm)"
        )
        steps = [
            run.how,
            f"{run.metres:.1f} m: {plain:.2f} ohm in copper, {loop:.2f} ohm in {cable.conductor}, at 20 °C",
        ]
        steps += _arrives(loop, plain, reading.facts["watts"])
        return Told(text, tuple(_remedies(cable, q)), "", tuple(steps))


def _loop(cable: Cable, conductor: str, q: Query) -> tuple[float, float, float]:
    """Loop ohm at 20 °C over two pairs, and its low and high end by how much copper the wire has."""
    run = long(cable, q)
    mm = math.sqrt(4 * cable.gauge.mm2 / math.pi) if cable.gauge else None
    cords = ethernet.channel_loop(0.0, cords=cable.cords or 0.0)
    per = ethernet.channel_loop(1.0, conductor, mm=mm)
    low, usual, high = copper.CLAD if conductor == CLAD else (1.0, 1.0, 1.0)
    return run.metres * per + cords, run.metres * per * low / usual + cords, run.most * per * high / usual + cords


def _arrives(loop: float, plain: float, watts: float | None) -> Iterable[str]:
    """What reaches the camera at the port's least volts, over each metal."""
    number = ethernet.class_for(watts) if watts else None
    if watts is None or number is None:
        return
    kind = ethernet.TYPES[number.type]
    for metal, ohm in (("this cable", loop), ("copper", plain)):
        there = ethernet.pd_voltage(kind.port_volts[0], ohm * 2 / number.pairs, watts)
        yield (
            f"{watts:g} W at {kind.port_volts[0]:g} V, over {metal}: "
            + (f"{there.volts:.1f} V and {there.amps:.3f} A at the camera" if there else "cannot be carried")
            + f" (at least {kind.volts[0]:g} V is wanted)"
        )


def _remedies(cable: Cable, q: Trial) -> Iterable[Remedy]:
    """Copper, while it can still be chosen."""
    text = "use cable of solid copper (a category printed on it is no proof: scrape a wire, aluminium is silver inside)"
    if q.plan.site.stage == "design":
        return tuple(cures(q, [(text, Change("replace", Ref("cable", cable.id, "conductor"), "copper"))]))
    return (Remedy(f"replace the cable: {text}"),)
