"""POWER-04: too few volts left at the end of a low-voltage run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.trade import copper, low_voltage
from oneclimb_rules.asks import unsaid
from oneclimb_rules.firm import firmly
from oneclimb_rules.heeds import FEED
from oneclimb_rules.power.drop import AT_MOST, NAME, arrives, carries, heat, metals, passes
from oneclimb_rules.power.feeds import feed_of

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable, Camera, Gauge, Supply

LOW = ("adapter", "low-voltage")
APPARENT = (1.0, 0.8, 0.6)
"""best, usual, worst power factor of a small device on alternating current (estimate)"""


class DropSettings(Settings, frozen=True):
    """How few of the volts it needs a camera may have, as a share."""

    limits: Limits = Limits(warning=1.0, error=0.9)


class Line(Struct, frozen=True):
    """A low-voltage line: volts of its supply, metres one way, the camera's watts (best, usual, worst volt-amperes)
    and least volts, ohm per km of one conductor (coolest, usual, hottest, and usual if it were clad aluminium).
    """

    volts: float
    metres: float
    watts: tuple[float, float, float]
    least: float
    ohm_km: tuple[float, float, float, float]

    def ratio(self, watts: float, ohm_km: float) -> float:
        """Volts at the camera over the least it needs."""
        return arrives(self.volts, self.loop(ohm_km), watts) / self.least

    def loop(self, ohm_km: float) -> float:
        """Ohm, there and back."""
        return 2 * self.metres * ohm_km / 1000


class LowVoltageDrop(Rule["Camera"]):
    """Volts at the camera over the least it works with."""

    info = Info(
        code="POWER-04",
        title="too few volts left at the end of a low-voltage run",
        sources=(
            "Ohm and Kirchhoff: V = (Vs + √(Vs² − 4·R·P)) / 2",
            "NEC chapter 9 table 8, as reproduced in print, and IEC 60228: ohms of a conductor",
            "common practice (a device works down to 90 % of its volts where its sheet does not say)",
        ),
        page="low_voltage_drop.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = FEED
    settings = DropSettings

    def measure(self, subject: Camera, q: Query, settings: DropSettings) -> Iterable[Reading | Unknown]:
        """Volts that arrive when it draws most, over the least that serve."""
        feed = feed_of(subject, q)
        cable = feed.wire
        if subject.power.source not in LOW or cable is None or not _is_line(cable, q):
            return
        supply = feed.supply
        if supply is None:
            yield Unknown(Ref("camera", subject.id, "power.supply"), "which supply feeds the camera?")
            return
        line = _line(subject, supply, cable, q)
        best, usual, worst = line.watts
        cool, warm, hot, clad = line.ohm_km
        value = line.ratio(usual, warm)
        name = NAME if carries(line.volts, line.loop(warm), usual) else AT_MOST
        figure = Figure(name, value, "", line.ratio(worst, hot), line.ratio(best, cool), "high")
        reading = Reading(
            figure,
            Ref("camera", subject.id, "power"),
            "",
            (Related(Ref("cable", cable.id), f"{line.metres:g} m long"), Related(Ref("supply", supply.id), "feeds it")),
            {"camera": subject, "cable": cable, "line": line, "steps": _steps(line, value)},
        )
        yield reading
        if cable.conductor is None and self.level(reading, line.ratio(usual, clad), settings) != self.level(
            reading, value, settings
        ):
            yield from unsaid(q, cable, "conductor")

    def tell(self, reading: Reading, q: Trial, settings: DropSettings) -> Told:
        """Volts left and needed, how far this wire reaches, and the thinnest that serves."""
        camera: Camera = reading.facts["camera"]
        line: Line = reading.facts["line"]
        left = reading.figure.value * line.least
        usual, ohm_km = line.watts[1], line.ohm_km[1]
        far = copper.most_ohm(line.volts, line.least, usual) / (2 * ohm_km / 1000)
        unit = "VA" if line.watts[0] != usual else "W"
        most = f"{usual:.3g} {unit}"
        loop, length = line.loop(ohm_km), q.say.tape(line.metres)
        text = (
            f"when {camera.id} draws {most}, {left:.1f} V of the supply's {line.volts:g} V are left for it, and it "
            f"needs {line.least:.3g} V"
            if carries(line.volts, loop, usual)
            else f"{camera.id} needs {most}, and this wire passes no more than {passes(line.volts, loop):.2g} {unit} "
            f"from a supply of {line.volts:g} V"
        )
        text += f": the wire is {length} long, and serves as far as {q.say.tape(far)}"
        caution = (
            "Supply off before the run is opened. A thicker wire needs a fuse no larger than the thinnest part bears."
        )
        return Told(text, tuple(self._wires(reading, q, settings)), caution, reading.facts["steps"])

    def _wires(self, reading: Reading, q: Trial, settings: DropSettings) -> Iterator[Remedy]:
        """The thinnest wire that serves, hot too, in the sizes the plan counts in; else a nearer supply, more volts."""
        cable: Cable = reading.facts["cable"]
        sizes = _sizes(cable.gauge) if cable.gauge else []
        at = Ref("cable", cable.id, "gauge")
        steps = [(Change("replace", at, size),) for size in sizes]
        first = firmly(self, reading, q, settings, steps)
        remedy = q.least(lambda i: f"run {sizes[first + i]} instead", steps[first:])
        if remedy:
            yield remedy
        yield Remedy("bring the supply nearer, to a socket that is there already, indoors")
        yield Remedy("or send 24 V DC down the wire to a converter beside the camera, where the gear is made for it")


def _sizes(gauge: Gauge) -> list[str]:
    """Thicker wires, the thinnest first."""
    if gauge.awg is not None:
        return [f"{size} AWG" for size in low_voltage.AWG if size < gauge.awg]
    return [f"{size:g} mm2" for size in copper.FLEXIBLE_MM2 if size > gauge.mm2]


def _is_line(cable: Cable, q: Query) -> bool:
    """Whether it is a low-voltage line: it carries power alone, or is written to, or its gauge is told."""
    written = q.known(Ref("cable", cable.id, "carries")) == "written"
    return cable.kind == "copper" and (cable.carries == "power" or written or cable.gauge is not None)


def _line(camera: Camera, supply: Supply, cable: Cable, q: Query) -> Line:
    """The line in figures; asks for what is not said."""
    power = camera.power
    volts: float = q.need(supply, "volts")
    metres: float = q.need(cable, "length")
    gauge: Gauge = q.need(cable, "gauge")
    watts: float = q.need(camera, "power.watts")
    factor = APPARENT if "AC" in (supply.current, power.current) else (1.0, 1.0, 1.0)
    best, usual, worst = (watts / part for part in factor)
    tolerance = low_voltage.TOLERANCE if power.tolerance is None else power.tolerance
    cool, warm, hot = heat(q)
    metal, other = metals(cable)
    ohms = (
        ohm_km(gauge, metal, cool),
        ohm_km(gauge, metal, warm),
        ohm_km(gauge, other, hot),
        ohm_km(gauge, other, warm),
    )
    least = (volts if power.volts is None else power.volts) * (1 - tolerance)
    return Line(volts, metres, (best, usual, worst), least, ohms)


def ohm_km(gauge: Gauge, metal: str, celsius: float) -> float:
    """Ohm per km of one stranded conductor, by its gauge as written."""
    if gauge.awg is not None:
        return copper.awg_ohm_km(round(gauge.awg), metal, celsius, stranded=True)
    if gauge.mm2 in copper.FLEXIBLE_MM2:
        return copper.metric_ohm_km(gauge.mm2, metal, celsius)
    return copper.ohm_km(gauge.mm2, metal, celsius) * copper.STRANDED


def _steps(line: Line, ratio: float) -> tuple[str, ...]:
    usual, ohm = line.watts[1], line.loop(line.ohm_km[1])
    left = ratio * line.least
    return (
        f"{line.metres:g} m there and back, {line.ohm_km[1]:.1f} ohm a km: {ohm:.2f} ohm",
        f"({line.volts:g} + √({line.volts:g}² - 4 x {ohm:.2f} x {usual:.3g})) / 2 = {left:.2f} V, "
        f"{1 - left / line.volts:.0%} lost",
        f"{left:.2f} V / {line.least:.4g} V = {ratio:.0%}",
    )
