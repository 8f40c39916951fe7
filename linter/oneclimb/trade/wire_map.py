"""Wire maps of eight-pin plugs: what is wrong between two ends, and the fewest colours to swap.

An end is its eight colours by pin, 1 to 8. Wires of one colour are twisted into a pair; a channel
needs a twisted pair on each of the pin pairs 1-2, 3-6, 4-5 and 7-8, and the same wire on the same pin at both ends.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import permutations, product
from types import MappingProxyType
from typing import NamedTuple

PIN_PAIRS = ((1, 2), (3, 6), (4, 5), (7, 8))
_PAIRS = (("white/blue", "blue"), ("white/orange", "orange"), ("white/green", "green"), ("white/brown", "brown"))
COLOURS = tuple(colour for pair in _PAIRS for colour in pair)
_MATE = {one: other for a, b in _PAIRS for one, other in ((a, b), (b, a))}

_A = "white/green green white/orange blue white/blue orange white/brown brown"
_B = "white/orange orange white/green blue white/blue green white/brown brown"
STANDARDS: Mapping[str, tuple[str, ...]] = MappingProxyType({"T568A": tuple(_A.split()), "T568B": tuple(_B.split())})
"""ANSI/TIA-568, from three independent reproduced tables"""

KINDS = (
    *("short", "open", "crossed wires", "split pair", "crossed pair", "reversed pair"),
    *("mixed standards", "crossover", "straight"),
)
"""worst first. Mixed standards (T568A at one end, T568B at the other) and a crossover work where either port
crosses over by itself, as those for a gigabit do; split pairs pass a continuity test and fail in use."""

_CROSSOVERS = ((3, 6, 1, 4, 5, 2, 7, 8), (3, 6, 1, 7, 8, 2, 4, 5))
"""where pins 1 to 8 go in a crossover of two pairs and of four (IEEE 802.3: 1-3, 2-6; 4-7, 5-8)"""


class Fault(NamedTuple):
    """One fault: its kind, and the pins at the first end that have it."""

    kind: str
    pins: tuple[int, ...]


class Swap(NamedTuple):
    """Two wires to change over at end "a" or "b": their pins, and colours where these are known."""

    end: str
    pins: tuple[int, int]
    colours: tuple[str, str] | None


class Verdict(NamedTuple):
    """What a cable is: the worst kind, every fault, and the fewest swaps, in order, that make it straight.

    ``swaps`` is empty with an open or a short: mend that and judge again. ``standards``: which
    standard each end follows, None: neither, or not known. ``splits_seen``: False where only continuity was
    tested, which can't show split pairs.
    """

    kind: str
    faults: tuple[Fault, ...]
    swaps: tuple[Swap, ...]
    standards: tuple[str | None, str | None]
    splits_seen: bool = True


End = Sequence[str | None]


def judge(end_a: End, end_b: End) -> Verdict:
    """The verdict on two ends of one cable, eight colours each by pin; None: no wire on that pin.

    ValueError where an end has not eight places, an unknown colour, or one colour twice.
    """
    _hold(end_a)
    _hold(end_b)
    at_b = {colour: pin for pin, colour in enumerate(end_b, 1) if colour}
    goes = tuple(at_b.get(colour) if colour else None for colour in end_a)
    faults = (*_opens(goes), *_faults(goes), *_splits(end_a, goes))
    standards = (_standard(end_a), _standard(end_b))
    kind = _kind(faults, goes, standards)
    mend = () if kind in {"open", "straight"} else _least(_whole(end_a), _whole(end_b))
    return Verdict(kind, faults, mend, standards)


def judge_pins(
    goes: Sequence[int | None], shorts: Iterable[tuple[int, int]] = (), near: Sequence[str] | None = None
) -> Verdict:
    """The verdict on a tester's map: the far pin of each near pin 1 to 8 (None: open), and pins joined (``shorts``).

    ``near``: the colours of the near end, if known: then split pairs are seen there and swaps
    name colours. Without them the near end is taken to have its pairs whole. End "a" is the near
    one. ValueError where a far pin is given twice or isn't 1 to 8.
    """
    far: list[str | None] = [None] * 8
    colours = near or STANDARDS["T568B"]
    reached = [pin for pin in goes if pin is not None]
    if len(goes) != 8 or len(set(reached)) != len(reached) or not set(reached) <= set(range(1, 9)):
        raise ValueError("a pin map gives each near pin 1 to 8 a far pin of its own, or says it is open")
    for colour, pin in zip(colours, goes, strict=True):
        if pin is not None:
            far[pin - 1] = colour
    found = judge(colours, far)
    shorted = tuple(Fault("short", pins) for pins in shorts)
    if shorted:
        found = found._replace(kind="short", faults=(*shorted, *found.faults), swaps=())
    if near is not None:
        return found
    kind = "crossover" if found.kind == "mixed standards" else found.kind
    swaps = tuple(swap._replace(colours=None) for swap in found.swaps)
    return found._replace(kind=kind, swaps=swaps, standards=(None, None), splits_seen=False)


def read_pins(text: str) -> tuple[tuple[int | None, ...], tuple[tuple[int, int], ...]]:
    """A tester's map in words, as ``judge_pins`` takes it: ``1-1 2-2 3-6 4-open … short 1-2``.

    Every near pin 1 to 8 once, near pin first; ValueError otherwise.
    """
    goes: dict[int, int | None] = {}
    shorts = []
    if re.sub(r"\b(short\s+)?[1-8]-([1-8]|open)(?=[\s,]|$)|[\s,]", "", text):
        raise ValueError(f"not a pin map: {text!r}")
    for short, near, far in re.findall(r"(short\s+)?([1-8])-([1-8]|open)", text):
        if short and far not in {near, "open"}:
            shorts.append((int(near), int(far)))
        elif short or int(near) in goes:
            raise ValueError(f"pin {near} is given twice, or a short joins nothing: {text!r}")
        else:
            goes[int(near)] = None if far == "open" else int(far)
    if len(goes) != 8:
        raise ValueError(f"not all of pins 1 to 8: {text!r}")
    return tuple(goes[pin] for pin in range(1, 9)), tuple(shorts)


def _hold(end: End) -> None:
    there = [colour for colour in end if colour is not None]
    if len(end) != 8 or len(set(there)) != len(there) or not set(there) <= set(COLOURS):
        raise ValueError(f"an end has eight places and each of the eight colours once at most: {list(end)}")


def _whole(end: End) -> tuple[str, ...]:
    return tuple(colour for colour in end if colour is not None)


def _standard(end: End) -> str | None:
    return next((name for name, colours in STANDARDS.items() if tuple(end) == colours), None)


def _opens(goes: Sequence[int | None]) -> Iterator[Fault]:
    pins = tuple(pin for pin, far in enumerate(goes, 1) if far is None)
    if pins:
        yield Fault("open", pins)


def _faults(goes: Sequence[int | None]) -> Iterator[Fault]:
    """Faults of continuity, by pin pairs of the first end."""
    astray = []
    for pins in PIN_PAIRS:
        far = (goes[pins[0] - 1], goes[pins[1] - 1])
        if None in far or far == pins:
            continue
        if far == pins[::-1]:
            yield Fault("reversed pair", pins)
        elif far in PIN_PAIRS or far[::-1] in PIN_PAIRS:
            yield Fault("crossed pair", pins)
        else:
            astray += [pin for pin, to in zip(pins, far, strict=True) if pin != to]
    if astray:
        yield Fault("crossed wires", tuple(sorted(astray)))


def _splits(end: End, goes: Sequence[int | None]) -> Iterator[Fault]:
    """Pin pairs that arrive as a pair, of wires that are not twisted with one another."""
    for pins in PIN_PAIRS:
        one, other = end[pins[0] - 1], end[pins[1] - 1]
        far = (goes[pins[0] - 1], goes[pins[1] - 1])
        if one and other and (far in PIN_PAIRS or far[::-1] in PIN_PAIRS) and _MATE[one] != other:
            yield Fault("split pair", pins)


def _kind(faults: Sequence[Fault], goes: Sequence[int | None], standards: tuple[str | None, str | None]) -> str:
    if None not in standards and standards[0] != standards[1]:
        return "mixed standards"
    kinds = {fault.kind for fault in faults}
    if goes in _CROSSOVERS and kinds == {"crossed pair"}:
        return "crossover"
    return min(kinds, key=KINDS.index, default="straight")


def _schemes() -> Iterator[tuple[str, ...]]:
    """Every end with its twisted pairs whole: four pairs on four pin pairs, each either way round; standards first."""
    yield from STANDARDS.values()
    for order, turned in product(permutations(_PAIRS), product((1, -1), repeat=4)):
        at: dict[int, str] = {}
        for pins, pair, way in zip(PIN_PAIRS, order, turned, strict=True):
            at.update(zip(pins, pair[::way], strict=True))
        yield tuple(at[pin] for pin in range(1, 9))


def _swaps(end: str, now: Sequence[str], then: Sequence[str]) -> list[Swap]:
    """The fewest swaps from one order of colours to another: each settles one pin of a cycle."""
    order = list(now)
    found = []
    for pin, colour in enumerate(then):
        if order[pin] != colour:
            other = order.index(colour)
            found.append(Swap(end, (pin + 1, other + 1), (order[pin], colour)))
            order[pin], order[other] = order[other], order[pin]
    return found


def _least(end_a: Sequence[str], end_b: Sequence[str]) -> tuple[Swap, ...]:
    """The fewest swaps after which both ends are alike with their pairs whole; a standard's colours where as few
    lead there, then one end rather than both, then the second end.
    """
    best: tuple[Swap, ...] = ()
    rank: tuple[int, bool, int, int] | None = None
    for scheme in _schemes():
        at_a, at_b = _swaps("a", end_a, scheme), _swaps("b", end_b, scheme)
        this = (len(at_a) + len(at_b), _standard(scheme) is None, bool(at_a) + bool(at_b), len(at_a))
        if rank is None or this < rank:
            best, rank = (*at_a, *at_b), this
    return best
