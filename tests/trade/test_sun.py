"""Where the sun stands against NREL's published case, pvlib's SPA over a year, and astral."""

from __future__ import annotations

import datetime as dt

import astral
import astral.sun
import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import solarposition

from oneclimb.trade import sun

DENVER = (39.742476, -105.1786)
MOUNTAIN = dt.timezone(dt.timedelta(hours=-7))
SITES = [(51.5, -0.12), DENVER, (69.65, 18.96), (1.35, 103.8), (-33.87, 151.2)]
"""London, Denver, Tromsø, Singapore, Sydney"""


def stamps(days: sun.Array) -> pd.DatetimeIndex:
    return pd.to_datetime(np.rint((days - 2440587.5) * 86400).astype("datetime64[s]"), utc=True)


def test_the_worked_case_of_the_solar_position_algorithm() -> None:
    # Reda and Andreas, NREL/TP-560-34302, expected output of its tester: Julian day 2452930.312847,
    # zenith 50.111622 (refracted, 820 hPa, 11 °C), azimuth 194.340241; geometric elevation 39.872046 (pvlib's tests)
    day = sun.julian(dt.datetime(2003, 10, 17, 12, 30, 30, tzinfo=MOUNTAIN))
    assert day == pytest.approx(2452930.312847, abs=1e-6)
    azimuth, elevation = sun.position(np.array([day]), *DENVER)
    assert azimuth[0] == pytest.approx(194.340241, abs=0.02)
    assert elevation[0] == pytest.approx(39.872046, abs=0.02)
    assert 90 - sun.refracted(elevation, 820.0, 11.0)[0] == pytest.approx(50.111622, abs=0.02)
    # its refraction alone: 39.88837798 - 39.87204590 (run of pvlib 0.16.1)
    at = np.array([39.87204590])
    assert sun.refracted(at, 820.0, 11.0)[0] - at[0] == pytest.approx(0.01633208, abs=1e-6)


def test_sunrise_and_sunset_of_the_worked_case() -> None:
    # same source: sunrise 06:12:43 and sunset 17:20:19. The algorithm works by the day of UTC, which holds the
    # sunset of the evening before: 00:20:19 UTC on the 17th is 17:20:19 on the 16th.
    rise, _ = sun.sunrise_sunset(dt.date(2003, 10, 17), *DENVER)
    _, fall = sun.sunrise_sunset(dt.date(2003, 10, 16), *DENVER)
    assert rise is not None
    assert fall is not None
    assert abs(rise - dt.datetime(2003, 10, 17, 6, 12, 43, tzinfo=MOUNTAIN)) <= dt.timedelta(seconds=10)
    assert abs(fall - dt.datetime(2003, 10, 16, 17, 20, 19, tzinfo=MOUNTAIN)) <= dt.timedelta(seconds=10)


@pytest.mark.parametrize(("latitude", "longitude"), SITES)
def test_a_whole_year_lies_by_the_reference(latitude: float, longitude: float) -> None:
    # pvlib 0.16.1, method nrel_numpy (SPA itself)
    days = sun.year_times(2026, 97.0)
    azimuth, elevation = sun.position(days, latitude, longitude)
    known = solarposition.get_solarposition(stamps(days), latitude, longitude, pressure=101000, temperature=10)
    assert np.abs(elevation - known["elevation"].to_numpy()).max() < 0.012
    across = (azimuth - known["azimuth"].to_numpy() + 180) % 360 - 180
    assert np.abs(across * np.cos(np.radians(elevation))).max() < 0.012
    up = elevation > -0.8
    assert np.abs(sun.refracted(elevation) - known["apparent_elevation"].to_numpy())[up].max() < 0.02


@pytest.mark.parametrize("year", [1955, 1990, 2045])
def test_the_position_holds_for_decades(year: int) -> None:
    # pvlib's SPA with its own estimate of the clock's lead
    days = sun.year_times(year, 24 * 60 * 5.3)
    _, elevation = sun.position(days, *DENVER)
    known = solarposition.get_solarposition(stamps(days), *DENVER, delta_t=None)
    assert np.abs(elevation - known["elevation"].to_numpy()).max() < 0.02


