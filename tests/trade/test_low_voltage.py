"""Drop on low-voltage runs against hand-worked circuits, and its answers against one another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import copper, low_voltage
from oneclimb.trade.low_voltage import Run

runs = st.tuples(st.sampled_from([12.0, 24.0]), st.floats(1, 80), st.floats(1, 40)).map(lambda values: Run(*values))


def test_a_worked_run_of_18_gauge() -> None:
    # 30 m of 18 AWG at 20 °C: 20.95 ohm/km (copper wire tables) x 60 m = 1.257 ohm.
    # 12 W at 12 V: V² - 12 V + 15.084 = 0, V = 10.573, I = 1.135: 10.573 + 1.135 x 1.257 = 12.00
    there = low_voltage.at_load(Run(12, 30, 12), copper.awg_ohm_km(18))
    assert there is not None
    assert there.volts == pytest.approx(10.573, abs=0.002)
    assert there.amps == pytest.approx(1.135, abs=0.001)
    assert there.drop == pytest.approx(0.1189, abs=0.0003)
    assert there.margin == pytest.approx(10.573 - 10.8, abs=0.002)


def test_a_device_rated_below_its_supply_has_more_to_lose() -> None:
    wire = copper.awg_ohm_km(18)
    tight, easy = (low_voltage.at_load(Run(13.8, 30, 12, rated), wire) for rated in (None, 12.0))
    assert tight is not None
    assert easy is not None
    assert easy.margin - tight.margin == pytest.approx(0.9 * 1.8)


def test_too_thin_a_wire_cannot_carry_the_load_at_all() -> None:
    # 24 AWG 84.2 ohm/km x 200 m = 16.8 ohm; at 12 V no more than 144 / 67.4 = 2.14 W get through
    assert low_voltage.at_load(Run(12, 100, 2.1), copper.awg_ohm_km(24)) is not None
    assert low_voltage.at_load(Run(12, 100, 2.2), copper.awg_ohm_km(24)) is None


@given(runs, st.sampled_from(low_voltage.AWG))
def test_at_the_longest_run_the_margin_is_gone(run: Run, gauge: int) -> None:
    wire = copper.awg_ohm_km(gauge)
    there = low_voltage.at_load(run._replace(metres=low_voltage.longest(run, wire)), wire)
    assert there is not None
    assert there.margin == pytest.approx(0, abs=1e-9)


def test_twice_the_volts_go_four_times_as_far() -> None:
    wire = copper.awg_ohm_km(16)
    assert low_voltage.longest(Run(24, 0, 10), wire) == pytest.approx(4 * low_voltage.longest(Run(12, 0, 10), wire))


@given(runs, st.sampled_from(["copper", "copper-clad aluminium", "aluminium"]), st.floats(-20, 60))
def test_the_smallest_gauge_serves_and_the_next_thinner_does_not(run: Run, conductor: str, celsius: float) -> None:
    found = low_voltage.smallest_awg(run, conductor, celsius)
    for gauge in low_voltage.AWG:
        there = low_voltage.at_load(run, copper.awg_ohm_km(gauge, conductor, celsius, stranded=True))
        serves = there is not None and there.margin >= 0
        assert serves == (found is not None and gauge <= found)


@given(runs)
def test_the_smallest_metric_size_serves_and_the_next_thinner_does_not(run: Run) -> None:
    found = low_voltage.smallest_mm2(run)
    for size in copper.FLEXIBLE_MM2:
        there = low_voltage.at_load(run, copper.metric_ohm_km(size))
        serves = there is not None and there.margin >= 0
        assert serves == (found is not None and size >= found)


def test_alternating_current_at_any_power_factor_arrives_with_no_less() -> None:
    """Volt-amperes for watts is the worst angle: phasor sums over a resistive wire bring more."""
    ohm, supply, va = 2.0, 24.0, 20.0
    least = copper.deliver(supply, ohm, va)
    assert least is not None
    for cosine in (1.0, 0.9, 0.6):
        # bisect the load's volts so that |V + I·R| is the supply, I lagging by the angle
        low, high = supply / 2, supply
        for _ in range(60):
            middle = (low + high) / 2
            drop = va / middle * ohm
            size = ((middle + drop * cosine) ** 2 + drop**2 * (1 - cosine**2)) ** 0.5
            low, high = (middle, high) if size < supply else (low, middle)
        assert low >= least.volts - 1e-6
