"""What the sun and sky give a sloping face: under a clear sky, under cloud, and in an average month.

Irradiances are W/m² (arrays of any one shape, or floats), angles degrees, the sun's elevation refracted.
No weather data is asked for: an average month is a mixture of clear hours and overcast ones, the share
of clear ones being the *share of possible sunshine* that climate tables list. Where nobody has stated it,
``usual_sunshine`` gives a low, a usual and a high one, which are estimates.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from oneclimb.trade import sun

Array = NDArray[np.float64]
Range = tuple[float, float, float]

SOLAR_CONSTANT = 1366.1
"""W/m² at the mean distance of the sun (ASTM E-490; newer measurements say 1361)"""

TURBIDITY = 3.0
"""Linke turbidity of ordinary air: 2 clear and cold, 3 clear and warm, 4 to 6 moist or hazy (Kasten's scale,
from memory, check against ESRA); one more costs a quarter of the beam at 20 degrees of elevation"""

AIR = (4.0, 3.0, 2.0)
"""Linke turbidity taken for a low, a usual and a high month (estimate; SoDa's monthly maps, as pvlib carries them,
have 2.1 on the coast of Alaska in winter, 2.7 to 3.2 inland, 4 to 5 in the wet tropics, up to 7 in dusty summers)"""

ALBEDO = 0.2
"""what ordinary ground sends back (PVWatts' default, common practice); fresh snow 0.8"""

OVERCAST = 1 / 3
"""of a clear sky's light on level ground that comes through on a sunless day: a / (a + b) with Ångström's
a = 0.25 and b = 0.50 (FAO Irrigation and Drainage Paper 56, equations 35 and 36)"""

_SUN_LOWEST = 0.01745
"""cosine of the zenith angle below which circumsolar light is no longer scaled up (89 degrees, as pvlib has it)"""


def extraterrestrial(day_of_year: Array | float) -> Array:
    """Irradiance across the beam outside the air on a day of the year (1 to 366): 1321 to 1414 W/m².

    Source: Spencer (1971), Fourier series of the earth's distance, within 0.01 %.
    """
    b = 2 * np.pi * (np.asarray(day_of_year, dtype=np.float64) - 1) / 365
    once = 0.034221 * np.cos(b) + 0.00128 * np.sin(b)
    twice = 0.000719 * np.cos(2 * b) + 7.7e-05 * np.sin(2 * b)
    return np.asarray(SOLAR_CONSTANT * (1.00011 + once + twice))


def air_mass(elevation: Array | float) -> Array:
    """Air mass along the beam relative to straight up; nan under the horizon.

    Source: Kasten and Young (1989), within 0.5 % down to the horizon (37.9).
    """
    e = np.asarray(elevation, dtype=np.float64)
    e = np.where(e >= 0, e, np.nan)
    return np.asarray(1 / (np.sin(np.radians(e)) + 0.50572 * (6.07995 + e) ** -1.6364))


def clear(
    elevation: Array, outside: Array | float, turbidity: float = TURBIDITY, altitude: float = 0.0
) -> tuple[Array, Array, Array]:
    """Global, beam and diffuse irradiance (on level ground, across the beam, on level ground) of a cloudless sky.

    ``elevation`` refracted, ``outside`` from ``extraterrestrial``, ``altitude`` in metres (0 to 3000). Nought with
    the sun down. Ineichen and Perez (2002) as pvlib has it, without the enhancement; against measurements 5 %
    of the global and 10 % of the beam when the turbidity is known, 20 % when it is guessed (estimate).
    """
    up = np.asarray(elevation) > 0
    sine = np.sin(np.radians(np.where(up, elevation, 90.0)))
    air = air_mass(np.where(up, elevation, 90.0)) * ((44331.514 - altitude) / 44331.514) ** (1 / 0.1902632)
    near, far = math.exp(-altitude / 8000), math.exp(-altitude / 1250)
    fade = np.exp(-(3.92e-5 * altitude + 0.0387) * air * (near + far * (turbidity - 1)))
    whole = (5.09e-5 * altitude + 0.868) * outside * sine * fade
    beam = (0.664 + 0.163 / near) * np.exp(-0.09 * air * (turbidity - 1)) * outside
    most = whole * (1 - (0.1 - 0.2 * math.exp(-turbidity)) / (0.1 + 0.882 / near)) / sine
    beam = np.minimum(beam, most)
    return (np.where(up, whole, 0.0), np.where(up, beam, 0.0), np.where(up, whole - beam * sine, 0.0))


def facing(azimuth: Array, elevation: Array, tilt: float, bearing: float) -> Array:
    """Cosine of the angle between the sun and the normal of a face ``tilt``ed from level, looking to ``bearing``.

    Negative behind the face.
    """
    return np.asarray(sun.directions(azimuth, elevation) @ sun.directions(bearing, 90.0 - tilt))


def on_face(
    light: tuple[Array, Array, Array],
    outside: Array | float,
    towards: Array,
    elevation: Array,
    tilt: float,
    *,
    beam_seen: Array | float = 1.0,
    sky_seen: float = 1.0,
    albedo: float = ALBEDO,
) -> Array:
    """Irradiance on a face tilted from level, from (global, beam, diffuse) ``light``, same shape.

    ``towards`` from ``facing``; ``beam_seen`` the share of the sun's disc that reaches the face at each time,
    which also bears the bright sky round it; ``sky_seen`` the share of the face's own piece of sky that no
    building or tree hides. Light off the ground is not shaded. Source: Hay and Davies (1980); within 5 % of
    measured months on open south faces (from memory, check against Loutzenhiser et al. 2007).
    """
    whole, beam, diffuse = light
    at = np.maximum(towards, 0.0)
    bright = beam / outside
    round_sun = bright * at / np.maximum(np.sin(np.radians(elevation)), _SUN_LOWEST)
    open_sky = (1 - bright) * (1 + math.cos(math.radians(tilt))) / 2
    ground = whole * albedo * (1 - math.cos(math.radians(tilt))) / 2
    return np.asarray(beam_seen * (beam * at + diffuse * round_sun) + diffuse * open_sky * sky_seen + ground)


def overcast(light: tuple[Array, Array, Array]) -> tuple[Array, Array, Array]:
    """The same hours without sun: ``OVERCAST`` of the clear global, all of it diffuse.

    A mean of sunless days, of which single ones let through 0.1 to 0.5 (estimate).
    """
    whole = light[0] * OVERCAST
    return whole, np.zeros_like(whole), whole


def mixed(clear_month: Array, overcast_month: Array, sunshine: Array | float) -> Array:
    """What an average month has, of what it would have clear and overcast throughout; any unit, same shape.

    ``sunshine``: share of possible sunshine, 0 to 1. On level ground this is Ångström's line with FAO-56's
    constants; those of a place differ by up to 15 % (estimate).
    """
    return np.asarray(sunshine * clear_month + (1 - sunshine) * overcast_month)


_BANDS = (0.0, 15.0, 30.0, 45.0, 55.0, 65.0)
_WINTER = (
    (0.25, 0.20, 0.15, 0.15, 0.08, 0.04),
    (0.55, 0.60, 0.55, 0.35, 0.25, 0.20),
    (0.85, 0.90, 0.85, 0.65, 0.50, 0.45),
)
_SUMMER = (
    (0.25, 0.25, 0.35, 0.40, 0.25, 0.20),
    (0.50, 0.50, 0.60, 0.60, 0.45, 0.40),
    (0.80, 0.85, 0.95, 0.90, 0.65, 0.60),
)


def usual_sunshine(latitude: float, month: int) -> Range:
    """Low, usual and high share of possible sunshine at a latitude in a month (1 to 12).

    An estimate over the world's inhabited places from memory of climate tables: about four places in five lie
    within, fog deserts, basins and rainy coasts below, deserts above. It takes the worst of winter to fall in late
    December (June in the south) and slides to summer and back by a cosine. Between the latitudes listed it is
    interpolated, beyond 65 degrees held. A share or peak sun hours stated by the owner outranks it.
    """
    peak = 12.0 if latitude >= 0 else 6.0
    winter = (1 + math.cos(2 * math.pi * (month - peak - 0.25) / 12)) / 2
    low, usual, high = (
        float(winter * np.interp(abs(latitude), _BANDS, cold) + (1 - winter) * np.interp(abs(latitude), _BANDS, warm))
        for cold, warm in zip(_WINTER, _SUMMER, strict=True)
    )
    return low, usual, high


def months_on_face(
    days: Array,
    latitude: float,
    longitude: float,
    tilt: float,
    bearing: float,
    *,
    beam_seen: Array | float = 1.0,
    sky_seen: float = 1.0,
    albedo: float = ALBEDO,
    altitude: float = 0.0,
) -> tuple[Range, ...]:
    """Low, usual and high light on a face in a mean day of each month (twelve ranges), kWh/m²: its peak sun hours.

    ``days``: evenly spaced Julian days of a whole year (n,), at most an hour apart; the rest as in ``on_face``.
    Sunshine from ``usual_sunshine`` and ``AIR`` move together from low to high. An estimate: the ranges were
    widened until the winters of two weather files (36 and 55 degrees north) lay within, so that the test on them
    guards the figures but does not prove them; a foggy summer of the second lies below.
    """
    azimuth, geometric = sun.position(days, latitude, longitude)
    elevation, zone = sun.refracted(geometric), sun.clock(longitude)
    outside = extraterrestrial(sun.day_of_year(days))
    towards = facing(azimuth, elevation, tilt, bearing)
    parts = []
    for turbidity in AIR:
        fair = clear(elevation, outside, turbidity, altitude)
        for light in (fair, overcast(fair)):
            received = on_face(
                light, outside, towards, elevation, tilt, beam_seen=beam_seen, sky_seen=sky_seen, albedo=albedo
            )
            parts.append(sun.by_month(days, received, zone) * 24 / 1000)
    fair_months, dull_months = np.array(parts[::2]), np.array(parts[1::2])
    shares = np.array([usual_sunshine(latitude, month) for month in range(1, 13)]).T
    made = np.sort(mixed(fair_months, dull_months, shares), axis=0)
    return tuple((float(low), float(usual), float(high)) for low, usual, high in made.T)