@pytest.mark.parametrize(("latitude", "longitude"), SITES)
def test_the_position_agrees_with_a_second_engine(latitude: float, longitude: float) -> None:
    # astral 3.2, refraction off; it stood within 0.015 degrees of SPA where both were run
    days = sun.year_times(2026, 24 * 60 * 13.37)
    azimuth, elevation = sun.position(days, latitude, longitude)
    at = astral.Observer(latitude, longitude, 0.0)
    for when, a, e in zip(stamps(days), azimuth, elevation, strict=True):
        moment = when.to_pydatetime()
        assert astral.sun.elevation(at, moment, with_refraction=False) == pytest.approx(e, abs=0.03)
        turn = (astral.sun.azimuth(at, moment) - a + 180) % 360 - 180
        assert abs(turn) * np.cos(np.radians(e)) < 0.03


def test_a_year_of_sunrises_by_the_reference() -> None:
    # pvlib 0.16.1, sun_rise_set_transit_spa, at London, where a day of UTC is a day of the place
    dates = pd.date_range("2026-01-01", "2026-12-31", freq="9D", tz="UTC")
    known = solarposition.sun_rise_set_transit_spa(dates, *SITES[0])
    for date, row in known.iterrows():
        for ours, theirs in zip(
            sun.sunrise_sunset(date.date(), *SITES[0]), (row["sunrise"], row["sunset"]), strict=True
        ):
            assert ours is not None
            assert abs((ours - theirs).total_seconds()) < 10


@pytest.mark.parametrize(("latitude", "longitude"), SITES)
def test_at_sunrise_the_reference_has_the_sun_at_its_standard_height(latitude: float, longitude: float) -> None:
    for month in range(1, 13):
        date = dt.date(2026, month, 11)
        for moment in sun.sunrise_sunset(date, latitude, longitude):
            if moment is not None:
                known = solarposition.get_solarposition(pd.DatetimeIndex([moment]), latitude, longitude)
                assert known["elevation"].iloc[0] == pytest.approx(-0.8333, abs=0.015)
                noon = dt.datetime(2026, month, 11, 12, tzinfo=dt.UTC) - dt.timedelta(hours=longitude / 15)
                assert abs(moment - noon) < dt.timedelta(hours=12)


def test_beyond_the_polar_circle_the_sun_stays_up_or_down() -> None:
    assert sun.sunrise_sunset(dt.date(2026, 6, 21), 69.65, 18.96) == (None, None)
    assert sun.sunrise_sunset(dt.date(2026, 12, 21), 69.65, 18.96) == (None, None)
    light = sun.daylight_by_month(2026, 69.65, 18.96)
    assert light[5] == pytest.approx(24.0)
    assert light[11] == pytest.approx(0.0)


def test_daylight_is_the_time_between_sunrise_and_sunset() -> None:
    light = sun.daylight_by_month(2026, *SITES[0])
    dates = [dt.date(2026, 2, 1) + dt.timedelta(days=n) for n in range(28)]
    spans = []
    for date in dates:
        rise, fall = sun.sunrise_sunset(date, *SITES[0])
        assert rise is not None
        assert fall is not None
        spans.append((fall - rise).total_seconds() / 3600)
    assert light[1] == pytest.approx(np.mean(spans), abs=0.05)


def test_the_refracted_sun_stands_half_a_degree_higher_on_the_horizon() -> None:
    # Meeus, chapter 16: 34' (0.567 degrees) for an apparent height of nought, 29' for a true height of nought
    assert sun.refracted(np.array([0.0]))[0] * 60 == pytest.approx(29, abs=0.7)
    assert sun.refracted(np.array([-0.5667]))[0] == pytest.approx(0.0, abs=0.02)
    assert sun.refracted(np.array([-5.0]))[0] == -5.0


