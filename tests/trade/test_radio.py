"""Wireless links against the ITU's formulas as printed, a transfer-matrix library and printed tables of rates."""

from __future__ import annotations

import math
from importlib import import_module

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import radio
from oneclimb.trade.radio import Layer

LIGHT = 299.792458
"""m MHz"""


@pytest.mark.parametrize(
    ("mhz", "metres", "loss"), [(2400, 10, 60.0), (2400, 30, 69.6), (2400, 100, 80.0), (5500, 10, 67.3)]
)
def test_free_space_loses_what_p525_says(mhz: float, metres: float, loss: float) -> None:
    # worked from the exact form of ITU-R P.525-5, whose printed constant is 0.05 dB less
    assert radio.free_space(mhz, metres) == pytest.approx(loss, abs=0.1)


@given(st.floats(500, 7000), st.floats(1, 2000))
def test_free_space_is_friis_in_other_units(mhz: float, metres: float) -> None:
    # Friis: (4 pi d / lambda)^2; the printed 32.4 is 32.45 rounded
    assert radio.free_space(mhz, metres) == pytest.approx(20 * math.log10(4 * math.pi * metres * mhz / LIGHT), abs=0.06)


def test_nearer_than_a_metre_nothing_is_gained() -> None:
    assert radio.free_space(2400, 0.0) == radio.free_space(2400, 1.0)
    assert radio.indoor(2400, 0.0, "office") == radio.indoor(2400, 1.0, "office")
    assert radio.indoor_by_floors(2400, 0.0, radio.HOME) == radio.indoor_by_floors(2400, 1.0, radio.HOME)


@pytest.mark.parametrize(
    ("metres", "site", "loss", "spread"),
    [(10, "office seen", 56.9, 3.76), (10, "office", 63.2, 5.04), (20, "office", 70.6, 5.04)],
)
def test_indoors_as_p1238_has_it_now(metres: float, site: radio.Site, loss: float, spread: float) -> None:
    # worked from ITU-R P.1238-11 Table 2 as printed in code made from it
    assert radio.indoor(2400, metres, site) == pytest.approx((loss, spread), abs=0.06)


@pytest.mark.parametrize("seen", ["office", "corridor", "industrial"])
def test_out_of_sight_loses_more_than_in_sight(seen: str) -> None:
    names: dict[str, tuple[radio.Site, radio.Site]] = {
        "office": ("office seen", "office"),
        "corridor": ("corridor seen", "corridor"),
        "industrial": ("industrial seen", "industrial"),
    }
    near, far = names[seen]
    assert radio.indoor(2400, 20, near)[0] < radio.indoor(2400, 20, far)[0]


def test_indoors_as_p1238_had_it_before() -> None:
    # worked: home, 15 m, 2.4 GHz, N 28: 72.5 dB, one floor of 4 dB 76.5
    assert radio.indoor_by_floors(2400, 15, radio.HOME) == pytest.approx(72.5, abs=0.06)
    assert radio.indoor_by_floors(2400, 15, radio.HOME, radio.HOME_FLOOR) == pytest.approx(76.5, abs=0.06)


def test_a_coefficient_of_twenty_is_free_space() -> None:
    # P.1238's older form with N = 20 and no floor is free space, to the rounding of its 28
    assert radio.indoor_by_floors(2400, 25, 20.0) == pytest.approx(radio.free_space(2400, 25), abs=0.5)


@pytest.mark.parametrize(
    ("wall", "low", "high"),
    [
        ("concrete 200 mm", 14.6, 26.5),
        ("brick 100 mm", 3.0, 3.6),
        ("brick 215 mm", 5.7, 6.8),
        ("plasterboard 12.5 mm", 1.1, 1.0),
        ("wood 40 mm", 0.6, 1.5),
        ("glass 4 mm", 1.1, 3.0),
        ("glass 6 mm", 1.9, 3.3),
    ],
)
def test_walls_take_what_p2040_says(wall: str, low: float, high: float) -> None:
    # worked at 2.4 and 5.5 GHz from ITU-R P.2040 Table 3 as in sionna-rt 2.2.0
    assert radio.wall_loss(radio.layers(wall), 2400) == pytest.approx(low, abs=0.06)
    assert radio.wall_loss(radio.layers(wall), 5500) == pytest.approx(high, abs=0.06)


