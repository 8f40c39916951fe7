"""Sky and cloud against pvlib, FAO-56 and the weather files that come with pvlib."""

from __future__ import annotations

import functools
import pathlib
from typing import NamedTuple

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import panel, sky, sun

HOURS = sun.year_times(2026, 60.0)
HALF_HOURS = sun.year_times(2026, 30.0)
elevations = np.linspace(0.5, 90.0, 180)


class Weather(NamedTuple):
    """A typical year of a weather file, at the middle of each hour, with the sun's place and the light."""

    latitude: float
    longitude: float
    altitude: float
    month: sky.Array
    azimuth: sky.Array
    elevation: sky.Array
    outside: sky.Array
    light: tuple[sky.Array, sky.Array, sky.Array]
    air: sky.Array
    wind: sky.Array

    def on(self, tilt: float) -> sky.Array:
        towards = sky.facing(self.azimuth, self.elevation, tilt, 180.0)
        return sky.on_face(self.light, self.outside, towards, self.elevation, tilt)

    def by_month(self, values: sky.Array) -> sky.Array:
        """Mean day of each month, thousands."""
        return np.array([values[self.month == month].mean() * 24 / 1000 for month in range(1, 13)])


@functools.cache
def weather(name: str) -> Weather:
    table, about = pvlib.iotools.read_tmy3(
        pathlib.Path(pvlib.__file__).parent / "data" / name, coerce_year=2026, map_variables=True
    )
    middle = table.index.shift(-30, freq="min")
    days = middle.tz_convert("UTC").to_julian_date().to_numpy()
    azimuth, elevation = sun.position(days, about["latitude"], about["longitude"])
    columns = [table[key].to_numpy(dtype=float) for key in ("ghi", "dni", "dhi", "temp_air", "wind_speed")]
    return Weather(
        *(about["latitude"], about["longitude"], about["altitude"], middle.month.to_numpy()),
        *(azimuth, sun.refracted(elevation), sky.extraterrestrial(sun.day_of_year(days))),
        light=(columns[0], columns[1], columns[2]),
        air=columns[3],
        wind=columns[4],
    )


GREENSBORO, SAND_POINT = "723170TYA.CSV", "703165TY.csv"

# ------------------------------------------------------------------------ a clear sky


def test_light_outside_the_air_by_the_reference() -> None:
    # pvlib.irradiance.get_extra_radiation, Spencer's series
    whole = np.arange(1.0, 367.0)
    assert sky.extraterrestrial(whole) == pytest.approx(
        pvlib.irradiance.get_extra_radiation(whole, method="spencer"), rel=1e-9
    )


def test_air_mass_by_the_reference_and_on_the_horizon() -> None:
    # pvlib.atmosphere.get_relative_airmass; Kasten and Young 1989: 37.92 on the horizon
    assert sky.air_mass(elevations) == pytest.approx(pvlib.atmosphere.get_relative_airmass(90 - elevations), rel=1e-9)
    assert float(sky.air_mass(0.0)) == pytest.approx(37.92, abs=0.02)
    assert np.isnan(sky.air_mass(-1.0))


@pytest.mark.parametrize("turbidity", [2.0, 3.0, 5.0])
@pytest.mark.parametrize("altitude", [0.0, 1600.0])
def test_a_clear_sky_by_the_reference(turbidity: float, altitude: float) -> None:
    # pvlib.clearsky.ineichen
    air = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(90 - elevations), pvlib.atmosphere.alt2pres(altitude)
    )
    known = pvlib.clearsky.ineichen(90 - elevations, air, turbidity, altitude, 1380.0)
    for ours, key in zip(sky.clear(elevations, 1380.0, turbidity, altitude), ("ghi", "dni", "dhi"), strict=True):
        assert ours == pytest.approx(known[key], rel=1e-4, abs=1e-3)


def test_a_clear_sky_is_near_a_second_model() -> None:
    # Haurwitz (pvlib.clearsky.haurwitz), which knows no turbidity: within 13 % from 15 degrees up, 4 % from 30
    for least, apart in ((15, 0.13), (30, 0.04)):
        high = elevations[elevations > least]
        known = pvlib.clearsky.haurwitz(pd.Series(90 - high))["ghi"].to_numpy()
        assert sky.clear(high, sky.SOLAR_CONSTANT)[0] / known == pytest.approx(np.ones_like(high), abs=apart)


@pytest.mark.parametrize("latitude", [0.0, 20.0, 36.0])
def test_a_clear_day_passes_three_quarters_of_what_comes_from_outside(latitude: float) -> None:
    # FAO-56 equation 36: Rso = 0.75 Ra at sea level, over a year. It knows no latitude: with turbidity 3 ours falls to
    # 0.67 at 52 degrees, where the sun stands low, and is not held to it there
    geometric = sun.position(HOURS, latitude, 0.0)[1]
    outside = sky.extraterrestrial(sun.day_of_year(HOURS))
    whole = sky.clear(sun.refracted(geometric), outside)[0].sum()
    ra = (outside * np.maximum(np.sin(np.radians(geometric)), 0)).sum()
    assert whole / ra == pytest.approx(0.75, abs=0.05)


