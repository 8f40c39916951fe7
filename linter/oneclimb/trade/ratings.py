"""Ratings of housings: ingress (IEC 60529), blows (IEC 62262), and the types of NEMA 250; what a place asks for.

A numeral of water above 6 covers no jet: IP67 alone says nothing of a hose, IP66/IP67 does. An X
says nothing either way, and neither does a rating that isn't there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from msgspec import Struct


class RatingError(ValueError):
    """A rating that cannot be read; the message says how one is written."""


class Rating(Struct, frozen=True):
    """What one marking says. None where it says nothing."""

    dust: int | None = None
    """first characteristic numeral, 0 to 6"""
    water: frozenset[int] | None = None
    """every second characteristic numeral it stands for, 0 to 9"""
    blow: int | None = None
    """IK code, 0 to 11"""


Need = tuple[int, int]
"""characteristic numerals for dust (0 to 6) and water (0 to 9)"""

TOP_JET = 6
"""numerals of water up to here imply all below. Source: IEC 60529 clause 6, as restated in print"""
SPLASH = 4
"""numerals 7 to 9 are taken to cover up to here (common practice; clause 6 only says they need cover no jet)"""

NEMA: Mapping[str, tuple[int, tuple[int, ...]]] = MappingProxyType(
    {
        "1": (1, (0,)),
        "2": (1, (1,)),
        "3": (5, (4,)),
        "3R": (1, (4,)),
        "3S": (5, (4,)),
        "4": (5, (6,)),
        "4X": (5, (6,)),
        "5": (5, (2,)),
        "6": (6, (6, 7)),
        "6P": (6, (6, 7)),
        "12": (5, (2,)),
        "12K": (5, (2,)),
        "13": (5, (4,)),
    }
)
"""dust and water numerals a NEMA type meets at least (NEMA 250's own comparison, edition of 2003, as restated in
print; that 6 and 6P pass a hose too is from memory). It doesn't convert back, and says nothing of ice and rust."""

JOULES: Mapping[int, float] = MappingProxyType(
    {0: 0.0, 1: 0.14, 2: 0.2, 3: 0.35, 4: 0.5, 5: 0.7, 6: 1.0, 7: 2.0, 8: 5.0, 9: 10.0, 10: 20.0, 11: 50.0}
)
"""energy of the blow an IK code stands for, J. Source: IEC 62262:2002 with A1:2021, as restated in print"""

_IP = re.compile(r"IP([0-6X])(?:K)?([0-9X])K?[A-DHMSW]{0,2}")
_IK = re.compile(r"IK(0[0-9]|1[01])\+?")
_TYPE = re.compile(r"(?:NEMA|TYPE)(?:TYPE)?([0-9]{1,2}[A-Z]?)")


def _implied(numeral: int) -> frozenset[int]:
    """The water numerals one stands for: all below up to 6; 8 covers 7; above 6 no jet."""
    if numeral <= TOP_JET:
        return frozenset(range(numeral + 1))
    return frozenset(range(SPLASH + 1)) | ({7, 8} if numeral == 8 else {numeral})


def _one(text: str) -> Rating:
    if found := _IP.fullmatch(text):
        dust, water = found.groups()
        return Rating(None if dust == "X" else int(dust), None if water == "X" else _implied(int(water)))
    if found := _IK.fullmatch(text):
        return Rating(blow=int(found[1]))
    if (found := _TYPE.fullmatch(text)) and found[1] in NEMA:
        dust_at_least, waters = NEMA[found[1]]
        return Rating(dust_at_least, frozenset().union(*map(_implied, waters)))
    raise RatingError(f"{text!r} is no rating: write one such as IP66, IP66/IP67, IP69K, IK10 or NEMA 4X")


def parse(text: str) -> Rating:
    """What a marking such as ``IP66``, ``IP66/IP68``, ``IP69K``, ``IK10`` or ``NEMA 4X`` says; raises ``RatingError``.

    Markings joined by a slash hold together, each for itself. Letters for people's safety are read over.
    """
    return together(_one(piece) for piece in re.sub(r"[\s-]", "", text.upper()).split("/"))


def together(ratings: Iterable[Rating]) -> Rating:
    """What several markings on one housing say together: the best of each."""
    kept = tuple(ratings)
    waters = [one.water for one in kept if one.water is not None]
    return Rating(
        max((one.dust for one in kept if one.dust is not None), default=None),
        frozenset().union(*waters) if waters else None,
        max((one.blow for one in kept if one.blow is not None), default=None),
    )


def meets(rated: Iterable[str], need: Need) -> bool | None:
    """Whether markings meet a need of dust and water; None where they don't say.

    Raises ``RatingError`` for a marking that cannot be read.
    """
    said = together(map(parse, rated))
    dust = None if said.dust is None else said.dust >= need[0]
    water = None if said.water is None else need[1] in said.water
    if dust is False or water is False:
        return False
    return None if dust is None or water is None else True


def takes_blow(rated: Iterable[str], code: int) -> bool | None:
    """Whether markings reach an IK code; None where none is marked."""
    blow = together(map(parse, rated)).blow
    return None if blow is None else blow >= code


VANDAL = 10
"""IK code asked for where a camera hangs within reach of whoever means it harm (common practice: IK10, 20 J)"""
SHORE = 500.0
"""m from salt water within which spray and salt dust count (estimate)"""


def need(rain: float, *, jets: bool = False, coast: float | None = None) -> Need:
    """What a place outdoors asks for: dust and water numerals (estimate, after common practice).

    ``rain`` is the share (0 to 1) of rain's directions that reach it: none asks for 3, up to half
    for 4, more for 5 (driven rain and what runs off a roof). ``jets`` (a hose, a pressure washer in
    reach) asks for 6. Dust 5 outdoors, 6 within ``SHORE`` metres of salt water, where water is 5 at least.
    """
    water = 3 if rain <= 0.0 else 4 if rain <= 0.5 else 5
    shore = coast is not None and coast <= SHORE
    return (6 if shore else 5), (6 if jets else max(water, 5) if shore else water)
