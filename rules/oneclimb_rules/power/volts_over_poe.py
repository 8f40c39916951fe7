"""POWER-03: too few volts left at a camera that is fed over its network cable."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.trade import ethernet, low_voltage
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import FEED
from oneclimb_rules.power.drop import AT_MOST, CLAD, NAME, arrives, carries, heat, metals, millimetres, passes
from oneclimb_rules.power.feeds import PASSIVE, class_watts, feed_of, port_ref, standard_watts

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable, Camera, Injector, Power, Switch

USUAL = {1: 48.0, 2: 53.0, 3: 53.0, 4: 54.0}
"""V at a port by its type, where the plan does not say (common practice)"""
JOINTS = 2
"""mated plugs on the way: one at each end"""
THICKER = ("23 AWG", "22 AWG")
"""of network cable, beyond the usual 24"""


class VoltsSettings(Settings, frozen=True):
    """How few of the volts it needs a camera may have, as a share."""

    limits: Limits = Limits(warning=1.0, error=0.88)


class Way(Struct, frozen=True):
    """What power comes by: volts at the port (least, usual, most), the camera's watts and least volts, the pairs."""

    volts: tuple[float, float, float]
    watts: float
    least: float
    pairs: int
    amps: float | None


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
        feed = feed_of(subject, q)
        port, cable = feed.port, feed.data
        if port is None or cable is None or cable.kind != "copper":
            return
        if _unlike(subject.power, port.gives):
            return  # no volts are right for it: POWER-01
        way = _way(subject, port, q)
        length: float = q.need(cable, "length")
        cool, usual, hot = heat(q)
        metal, worst = metals(cable)
        found = {
            "value": _loop(cable, length, metal, usual, way),
            "low": _loop(cable, length, worst, hot, way),
            "high": _loop(cable, length, metal, cool, way),
            "clad": _loop(cable, length, worst, usual, way),
        }
        least, most = way.volts[0], way.volts[2]
        volts = arrives(way.volts[1], found["value"], way.watts)
        figure = Figure(
            NAME if carries(way.volts[1], found["value"], way.watts) else AT_MOST,
            volts / way.least,
            "",
            arrives(least, found["low"], way.watts) / way.least,
            arrives(most, found["high"], way.watts) / way.least,
            "high",
        )
        reading = Reading(
            figure,
            Ref("camera", subject.id, "power"),
            "",
            (Related(Ref("cable", cable.id), f"{length:g} m long"), Related(port_ref(port), "feeds it")),
            {
                "camera": subject,
                "cable": cable,
                "volts": volts,
                "passes": passes(way.volts[1], found["value"]),
                "way": way,
                "length": length,
                "steps": _steps(way, found["value"], length, usual, volts),
            },
        )
        yield reading
        if cable.conductor is None:
            clad = arrives(way.volts[1], found["clad"], way.watts) / way.least
            if self.level(reading, clad, settings) != self.level(reading, figure.value, settings):
                yield from unsaid(q, cable, "conductor")

    def tell(self, reading: Reading, q: Trial, settings: VoltsSettings) -> Told:
        """Volts left and needed, the wire's part in it, and what wire would do."""
        del settings
        camera: Camera = reading.facts["camera"]
        cable: Cable = reading.facts["cable"]
        way: Way = reading.facts["way"]
        wire = f"{q.say.tape(reading.facts['length'])} of {cable.conductor or 'copper'}"
        most: float = reading.facts["passes"]
        text = (
            f"at the end of {wire} {camera.id} is left {reading.facts['volts']:.1f} V at {way.watts:g} W, and needs "
            f"{way.least:g} V: it may start again and again when its night light comes on"
            if most >= way.watts
            else f"{camera.id} needs {way.watts:g} W, and {wire} passes no more than {most:.2g} W from "
            f"{way.volts[1]:g} V: it will not start"
        )
        return Told(text, tuple(_wires(cable, q)), steps=reading.facts["steps"])


def _unlike(power: Power, gives: str | None) -> bool:
    """Whether one is passive and the other is not; a camera that has a class follows a standard."""
    takes = power.standard or (gives if power.poe is None else "a class")
    return gives is not None and (gives == PASSIVE) != (takes == PASSIVE)


def _way(camera: Camera, port: Switch | Injector, q: Query) -> Way:
    """What the port puts on the wires and what the camera takes off them; asks where it must be known."""
    power = camera.power
    gives: str = q.need(port, "gives")
    watts = power.watts or class_watts(power) or standard_watts(power) or q.need(camera, "power.watts")
    if gives == PASSIVE:
        volts: float = q.need(port, "volts")
        rated: float = q.need(camera, "power.volts")
        tolerance = low_voltage.TOLERANCE if power.tolerance is None else power.tolerance
        return Way((volts,) * 3, watts, rated * (1 - tolerance), 2, None)
    most = ethernet.port_gives(gives)
    asked = ethernet.CLASSES[power.poe] if power.poe is not None else ethernet.class_for(watts)
    granted = min((each for each in (asked, most) if each), key=lambda each: each.port_watts)
    kind, at_port = ethernet.TYPES[granted.type], ethernet.TYPES[most.type if most else granted.type]
    usual = USUAL[most.type if most else granted.type]
    volts_at = (port.volts,) * 3 if port.volts else (at_port.port_volts[0], usual, at_port.port_volts[1])
    return Way(volts_at, watts, kind.volts[0], granted.pairs, kind.amps * granted.pairs / 2)


def _loop(cable: Cable, length: float, metal: str, celsius: float, way: Way) -> float:
    return ethernet.channel_loop(
        length,
        metal,
        mm=millimetres(cable.gauge),
        pairs=way.pairs,
        celsius=celsius,
        cords=cable.cords or 0.0,
        joints=JOINTS,
    )


def _steps(way: Way, ohm: float, length: float, celsius: float, volts: float) -> tuple[str, ...]:
    amps = way.watts / volts
    over = f", more than the {way.amps:g} A it may" if way.amps and amps > way.amps else ""
    return (
        f"{length:g} m, there and back, at {celsius:g} °C, with {JOINTS} plugs: {ohm:.2f} ohm over {way.pairs} pairs",
        f"({way.volts[1]:g} + √({way.volts[1]:g}² - 4 x {ohm:.2f} x {way.watts:g})) / 2 = {volts:.2f} V",
        f"{way.watts:g} W / {volts:.2f} V = {amps:.3f} A{over}",
        f"{volts:.2f} V / {way.least:g} V = {volts / way.least:.0%}",
    )


def _wires(cable: Cable, q: Trial) -> Iterator[Remedy]:
    """Copper, or thicker wire, where that alone serves; else the switch comes nearer."""
    at = Ref("cable", cable.id)
    ways = []
    if cable.conductor not in (None, "copper"):
        ways.append(("run a cable with conductors of solid copper", Change("replace", at.at("conductor"), "copper")))
    now = millimetres(cable.gauge)
    ways += [
        (f"run a cable of {gauge}", Change("replace", at.at("gauge"), gauge))
        for gauge, mm in zip(THICKER, (0.573, 0.644), strict=True)
        if now is None or mm > now + 0.005
    ]
    yield from list(cures(q, ways))[:2]
    if cable.conductor == CLAD:
        yield Remedy("clad aluminium is not network cable by the standards: replace it wherever it carries power")
    yield Remedy("bring the switch or injector nearer, in a dry place that has a socket already")
