"""POWER-04: too few volts left at the end of a low-voltage run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import DROP
from oneclimb.trade import copper, low_voltage
from oneclimb_rules.asks import unsaid
from oneclimb_rules.firm import firmly
from oneclimb_rules.heeds import FEED
from oneclimb_rules.power import drops
from oneclimb_rules.power.feeds import feed_of

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable, Camera, Gauge
    from oneclimb.study.drop import Drop


class DropSettings(Settings, frozen=True):
    """How few of the volts it needs a camera may have, as a share."""

    limits: Limits = Limits(warning=1.0, error=0.9)


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
        drop = q.of(DROP, subject) if feed_of(subject, q).port is None else None
        if drop is None:
            return
        usual, cable = drop.usual, drop.cable
        value = drop.share(usual)
        figure = Figure(
            drops.NAME if usual.carries else drops.AT_MOST,
            value,
            "",
            drop.share(drop.low),
            drop.share(drop.high),
            "high",
        )
        reading = Reading(
            figure,
            Ref("camera", subject.id, "power"),
            "",
            (Related(Ref("cable", cable.id), f"{usual.metres:g} m long"), Related(drop.giver, "feeds it")),
            {"camera": subject, "cable": cable, "drop": drop, "steps": _steps(drop)},
        )
        yield reading
        if cable.conductor is None and self.level(reading, drop.share(drop.clad), settings) != self.level(
            reading, value, settings
        ):
            yield from unsaid(q, cable, "conductor")

    def tell(self, reading: Reading, q: Trial, settings: DropSettings) -> Told:
        """Volts left and needed, how far this wire reaches, and the thinnest that serves."""
        camera: Camera = reading.facts["camera"]
        drop: Drop = reading.facts["drop"]
        usual = drop.usual
        unit = "VA" if drop.apparent else "W"
        most, length = f"{usual.watts:.3g} {unit}", q.say.tape(usual.metres)
        text = (
            f"when {camera.id} draws {most}, {usual.arrives:.1f} V of the supply's {usual.volts:g} V are left for it, "
            f"and it needs {drop.least:.3g} V"
            if usual.carries
            else f"{camera.id} needs {most}, and this wire passes no more than {usual.passes:.2g} {unit} from a "
            f"supply of {usual.volts:g} V"
        )
        text += f": the wire is {length} long, and serves as far as {q.say.tape(drop.reaches)}"
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


def _steps(drop: Drop) -> tuple[str, ...]:
    usual, left = drop.usual, drop.usual.arrives
    return (
        f"{usual.metres:g} m there and back, {usual.a_metre * 500:.1f} ohm a km: {usual.ohm:.2f} ohm",
        f"({usual.volts:g} + √({usual.volts:g}² - 4 x {usual.ohm:.2f} x {usual.watts:.3g})) / 2 = {left:.2f} V, "
        f"{1 - left / usual.volts:.0%} lost",
        f"{left:.2f} V / {drop.least:.4g} V = {left / drop.least:.0%}",
    )
