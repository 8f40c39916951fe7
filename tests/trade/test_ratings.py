"""Ratings: IEC 60529, IEC 62262 and NEMA 250 as restated in print."""

import pytest

from oneclimb.trade import ratings
from oneclimb.trade.ratings import Rating


@pytest.mark.parametrize("numeral", range(7))
def test_up_to_six_a_numeral_covers_all_below(numeral: int) -> None:
    # IEC 60529 clause 6: up to and including numeral 6, all lower are implied
    for asked in range(10):
        assert ratings.meets([f"IP6{numeral}"], (6, asked)) is (asked <= numeral)


@pytest.mark.parametrize("text", ["IP67", "IP68", "IP69K", "IP69"])
def test_above_six_no_jet_is_covered(text: str) -> None:
    # IEC 60529 clause 6: 7 and 8 alone need not comply with 5 or 6
    assert ratings.meets([text], (6, 5)) is False
    assert ratings.meets([text], (6, 6)) is False
    assert ratings.meets([text], (6, 4)) is True


@pytest.mark.parametrize("rated", [["IP66/IP68"], ["IP66", "IP68"], ["IP66 / IP68", "IK10"]])
def test_two_markings_hold_each_for_itself(rated: list[str]) -> None:
    assert all(ratings.meets(rated, (6, asked)) for asked in range(9))
    assert ratings.meets(rated, (6, 9)) is False


def test_deeper_covers_shallower_but_not_the_reverse() -> None:
    assert ratings.meets(["IP68"], (6, 7)) is True
    assert ratings.meets(["IP67"], (6, 8)) is False


def test_an_x_says_nothing_either_way() -> None:
    assert ratings.meets(["IPX5"], (5, 5)) is None
    assert ratings.meets(["IPX5"], (5, 6)) is False
    assert ratings.meets(["IP5X"], (5, 4)) is None
    assert ratings.meets(["IP5X"], (6, 4)) is False
    assert ratings.meets(["IPX5", "IP5X"], (5, 5)) is True
    assert ratings.meets([], (5, 4)) is None
    assert ratings.meets(["IK10"], (5, 4)) is None


def test_dust_counts_as_well_as_water() -> None:
    assert ratings.meets(["IP55"], (6, 4)) is False
    assert ratings.meets(["IP65"], (5, 5)) is True


@pytest.mark.parametrize("text", ["IP6K9K", "ip69k", "IP 69K", "IP-69"])
def test_the_ninth_numeral_is_read_in_each_spelling(text: str) -> None:
    assert ratings.parse(text) == Rating(6, frozenset({0, 1, 2, 3, 4, 9}))


def test_letters_for_peoples_safety_are_read_over() -> None:
    assert ratings.parse("IP44D") == ratings.parse("IP44") == ratings.parse("IP44CM")


@pytest.mark.parametrize("text", ["", "IP", "IP6", "IP666", "IP76", "IK12", "IK1", "NEMA 9", "waterproof", "IP66,IP67"])
def test_what_is_no_rating_is_refused(text: str) -> None:
    with pytest.raises(ratings.RatingError, match="write one such as"):
        ratings.parse(text)


@pytest.mark.parametrize(
    ("nema", "at_least"),
    [("3", "IP54"), ("3R", "IP14"), ("3S", "IP54"), ("4", "IP56"), ("4X", "IP56"), ("5", "IP52"), ("12", "IP52"),
     ("12K", "IP52"), ("13", "IP54"), ("1", "IP10"), ("2", "IP11")],
)  # fmt: skip
def test_nema_types_meet_what_the_comparison_prints(nema: str, at_least: str) -> None:
    # NEMA 250's comparison as printed by a maker (avsld.com.sg, enclosure type versus IP code)
    assert ratings.parse(f"NEMA {nema}") == ratings.parse(f"Type {nema}") == ratings.parse(at_least)


@pytest.mark.parametrize("nema", ["6", "6P"])
def test_nema_6_is_immersed_and_hosed(nema: str) -> None:
    assert ratings.parse(f"NEMA Type {nema}") == ratings.parse("IP66/IP67")


@pytest.mark.parametrize(("code", "kilograms", "metres"), [(10, 5.0, 0.4), (8, 1.7, 0.295), (7, 0.5, 0.4)])
def test_blows_are_the_energy_of_the_hammers_fall(code: int, kilograms: float, metres: float) -> None:
    # IEC 62262's hammers and heights, m g h
    assert ratings.JOULES[code] == pytest.approx(kilograms * 9.81 * metres, rel=0.025)


def test_blows_grow_with_the_code_and_are_read_off_it() -> None:
    assert list(ratings.JOULES.values()) == sorted(ratings.JOULES.values())
    assert ratings.takes_blow(["IP66", "IK10"], ratings.VANDAL) is True
    assert ratings.takes_blow(["IK08"], ratings.VANDAL) is False
    assert ratings.takes_blow(["IK10+"], 10) is True
    assert ratings.takes_blow(["IP66"], 8) is None


def test_a_wetter_place_never_asks_for_less() -> None:
    asked = [ratings.need(rain)[1] for rain in (0.0, 0.01, 0.5, 0.51, 1.0)]
    assert asked == [3, 4, 4, 5, 5]
    assert ratings.need(0.0, jets=True) == (5, 6)
    assert ratings.need(0.0, coast=100.0) == (6, 5)
    assert ratings.need(1.0, jets=True, coast=100.0) == (6, 6)
    assert ratings.need(0.2, coast=5000.0) == ratings.need(0.2) == (5, 4)


def test_an_ordinary_outdoor_camera_meets_an_ordinary_outdoor_place() -> None:
    # no alarm for what half of all cameras are marked with
    assert ratings.meets(["IP66"], ratings.need(1.0)) is True
    assert ratings.meets(["IP67"], ratings.need(0.4)) is True