def test_overcast_is_angstroms_line_without_sunshine() -> None:
    # FAO-56 equation 35: Rs = (0.25 + 0.50 n/N) Ra, so (1/3 + 2/3 n/N) Rso
    fair = (np.array([600.0]), np.array([700.0]), np.array([90.0]))
    whole, beam, diffuse = sky.overcast(fair)
    assert whole[0] / fair[0][0] == pytest.approx(0.25 / 0.75)
    assert beam[0] == 0.0
    assert diffuse[0] == whole[0]
    for share in (0.0, 0.4, 1.0):
        assert sky.mixed(fair[0], whole, share)[0] / 600 == pytest.approx((0.25 + 0.5 * share) / 0.75)


def test_there_is_no_light_with_the_sun_down() -> None:
    for light in sky.clear(np.array([-0.1, -40.0]), 1366.0):
        assert light.tolist() == [0.0, 0.0]


@given(st.floats(0.1, 89.9), st.floats(2.0, 6.0), st.floats(0.01, 1.0))
def test_more_haze_means_less_beam_and_less_light(elevation: float, turbidity: float, more: float) -> None:
    at = np.array([elevation])
    clean, hazy = sky.clear(at, 1366.0, turbidity), sky.clear(at, 1366.0, turbidity + more)
    assert hazy[0][0] < clean[0][0]
    assert hazy[1][0] <= clean[1][0]
    assert clean[2][0] >= 0


# ------------------------------------------------------------------------ on a face


def test_incidence_of_the_worked_case() -> None:
    # NREL/TP-560-34302: slope 30, looking 170 degrees from north, incidence 25.187000
    towards = sky.facing(np.array([194.340241]), np.array([90 - 50.111622]), 30.0, 170.0)
    assert np.degrees(np.arccos(towards))[0] == pytest.approx(25.187, abs=1e-4)


@pytest.mark.parametrize(("tilt", "bearing"), [(0.0, 180.0), (30.0, 180.0), (60.0, 135.0), (90.0, 20.0)])
def test_light_on_a_face_by_the_reference(tilt: float, bearing: float) -> None:
    # pvlib.irradiance.get_total_irradiance, Hay and Davies, albedo 0.25
    azimuth, elevation = sun.position(HOURS, 36.1, -79.95)
    outside = sky.extraterrestrial(sun.day_of_year(HOURS))
    light = sky.clear(elevation, outside)
    ours = sky.on_face(light, outside, sky.facing(azimuth, elevation, tilt, bearing), elevation, tilt, albedo=0.25)
    known = pvlib.irradiance.get_total_irradiance(
        *(tilt, bearing, 90 - elevation, azimuth, light[1], light[0], light[2]),
        dni_extra=outside,
        model="haydavies",
        albedo=0.25,
    )["poa_global"]
    assert ours == pytest.approx(known, abs=1e-6)


def test_what_hides_the_sun_takes_the_beam_and_leaves_sky_and_ground() -> None:
    light = (np.array([700.0]), np.array([800.0]), np.array([100.0]))
    towards, elevation = np.array([0.9]), np.array([48.6])

    def seen(beam: float, wide: float) -> float:
        face = sky.on_face(light, 1366.0, towards, elevation, 30.0, beam_seen=beam, sky_seen=wide)
        return float(face[0])

    tilted = np.cos(np.radians(30.0))
    ground = 700 * sky.ALBEDO * (1 - tilted) / 2
    assert seen(0.0, 0.0) == pytest.approx(ground)
    assert seen(0.0, 1.0) - ground == pytest.approx(100 * (1 - 800 / 1366) * (1 + tilted) / 2)
    assert seen(0.5, 1.0) == pytest.approx((seen(0.0, 1.0) + seen(1.0, 1.0)) / 2)


def test_a_typical_year_on_a_face_by_the_reference() -> None:
    # pvlib 0.16.1 run on its own TMY3 files, Hay and Davies, south: kWh/m² a year, peak sun hours in December
    for name, tilt, year, december in (
        (GREENSBORO, 30.0, 1744.5, 3.498),
        (GREENSBORO, 60.0, 1571.7, 3.981),
        (SAND_POINT, 30.0, 997.8, 1.121),
        (SAND_POINT, 60.0, 980.6, 1.523),
    ):
        site = weather(name)
        assert site.on(tilt).sum() / 1000 == pytest.approx(year, rel=0.003)
        assert site.by_month(site.on(tilt))[11] == pytest.approx(december, rel=0.01)


