"""Where the sun goes through a camera's frame: its path on some days of the year, and its place at full hours."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.study.sun import behind_hills
from oneclimb.trade import sun
from oneclimb.trade.months import MONTHS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.plan.model import Site
    from oneclimb.study.sun import Sun

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]

PAIRS = (
    ((12, 21), None), ((1, 20), (11, 22)), ((2, 19), (10, 23)), ((3, 20), (9, 23)), ((4, 20), (8, 23)),
    ((5, 21), (7, 23)), ((6, 21), None),
)  # fmt: skip
"""days on which the sun's longitude is a whole twelfth of its way on from the winter solstice (month, day), and the
days of the other half of the year on which it takes the same path, half a degree either way"""
MINUTES = 4
"""between two places on a path"""
DAYS = 5
"""between two places of a full hour in the year"""
AHEAD = 0.02
"""of the axis: the sun must stand so far before the lens to be drawn"""


class Path(Struct, frozen=True, eq=False):
    """Places of the sun, n moments: in the frame (0 to 1, y down), nan where it is behind the lens or down."""

    days: Array
    """(n,) Julian days, UTC"""
    places: Array
    """(n, 2)"""
    inside: Flags
    free: Flags
    """(n,) nothing hides it from the lens"""


def path(when: Array, found: Sun, site: Site) -> Path:
    """The sun at moments (Julian days, UTC) as the camera would see it."""
    if site.place is None:
        raise ValueError("the sun study has no result without a place")
    azimuth, geometric = sun.position(when, *site.place)
    elevation = sun.refracted(geometric)
    rays = sun.directions(azimuth - site.plus_y, elevation)
    eye = found.cover.sight.eye
    local = rays @ eye.axes.T
    x, y, inside = eye.project_local(local)
    shows = (elevation > 0.0) & ((local[:, 2] > AHEAD) | (eye.view.projection == "equidistant"))
    inside &= shows
    places = np.where(shows[:, None], np.column_stack([x, y]), np.nan)
    free = np.zeros(len(when), dtype=np.bool_)
    free[inside] = found.met(rays[inside]).tri < 0
    return Path(when, places, inside, free & ~behind_hills(site.hills, azimuth, elevation))


def tracks(found: Sun, site: Site, year: int) -> Iterator[tuple[str, Path]]:
    """The paths that lie in the frame, from the winter solstice to the summer's, each with its months."""
    for first, other in PAIRS:
        one = path(_midnight(year, *first, found) + np.arange(0.0, 1440.0, MINUTES) / 1440, found, site)
        if one.inside.any():
            yield "/".join(MONTHS[day[0] - 1][:3] for day in (first, other) if day), one


def hours(found: Sun, site: Site, year: int) -> Iterator[tuple[int, Path]]:
    """The places of the sun over the year at each full hour of the clock at which it ever is in the frame."""
    start = _midnight(year, 1, 1, found)
    for hour in range(24):
        one = path(start + np.arange(0.0, 366.0, DAYS) + hour / 24, found, site)
        if one.inside.any():
            yield hour, one


def path_of_hills(found: Sun, site: Site) -> Iterator[Array]:
    """The upper edge (k, 2) of each hill that the plan tells of, through the lens."""
    eye = found.cover.sight.eye
    for hill in site.hills:
        start, end = hill.bearings
        bearings = np.arange(start, start + (end - start) % 360.0 + 0.5, 1.0)
        local = sun.directions(bearings - site.plus_y, np.full(len(bearings), hill.up)) @ eye.axes.T
        x, y, _ = eye.project_local(local)
        places = np.column_stack([x, y])
        places[local[:, 2] <= AHEAD] = np.nan
        yield places


def _midnight(year: int, month: int, day: int, found: Sun) -> float:
    """The Julian day, UTC, of the first moment of a day by the site's clock."""
    return sun.julian(dt.datetime(year, month, day, tzinfo=dt.UTC)) - found.suns.zone / 24
