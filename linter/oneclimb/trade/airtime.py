"""Airtime: how much of a radio channel's time the cameras on it take, and what a weak link costs in retries.

A slow link takes the channel from everyone: the time a stream takes goes by its own rate on the air.
Where relays share a channel, a packet is on it once for each hop: a stream of each hop is to be listed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

EFFICIENCY = (0.5, 0.6, 0.7)
"""low, usual, high share of the rate on the air that carries data, one sender, no interference (estimate; in print:
half before 802.11n and up to 70 % with it)"""
FULL = 0.5
"""share of a channel's time above which live video stutters and others on it suffer (common practice)"""
ERROR_AT_SENSITIVITY = 0.1
"""share of packets lost at a receiver's minimum sensitivity (IEEE 802.11's own criterion)"""
TRIES = 7
"""times a packet is sent before it is given up (IEEE 802.11's default short retry limit, from memory)"""
FALL = 3.0
"""dB of level by which lost packets grow tenfold about a receiver's sensitivity (estimate)"""
SWING = 4.0
"""dB, standard deviation of a level over a day and a year: people, doors, leaves, rain (estimate)"""


class Stream(NamedTuple):
    """A stream on the channel: its rate, its link's rate on the air (Mbit/s, > 0), how often a packet is sent."""

    mbits: float
    air: float
    tries: float = 1.0


def share(streams: Iterable[Stream], efficiency: float = EFFICIENCY[1]) -> float:
    """Share of the channel's time, 0 upwards, that streams take together; over 1 they cannot be carried."""
    return sum(one.mbits * one.tries / (one.air * efficiency) for one in streams)


def shares(streams: Iterable[Stream]) -> tuple[float, float, float]:
    """Low, usual and high of ``share`` over the efficiencies met with."""
    kept = tuple(streams)
    low, usual, high = EFFICIENCY
    return share(kept, high), share(kept, usual), share(kept, low)


def tries(error: float, back: float = 0.0) -> float:
    """Mean number of times a packet must be sent: 1 / ((1 - error) (1 - back)).

    ``error`` and ``back`` are the shares (0 to below 1) of packets and of acknowledgements lost.
    No limit on retries. Source: expected transmission count, De Couto, Aguayo, Bicket and Morris 2003.
    """
    return 1.0 / ((1.0 - error) * (1.0 - back))


def tries_at_most(error: float, limit: int = TRIES) -> float:
    """Mean number of times a packet is sent, given up after ``limit``: (1 - eⁿ) / (1 - e), e below 1."""
    return (1.0 - error**limit) / (1.0 - error)


def given_up(error: float, limit: int = TRIES) -> float:
    """Share of packets lost for good after ``limit`` tries: eⁿ, each try lost by itself."""
    return error**limit


def error_at(margin: float) -> float:
    """Share of packets lost, 0 to 1, at ``margin`` dB above the receiver's sensitivity (estimate, see ``FALL``)."""
    return min(1.0, ERROR_AT_SENSITIVITY * math.pow(10.0, -margin / FALL))


def over_time(margin: float, swing: float = SWING) -> tuple[float, float]:
    """Times a packet is sent, and share of packets given up, in the mean over a level that swings about ``margin`` dB.

    The level is normal in dB (log-normal fading, textbook), its standard deviation ``swing`` (> 0).
    """
    steps = range(-40, 41)
    weights = [math.exp(-((i / 10.0) ** 2) / 2.0) for i in steps]
    errors = [error_at(margin + swing * i / 10.0) for i in steps]
    whole = math.fsum(weights)
    sent = math.fsum(w * math.fsum(e**k for k in range(TRIES)) for w, e in zip(weights, errors, strict=True))
    return sent / whole, math.fsum(w * given_up(e) for w, e in zip(weights, errors, strict=True)) / whole
