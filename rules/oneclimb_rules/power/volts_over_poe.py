"""POWER-03: too few volts left at a camera that is fed over its network cable."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import DROP
from oneclimb.trade import ethernet
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import FEED
from oneclimb_rules.power import drops
from oneclimb_rules.power.feeds import feed_of

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable, Camera
    from oneclimb.study.drop import Drop

THICKER = ("23 AWG", "22 AWG")
"""of network cable, beyond the usual 24"""


class VoltsSettings(Settings, frozen=True):
    """How few of the volts it needs a camera may have, as a share."""

    limits: Limits = Limits(warning=1.0, error=0.88)


class VoltsOverPoe(Rule["Camera"]):
    """Volts at the camera over the least its type must work with."""

    info = Info(
        code="POWER-03",
        title="too few volts left at the end of the network cable",
        sources=(
            "IEEE 802.3 clauses 33 and 145, as restated in print: volts at port and device, loop resistance",
            "TIA-568.2-D, as restated in print: at most 9.38 ohm per 100 m of solid conductor",
            "Ohm and Kirchhoff: V = (Vs + √(Vs² − 4·R·P)) / 2",
        ),
        page="volts_over_poe.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = FEED
    settings = VoltsSettings

    def measure(self, subject: Camera, q: Query, settings: VoltsSettings) -> Iterable[Reading | Unknown]:
        """Volts that arrive, hot and cool, over the least that serve."""
        drop = q.of(DROP, subject) if feed_of(subject, q).port else None
        if drop is None:
            return  # where no volts are right for it: POWER-01
        figure = Figure(
            drops.NAME if drop.usual.carries else drops.AT_MOST,
            drop.share(drop.usual),
            "",
            drop.share(drop.low),
            drop.share(drop.high),
            "high",
        )
        cable = drop.cable
        reading = Reading(
            figure,
            Ref("camera", subject.id, "power"),
            "",
            (Related(Ref("cable", cable.id), f"{cable.length:g} m long"), Related(drop.giver, "feeds it")),
            {"camera": subject, "drop": drop, "steps": _steps(drop)},
        )
        yield reading
        if cable.conductor is None:
            clad = drop.share(drop.clad)
            if self.level(reading, clad, settings) != self.level(reading, figure.value, settings):
                yield from unsaid(q, cable, "conductor")

    def tell(self, reading: Reading, q: Trial, settings: VoltsSettings) -> Told:
        """Volts left and needed, the wire's part in it, and what wire would do."""
        del settings
        camera: Camera = reading.facts["camera"]
        drop: Drop = reading.facts["drop"]
        cable, usual = drop.cable, drop.usual
        wire = f"{q.say.tape(usual.metres)} of {cable.conductor or 'copper'}"
        text = (
            f"at the end of {wire} {camera.id} is left {usual.arrives:.1f} V at {usual.watts:g} W, and needs "
            f"{drop.least:g} V: it may start again and again when its night light comes on"
            if usual.passes >= usual.watts
            else f"{camera.id} needs {usual.watts:g} W, and {wire} passes no more than {usual.passes:.2g} W from "
            f"{usual.volts:g} V: it will not start"
        )
        return Told(text, tuple(_wires(cable, q)), steps=reading.facts["steps"])


def _steps(drop: Drop) -> tuple[str, ...]:
    usual, volts = drop.usual, drop.usual.arrives
    amps = usual.watts / volts
    over = f", more than the {drop.amps:g} A it may" if drop.amps and amps > drop.amps else ""
    return (
        f"{usual.metres:g} m, there and back, at {usual.celsius:g} °C, with {ethernet.JOINTS} plugs: {usual.ohm:.2f} "
        f"ohm over {drop.pairs} pairs",
        f"({usual.volts:g} + √({usual.volts:g}² - 4 x {usual.ohm:.2f} x {usual.watts:g})) / 2 = {volts:.2f} V",
        f"{usual.watts:g} W / {volts:.2f} V = {amps:.3f} A{over}",
        f"{volts:.2f} V / {drop.least:g} V = {volts / drop.least:.0%}",
    )


def _wires(cable: Cable, q: Trial) -> Iterator[Remedy]:
    """Copper, or thicker wire, where that alone serves; else the switch comes nearer."""
    at = Ref("cable", cable.id)
    ways = []
    if cable.conductor not in (None, "copper"):
        ways.append(("run a cable with conductors of solid copper", Change("replace", at.at("conductor"), "copper")))
    now = math.sqrt(4 * cable.gauge.mm2 / math.pi) if cable.gauge else None
    ways += [
        (f"run a cable of {gauge}", Change("replace", at.at("gauge"), gauge))
        for gauge, mm in zip(THICKER, (0.573, 0.644), strict=True)
        if now is None or mm > now + 0.005
    ]
    yield from list(cures(q, ways))[:2]
    if cable.conductor == drops.CLAD:
        yield Remedy("clad aluminium is not network cable by the standards: replace it wherever it carries power")
    yield Remedy("bring the switch or injector nearer, in a dry place that has a socket already")
