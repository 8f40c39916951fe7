"""Where the sun stands, when it is up, and how to say it by the clock.

Times are Julian days in UTC (arrays of any shape), angles degrees, latitude north and longitude
east positive, azimuth from north clockwise. No horizon but a flat one, no height above it: a house
on a hill sees the sun a little earlier over the sea.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from oneclimb.trade.months import MONTHS

Array = NDArray[np.float64]

RADIUS = 0.267
"""degrees from the middle of the sun to its limb (from memory, check against an almanac: 0.262 to 0.271 in a year)"""

RISEN = -0.8333
"""degrees of geometric elevation at which the upper limb shows: refraction 34', radius 16' (Reda & Andreas,
NREL/TP-560-34302, sunrise and sunset)"""

_J2000 = 2451545.0
_UNIX = 2440587.5
_DELTA_T = 69.2 / 86400
"""days terrestrial time is ahead of UTC: 69 s in 2020 to 2026; 10 s either way turn the sun by 0.0001 degrees"""
_PARALLAX = 8.794 / 3600


def julian(when: dt.datetime) -> float:
    """Julian day (UTC) of a moment that knows its zone."""
    return when.timestamp() / 86400 + _UNIX


def year_times(year: int, step_minutes: float) -> Array:
    """Julian days (n,) from the first moment of a UTC year up to, not including, its last, every ``step_minutes``."""
    first = julian(dt.datetime(year, 1, 1, tzinfo=dt.UTC))
    last = julian(dt.datetime(year + 1, 1, 1, tzinfo=dt.UTC))
    return first + np.arange(0.0, last - first, step_minutes / 1440)


def _place_in_sky(centuries: Array) -> tuple[Array, Array, Array]:
    """Right ascension, declination and nutation in right ascension of the sun, radians, of the date.

    Source: Meeus, Astronomical Algorithms, 2nd ed., chapter 25 (lower accuracy, 0.01 degrees) and 22.
    """
    t = centuries
    mean_longitude = 280.46646 + t * (36000.76983 + t * 0.0003032)
    m = np.radians(357.52911 + t * (35999.05029 - t * 0.0001537))
    centre = (
        (1.914602 - t * (0.004817 + t * 0.000014)) * np.sin(m)
        + (0.019993 - t * 0.000101) * np.sin(2 * m)
        + 0.000289 * np.sin(3 * m)
    )
    node = np.radians(125.04 - 1934.136 * t)
    longitude = np.radians(mean_longitude + centre - 0.00569 - 0.00478 * np.sin(node))
    obliquity = np.radians(23.4392911 - t * 0.0130042 + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(obliquity) * np.sin(longitude), np.cos(longitude))
    declination = np.arcsin(np.sin(obliquity) * np.sin(longitude))
    return ascension, declination, np.radians(-0.00478 * np.sin(node)) * np.cos(obliquity)


def position(days: Array, latitude: float, longitude: float) -> tuple[Array, Array]:
    """Azimuth (0 to 360) and geometric elevation (no refraction) of the sun's middle, same shape as ``days``.

    Within 0.02 degrees of elevation, and of azimuth times cos(elevation), of NREL's SPA from 1950 to 2050 (held
    by a test for 2026; the azimuth means little with the sun overhead). Source: Meeus, chapters 12, 13, 25, 40.
    """
    days = np.asarray(days, dtype=np.float64)
    since = days - _J2000
    ascension, declination, nutation = _place_in_sky((since + _DELTA_T) / 36525)
    greenwich = np.radians((280.46061837 + 360.98564736629 * since) % 360)
    hour = greenwich + nutation + np.radians(longitude) - ascension
    phi = np.radians(latitude)
    south = np.cos(hour) * np.sin(phi) - np.tan(declination) * np.cos(phi)
    azimuth = (np.degrees(np.arctan2(np.sin(hour), south)) + 180) % 360
    sine = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(hour)
    elevation = np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0)))
    return azimuth, elevation - _PARALLAX * np.cos(np.radians(elevation))


def refracted(elevation: Array, pressure: float = 1010.0, air: float = 10.0) -> Array:
    """Elevation at which the sun is seen, from its geometric one; ``pressure`` in hPa, ``air`` in °C.

    Lifts by 0.48 degrees at the horizon, 0.09 at 10 degrees; real air near the horizon differs by 0.1 degrees and
    more. A sun wholly below the horizon (under -0.8333) is left where it is. Source: Saemundsson's formula
    (Meeus, chapter 16), as SPA has it.
    """
    elevation = np.asarray(elevation, dtype=np.float64)
    up = elevation >= RISEN
    e = np.where(up, elevation, 0.0)
    lift = pressure / 1010 * 283 / (273 + air) * 1.02 / (60 * np.tan(np.radians(e + 10.3 / (e + 5.11))))
    return np.where(up, elevation + np.maximum(lift, 0.0), elevation)


def directions(azimuth: Array | float, elevation: Array | float) -> Array:
    """Unit vectors (…, 3) east, north, up towards an azimuth and elevation."""
    a, e = np.broadcast_arrays(np.radians(azimuth), np.radians(elevation))
    return np.stack([np.cos(e) * np.sin(a), np.cos(e) * np.cos(a), np.sin(e)], axis=-1)


# ------------------------------------------------------------------------ the clock


def clock(longitude: float) -> int:
    """Whole hours the clock of a place is ahead of UTC by its longitude alone: mean solar time to the nearest hour.

    It knows no country and no summer time: the clock on the wall may be one hour ahead of it, in a few
    countries two. Whoever prints a time made with it says "without summer time".
    """
    return round(longitude / 15)


def local(days: Array, zone: float) -> list[dt.datetime]:
    """What a clock ``zone`` hours ahead of UTC shows, to the nearest minute, at each Julian day (n,); naive times."""
    minutes = np.rint((days - _UNIX) * 1440) + round(zone * 60)
    shown: list[dt.datetime] = minutes.astype("datetime64[m]").tolist()
    return shown


def months(days: Array, zone: float = 0.0) -> NDArray[np.int64]:
    """Month (1 to 12) of each Julian day by a clock ``zone`` hours ahead of UTC, same shape as ``days``."""
    seconds = np.rint((days - _UNIX + zone / 24) * 86400).astype("datetime64[s]")
    return seconds.astype("datetime64[M]").astype(np.int64) % 12 + 1


def day_of_year(days: Array) -> Array:
    """Day of the UTC year, 1.0 at its first moment, with the time as its fraction; same shape as ``days``."""
    seconds = np.rint((days - _UNIX) * 86400).astype("datetime64[s]")
    into = (seconds - seconds.astype("datetime64[Y]")).astype(np.float64)
    return np.asarray(into / 86400 + 1.0)


def part_of_month(day: dt.date) -> str:
    """Third of a month by name: "early" and "mid" ten days each, "late" the rest, as in "late October"."""
    return f"{('early', 'mid', 'late')[min((day.day - 1) // 10, 2)]} {MONTHS[day.month - 1]}"


# ------------------------------------------------------------------------ daylight


def _crossing(days: Array, heights: Array, at: int) -> dt.datetime:
    """Moment (UTC, to the second) between sample ``at`` and the next at which ``heights`` passes nought."""
    part = heights[at] / (heights[at] - heights[at + 1])
    seconds = round((float(days[at] + part * (days[at + 1] - days[at])) - _UNIX) * 86400)
    return dt.datetime(1970, 1, 1, tzinfo=dt.UTC) + dt.timedelta(seconds=seconds)


def sunrise_sunset(date: dt.date, latitude: float, longitude: float) -> tuple[dt.datetime | None, dt.datetime | None]:
    """When the upper limb rises and sets over a flat horizon about the noon of ``date`` at the place, both UTC.

    None for one that does not happen within half a day of that noon: both where the sun stays up or down all
    day. Within 10 s of SPA below the polar circles (held by a test); real horizons and air make minutes of it.
    """
    noon = julian(dt.datetime(date.year, date.month, date.day, 12, tzinfo=dt.UTC)) - longitude / 360
    days = noon + np.arange(-720, 721) / 1440
    heights = position(days, latitude, longitude)[1] - RISEN
    up, top = heights > 0, int(np.argmax(heights))
    rises = np.flatnonzero(~up[:top] & up[1 : top + 1])
    sets = np.flatnonzero(up[top:-1] & ~up[top + 1 :]) + top
    return (
        _crossing(days, heights, int(rises[-1])) if rises.size else None,
        _crossing(days, heights, int(sets[0])) if sets.size else None,
    )


def daylight_by_month(year: int, latitude: float, longitude: float) -> Array:
    """Hours of daylight of a mean day of each month (12,), the sun's upper limb over a flat horizon; ±0.05 h."""
    days = year_times(year, 10.0)
    up = position(days, latitude, longitude)[1] > RISEN
    return by_month(days, up.astype(np.float64), clock(longitude)) * 24


def by_month(days: Array, values: Array, zone: float = 0.0) -> Array:
    """Mean of ``values`` in each month (12,) of evenly spaced Julian days (n,); a month without any is nan."""
    which = months(days, zone) - 1
    count = np.bincount(which, minlength=12).astype(np.float64)
    total = np.bincount(which, weights=values, minlength=12)
    return np.asarray(np.divide(total, count, out=np.full(12, np.nan), where=count > 0))
