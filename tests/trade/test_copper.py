"""Gauges and resistances against the NEC's table, IEC 60228 and wire makers' figures; delivery against its circuit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import copper

KFT_KM = 1 / 0.3048  # a thousand feet is 0.3048 km


@pytest.mark.parametrize(("gauge", "kft"), [(10, 1.21), (12, 1.93), (14, 3.07), (16, 4.89), (18, 7.77)])
def test_solid_copper_at_75_degrees_as_the_nec_prints_it(gauge: int, kft: float) -> None:
    # NEC chapter 9 table 8, solid uncoated copper, 75 °C, ohm per 1000 ft (as reproduced in print)
    assert copper.awg_ohm_km(gauge, celsius=75) == pytest.approx(kft * KFT_KM, rel=0.005)


@pytest.mark.parametrize(("gauge", "kft"), [(10, 1.24), (12, 1.98), (14, 3.14)])
def test_stranded_copper_at_75_degrees_as_the_nec_prints_it(gauge: int, kft: float) -> None:
    assert copper.awg_ohm_km(gauge, celsius=75, stranded=True) == pytest.approx(kft * KFT_KM, rel=0.005)


@pytest.mark.parametrize(("gauge", "kft"), [(24, 25.67), (22, 16.14)])
def test_thin_copper_at_20_degrees_as_handbooks_print_it(gauge: int, kft: float) -> None:
    # copper wire tables, ohm per 1000 ft at 20 °C
    assert copper.awg_ohm_km(gauge) == pytest.approx(kft * KFT_KM, rel=0.001)


@pytest.mark.parametrize(("gauge", "circular_mils"), [(14, 4110), (12, 6530), (10, 10380), (4, 41740), (-3, 211600)])
def test_a_gauge_has_the_circular_mils_of_the_table(gauge: int, circular_mils: int) -> None:
    # NEC chapter 9 table 8; a circular mil is the square of the diameter in thousandths of an inch
    assert (copper.awg_mm(gauge) / 0.0254) ** 2 == pytest.approx(circular_mils, rel=0.001)


def test_the_warming_of_both_metals_as_the_nec_gives_it_from_75_degrees() -> None:
    # NEC chapter 9 table 8 note 2: alpha at 75 °C 0.00323 for copper, 0.00330 for aluminium
    for conductor, alpha in (("copper", 0.00323), ("aluminium", 0.00330)):
        ratio = copper.warm(conductor, 85) / copper.warm(conductor, 75)
        assert (ratio - 1) / 10 == pytest.approx(alpha, abs=6e-6)


def test_aluminium_as_the_nec_prints_it() -> None:
    # NEC chapter 9 table 8: 4 AWG aluminium, stranded, 0.508 ohm per 1000 ft at 75 °C
    assert copper.awg_ohm_km(4, "aluminium", 75, stranded=True) == pytest.approx(0.508 * KFT_KM, rel=0.01)


def test_clad_wire_by_the_conductivity_its_makers_state() -> None:
    # ASTM B566 classes: 62.9 % IACS with 10 % copper, 64.4 % with 15 %, as wire makers print it
    assert copper.RATIO["copper-clad aluminium"] == pytest.approx(1.59, abs=0.005)
    assert list(copper.CLAD) == pytest.approx([1.55, 1.59, 1.64], abs=0.005)


@pytest.mark.parametrize("size", [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0])
def test_metric_wire_has_more_ohms_than_its_name_and_flexible_wire_the_most(size: float) -> None:
    # IEC 60228's limits leave room for less metal and for the lay; never below the ideal round wire of that area
    ideal, solid, flexible = copper.ohm_km(size), copper.metric_ohm_km(size, flexible=False), copper.metric_ohm_km(size)
    assert ideal < solid < flexible < 1.18 * ideal


def test_metric_resistance_warms_by_the_factors_printed_beside_the_table() -> None:
    # IEC 60228 annex: to bring 75 °C to 20 multiply by 0.820, 40 °C by 0.926 (as reproduced in print)
    assert copper.metric_ohm_km(1.5, celsius=75) * 0.820 == pytest.approx(13.3, rel=0.005)
    assert copper.metric_ohm_km(1.5, celsius=40) * 0.926 == pytest.approx(13.3, rel=0.005)


@given(st.floats(5, 60), st.floats(0, 30), st.floats(0.1, 90))
def test_what_is_delivered_obeys_the_circuit(volts: float, ohm: float, watts: float) -> None:
    there = copper.deliver(volts, ohm, watts)
    if there is None:
        assert watts > volts**2 / (4 * ohm) * (1 - 1e-9)  # the maximum-power theorem
    else:
        assert there.volts * there.amps == pytest.approx(watts)
        assert there.volts + there.amps * ohm == pytest.approx(volts)
        assert there.watts == pytest.approx(watts + there.amps**2 * ohm)
        assert there.volts >= volts / 2 * (1 - 1e-9)


@given(st.floats(5, 60), st.floats(0.5, 0.99), st.floats(0.1, 90))
def test_the_most_ohms_leave_just_the_least_volts(volts: float, share: float, watts: float) -> None:
    there = copper.deliver(volts, copper.most_ohm(volts, volts * share, watts) * (1 - 1e-9), watts)
    assert there is not None
    assert there.volts == pytest.approx(volts * share, rel=1e-4)


def test_a_load_content_with_few_volts_is_held_by_the_power_itself() -> None:
    assert copper.most_ohm(12, 3, 6) == pytest.approx(12**2 / (4 * 6))
    assert copper.most_ohm(12, 12.5, 6) == 0.0
