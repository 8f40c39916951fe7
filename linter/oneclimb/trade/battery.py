"""How long a battery carries a camera: the cold, what an event takes, and a winter of good and bad days.

Energies are Wh, powers W, temperatures °C. A range is (low, usual, high). An estimate of days is never better
than a factor of two or three: it is told as a range.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import Literal

Range = tuple[float, float, float]
Chemistry = Literal["lead-acid", "vrla", "lithium", "alkaline"]
"""``lead-acid`` flooded; ``vrla`` sealed, gel or mat; ``lithium`` ion with graphite, iron phosphate among them;
``alkaline`` cells are thrown away when empty"""

REFERENCE = 25.0
"""°C at which capacities are rated (IEEE 485); above it nothing is added here, because heat ages what it gives"""

_IEEE_485 = ((-3.9, 1.52), (4.4, 1.30), (10.0, 1.19), (15.6, 1.11), (25.0, 1.00))
"""°C and the factor by which a flooded lead-acid battery must be larger (from memory, check against IEEE 485
table 1; that the table covers -3.9 to 51.7 °C about 25 °C is printed by texts that quote it)"""

_HALF = ((-18.0, 0.5), (27.0, 1.0))
"""°C and share of capacity, a rule of thumb for all chemistries (Battery University BU-502), on the low side"""

VRLA = (0.01, 0.006)
"""1/K lost below 25 °C when emptied in 1 to 3 hours, and in 10 to 20 hours (battery notes in the manner of
IEC 60896-21, at second hand): C = C25 (1 + k (t - 25))"""

_LITHIUM: tuple[tuple[float, Range], ...] = (
    (-40.0, (0.02, 0.05, 0.25)),
    (-20.0, (0.55, 0.60, 0.90)),
    (-10.0, (0.75, 0.80, 0.95)),
    (0.0, (0.85, 0.88, 0.97)),
    (20.0, (0.95, 1.00, 1.00)),
)
"""°C and share of capacity at a moderate load (estimate from the battery literature, from memory; sources conflict:
one measured hardly any loss at -20 °C, Nagasubramanian 2001 has 5 % of the energy at -40 °C)"""

_ALKALINE: tuple[tuple[float, Range], ...] = (
    (-40.0, (0.01, 0.02, 0.05)),
    (-20.0, (0.05, 0.15, 0.30)),
    (0.0, (0.35, 0.55, 0.75)),
    (20.0, (0.95, 1.00, 1.00)),
)
"""the same of alkaline cells (estimate from makers' curves, from memory: their water-based electrolyte thickens)"""

CHARGE: dict[Chemistry, tuple[float, float]] = {
    "lead-acid": (-20.0, 50.0),
    "vrla": (-20.0, 50.0),
    "lithium": (0.0, 60.0),
    "alkaline": (math.inf, -math.inf),
}
"""°C between which a battery may be charged (alkaline cells never): lithium plates out of a graphite cell below
freezing, which ruins it and can end in fire (0 to 60 °C at second hand); lead by common practice, slowly in the cold,
and an empty one freezes"""

USABLE: dict[Chemistry, float] = {"lead-acid": 0.5, "vrla": 0.5, "lithium": 0.8, "alkaline": 1.0}
"""share of the capacity taken in use, so that the battery lasts (common practice)"""

AWAKE = (0.8, 2.0, 5.0)
"""low, usual, high draw of a camera while it records and sends an event, infrared included by night (estimate)"""
WAKING = (2.0, 5.0, 15.0)
"""low, usual, high seconds it is awake beyond the event: starting, joining the network, sending (estimate)"""
STANDBY = (0.002, 0.006, 0.02)
"""low, usual, high draw while it waits for one: heat sensor, radio asleep but reachable (estimate)"""


def _between(points: Sequence[tuple[float, float]], at: float) -> float:
    """Value on the straight lines through (x, y) ``points`` in rising x; held beyond the ends."""
    if at <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[-1][1]


def _half(temperature: float) -> float:
    """Share by the rule of thumb, drawn on below -18 °C (estimate) and never under a twentieth."""
    (cold, least), (warm, most) = _HALF
    return min(1.0, max(0.05, least + (most - least) * (temperature - cold) / (warm - cold)))


def _linear(k: float, temperature: float) -> float:
    return max(0.0, 1 + k * (min(temperature, REFERENCE) - REFERENCE))


def capacity_factor(chemistry: Chemistry, temperature: float) -> Range:
    """Share of the rated capacity a battery gives at ``temperature``, -40 to 50 °C; held at the ends, 1 when warm.

    Lead-acid: IEEE 485's factor (from memory), below -3.9 °C the rule of thumb; VRLA: linear, at second hand;
    lithium and alkaline: estimates. A battery in the sun or in a heated box is not as cold as the air.
    """
    if chemistry in ("lithium", "alkaline"):
        table = _LITHIUM if chemistry == "lithium" else _ALKALINE
        low, usual, high = (_between([(t, row[i]) for t, row in table], temperature) for i in range(3))
        return low, usual, high
    quick, slow = (_linear(k, temperature) for k in VRLA)
    if chemistry == "vrla":
        return min(quick, slow), slow, slow
    rule = _half(temperature)
    usual = 1 / _between(_IEEE_485, temperature) if temperature >= _IEEE_485[0][0] else rule
    return min(rule, usual), usual, max(slow, usual)


def may_charge(chemistry: Chemistry, temperature: float) -> bool:
    """Whether a battery this warm may be charged: no lithium below 0 °C, whatever the panel has to give."""
    least, most = CHARGE[chemistry]
    return least <= temperature <= most


def event(seconds: float) -> Range:
    """Energy of one event recorded for ``seconds`` (estimate): for 20 s 0.005, 0.014, 0.049 Wh, a tenfold range."""
    low, usual, high = (watts * (seconds + waking) / 3600 for watts, waking in zip(AWAKE, WAKING, strict=True))
    return low, usual, high


def daily(events: float, seconds: float, standby: Range = STANDBY) -> Range:
    """Energy a day of a camera that sleeps between ``events`` a day of ``seconds`` each (estimate, tenfold)."""
    low, usual, high = (one * events + 24 * watts for one, watts in zip(event(seconds), standby, strict=True))
    return low, usual, high


def steady(watts: float) -> Range:
    """Energy a day of a load that never sleeps: 24 W·h for each watt, a range without width."""
    return (24 * watts,) * 3


def days(capacity: Range, day: Range, factor: Range, usable: float) -> Range:
    """Days a full battery carries a load without charge: the worst of everything, the usual, the best.

    ``capacity`` rated Wh, ``day`` Wh a day (> 0, from ``daily`` or ``steady``), ``factor`` from
    ``capacity_factor``, ``usable`` share of the capacity taken. Ageing and self-discharge (2 to 5 % a month,
    from memory) are not in it: beyond half a year the figure says only "long".
    """
    (c0, c1, c2), (d0, d1, d2), (f0, f1, f2) = capacity, day, factor
    return c0 * f0 * usable / d2, c1 * f1 * usable / d1, c2 * f2 * usable / d0


def state(
    charge: Iterable[float], load: Iterable[float], capacity: float, start: float = 1.0, step: float = 1.0
) -> tuple[float, ...]:
    """State of charge (share of ``capacity`` Wh usable, 0 to 1) at the end of each step.

    ``charge`` and ``load``: Wh a day in and out, one of each a step; ``step``: its days (1; 30.4 for months). A
    full battery turns charge away, an empty one gives nothing. Days on which ``may_charge`` says no have charge 0.
    """
    now, made = start, []
    for given, taken in zip(charge, load, strict=True):
        now = min(1.0, max(0.0, now + (given - taken) * step / capacity))
        made.append(now)
    return tuple(made)


MONTH = 30.4
"""days"""


def best(given: Sequence[Range]) -> int:
    """The month, 0 to 11, in which a panel usually gives most; ``given`` by month."""
    return max(range(len(given)), key=lambda month: given[month][1])


def two_years(given: Sequence[float], load: float, capacity: float, first: int, parts: int = 1) -> tuple[float, ...]:
    """State of charge (as in ``state``) at the end of each of 24 months, full at the start of month ``first``.

    ``given``: Wh a day put in, by month, January first; ``load`` Wh a day; ``parts`` of a month told apart.
    """
    year = [given[(first + i) % 12] for i in range(24) for _ in range(parts)]
    return state(year, [load] * len(year), capacity, step=MONTH / parts)
