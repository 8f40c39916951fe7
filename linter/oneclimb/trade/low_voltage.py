"""Low-voltage runs, 12 or 24 V of direct current or 24 V AC: volts at the load, longest run, smallest wire.

For alternating current give volts RMS and the load's volt-amperes for watts: what is computed is
then the least that can arrive. Reactance is left out (up to 6 mm² it is under 3 % of the resistance
at 50 or 60 Hz: estimate). Only for safety extra-low voltage; mains wiring is a licensed electrician's.
"""

from __future__ import annotations

from typing import NamedTuple

from oneclimb.trade import copper

TOLERANCE = 0.10
"""share of its rated voltage that a device may lack where its sheet doesn't say (common practice)"""

APPARENT = (1.0, 0.8, 0.6)
"""best, usual, worst power factor of a small device on alternating current (estimate)"""

AWG = (24, 22, 20, 18, 16, 14, 12, 10)
"""gauges sold for such runs, thinnest first (common practice)"""


class AtLoad(NamedTuple):
    """Volts and amps at the load; ``drop``: share of the supply's volts lost on the way; ``margin``: volts above
    the least the device takes, negative where there are too few.
    """

    volts: float
    amps: float
    drop: float
    margin: float


class Run(NamedTuple):
    """A load at the end of a run: the ``supply``'s volts, ``metres`` one way, steady ``watts`` (> 0), and the
    device's ``rated`` volts (the supply's if None) less ``tolerance``.
    """

    supply: float
    metres: float
    watts: float
    rated: float | None = None
    tolerance: float = TOLERANCE

    @property
    def least(self) -> float:
        """The least volts the device takes."""
        return (self.supply if self.rated is None else self.rated) * (1 - self.tolerance)


def at_load(run: Run, ohm_km: float) -> AtLoad | None:
    """What a run of wire with ``ohm_km`` a conductor (``copper``) brings to the load; None: cannot be carried."""
    there = copper.deliver(run.supply, 2 * run.metres * ohm_km / 1000, run.watts)
    if there is None:
        return None
    return AtLoad(there.volts, there.amps, 1 - there.volts / run.supply, there.volts - run.least)


def longest(run: Run, ohm_km: float) -> float:
    """Metres one way at which the load still has its least volts (``run.metres`` plays no part)."""
    return copper.most_ohm(run.supply, run.least, run.watts) / (2 * ohm_km / 1000)


def smallest_awg(run: Run, conductor: str = "copper", celsius: float = 20.0) -> int | None:
    """The thinnest American gauge (stranded) over which the load has its least volts; None: not even 10 AWG.

    By volts alone: what a wire may carry, its fuse and its insulation are another matter.
    """
    fits = (
        gauge
        for gauge in AWG
        if run.metres <= longest(run, copper.awg_ohm_km(gauge, conductor, celsius, stranded=True))
    )
    return next(fits, None)


def smallest_mm2(run: Run, conductor: str = "copper", celsius: float = 20.0) -> float | None:
    """The same in metric sizes (flexible), mm²; None: not even 6 mm²."""
    fits = (
        size
        for size in copper.FLEXIBLE_MM2
        if run.metres <= longest(run, copper.metric_ohm_km(size, conductor, celsius))
    )
    return next(fits, None)
