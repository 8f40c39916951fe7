"""Wire maps: the standards' tables, every named fault, and swaps that do mend and are fewest."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oneclimb.trade import wire_map
from oneclimb.trade.wire_map import COLOURS, PIN_PAIRS, STANDARDS, Swap, Verdict

A, B = STANDARDS["T568A"], STANDARDS["T568B"]
ends = st.permutations(COLOURS)


def exchanged(end: tuple[str, ...], *pins: tuple[int, int]) -> tuple[str, ...]:
    order = list(end)
    for one, other in pins:
        order[one - 1], order[other - 1] = order[other - 1], order[one - 1]
    return tuple(order)


def mended(end_a: tuple[str, ...], end_b: tuple[str, ...], swaps: tuple[Swap, ...]) -> Verdict:
    for swap in swaps:
        now = end_a if swap.end == "a" else end_b
        assert swap.colours == (now[swap.pins[0] - 1], now[swap.pins[1] - 1])
        if swap.end == "a":
            end_a = exchanged(end_a, swap.pins)
        else:
            end_b = exchanged(end_b, swap.pins)
    return wire_map.judge(end_a, end_b)


def test_the_standards_put_their_pairs_where_the_tables_say() -> None:
    # TIA-568: pair 1 blue, 2 orange, 3 green, 4 brown; T568A has pair 3 on 1-2 and 2 on 3-6, T568B the reverse
    first = {"T568A": "green", "T568B": "orange"}
    for name, colours in STANDARDS.items():
        on = {pins: (colours[pins[0] - 1], colours[pins[1] - 1]) for pins in PIN_PAIRS}
        third = "orange" if first[name] == "green" else "green"
        assert on[1, 2] == (f"white/{first[name]}", first[name])
        assert on[3, 6] == (f"white/{third}", third)
        assert on[4, 5] == ("blue", "white/blue")
        assert on[7, 8] == ("white/brown", "brown")


@pytest.mark.parametrize("end", [A, B])
def test_a_standard_at_both_ends_is_straight(end: tuple[str, ...]) -> None:
    verdict = wire_map.judge(end, end)
    assert (verdict.kind, verdict.faults, verdict.swaps) == ("straight", (), ())
    assert verdict.standards[0] == verdict.standards[1] is not None


def test_one_standard_at_each_end_is_mixed_and_takes_two_swaps_at_one_end() -> None:
    verdict = wire_map.judge(A, B)
    assert verdict.kind == "mixed standards"
    assert {fault.kind for fault in verdict.faults} == {"crossed pair"}
    assert {frozenset(swap.colours or ()) for swap in verdict.swaps} == {
        frozenset({"white/green", "white/orange"}),
        frozenset({"green", "orange"}),
    }
    assert len({swap.end for swap in verdict.swaps}) == 1


def test_the_classic_split_passes_continuity_and_is_mended_by_one_swap_at_each_end() -> None:
    # pairs laid side by side, 1-2 3-4 5-6 7-8: continuity is whole, pairs are split (every cabling handbook's example)
    side = ("white/orange", "orange", "white/green", "green", "white/blue", "blue", "white/brown", "brown")
    verdict = wire_map.judge(side, side)
    assert verdict.kind == "split pair"
    assert {fault.pins for fault in verdict.faults} == {(3, 6), (4, 5)}
    assert [(swap.end, set(swap.colours or ())) for swap in verdict.swaps] == [
        ("a", {"green", "blue"}),
        ("b", {"green", "blue"}),
    ]
    assert mended(side, side, verdict.swaps).standards == ("T568B", "T568B")


def test_a_pair_turned_round_at_one_end_is_reversed_there() -> None:
    verdict = wire_map.judge(B, exchanged(B, (4, 5)))
    assert verdict.kind == "reversed pair"
    assert [fault.pins for fault in verdict.faults] == [(4, 5)]
    assert [swap.end for swap in verdict.swaps] == ["b"]
    assert set(verdict.swaps[0].colours or ()) == {"blue", "white/blue"}
    assert [swap.end for swap in wire_map.judge(exchanged(A, (7, 8)), A).swaps] == ["a"]


def test_two_pairs_that_change_places_are_crossed() -> None:
    verdict = wire_map.judge(B, exchanged(B, (4, 7), (5, 8)))
    assert verdict.kind == "crossed pair"
    assert {fault.pins for fault in verdict.faults} == {(4, 5), (7, 8)}


def test_two_wires_of_different_pairs_exchanged_are_crossed_wires() -> None:
    verdict = wire_map.judge(B, exchanged(B, (2, 3)))
    assert verdict.kind == "crossed wires"
    assert [fault.pins for fault in verdict.faults] == [(2, 3)]
    assert [(swap.end, swap.pins) for swap in verdict.swaps] == [("b", (2, 3))]


def test_a_pair_of_its_own_colours_at_both_ends_is_straight_but_no_standard() -> None:
    own = exchanged(B, (1, 2))
    verdict = wire_map.judge(own, own)
    assert (verdict.kind, verdict.standards, verdict.swaps) == ("straight", (None, None), ())


def test_a_missing_wire_is_open_and_asks_to_be_mended_first() -> None:
    verdict = wire_map.judge(B, (*B[:6], None, B[7]))
    assert (verdict.kind, verdict.swaps) == ("open", ())
    assert [fault.pins for fault in verdict.faults] == [(7,)]
    worse = wire_map.judge(B, (*exchanged(B, (1, 2))[:6], None, B[7]))
    assert [fault.kind for fault in worse.faults] == ["open", "reversed pair"]


@pytest.mark.parametrize("end", [B[:7], (*B[:7], B[0]), (*B[:7], "mauve")])
def test_an_end_that_cannot_be_is_refused(end: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match="eight places"):
        wire_map.judge(B, end)


@settings(max_examples=60, deadline=None)
@given(ends, ends)
def test_the_swaps_named_make_any_cable_straight(end_a: list[str], end_b: list[str]) -> None:
    verdict = wire_map.judge(end_a, end_b)
    assert (verdict.kind == "straight") == (not verdict.faults)
    after = mended(tuple(end_a), tuple(end_b), verdict.swaps)
    assert (after.kind, after.faults) == ("straight", ())


def alike_and_whole(end_a: tuple[str, ...], end_b: tuple[str, ...]) -> bool:
    pairs = (end_a[one - 1].removeprefix("white/") == end_a[two - 1].removeprefix("white/") for one, two in PIN_PAIRS)
    return end_a == end_b and all(pairs)


pin_swaps = st.sampled_from([(end, pins) for end in "ab" for pins in combinations(range(1, 9), 2)])


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([A, B]), st.lists(pin_swaps, min_size=1, max_size=3))
def test_no_fewer_swaps_would_do(start: tuple[str, ...], spoilt: list[tuple[str, tuple[int, int]]]) -> None:
    """Spoilt by n swaps, mended by at most n; and where two are named, none of the 56 single ones is enough."""
    end_a = exchanged(start, *(pins for end, pins in spoilt if end == "a"))
    end_b = exchanged(start, *(pins for end, pins in spoilt if end == "b"))
    named = wire_map.judge(end_a, end_b).swaps
    assert len(named) <= len(spoilt)
    if len(named) > 1:
        for pins in combinations(range(1, 9), 2):
            assert not alike_and_whole(exchanged(end_a, pins), end_b)
            assert not alike_and_whole(end_a, exchanged(end_b, pins))


def test_a_testers_map_in_words() -> None:
    goes, shorts = wire_map.read_pins("1-1 2-2 3-6, 4-4 5-5 6-3 7-open 8-8 short 1-2")
    assert goes == (1, 2, 6, 4, 5, 3, None, 8)
    assert shorts == ((1, 2),)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "1-1 2-2",
        "1-1 1-2 2-2 3-3 4-4 5-5 6-6 7-7 8-8",
        "1-9",
        "11-2",
        "straight",
        "1-1 2-2 3-3 4-4 5-5 6-6 7-7 8-8 short 1-1",
    ],
)
def test_words_that_are_no_pin_map_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="pin"):
        wire_map.read_pins(text)


def by_words(text: str, near: tuple[str, ...] | None = None) -> Verdict:
    goes, shorts = wire_map.read_pins(text)
    return wire_map.judge_pins(goes, shorts, near)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("1-1 2-2 3-3 4-4 5-5 6-6 7-7 8-8", "straight"),
        ("1-1 2-2 3-6 4-4 5-5 6-3 7-7 8-8", "reversed pair"),
        ("1-3 2-6 3-1 4-4 5-5 6-2 7-7 8-8", "crossover"),  # IEEE 802.3: 1-3, 2-6
        ("1-3 2-6 3-1 4-7 5-8 6-2 7-4 8-5", "crossover"),  # and 4-7, 5-8 for four pairs
        ("1-1 2-2 3-3 4-7 5-8 6-6 7-4 8-5", "crossed pair"),
        ("1-1 2-3 3-2 4-4 5-5 6-6 7-7 8-8", "crossed wires"),
        ("1-1 2-2 3-3 4-4 5-5 6-6 7-7 8-open", "open"),
        ("1-1 2-2 3-6 4-4 5-5 6-3 7-7 8-8 short 7-8", "short"),
    ],
)
def test_what_a_testers_map_shows(text: str, kind: str) -> None:
    verdict = by_words(text)
    assert verdict.kind == kind
    assert not verdict.splits_seen
    assert all(swap.colours is None for swap in verdict.swaps)
    assert bool(verdict.swaps) == (kind not in {"straight", "open", "short"})


def test_a_map_with_the_near_ends_colours_names_colours_and_sees_splits() -> None:
    reversed_pair = by_words("1-1 2-2 3-6 4-4 5-5 6-3 7-7 8-8", A)
    assert set(reversed_pair.swaps[0].colours or ()) == {"white/orange", "orange"}
    split = by_words("1-1 2-2 3-3 4-4 5-5 6-6 7-7 8-8", exchanged(B, (4, 6)))
    assert (split.kind, split.splits_seen) == ("split pair", True)


@pytest.mark.parametrize("goes", [(1, 2, 3), (1, 1, 3, 4, 5, 6, 7, 8), (1, 2, 3, 4, 5, 6, 7, 9)])
def test_a_pin_map_that_cannot_be_is_refused(goes: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="far pin"):
        wire_map.judge_pins(goes)
