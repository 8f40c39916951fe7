"""The drop study: the volts of a camera that is fed over a wire, from where they come from to the camera's own end.

Everything is a steady load at the end of a loop (``trade.copper``). The doubt is in how hot the wire gets, what its
metal is where the plan does not say, the volts of a port, and the power factor on alternating current.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Ref, Unknown
from oneclimb.plan.model import Switch
from oneclimb.study import LOAD
from oneclimb.trade import copper, ethernet, low_voltage

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Cable, Camera, Gauge, Injector, Power, Supply
    from oneclimb.study.load import Feed

CLAD = "copper-clad aluminium"
LOW = ("adapter", "low-voltage")
COOL, WARM, HOT = 20.0, 40.0, 60.0
"""°C of a conductor: at its coolest, usual and hottest where the plan does not say how hot the air gets (estimate:
a roof in summer, a dark jacket in the sun)"""
SUNNY = 20.0
"""K a conductor in the sun or under a roof is warmer than the hottest air (estimate)"""


class End(Struct, frozen=True):
    """One of the ways it may be: ``volts`` at the source, ``watts`` drawn, the loop's ``ohm`` over so many ``metres``
    of cable, of them ``plugs`` in cords and plugs, half of them at each end (estimate); °C of the wire.
    """

    volts: float
    watts: float
    ohm: float
    metres: float
    celsius: float
    plugs: float = 0.0

    @property
    def carries(self) -> bool:
        """Whether any voltage at the camera lets that much power through."""
        return copper.deliver(self.volts, self.ohm, self.watts) is not None

    @property
    def arrives(self) -> float:
        """Volts at the camera; half the source's where it cannot be carried: there the most passes."""
        return copper.arrives(self.volts, self.ohm, self.watts)

    @property
    def passes(self) -> float:
        """W, the most the wire lets through."""
        return copper.passes(self.volts, self.ohm)

    @property
    def a_metre(self) -> float:
        """Ohm a metre of the cable, there and back."""
        return (self.ohm - self.plugs) / self.metres if self.metres else 0.0

    def at(self, metres: float) -> float:
        """Volts so far along the cable, 0 to ``metres``, with this camera at its end."""
        amps = (self.volts - self.arrives) / self.ohm if self.ohm else 0.0
        return self.volts - amps * (self.plugs / 2 + self.a_metre * metres)


class Drop(Struct, frozen=True):
    """A camera's wire: what gives its volts (``giver``), and the ``least`` volts the camera must have.

    ``low``, ``usual`` and ``high`` are the worst, the usual and the best it may be; ``clad`` as usual with the worst
    metal it may be made of. ``pairs`` carry it (0: a wire that carries power alone), no more than ``amps`` by the
    standard. ``metal`` is reckoned with; ``apparent``: on alternating current watts are volt-amperes.
    """

    cable: Cable
    giver: Ref
    least: float
    low: End
    usual: End
    high: End
    clad: End
    metal: str
    pairs: int = 0
    amps: float | None = None
    apparent: bool = False

    def share(self, end: End) -> float:
        """Volts at the camera over the least it needs."""
        return end.arrives / self.least

    @property
    def reaches(self) -> float:
        """Metres of this cable, usually warm, at whose end the camera still has its least volts."""
        if not self.usual.watts:
            return math.inf
        most = copper.most_ohm(self.usual.volts, self.least, self.usual.watts)
        return max(0.0, most - self.usual.plugs) / self.usual.a_metre if self.usual.a_metre else math.inf


def compute(camera: Camera, q: Query) -> Drop | None:
    """The volts along a camera's wire; None where it is fed over none, ``Unknown`` where the plan is silent."""
    feed = q.of(LOAD, q.plan.site).feeds[camera.id]
    if feed.port is not None:
        return _over_pairs(camera, feed.port, feed.data, q)
    return _over_wire(camera, feed, q) if camera.power.source in LOW else None


def heat(q: Query) -> tuple[float, float, float]:
    """The conductors' temperature, °C: coolest, usual (the site's hottest air), hottest."""
    air = q.plan.site.temperature
    if air is None:
        return COOL, WARM, HOT
    return min(COOL, air[1]), air[1], air[1] + SUNNY


def metals(cable: Cable) -> tuple[str, str]:
    """The conductor reckoned with, and the worst it may be where the plan does not say."""
    return cable.conductor or "copper", cable.conductor or CLAD


# --------------------------------------------------------------------- over network cable


def _over_pairs(camera: Camera, port: Switch | Injector, cable: Cable | None, q: Query) -> Drop | None:
    """Power over Ethernet; None where no volts are right for it, one being passive and the other not."""
    if cable is None or cable.kind != "copper" or _unlike(camera.power, port.gives):
        return None
    least, (few, usual, most), watts, pairs, amps = _way(camera, port, q)
    metres: float = q.need(cable, "length")
    cool, warm, hot = heat(q)
    metal, worst = metals(cable)

    def end(volts: float, metal: str, celsius: float) -> End:
        loop = _loop(cable, metres, metal, celsius, pairs)
        return End(volts, watts, loop, metres, celsius, _loop(cable, 0.0, metal, celsius, pairs))

    giver = Ref("switch" if isinstance(port, Switch) else "injector", port.id)
    ends = (end(few, worst, hot), end(usual, metal, warm), end(most, metal, cool), end(usual, worst, warm))
    return Drop(cable, giver, least, *ends, metal, pairs, amps)