def test_a_typical_year_of_a_panel_by_the_reference() -> None:
    # pvlib 0.16.1 on the same files: PVWatts DC, gamma -0.0047, default losses, open rack: kWh a year for each kW
    for name, tilt, year in ((GREENSBORO, 30.0, 1414.8), (GREENSBORO, 60.0, 1288.5), (SAND_POINT, 30.0, 881.8)):
        site = weather(name)
        face = site.on(tilt)
        cells = face * 0.0
        for i, (light, air, wind) in enumerate(zip(face, site.air, site.wind, strict=True)):
            cells[i] = panel.cell(float(light), float(air), float(wind))
        power = panel.dc(face, cells, 1.0) * (1 - panel.lost())
        assert power.sum() == pytest.approx(year, rel=0.003)


# ------------------------------------------------------------------------ an average month


@pytest.mark.parametrize("tilt", [30.0, 60.0])
def test_clear_and_overcast_hours_mixed_make_the_measured_month(tilt: float) -> None:
    """With the level month's light known, the share of sunshine follows, and the face's light within a sixth.

    Greensboro's typical year (TMY3). Sand Point, ten degrees of sun at noon in December, is not asked of it.
    """
    site = weather(GREENSBORO)
    fair = sky.clear(site.elevation, site.outside, altitude=site.altitude)
    towards = sky.facing(site.azimuth, site.elevation, tilt, 180.0)
    level, level_fair = site.by_month(site.light[0]), site.by_month(fair[0])
    share = (level / level_fair - sky.OVERCAST) / (1 - sky.OVERCAST)
    made = sky.mixed(
        site.by_month(sky.on_face(fair, site.outside, towards, site.elevation, tilt)),
        site.by_month(sky.on_face(sky.overcast(fair), site.outside, towards, site.elevation, tilt)),
        share,
    )
    ratio = made / site.by_month(site.on(tilt))
    assert ratio == pytest.approx(np.ones(12), abs=1 / 6)
    assert ratio.mean() == pytest.approx(1.0, abs=0.05)


@pytest.mark.parametrize(
    ("name", "tilt", "december"),
    [(GREENSBORO, 30.0, 3.498), (GREENSBORO, 60.0, 3.981), (SAND_POINT, 30.0, 1.121), (SAND_POINT, 60.0, 1.523)],
)
def test_the_winter_of_a_weather_file_lies_within_the_estimate(name: str, tilt: float, december: float) -> None:
    # December's peak sun hours: pvlib 0.16.1 on its TMY3 files; October to March by the same files. The ranges were
    # widened on these two files: this keeps them wide enough, and is no proof for other places
    site = weather(name)
    guess = sky.months_on_face(HALF_HOURS, site.latitude, site.longitude, tilt, 180.0)
    assert guess[11][0] < december < guess[11][2]
    measured = site.by_month(site.on(tilt))
    for month in (1, 2, 3, 10, 11, 12):
        low, _, high = guess[month - 1]
        assert low < measured[month - 1] < high


def test_every_month_of_an_inland_weather_file_lies_within_the_estimate() -> None:
    site = weather(GREENSBORO)
    guess = sky.months_on_face(HALF_HOURS, site.latitude, site.longitude, 30.0, 180.0)
    for (low, usual, high), known in zip(guess, site.by_month(site.on(30.0)), strict=True):
        assert low < known < high
        assert usual == pytest.approx(known, rel=0.2)


def test_shade_all_winter_leaves_a_small_part() -> None:
    """Hiding the sun, not the sky, in December leaves the diffuse light: under half of the usual month."""
    winter = sun.months(HALF_HOURS, -5.0) == 12
    shaded = sky.months_on_face(HALF_HOURS, 36.1, -79.95, 60.0, 180.0, beam_seen=np.where(winter, 0.0, 1.0))
    free = sky.months_on_face(HALF_HOURS, 36.1, -79.95, 60.0, 180.0)
    assert 0 < shaded[11][1] < 0.5 * free[11][1]
    assert shaded[5] == pytest.approx(free[5])


def test_a_face_away_from_the_sun_keeps_its_range_in_order() -> None:
    for low, usual, high in sky.months_on_face(HOURS, 52.0, 0.0, 90.0, 0.0):
        assert 0 < low <= usual <= high


def test_the_southern_winter_is_in_june() -> None:
    north, south = sky.usual_sunshine(45.0, 12), sky.usual_sunshine(-45.0, 6)
    assert north == pytest.approx(south)
    assert sky.usual_sunshine(-45.0, 12)[1] > south[1]


@given(st.floats(-90, 90), st.integers(1, 12))
def test_sunshine_is_a_share_and_in_order(latitude: float, month: int) -> None:
    low, usual, high = sky.usual_sunshine(latitude, month)
    assert 0 < low < usual < high < 1