@given(st.floats(-5, 89), st.floats(0.001, 1.0))
def test_refraction_keeps_the_order_of_heights(height: float, more: float) -> None:
    low, high = sun.refracted(np.array([height, height + more]))
    assert low < high
    assert low >= height


def test_directions_point_by_the_compass() -> None:
    ways = sun.directions(np.array([0.0, 90.0, 180.0, 45.0]), np.array([0.0, 0.0, 90.0, 30.0]))
    assert ways[0] == pytest.approx((0, 1, 0))
    assert ways[1] == pytest.approx((1, 0, 0))
    assert ways[2] == pytest.approx((0, 0, 1))
    assert ways[3] == pytest.approx((np.sqrt(6) / 4, np.sqrt(6) / 4, 0.5))


@settings(max_examples=40)
@given(st.floats(-89, 89), st.floats(-180, 180))
def test_the_sun_keeps_within_its_bounds_anywhere(latitude: float, longitude: float) -> None:
    days = sun.year_times(2026, 60 * 31.7)
    azimuth, elevation = sun.position(days, latitude, longitude)
    assert azimuth.min() >= 0
    assert azimuth.max() < 360.0001
    # the sun at noon is never further from overhead than latitude and obliquity allow
    assert elevation.max() <= 90 - max(0.0, abs(latitude) - 23.45)


# ------------------------------------------------------------------------ the clock


def test_a_year_is_every_step_of_it() -> None:
    days = sun.year_times(2024, 30.0)
    assert days.size == 366 * 48
    first, last = dt.datetime.fromisoformat("2024-01-01T00:00"), dt.datetime.fromisoformat("2024-12-31T23:30")
    assert sun.local(days[[0, -1]], 0) == [first, last]


@pytest.mark.parametrize(
    ("longitude", "hours"), [(-0.12, 0), (10.7, 1), (-105.18, -7), (103.8, 7), (151.2, 10), (-79.95, -5)]
)
def test_the_clock_of_a_place_goes_by_its_longitude(longitude: float, hours: int) -> None:
    # Singapore's law has UTC+8 where the sun has +7: the docstring says it knows no country
    assert sun.clock(longitude) == hours


def test_clock_time_of_a_moment_and_its_part_of_the_month() -> None:
    day = sun.julian(dt.datetime(2026, 10, 27, 22, 9, 40, tzinfo=dt.UTC))
    (there,) = sun.local(np.array([day]), sun.clock(-79.95))
    assert f"{sun.part_of_month(there.date())}, {there:%H:%M}" == "late October, 17:10"


@pytest.mark.parametrize(("day", "said"), [(1, "early May"), (10, "early May"), (11, "mid May"), (21, "late May")])
def test_parts_of_a_month(day: int, said: str) -> None:
    assert sun.part_of_month(dt.date(2026, 5, day)) == said


def test_the_month_changes_at_the_places_midnight() -> None:
    days = np.array([sun.julian(dt.datetime(2026, 3, 1, hour, tzinfo=dt.UTC)) for hour in (1, 4, 6)])
    assert sun.months(days).tolist() == [3, 3, 3]
    assert sun.months(days, -5.0).tolist() == [2, 2, 3]


def test_the_day_of_the_year_counts_from_one() -> None:
    moments = [(1, 1, 0), (2, 29, 12), (12, 31, 18)]
    days = np.array([sun.julian(dt.datetime(2024, *when, tzinfo=dt.UTC)) for when in moments])
    assert sun.day_of_year(days) == pytest.approx((1.0, 60.5, 366.75))


def test_means_by_month_leave_unseen_months_open() -> None:
    days = np.array([sun.julian(dt.datetime(2026, month, 9, tzinfo=dt.UTC)) for month in (2, 2, 7)])
    mean = sun.by_month(days, np.array([1.0, 2.0, 5.0]))
    assert mean[[1, 6]].tolist() == [1.5, 5.0]
    assert np.isnan(np.delete(mean, [1, 6])).all()