def _unlike(power: Power, gives: str | None) -> bool:
    """Whether one is passive and the other is not; a camera that has a class follows a standard."""
    takes = power.standard or (gives if power.poe is None else "a class")
    return gives is not None and (gives == ethernet.PASSIVE) != (takes == ethernet.PASSIVE)


def _way(
    camera: Camera, port: Switch | Injector, q: Query
) -> tuple[float, tuple[float, float, float], float, int, float | None]:
    """The least volts at the camera, those at the port, the watts, the pairs and their amps; asks where it must."""
    power = camera.power
    gives: str = q.need(port, "gives")
    watts = power.watts or ethernet.class_watts(power.poe) or ethernet.standard_watts(power.standard)
    watts = watts or q.need(camera, "power.watts")
    if gives == ethernet.PASSIVE:
        volts: float = q.need(port, "volts")
        rated: float = q.need(camera, "power.volts")
        tolerance = low_voltage.TOLERANCE if power.tolerance is None else power.tolerance
        return rated * (1 - tolerance), (volts,) * 3, watts, 2, None
    most = ethernet.port_gives(gives)
    asked = ethernet.CLASSES[power.poe] if power.poe is not None else ethernet.class_for(watts)
    granted = min((each for each in (asked, most) if each), key=lambda each: each.port_watts)
    kind, at_port = ethernet.TYPES[granted.type], ethernet.TYPES[most.type if most else granted.type]
    usual = ethernet.USUAL_VOLTS[most.type if most else granted.type]
    volts_at = (port.volts,) * 3 if port.volts else (at_port.port_volts[0], usual, at_port.port_volts[1])
    return kind.volts[0], volts_at, watts, granted.pairs, kind.amps * granted.pairs / 2


def _loop(cable: Cable, metres: float, metal: str, celsius: float, pairs: int) -> float:
    mm = math.sqrt(4 * cable.gauge.mm2 / math.pi) if cable.gauge else None
    cords, joints = cable.cords or 0.0, ethernet.JOINTS
    return ethernet.channel_loop(metres, metal, mm=mm, pairs=pairs, celsius=celsius, cords=cords, joints=joints)


# ------------------------------------------------------------- over a wire for power alone


def _over_wire(camera: Camera, feed: Feed, q: Query) -> Drop | None:
    """A low-voltage line; None where the plan tells of none."""
    cable = feed.wire
    if cable is None or not _is_line(cable, q):
        return None
    if feed.supply is None:
        raise Unknown(Ref("camera", camera.id, "power.supply"), "which supply feeds the camera?")
    return _line(camera, feed.supply, cable, q)


def _is_line(cable: Cable, q: Query) -> bool:
    """Whether it is a low-voltage line: it carries power alone, or is written to, or its gauge is told."""
    written = q.known(Ref("cable", cable.id, "carries")) == "written"
    return cable.kind == "copper" and (cable.carries == "power" or written or cable.gauge is not None)


def _line(camera: Camera, supply: Supply, cable: Cable, q: Query) -> Drop:
    """The line in figures; asks for what is not said."""
    power = camera.power
    volts: float = q.need(supply, "volts")
    metres: float = q.need(cable, "length")
    gauge: Gauge = q.need(cable, "gauge")
    watts: float = q.need(camera, "power.watts")
    apparent = "AC" in (supply.current, power.current)
    best, usual, worst = (watts / part for part in (low_voltage.APPARENT if apparent else (1.0, 1.0, 1.0)))
    tolerance = low_voltage.TOLERANCE if power.tolerance is None else power.tolerance
    cool, warm, hot = heat(q)
    metal, other = metals(cable)

    def end(watts: float, metal: str, celsius: float) -> End:
        return End(volts, watts, 2 * metres * ohm_km(gauge, metal, celsius) / 1000, metres, celsius)

    ends = (end(worst, other, hot), end(usual, metal, warm), end(best, metal, cool), end(usual, other, warm))
    least = (volts if power.volts is None else power.volts) * (1 - tolerance)
    return Drop(cable, Ref("supply", supply.id), least, *ends, metal, apparent=apparent)


def ohm_km(gauge: Gauge, metal: str, celsius: float) -> float:
    """Ohm per km of one stranded conductor, by its gauge as written."""
    if gauge.awg is not None:
        return copper.awg_ohm_km(round(gauge.awg), metal, celsius, stranded=True)
    if gauge.mm2 in copper.FLEXIBLE_MM2:
        return copper.metric_ohm_km(gauge.mm2, metal, celsius)
    return copper.ohm_km(gauge.mm2, metal, celsius) * copper.STRANDED