@pytest.mark.parametrize("material", sorted(set(radio.MATERIALS) - {"metal"}))
@pytest.mark.parametrize("angle", [0.0, 30.0, 60.0, 80.0])
def test_a_slab_agrees_with_a_transfer_matrix(material: str, angle: float) -> None:
    # tmm 0.2.0, coherent transfer matrix for both polarisations (its sign of the loss is the other one)
    tmm = import_module("tmm")
    for mhz, millimetres in ((2440.0, 13.0), (5500.0, 102.0), (868.0 * 2, 215.0)):
        index = radio.permittivity(material, mhz).conjugate() ** 0.5
        stack = [math.inf, millimetres, math.inf], math.radians(angle), LIGHT / mhz * 1000
        through = sum(tmm.coh_tmm(pol, [1, index, 1], *stack)["T"] for pol in "sp") / 2
        got = radio.slab_loss(Layer(material, millimetres / 1000), mhz, angle)
        assert got == pytest.approx(-10 * math.log10(through), abs=1e-6)


def test_concrete_far_thicker_than_its_reflections_takes_65_decibels_a_metre() -> None:
    # P.2040's attenuation rate 1636 sigma / sqrt(epsilon): 65.5 dB/m at 2.4 GHz (low-loss form)
    thin, thick = (radio.slab_loss(Layer("concrete", d), 2400) for d in (0.3, 0.8))
    assert (thick - thin) / 0.5 == pytest.approx(65.5, abs=1.0)


def test_nothing_takes_more_than_opaque() -> None:
    assert radio.wall_loss(radio.layers("metal"), 2400) == radio.OPAQUE
    assert radio.wall_loss(radio.layers("concrete 400 m"), 2400) == radio.OPAQUE
    assert radio.wall_loss(radio.layers("metal + concrete"), 2400) == radio.OPAQUE


def test_leaves_add_up_and_a_cavity_takes_nothing() -> None:
    wall = radio.layers("brick 102 mm + cavity + block 100 mm")
    assert wall == (Layer("brick", 0.102), Layer("cavity", 0.0), Layer("concrete", 0.1))
    each = [radio.slab_loss(layer, 2400, 40.0) for layer in wall]
    assert each[1] == 0.0
    assert radio.wall_loss(wall, 2400, 40.0) == pytest.approx(sum(each))


def test_a_stud_wall_is_two_boards() -> None:
    # two plasterboards 2.14 dB at 2.4 GHz, worked from P.2040
    assert radio.wall_loss(radio.layers("stud wall"), 2400) == pytest.approx(2.14, abs=0.02)


def test_coated_glass_takes_far_more_than_plain() -> None:
    coated = radio.wall_loss(radio.layers("low-e glass"), 2400)
    assert 20.0 <= coated <= 30.0
    assert coated > 10 * radio.wall_loss(radio.layers("glass"), 2400)


def test_thickness_is_read_in_four_units_and_any_case() -> None:
    for text in ("Wood 0.0254 m", "WOOD 25.4 mm", "wood 2.54cm", "wood 1 in"):
        (leaf,) = radio.layers(text)
        assert leaf.material == "wood"
        assert leaf.thickness == pytest.approx(0.0254)
    assert radio.layers("insulation 100 mm") == (Layer("insulation", 0.0),)


@pytest.mark.parametrize("word", sorted(radio.WORDS))
def test_every_word_for_a_wall_is_known_by_itself(word: str) -> None:
    assert all(layer.material in radio.MATERIALS or layer.material in radio.FLAT for layer in radio.layers(word))
    assert 0.0 <= radio.wall_loss(radio.layers(word), 2440) <= radio.OPAQUE


@pytest.mark.parametrize("text", ["", "straw", "brick +", "brick -3 mm", "brick 100", "brick 1e3 mm", "brick mm"])
def test_an_unknown_wall_is_refused_with_the_words_that_are_known(text: str) -> None:
    with pytest.raises(radio.LayerError, match="plasterboard"):
        radio.layers(text)


@pytest.mark.parametrize("text", ["stud wall 100 mm", "low-e glass 6 mm"])
def test_what_has_no_one_thickness_takes_none(text: str) -> None:
    with pytest.raises(radio.LayerError, match="no one thickness"):
        radio.layers(text)


def test_a_link_through_concrete_and_a_stud_wall() -> None:
    # worked: 2.4 GHz, 15 m, 20 dBm, 2 dBi, 200 mm concrete, two plasterboards: -58.3 dBm
    walls = radio.wall_loss(radio.layers("concrete 200 mm + stud wall"), 2400)
    low, usual, high = radio.received(20.0, radio.free_space(2400, 15.0), walls)
    assert usual == pytest.approx(-58.3, abs=0.1)
    assert (high - usual, usual - low) == (10.0, 10.0)
    # margins 5.7 dB over MCS 7, 11.7 over MCS 4: fails and passes a fade margin of 10
    assert usual - radio.SENSITIVITY[20][7] == pytest.approx(5.7, abs=0.1)
    assert usual - radio.SENSITIVITY[20][4] == pytest.approx(11.7, abs=0.1)


