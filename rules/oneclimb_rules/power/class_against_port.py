"""POWER-01: a camera that asks for more, or for another kind of power, than the port it is fed from gives."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Level,
    Limits,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
)
from oneclimb.trade import ethernet
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import FEED
from oneclimb_rules.power.feeds import feed_of, port_ref

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Injector, Switch

WATTS, KIND = "watts", "kind"
OVER = 1.1
"""times the rated volts of a passive device that more than ordinary tolerance is past (common practice)"""


class PortSettings(Settings, frozen=True):
    """How much of what a port gives the camera may take, as a share."""

    limits: Limits = Limits(warning=1.0, error=1.12)


class ClassAgainstPort(Rule["Camera"]):
    """Watts and class of a camera over what its port gives; passive power against the standards."""

    info = Info(
        code="POWER-01",
        title="port gives too little, or another kind of power",
        sources=(
            "IEEE 802.3 clauses 33 and 145, as restated by the Ethernet Alliance (Overview of 802.3bt, 2018): classes",
            "common practice (a passive injector puts its volts on the wires unasked)",
        ),
        page="class_against_port.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = FEED
    settings = PortSettings

    def measure(self, subject: Camera, q: Query, settings: PortSettings) -> Iterable[Reading | Unknown]:
        """One reading: the share of the port's watts, or, where passive power is about, whether the kinds agree."""
        del settings
        port = feed_of(subject, q).port
        if port is None:
            return
        gives: str = q.need(port, "gives")
        if ethernet.PASSIVE in (gives, subject.power.standard):
            yield _kind(subject, port, gives, q)
        else:
            yield _share(subject, port, gives, q)

    def level(self, reading: Reading, value: float, settings: PortSettings) -> Level | None:
        """Kinds that don't agree are an error; a class above the port's, with watts that fit, a note."""
        if reading.key == KIND:
            return "error" if value else None
        return settings.limits.level(value, "low") or ("note" if reading.facts["class over"] else None)

    def tell(self, reading: Reading, q: Trial, settings: PortSettings) -> Told:
        """What is asked for, what is given, and which port would do."""
        del settings
        camera: Camera = reading.facts["camera"]
        port: Switch | Injector = reading.facts["port"]
        if reading.key == KIND:
            return Told(reading.facts["text"], tuple(_of_a_kind(reading, q)), steps=reading.facts["steps"])
        room: float = reading.facts["room"]
        asks = f"draws up to {camera.power.watts:g} W" if camera.power.watts is not None else "may draw that much"
        number = (
            f"asks for class {camera.power.poe} ({ethernet.class_watts(camera.power.poe)} W) and "
            if camera.power.poe
            else ""
        )
        fits = reading.facts["class over"] and reading.figure.value <= 1
        end = (
            "its watts fit, but the port may turn it away, or hold it to less, for the class it asks for"
            if fits
            else "it will start by day and drop out when its night light, heater or motor comes on, if it starts at all"
        )
        text = f"{camera.id} {number}{asks}; {port.id} gives {port.gives}, {room:g} W at the camera: {end}"
        return Told(text, tuple(_ports(reading, q)), steps=reading.facts["steps"])


def _share(camera: Camera, port: Switch | Injector, gives: str, q: Query) -> Reading:
    """The camera's watts over the port's: declared, else by class; the class is the high end."""
    most = ethernet.port_gives(gives)
    room = most.watts if most else 0.0
    by_class, power = ethernet.class_watts(camera.power.poe), camera.power
    if power.watts is None and by_class is None:
        sure = ethernet.standard_watts(power.standard)
        if sure is None or sure > room:
            q.need(camera, "power.watts")
        by_class = sure
    value = power.watts if power.watts is not None else by_class or 0.0
    high = max(value, by_class or 0.0)
    low = value if power.watts is not None else _below(power.poe)
    said = "declared" if power.watts is not None else "by its class"
    return Reading(
        Figure("of the port's power is asked for", value / room, "", low / room, high / room),
        Ref("camera", camera.id, "power"),
        WATTS,
        (Related(port_ref(port).at("gives"), f"gives {gives}"),),
        {
            "camera": camera,
            "port": port,
            "room": room,
            "need": high,
            "class over": by_class is not None and by_class > room,
            "steps": (
                f"{gives}: class {most.number if most else 0}, {room:g} W at the camera",
                f"{camera.id}: {value:g} W, {said}; {value:g} / {room:g} = {value / room:.0%}",
            ),
        },
    )


def _below(number: int | None) -> float:
    """W that a device of a class draws at least when it needs that class at all."""
    return ethernet.CLASSES[number - 1].watts if number and number > 1 else 0.0


def _kind(camera: Camera, port: Switch | Injector, gives: str, q: Query) -> Reading:
    """Whether passive power meets what is made for it, at its volts."""
    takes: str = q.need(camera, "power.standard")
    wrong = (gives == ethernet.PASSIVE) != (takes == ethernet.PASSIVE)
    text = (
        f"{port.id} puts its volts on the wires unasked (passive), and {camera.id} is made for {takes}: "
        "it may not start, and may be damaged"
        if gives == ethernet.PASSIVE
        else f"{port.id} gives {gives} only to what asks for it, and {camera.id} takes passive power: it stays dead"
    )
    steps: tuple[str, ...] = (f"given: {gives}; taken: {takes}",)
    if not wrong:
        given, rated = q.need(port, "volts"), q.need(camera, "power.volts")
        wrong = given > OVER * rated
        text = f"{port.id} puts {given:g} V on the wires of {camera.id}, which is made for {rated:g} V"
        steps = (*steps, f"{given:g} V over {rated:g} V = {given / rated:.0%}, at most {OVER:.0%}")
    return Reading(
        Figure("fed with what it is not made for", float(wrong), "port"),
        Ref("camera", camera.id, "power"),
        KIND,
        (Related(port_ref(port).at("gives"), f"gives {gives}"),),
        {"camera": camera, "port": port, "text": text, "steps": steps},
    )


def _ports(reading: Reading, q: Trial) -> Iterator[Remedy]:
    """The least standard that gives enough, tried; and a camera that asks for less."""
    port = reading.facts["port"]
    enough = (
        name
        for name, number in ethernet.PORTS.items()
        if number is not None and ethernet.CLASSES[number].watts >= reading.facts["need"]
    )
    ways = [(f"feed it from a port that gives {name}", name) for name in enough][:1]
    at = port_ref(port).at("gives")
    yield from cures(q, [(text, Change("replace", at, name)) for text, name in ways])
    yield Remedy("or choose a camera that is content with what this port gives")


def _of_a_kind(reading: Reading, q: Trial) -> Iterator[Remedy]:
    """A port of the camera's own kind, tried where the port's volts are not in question."""
    camera: Camera = reading.facts["camera"]
    port: Switch | Injector = reading.facts["port"]
    takes = camera.power.standard or ""
    if takes == ethernet.PASSIVE:
        yield Remedy("feed it through the injector its maker sells for it, and plug nothing else into that")
        return
    at = port_ref(port)
    change = (Change("replace", at.at("gives"), takes), Change("replace", at.at("volts")))
    remedy = q.least(lambda _: f"feed it from a port that gives {takes}", [change if port.volts else change[:1]])
    if remedy:
        yield remedy
    yield Remedy("label passive injectors and leave them unplugged until the cable has been traced to its end")
