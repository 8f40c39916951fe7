"""Power over Ethernet and the twisted-pair channel: classes, ports, volts at the camera, length, switch budget.

IEEE 802.3 clauses 33 (two pairs) and 145 (four), TIA-568 and ISO/IEC 11801, as restated in print;
the standards' own texts were not at hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from oneclimb.trade import copper


class Class(NamedTuple):
    """What a port sets aside for a class and what reaches the device, W; the least type and pairs it needs."""

    number: int
    port_watts: float
    watts: float
    type: int
    pairs: int


class Type(NamedTuple):
    """Limits of a type. Volts at the port and at the device (least, most), ``amps`` and loop ``ohm`` a pairset."""

    port_volts: tuple[float, float]
    volts: tuple[float, float]
    amps: float
    ohm: float


CLASSES: Mapping[int, Class] = MappingProxyType(
    {
        0: Class(0, 15.4, 12.95, 1, 2),
        1: Class(1, 4.0, 3.84, 1, 2),
        2: Class(2, 7.0, 6.49, 1, 2),
        3: Class(3, 15.4, 12.95, 1, 2),
        4: Class(4, 30.0, 25.5, 2, 2),
        5: Class(5, 45.0, 40.0, 3, 4),
        6: Class(6, 60.0, 51.0, 3, 4),
        7: Class(7, 75.0, 62.0, 4, 4),
        8: Class(8, 90.0, 71.3, 4, 4),
    }
)
"""Ethernet Alliance, Overview of 802.3bt (April 2018); class 0 (a device that says nothing) from reproduced tables"""

TYPES: Mapping[int, Type] = MappingProxyType(
    {
        1: Type((44.0, 57.0), (37.0, 57.0), 0.350, 20.0),
        2: Type((50.0, 57.0), (42.5, 57.0), 0.600, 12.5),
        3: Type((50.0, 57.0), (42.5, 57.0), 0.600, 12.5),
        4: Type((52.0, 57.0), (41.1, 57.0), 0.960, 12.5),
    }
)
"""restated tables of IEEE 802.3 (loop resistance of types 3 and 4 from memory, check against the document).
Two pairs carry there, two back: four-pair power has two pairsets, twice the amps and half the ohm."""

PORTS: Mapping[str, int | None] = MappingProxyType(
    {"802.3af": 3, "802.3at": 4, "802.3bt type 3": 6, "802.3bt type 4": 8, "passive": None}
)
"""the highest class a port of this kind is made for; a passive one knows no classes"""

PASSIVE = "passive"
USUAL_VOLTS: Mapping[int, float] = MappingProxyType({1: 48.0, 2: 53.0, 3: 53.0, 4: 54.0})
"""V at a port by its type, where nothing says (common practice)"""
JOINTS = 2
"""mated plugs on the way: one at each end"""

CHANNEL = 100.0
LINK = 90.0
"""metres: the channel, and the part of it that is fixed solid cable; the rest is cords (TIA-568, restated in print)"""
CORD_LOSS: Mapping[int, float] = MappingProxyType({24: 1.2, 26: 1.5})
"""insertion loss of a stranded cord over solid cable, by gauge (TIA-568, ISO/IEC 11801, restated in print)"""
LOSS_LENGTH = 102.0
"""metres of solid cable at 20 °C that lose what the channel may: 90 of cable and 10 of cords at 1.2 (TIA-568's
equation for long cords)"""

SOLID_OHM_KM = 93.8
"""most ohm per km of a solid conductor in network cable, 20 °C (TIA-568.2-D, restated in print)"""
CORD_OHM_KM = 140.0
"""the same of a stranded cord (from memory, check against the document)"""
JOINT_OHM = 0.2
"""most ohm of one mated contact (ISO/IEC 11801, from memory, check against the document)"""


class Load(NamedTuple):
    """One device on a switch: ``watts`` it draws at the port (cable losses in), class it asks for; None: not told."""

    watts: float | None
    number: int | None = None


class Budget(NamedTuple):
    """A switch with everything on, W. ``drawn`` by declared watts, ``allotted`` by class, each over the loads that
    tell it; ``untold`` and ``unclassed`` count those that don't.
    """

    capacity: float
    drawn: float
    allotted: float
    untold: int
    unclassed: int


def class_for(watts: float) -> Class | None:
    """The lowest class that brings ``watts`` (> 0) to the device, or None above 71.3 W."""
    return next((each for number, each in CLASSES.items() if number and each.watts >= watts), None)


def port_gives(port: int | str) -> Class | None:
    """The highest class a port gives, from its class (0 to 8) or its standard's name in ``PORTS``.

    None for a passive port: it has no class, puts its voltage on the wires unasked, and fits only
    what is made for it. KeyError for any other name ("802.3bt" alone does not tell type 3 from 4).
    """
    number = PORTS[port] if isinstance(port, str) else port
    return None if number is None else CLASSES[number]


def class_watts(number: int | None) -> float | None:
    """The most a device of a class may draw, W; None for one that tells none."""
    return None if number is None else CLASSES[number].watts


def standard_watts(name: str | None) -> float | None:
    """The most a device of a standard (a key of ``PORTS``) may draw, W; None for a passive one, or for none."""
    most = port_gives(name) if name else None
    return most.watts if most else None


def pd_voltage(v_pse: float, loop_ohm: float, watts: float) -> copper.Delivery | None:
    """Volts and amps at a powered device that draws ``watts``, and watts at the port; None: cannot be carried.

    ``loop_ohm`` from ``channel_loop``. Amps are of all pairs: on four, half of them go by each
    pairset. Source: the quadratic of a constant-power load; the standard's own limits close it.
    """
    return copper.deliver(v_pse, loop_ohm, watts)


def worst_case(number: int) -> copper.Delivery | None:
    """The standard's worst case for a class: the port's least volts, the longest loop, all its watts."""
    each = CLASSES[number]
    kind = TYPES[each.type]
    return pd_voltage(kind.port_volts[0], kind.ohm * 2 / each.pairs, each.watts)


def channel_loop(
    metres: float,
    conductor: str = "copper",
    *,
    mm: float | None = None,
    pairs: int = 2,
    celsius: float = 20.0,
    cords: float = 0.0,
    joints: int = 0,
) -> float:
    """Loop resistance, ohm, of ``metres`` of solid cable and ``cords`` m of copper cord, over 2 or 4 pairs.

    Two wires there and two back in parallel make one wire's resistance; four pairs half of it.
    ``mm``: the conductors' diameter (``copper.awg_mm``); None takes the most the standard allows,
    multiplied for ``conductor`` other than copper. ``celsius`` of the conductors, all of them;
    ``joints``: mated plugs on the way.
    """
    if mm is None:
        solid = SOLID_OHM_KM * copper.RATIO[conductor] * copper.warm(conductor, celsius)
    else:
        solid = copper.ohm_km(copper.area(mm), conductor, celsius)
    cord = CORD_OHM_KM * copper.warm("copper", celsius)
    return (metres * solid / 1000 + cords * cord / 1000 + joints * JOINT_OHM) * 2 / pairs


def loss_factor(celsius: float, *, screened: bool = False) -> float:
    """Insertion loss of cable at a temperature (20 to 60 °C; below 20 counts as 20) over that at 20 °C.

    Unscreened 0.4 % a degree to 40 °C, then 0.6 %; screened 0.2 %. Source: ISO/IEC 11801 and
    TIA-568 (from memory, check against the document; gives 83.3 m where the printed table says 84).
    """
    above = max(0.0, celsius - 20)
    if screened:
        return 1 + 0.002 * above
    return 1 + 0.004 * min(above, 20) + 0.006 * max(0.0, above - 20)


def loss_length(
    solid: float, cords: float = 0.0, celsius: float = 20.0, *, cord_gauge: int = 24, screened: bool = False
) -> float:
    """Metres of solid cable at 20 °C that lose as much as this channel; past ``LOSS_LENGTH`` it loses too much.

    ``celsius`` is the solid cable's, averaged over its length; cords lie indoors at 20. ``cord_gauge`` 24 or 26.
    """
    return solid * loss_factor(celsius, screened=screened) + cords * CORD_LOSS[cord_gauge]


def longest(
    cords: float = 0.0, celsius: float = 20.0, *, cord_gauge: int = 24, screened: bool = False, stranded: bool = False
) -> float:
    """The most metres of cable beside ``cords`` m of cord: by loss, and by the 100 m of the channel.

    Cable that is ``stranded`` loses what cord of 24 AWG does.
    """
    by_loss = (LOSS_LENGTH - cords * CORD_LOSS[cord_gauge]) / loss_factor(celsius, screened=screened)
    by_loss /= CORD_LOSS[24] if stranded else 1.0
    return max(0.0, min(by_loss, CHANNEL - cords))


class Drawn(NamedTuple):
    """What one device takes of a switch, W: as declared, at its port (losses in), and by its class."""

    declared: float
    port: float
    by_class: float


def drawn(watts: float | None, number: int | None, gives: str | None) -> Drawn | None:
    """What a device that declares ``watts``, or a class, takes of a port that ``gives`` a standard (a key of
    ``PORTS``); None where it tells neither. Where only the class is told, its watts at the device are declared by
    it. What is lost on the way is that of the longest cable; a passive port has no classes and counts no losses.
    """
    if watts is None and number is None:
        return None
    asked = CLASSES[number] if number is not None else None
    least = watts if watts is not None else asked.watts if asked else 0.0
    fits = asked if asked and asked.watts >= least else class_for(least)
    lost = fits.port_watts / fits.watts if fits and gives != PASSIVE else 1.0
    port = least * lost
    return Drawn(least, port, port if gives == PASSIVE else max(_set_aside(least, number) or 0.0, port))


def most_drawn(gives: str | None) -> float:
    """W at a port that ``gives`` a standard, the most a device may take that tells nothing; of any port for None."""
    port = port_gives(gives) if gives else None
    return port.port_watts if port else max(each.port_watts for each in CLASSES.values())


def _set_aside(watts: float | None, number: int | None) -> float | None:
    if number is not None:
        return CLASSES[number].port_watts
    return min(
        (each.port_watts for each in CLASSES.values() if watts is not None and each.port_watts >= watts), default=None
    )


def budget(capacity: float, loads: Iterable[Load]) -> Budget:
    """A switch's watts against its loads, both ways: a port may set aside the whole class whatever is drawn.

    A load that tells no class is counted at the lowest that sets its watts aside (estimate: many
    ask for more); one with no watts either, or more than any class has, only among the unclassed.
    """
    drawn = allotted = 0.0
    untold = unclassed = 0
    for watts, number in loads:
        drawn += watts or 0.0
        untold += watts is None
        set_aside = _set_aside(watts, number)
        allotted += set_aside or 0.0
        unclassed += set_aside is None
    return Budget(capacity, drawn, allotted, untold, unclassed)