def test_a_measured_level_is_doubted_less_than_a_reckoned_one() -> None:
    low, usual, high = radio.measured(-67.0)
    assert usual == -67.0
    assert high - low < 2 * radio.MODEL


def test_a_verdict_keeps_the_range_in_mind() -> None:
    assert radio.verdict((-70, -60, -50), -72) == "good"
    assert radio.verdict((-70, -60, -50), -70) == "good"
    assert radio.verdict((-70, -60, -50), -55) == "doubtful"
    assert radio.verdict((-70, -60, -50), -50) == "doubtful"
    assert radio.verdict((-70, -60, -50), -49) == "poor"


def test_sensitivities_as_printed() -> None:
    # IEEE 802.11's minimum sensitivities as printed in a national radio regulation
    assert radio.SENSITIVITY[20] == (-82, -79, -77, -74, -70, -66, -65, -64, -59, -57, -54, -52)
    assert radio.SENSITIVITY[40][:10] == (-79, -76, -74, -71, -67, -63, -62, -61, -56, -54)
    assert radio.SENSITIVITY[80][:10] == (-76, -73, -71, -68, -64, -60, -59, -58, -53, -51)
    assert radio.SENSITIVITY[160] == (-73, -70, -68, -65, -61, -57, -56, -55, -50, -48, -45, -43)


PRINTED = {
    20: (6.5, 13, 19.5, 26, 39, 52, 58.5, 65, 78),
    40: (13.5, 27, 40.5, 54, 81, 108, 121.5, 135, 162, 180),
    80: (29.3, 58.5, 87.8, 117, 175.5, 234, 263.3, 292.5, 351, 390),
    160: (58.5, 117, 175.5, 234, 351, 468, 526.5, 585, 702, 780),
}
"""Mbit/s, one stream, guard 800 ns: a printed table of 802.11ac's rates (superwrt.com, 80211ac_mcs)"""


@pytest.mark.parametrize("width", PRINTED)
def test_rates_of_802_11ac_as_printed(width: int) -> None:
    assert radio.rates(width, "ac") == pytest.approx(PRINTED[width], abs=0.051)
    assert radio.rates(width, "ac", 2) == pytest.approx([2 * rate for rate in PRINTED[width]], abs=0.11)


def test_rates_of_802_11n_are_the_first_eight() -> None:
    assert radio.rates(20, "n") == pytest.approx(PRINTED[20][:8])
    assert radio.rates(40, "n") == pytest.approx(PRINTED[40][:8])
    with pytest.raises(KeyError):
        radio.rates(80, "n")


def test_rates_of_802_11ax() -> None:
    # IEEE 802.11ax, one stream, guard 0.8 us: printed everywhere as 8.6 to 143.4, and 600.5 at 80 MHz (from memory)
    expected = (8.6, 17.2, 25.8, 34.4, 51.6, 68.8, 77.4, 86.0, 103.2, 114.7, 129.0, 143.4)
    assert radio.rates(20, "ax") == pytest.approx(expected, abs=0.051)
    assert radio.rates(80, "ax")[11] == pytest.approx(600.5, abs=0.051)


@pytest.mark.parametrize(("dbm", "mcs", "rate"), [(-64, 7, 65.0), (-64.1, 6, 58.5), (-82, 0, 6.5), (-20, 7, 65.0)])
def test_a_level_allows_the_highest_rate_it_reaches(dbm: float, mcs: int, rate: float) -> None:
    assert radio.rate_at(dbm, 20, "n") == pytest.approx((mcs, rate))


def test_below_the_lowest_sensitivity_there_is_no_link() -> None:
    assert radio.rate_at(-82.1, 20, "n") is None


@given(st.floats(-95, -20), st.sampled_from([20, 40, 80, 160]))
def test_more_level_never_means_less_rate(dbm: float, width: int) -> None:
    less, more = radio.rate_at(dbm, width, "ax"), radio.rate_at(dbm + 5, width, "ax")
    assert less is None or (more is not None and more >= less)


@given(st.floats(1, 140))
def test_the_level_for_a_rate_is_the_least_that_allows_it(mbits: float) -> None:
    need = radio.level_for(mbits, 20, "ax")
    assert need is not None
    at = radio.rate_at(need, 20, "ax")
    under = radio.rate_at(need - 0.1, 20, "ax")
    assert at is not None
    assert at[1] >= mbits
    assert under is None or under[1] < mbits


def test_no_level_gives_more_than_the_highest_rate() -> None:
    assert radio.level_for(66.0, 20, "n") is None
