"""Conduit against the NEC's fills, worked cases and a conduit maker's table of bend factors."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import conduit
from oneclimb.trade.conduit import Bend, Straight

diameters = st.lists(st.floats(3, 12), min_size=1, max_size=8)


@pytest.mark.parametrize(("cables", "limit"), [(1, 0.53), (2, 0.31), (3, 0.40), (12, 0.40)])
def test_fill_limits_as_the_nec_prints_them(cables: int, limit: float) -> None:
    # NEC chapter 9 table 1; note 4: 60 % in nipples up to 600 mm
    assert conduit.fill_limit(cables) == limit
    assert conduit.fill_limit(cables, 0.61) == limit
    assert conduit.fill_limit(cables, 0.6) == 0.60


def test_three_network_cables_in_a_20_mm_bore() -> None:
    # worked case: 3 x 6.0² / 20² = 27.0 %
    assert conduit.fill([6.0] * 3, 20) == pytest.approx(0.270)
    # √0.53 x 20 mm
    assert conduit.most_diameter(20) == pytest.approx(14.56, abs=0.005)


@given(diameters)
def test_the_least_bore_is_filled_to_its_limit(sizes: list[float]) -> None:
    assert conduit.fill(sizes, conduit.least_bore(sizes)) == pytest.approx(conduit.fill_limit(len(sizes)))


@given(st.integers(1, 9), st.floats(10, 60))
def test_the_thickest_cable_fills_the_bore_to_its_limit(cables: int, bore: float) -> None:
    sizes = [conduit.most_diameter(bore, cables)] * cables
    assert conduit.fill(sizes, bore) == pytest.approx(conduit.fill_limit(cables))


def test_three_cables_jam_only_between_the_ratios() -> None:
    # NEC chapter 9 table 1, informational note 2: 2.8 to 3.2
    assert [conduit.may_jam([6.0] * 3, bore) for bore in (16.0, 17.0, 18.0, 19.0, 20.0)] == [
        False,
        True,
        True,
        True,
        False,
    ]
    assert not conduit.may_jam([6.0] * 2, 18.0)
    assert not conduit.may_jam([6.0] * 4, 18.0)


def test_the_tightest_bend_is_four_diameters() -> None:
    # TIA-568 as installers' references restate it: 4 x diameter, 10 x for more than four pairs
    assert conduit.bend_radius(6.2) == pytest.approx(24.8)
    assert conduit.bend_radius(14.0, multipair=True) == pytest.approx(140.0)


TABLE = {
    # a conduit maker's manual, "values for common angles": factor on the tension by friction and angle
    0.6: {15: 1.17, 30: 1.37, 45: 1.60, 60: 1.87, 75: 2.19, 90: 2.57},
    0.5: {15: 1.14, 30: 1.30, 45: 1.48, 60: 1.68, 75: 1.92, 90: 2.19},
    0.3: {15: 1.08, 30: 1.17, 45: 1.27, 60: 1.37, 75: 1.48, 90: 1.60},
}


@pytest.mark.parametrize(("friction", "degrees"), [(f, a) for f, row in TABLE.items() for a in row])
def test_a_bend_multiplies_the_pull_by_the_makers_factor(friction: float, degrees: int) -> None:
    assert conduit.pull([Bend(degrees)], friction, start=1.0) == pytest.approx(TABLE[friction][degrees], abs=0.0101)


def test_a_pull_up_and_a_pull_along() -> None:
    # straight up lifts the weight, along the level drags mu of it: 10 m x 0.05 kg/m x 9.81 = 4.905 N
    assert conduit.pull([Straight(10, 90)], 0.4, 0.05) == pytest.approx(4.905)
    assert conduit.pull([Straight(10)], 0.4, 0.05) == pytest.approx(0.4 * 4.905)
    assert conduit.pull([Straight(10, -90)], 0.4, 0.05) == 0.0


def test_a_bend_late_in_the_pull_costs_more_than_one_early() -> None:
    path: list[Straight | Bend] = [Straight(30), Bend(90), Straight(2)]
    there, back = conduit.pull(path, 0.5), conduit.pull(conduit.other_way(path), 0.5)
    assert back < there
    assert conduit.other_way((Straight(3, 20), Bend(45))) == (Bend(45), Straight(3, -20))


def test_every_order_of_the_same_parts_pulls_harder_the_later_its_bends() -> None:
    parts: list[Straight | Bend] = [Straight(10), Straight(20), Bend(90), Bend(45)]
    pulls = {order: conduit.pull(order, 0.35) for order in itertools.permutations(parts)}
    assert max(pulls, key=lambda order: pulls[order])[2:] in {(Bend(90), Bend(45)), (Bend(45), Bend(90))}
    assert min(pulls, key=lambda order: pulls[order])[:2] in {(Bend(90), Bend(45)), (Bend(45), Bend(90))}


def test_four_right_angles_use_up_the_bends_between_pull_points() -> None:
    path: list[Straight | Bend] = [Straight(3), *[Bend(90)] * 4, Straight(3)]
    assert conduit.bends(path) == conduit.BENDS
    assert conduit.bends([*path, Bend(-15)]) > conduit.BENDS
