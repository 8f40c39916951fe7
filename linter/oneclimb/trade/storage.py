"""What recording amounts to: gigabytes a day, days kept, wear of a card, and the hours a battery carries it.

Rates are Mbit/s, capacities decimal terabytes (10¹² bytes), as disks and cards are sold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

GB_PER_DAY = 86400 / 8000
"""gigabytes (10⁹ bytes) a day for each Mbit/s: seconds a day / (bits a byte × Mbit a Gbit) = 10.8"""

MBITS_PER_MEGAPIXEL = (0.4, 1.0, 1.9)
"""low, usual, high recorded stream of a fixed camera (estimate, from memory, check against the camera:
H.264 1.5 to 4 Mbit/s for 2 megapixels, 3 to 6 for 4, 6 to 12 for 8; H.265 half to two thirds of it)"""

BY_CODEC: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {"H.264": (0.7, 1.2, 1.9), "H.265": (0.4, 0.75, 1.3)}
)
"""the same where the codec is known: H.265 half to two thirds of H.264 (estimate, from memory)"""
FRAMES = 15.0
"""pictures a second for which ``MBITS_PER_MEGAPIXEL`` is reckoned (common practice)"""
FEWER = (0.5, 0.75, 1.0)
"""the rate goes with the pictures a second to a power between these: fewer of them differ more (estimate)"""

WATTS = (2.0, 4.0, 7.0)
"""low, usual, high draw of a camera that records all the time, its night light included (estimate)"""
WATT_HOURS = (10.0, 20.0, 40.0)
"""low, usual, high capacity of a camera's own battery (estimate: two to eight 18650 cells)"""


NIGHT_FACTOR = (1.0, 1.3, 2.0)
"""low, usual, high rate at night over the day's where the rate isn't held constant (estimate: the noise of a dark
picture costs bits; not verified)"""
MOTION = (0.05, 0.2, 0.5)
"""low, usual, high share of the time recorded on motion (estimate; trees, rain and a road in view make it high)"""
USABLE = (0.88, 0.93, 0.97)
"""low, usual, high share of a disk's size that holds pictures (estimate: file system, index, reserve)"""
LEAST = 1e-3
"""Mbit/s: whatever gets less than this keeps it for years, and no division by nothing is made"""
CARD_CYCLES = (100.0, 500.0, 1500.0)
"""low, usual, high times an ordinary card can be written full (estimate; cards for recording are rated in hours)"""
CARD_RATE = 26.0
"""Mbit/s at which makers of cards for recording reckon their hours, where they print no other (common practice)"""

RAID: Mapping[str, tuple[int, int, int]] = MappingProxyType(
    {"none": (1, 0, 1), "0": (2, 0, 1), "1": (2, 0, 2), "5": (3, 1, 1), "6": (4, 2, 1), "10": (4, 0, 2)}
)
"""least number of disks, disks' worth of parity, and copies of each picture (textbook). A second disk against
failure is no second copy against theft, fire or deletion."""


def gigabytes_a_day(mbits: float) -> float:
    """Decimal gigabytes a day of a continuous stream of ``mbits`` Mbit/s: 10.8 × Mbit/s."""
    return GB_PER_DAY * mbits


def usual_stream(
    pixels: tuple[int, int], codec: str | None = None, frames: float | None = None
) -> tuple[float, float, float]:
    """Low, usual and high recorded stream (Mbit/s) of a camera of this many pixels (estimate).

    ``codec`` a key of ``BY_CODEC``, ``frames`` pictures a second (> 0); None: not known.
    """
    per, ratio = BY_CODEC[codec] if codec else MBITS_PER_MEGAPIXEL, (frames or FRAMES) / FRAMES
    powers = FEWER if ratio >= 1.0 else FEWER[::-1]
    low, usual, high = (
        rate * pixels[0] * pixels[1] / 1e6 * ratio**power for rate, power in zip(per, powers, strict=True)
    )
    return low, usual, high


def hours(capacity: float, watts: float) -> float:
    """Hours a battery of ``capacity`` Wh carries a steady load of ``watts`` W (> 0), warm and new."""
    return capacity / watts


# ------------------------------------------------------------------------ days and disks


