"""The light on a camera's solar panel month by month: the sun of a year cast at from where it stands."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.study import SCENE
from oneclimb.study.numbers import distinct
from oneclimb.study.sun import HILLS, behind_hills
from oneclimb.trade import sky, sun

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera
    from oneclimb.trade.sky import Range

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]

MINUTES = 60.0
RAYS = 400
"""directions of the sky tried: the share seen is right to about 0.01"""
OFF = 0.1
"""m a panel stands off what it is fixed to"""
LEAVES = (0.0, 0.3, 0.7)
"""low, usual, high share of light that comes through a tree's crown, leaves on or off (estimate)"""


class Shade(Struct, frozen=True):
    """Twelve months, January first. ``months`` and ``bare``: peak sun hours a day (kWh/m², low, usual, high) on the
    panel as it stands, and with nothing about it; ``sky``: share of the panel's own piece of sky that is seen;
    ``by``: what takes most of a month's sun away, None where nothing does.
    """

    months: tuple[Range, ...]
    bare: tuple[Range, ...]
    sky: float
    by: tuple[Ref | None, ...]


class Sun(Struct, frozen=True, eq=False):
    """A whole year hour by hour (n,): which hours the sun is up, and where, degrees from north and up."""

    days: Array
    up: Flags
    azimuth: Array
    elevation: Array


def compute(camera: Camera, q: Query) -> Shade:
    """Cast from the panel, or from the camera where it has no place of its own, at the sun and the sky.

    Things that are there only sometimes shade nothing. Raises ``Unknown`` where the plan does not say where
    the site is, which way the panel faces or how it is tilted.
    """
    latitude, longitude = q.need(q.plan.site, "place")
    faces: float = q.need(camera, "power.panel.faces")
    tilt: float = q.need(camera, "power.panel.tilt")
    year = _year(q.today.year, latitude, longitude)
    rays = sun.directions(year.azimuth[year.up] - q.plan.site.plus_y, year.elevation[year.up])
    hills = behind_hills(q.plan.site.hills, year.azimuth[year.up], year.elevation[year.up])
    at = _place(camera, q, faces, tilt)
    solid, crown, owner = _hidden(at, rays, q)
    views, weights = _views(faces - q.plan.site.plus_y, tilt)
    shut, leafy, _ = _hidden(at, views, q)
    light = partial(sky.months_on_face, year.days, latitude, longitude, tilt, faces)
    faint = bool(crown.any() or leafy.any())
    ranges, skies = [], []
    for through in LEAVES if faint else LEAVES[:1]:
        seen = np.ones(len(year.days))
        seen[year.up] = np.where(solid | hills, 0.0, np.where(crown, through, 1.0))
        skies.append(float(np.average(np.where(shut, 0.0, np.where(leafy, through, 1.0)), weights=weights)))
        ranges.append(light(beam_seen=seen, sky_seen=skies[-1]))
    low, usual, high = ranges if faint else ranges * 3
    months = tuple((a[0], b[1], c[2]) for a, b, c in zip(low, usual, high, strict=True))
    bare = light() if faint or solid.any() or shut.any() or hills.any() else usual
    facing = np.maximum(sky.facing(year.azimuth[year.up], year.elevation[year.up], tilt, faces), 0.0)
    lost = facing * np.sin(np.radians(year.elevation[year.up]))
    month = sun.months(year.days[year.up], sun.clock(longitude))
    by = tuple(_most(lost * (month == m), owner, hills & ~solid, q) for m in range(1, 13))
    return Shade(months, bare, skies[len(skies) // 2], by)


def _year(year: int, latitude: float, longitude: float) -> Sun:
    days = sun.year_times(year, MINUTES)
    azimuth, geometric = sun.position(days, latitude, longitude)
    elevation = sun.refracted(geometric)
    return Sun(days, elevation > 0, azimuth, elevation)


def _place(camera: Camera, q: Query, faces: float, tilt: float) -> Array:
    """The middle of the panel, off what it is fixed to and off its own back; site coordinates, m."""
    panel = camera.power.panel
    own = panel.spot if panel else None
    spot, normal = (own, (*own.normal, 0.0)) if own else (camera.mount.spot, camera.mount.normal)
    front = sun.directions(faces - q.plan.site.plus_y, 90.0 - tilt)
    return np.asarray(np.array(spot.xyz) + OFF * (np.array(normal) + front))


def _views(faces: float, tilt: float) -> tuple[Array, Array]:
    """Directions of the sky before a face, and how much each counts for it: evenly over the sky, by the cosine."""
    i = np.arange(2 * RAYS) + 0.5
    up = i / (2 * RAYS)
    around = np.degrees(i * math.pi * (3 - math.sqrt(5)))
    rays = sun.directions(faces + around, np.degrees(np.arcsin(up)))
    weights = rays @ sun.directions(faces, 90.0 - tilt)
    return rays[weights > 0], weights[weights > 0]


def _hidden(at: Array, rays: Array, q: Query) -> tuple[Flags, Flags, NDArray[np.int64]]:
    """Whether something solid hides each ray's end, or a tree's crown alone; and whose it is, -1 for nobody's."""
    scene = q.of(SCENE, q.plan.site)
    seldom = frozenset(Ref("object", thing.id) for thing in q.all("object") if thing.there == "sometimes")
    crowns = frozenset(Ref("object", thing.id) for thing in q.all("object") if thing.shape == "crown")
    starts = np.broadcast_to(at, rays.shape)
    hits = scene.cast(starts, rays, absent=seldom)
    solid = hits if not crowns else scene.cast(starts, rays, absent=seldom | crowns)
    owner = np.where(hits.tri >= 0, scene.owner[hits.tri], -1)
    return np.isfinite(solid.t), np.isfinite(hits.t) & ~np.isfinite(solid.t), owner


def _most(weight: Array, owner: NDArray[np.int64], hills: Flags, q: Query) -> Ref | None:
    """Whose shade takes most of a month's sun; None where none takes a twentieth of it."""
    whole = float(weight.sum())
    if not whole:
        return None
    taken = {who: float(weight[owner == who].sum()) for who in distinct(owner[owner >= 0]).tolist()}
    taken[-1] = float(weight[hills].sum())
    worst = max(taken, key=lambda who: taken[who])
    if taken[worst] < whole / 20:
        return None
    return HILLS if worst < 0 else q.of(SCENE, q.plan.site).owners[worst]
