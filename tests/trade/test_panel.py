"""A panel's power, warmth and day against pvlib and PVWatts' worked values."""

from __future__ import annotations

import numpy as np
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import panel


def test_the_worked_value_of_pvwatts() -> None:
    # pvlib 0.16.1, pvsystem.pvwatts_dc(1000, 45, 100, -0.003): 94.0 W
    assert panel.dc(1000.0, 45.0, 100.0, -0.003) == pytest.approx(94.0)


def test_power_by_the_reference() -> None:
    light, cells = np.linspace(200.0, 1200.0, 30), np.linspace(-20.0, 70.0, 30)
    known = pvlib.pvsystem.pvwatts_dc(light, cells, 20.0, panel.GAMMA)
    assert panel.dc(light, cells, 20.0) == pytest.approx(known)


def test_losses_multiply_as_in_pvwatts() -> None:
    # pvlib.pvsystem.pvwatts_losses, the defaults of NREL/TP-6A20-62641: 14.0757 %
    assert panel.lost() * 100 == pytest.approx(pvlib.pvsystem.pvwatts_losses())
    assert panel.lost() * 100 == pytest.approx(14.0757, abs=5e-5)
    assert panel.lost((0.5, 0.5)) == pytest.approx(0.75)


def test_cells_by_the_reference() -> None:
    # pvlib.temperature.sapm_cell, open rack, glass on both sides
    rack = pvlib.temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"]["open_rack_glass_glass"]
    for wind in (0.0, 1.0, 8.0):
        known = pvlib.temperature.sapm_cell(np.array([800.0, 0.0]), 10.0, wind, **rack)
        assert panel.cell(np.array([800.0, 0.0]), 10.0, wind) == pytest.approx(known)


def test_a_december_day_of_a_kilowatt_by_the_reference() -> None:
    # pvlib 0.16.1 on the TMY3 file of Greensboro, tilt 30: 3.498 peak sun hours, 3.023 kWh for each kW (its cells
    # then work at about 23.8 °C); the battery's part left out
    whole = panel.daily(1000.0, panel.declared(3.498), cells=23.8, charging=(1.0, 1.0, 1.0))
    assert whole[1] == pytest.approx(3023, rel=0.001)
    assert whole[0] == whole[2] == whole[1]


def test_the_worked_size_of_a_panel() -> None:
    # 4 W day and night, 3.498 hours, PVWatts' losses, 0.85 of the rest kept: 37 W (worked with pvlib 0.16.1)
    day = panel.daily(37.4, panel.declared(3.498), cells=23.8, charging=(0.85, 0.85, 0.85))
    assert day[1] == pytest.approx(96.0, rel=0.01)


def test_a_day_is_a_range_and_shade_takes_its_part() -> None:
    low, usual, high = panel.daily(10.0, (1.0, 2.0, 3.0), losses=0.0)
    assert (low, usual, high) == pytest.approx((10 * 0.65, 20 * 0.8, 30 * 0.9))
    assert panel.declared(3.0, 0.5) == (1.5, 1.5, 1.5)


@given(st.floats(0.1, 8.0), st.floats(0.01, 2.0), st.floats(-20.0, 60.0))
def test_more_sun_gives_more_and_warmer_cells_less(hours: float, more: float, cells: float) -> None:
    day = panel.daily(10.0, panel.declared(hours), cells=cells)
    assert panel.daily(10.0, panel.declared(hours + more), cells=cells)[1] > day[1]
    assert panel.daily(10.0, panel.declared(hours), cells=cells + more)[1] < day[1]
    assert day[0] < day[1] < day[2]