def mean_rate(mbits: float, night: float = 0.5, factor: float = NIGHT_FACTOR[1]) -> float:
    """Mean rate over a day of which the share ``night`` (0 to 1) is dark and takes ``factor`` times the rate."""
    return mbits * (1.0 - night + night * factor)


def mean_rates(mbits: float, night: float = 0.5, *, constant: bool = False) -> tuple[float, float, float]:
    """Low, usual and high mean rate of a stream of ``mbits`` by day; no doubt where its rate is held constant."""
    if constant:
        return mbits, mbits, mbits
    low, usual, high = NIGHT_FACTOR
    return mean_rate(mbits, night, low), mean_rate(mbits, night, usual), mean_rate(mbits, night, high)


def recorder_rate(streams: Iterable[float]) -> float:
    """Mbit/s that come in at a recorder: the streams' sum, to be held against its rated incoming rate."""
    return sum(streams)


def raid_terabytes(disks: int, each: float, kind: str = "none") -> float:
    """Terabytes that an array of equal disks holds, by a word of ``RAID``; KeyError for another.

    Raises ``ValueError`` for too few disks, or an odd number in level 10. Level 1 keeps one disk's worth.
    """
    least, parity, copies = RAID[kind]
    if disks < least or (kind == "10" and disks % 2):
        raise ValueError(f"RAID {kind} wants {least} disks or more{', in pairs' * (kind == '10')}, not {disks}")
    return each if kind == "1" else (disks - parity) * each / copies


def days_kept(terabytes: float, mbits: float, *, usable: float = USABLE[1], recorded: float = 1.0) -> float:
    """Days until the oldest is written over, ``mbits`` (> 0) coming in for the share ``recorded`` of the time (> 0)."""
    return terabytes * 1000.0 * usable / (gigabytes_a_day(mbits) * recorded)


def terabytes_for(days: float, mbits: float, *, usable: float = USABLE[1], recorded: float = 1.0) -> float:
    """Terabytes of disk that keep so many days."""
    return days * gigabytes_a_day(mbits) * recorded / (1000.0 * usable)


def days_range(
    terabytes: float, rates: tuple[float, float, float], recorded: tuple[float, float, float] = (1.0, 1.0, 1.0)
) -> tuple[float, float, float]:
    """Low, usual and high days kept, from low, usual and high rates and shares of the time recorded."""
    ends = zip(USABLE, reversed(rates), reversed(recorded), strict=True)
    low, usual, high = (days_kept(terabytes, rate, usable=use, recorded=part) for use, rate, part in ends)
    return low, usual, high


def together(disks: Sequence[float], *, mirrored: bool) -> float:
    """Terabytes that disks hold together; mirrored, half of it, and no more than all but the largest hold twice."""
    whole = sum(disks)
    return min(whole / 2, whole - max(disks)) if mirrored and disks else whole


def lasts(terabytes: float, rates: tuple[float, float, float]) -> tuple[float, float, float]:
    """Low, usual and high days kept of what comes in at these mean rates (Mbit/s, low, usual, high)."""
    low, usual, high = (max(rate, LEAST) for rate in rates)
    return days_range(terabytes, (low, usual, high))


# ------------------------------------------------------------------------ wear of a card


def terabytes_a_year(mbits: float, recorded: float = 1.0) -> float:
    """Terabytes written in 365 days: 3.942 × Mbit/s × the share of the time recorded."""
    return gigabytes_a_day(mbits) * recorded * 365.0 / 1000.0


def endurance_of_hours(hours_rated: float, mbits: float = CARD_RATE) -> float:
    """Terabytes a card can be written, from the hours of recording its maker rates it for at ``mbits``."""
    return gigabytes_a_day(mbits) * hours_rated / 24.0 / 1000.0


def endurance_of_size(gigabytes: float) -> tuple[float, float, float]:
    """Low, usual and high terabytes an ordinary card of this size can be written (estimate)."""
    low, usual, high = CARD_CYCLES
    return low * gigabytes / 1000.0, usual * gigabytes / 1000.0, high * gigabytes / 1000.0


def card_years(endurance: float, mbits: float, recorded: float = 1.0) -> float:
    """Years until a card is worn out by writing (> 0 Mbit/s): its terabytes over those written a year."""
    return endurance / terabytes_a_year(mbits, recorded)
