"""How far a marking falls short of what a place asks for, in characteristic numerals (IEC 60529)."""

from __future__ import annotations

from collections.abc import Iterable

from oneclimb.trade import ratings


def asked_of(rain: float, coast: float | None, *, jets: bool = False) -> ratings.Need:
    """What a place asks for; ``rain`` to the nearest tenth, so that a plain open wall is one with half of it."""
    return ratings.need(round(rain, 1), jets=jets, coast=coast)


def short(rated: Iterable[str], need: ratings.Need) -> tuple[int, int] | None:
    """Numerals of dust and of water that markings lack; None where they say nothing of one of them.

    Water counts from the highest numeral, not above the one needed, that the marking stands for: IP67 stands
    for no jet, so where 5 is needed it is one short.
    """
    said = ratings.together(map(ratings.parse, rated))
    if said.dust is None or said.water is None:
        return None
    dust, water = need
    lacks = 0 if water in said.water else water - max((n for n in said.water if n < water), default=0)
    return max(0, dust - said.dust), lacks


def marking(need: ratings.Need) -> str:
    """A need as it is printed on a housing."""
    return f"IP{need[0]}{need[1]}"


def listed(rated: Iterable[str]) -> str:
    """Markings in words."""
    return " and ".join(rated) or "nothing"
