"""The sun study: when in the year the sun stands in a camera's frame, and near what is wanted in it.

The sun is looked for on every fourth day of the year, every ten minutes; rays are cast only towards the places
in the sky where it stands in the frame or near the axis. Hours are possible hours, under a clear sky.
"""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.study import COVER, SUNS, THINGS
from oneclimb.study.doubt import Doubt
from oneclimb.study.numbers import distinct
from oneclimb.study.sun_spells import Spell, spells
from oneclimb.trade import sun

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from oneclimb.api import Change, Query
    from oneclimb.place.scene import Hits
    from oneclimb.plan.model import Camera, Hill, Site
    from oneclimb.study.cover import AreaCover, Cover

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]
    Index = NDArray[np.int64]

DAYS = 4
"""every so many days the sun is looked for"""
MINUTES = 10
NEAR = 10.0
"""degrees from what is wanted within which the sun makes it a dark shape (estimate)"""
AXIS = 20.0
"""degrees from the axis within which sun on the front glass spoils the picture from outside the frame (estimate)"""
COMPASS = 10.0
"""degrees a bearing taken with a compass may be out; near steel it is 15 (common practice)"""
SKYLINE = 5.0
"""degrees of houses and trees that may stand on a horizon the plan draws nothing of (estimate)"""
MOST = 60
"""samples of an area that are asked about"""
HILLS = Ref("site", "site", "hills")


class Suns(Struct, frozen=True, dict=True, eq=False):
    """The sun of a year at a place while it is up: n moments."""

    days: Array
    """(n,) Julian days, UTC"""
    rays: Array
    """(n, 3) unit directions to it, site coordinates"""
    elevation: Array
    """(n,) as it is seen, degrees"""
    hills: Flags
    """(n,) behind the site's hills"""
    each: float
    """hours a moment stands for"""
    zone: float
    """hours the clock is ahead of UTC, without summer time"""
    drawn: bool
    """the plan says how the horizon stands"""
    made_of: tuple[object, ...]


def year(site: Site, q: Query) -> Suns:
    """The year's sun; ``Unknown`` where the plan does not say where the site is."""
    latitude, longitude = q.need(site, "place")
    times = sun.year_times(q.today.year, MINUTES)
    whole = times[: len(times) // (1440 // MINUTES) * (1440 // MINUTES)].reshape(-1, 1440 // MINUTES)
    days = whole[::DAYS].ravel()
    azimuth, elevation = sun.position(days, latitude, longitude)
    elevation = sun.refracted(elevation)
    up = elevation > 0.0
    days, azimuth, elevation = days[up], azimuth[up], elevation[up]
    each = MINUTES / 60 * len(whole) / len(whole[::DAYS])
    zone = sun.clock(longitude) if site.clock is None else site.clock
    hidden = behind_hills(site.hills, azimuth, elevation)
    rays = sun.directions(azimuth - site.plus_y, elevation)
    return Suns(days, rays, elevation, hidden, each, zone, bool(site.hills), _made_of(site))


def same_year(base: Suns, site: Site, changes: tuple[Change, ...], q: Query) -> Suns | None:
    """The base's year where the site lies the same."""
    del changes, q  # the site itself says what is so
    return base if _made_of(site) == base.made_of else None


def _made_of(site: Site) -> tuple[object, ...]:
    return site.place, site.clock, site.plus_y, site.hills


def behind_hills(hills: tuple[Hill, ...], azimuth: Array, elevation: Array) -> Flags:
    """Whether the sun stands behind one of the hills; azimuth and elevation (n,) degrees."""
    hidden = np.zeros(len(azimuth), dtype=np.bool_)
    for hill in hills:
        start, end = hill.bearings
        hidden |= ((azimuth - start) % 360.0 <= (end - start) % 360.0) & (elevation < hill.up)
    return hidden


class Look(Struct, frozen=True, eq=False):
    """The moments at which the sun may be in the frame, for one bearing of the sun: k moments."""

    which: Index
    """(k,) of the year's moments"""
    inside: Flags
    """(k,) in the frame; the rest are near the axis"""
    owner: NDArray[np.int32]
    """(k,) what hides it, -1 for nothing"""
    leaves: Flags
    """(k,) it is hidden by leaves, which may be off"""
    hills: Flags
    height: Array
    """(k,) place in the frame, 0 the top to 1 the bottom"""
    near: Flags
    """(k,) within ``NEAR`` of what is wanted"""

    @property
    def free(self) -> Flags:
        """(k,) nothing hides it."""
        return (self.owner < 0) & ~self.hills


class Sun(Struct, frozen=True, dict=True, eq=False):
    """The sun in one camera's frame. Hours are of a year, possible under a clear sky."""

    suns: Suns
    cover: Cover
    sometimes: frozenset[Ref]
    """what is there only sometimes hides no sun"""

    @functools.cached_property
    def look(self) -> Look:
        """As the plan's bearings say."""
        return self._look(0.0)

    @functools.cached_property
    def _wanted(self) -> Array:
        """(m, 3) directions to the samples of wanted ground that show, site coordinates."""
        found = [self.cover.areas[name] for name in self.cover.watched]
        points = [area.points[area.seen] for area in found]
        thin = [seen[:: max(1, math.ceil(len(seen) / MOST))] for seen in points]
        way = np.concatenate([np.zeros((0, 3)), *thin]) - np.array(self.cover.sight.eye.origin)
        return np.asarray(way / np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9))

    def met(self, rays: Array) -> Hits:
        """What stands before the sun, seen from the glass, in each of the directions (n, 3)."""
        sight = self.cover.sight
        return sight.scene.cast(sight.eye.origin, rays, sight.absent | self.sometimes)

    def _look(self, turned: float) -> Look:
        """With every bearing of the site ``turned`` degrees out."""
        eye, scene = self.cover.sight.eye, self.cover.sight.scene
        c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
        rays = self.suns.rays @ np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
        local = rays @ eye.axes.T
        _, y, inside = eye.project_local(local)
        which = np.flatnonzero(inside | (local[:, 2] > math.cos(math.radians(AXIS))))
        rays = rays[which]
        hits = self.met(rays)
        foliage = np.array([material.foliage for material in scene.materials] + [False])
        leaves = foliage[np.where(hits.tri >= 0, scene.material[hits.tri], -1)]
        near = np.zeros(len(which), dtype=np.bool_)
        if len(self._wanted) and len(which):
            near = (rays @ self._wanted.T).max(axis=1) >= math.cos(math.radians(NEAR))
        return Look(which, inside[which], scene.owner_of(hits), leaves, self.suns.hills[which], y[which], near)

    def _hours(self, which: Flags) -> float:
        return float(which.sum()) * self.suns.each

    @functools.cached_property
    def in_frame(self) -> Doubt:
        """Hours the sun is in the frame with nothing before it."""
        return Doubt(self._hours(self.look.inside & self.look.free), lambda: self._ends(near=False))

    @functools.cached_property
    def near(self) -> Doubt:
        """Of those the hours within ``NEAR`` degrees of wanted ground that shows."""
        value = self._hours(self.look.inside & self.look.free & self.look.near)
        return Doubt(value, lambda: self._ends(near=True))

    def _ends(self, *, near: bool) -> Iterator[float]:
        """At bearings a compass's error out: leaves on and off, and a skyline where the plan draws none."""
        for turned in (-COMPASS, 0.0, COMPASS):
            look = self.look if turned == 0.0 else self._look(turned)
            wanted = look.inside & (look.near if near else True)
            low = wanted & look.free
            if not self.suns.drawn:
                low &= self.suns.elevation[look.which] >= SKYLINE
            yield self._hours(low)
            yield self._hours(wanted & (look.free | (look.leaves & ~look.hills)))

    @property
    def on_glass(self) -> float:
        """Hours the sun shines on the front glass from outside the frame, within ``AXIS`` degrees of the axis."""
        return self._hours(~self.look.inside & self.look.free)

    @property
    def hidden(self) -> dict[Ref, float]:
        """Hours it would be in the frame, by what hides it; ``HILLS`` for the site's hills."""
        look, owners = self.look, self.cover.sight.scene.owners
        behind = look.inside & (look.owner >= 0)
        hours = {owners[i]: self._hours(behind & (look.owner == i)) for i in distinct(look.owner[behind])}
        far = self._hours(look.inside & look.hills & (look.owner < 0))
        return {**hours, HILLS: far} if far else hours

    @property
    def months(self) -> tuple[float, ...]:
        """Hours in the frame, January to December."""
        seen = self.look.which[self.look.inside & self.look.free]
        month = sun.months(self.suns.days[seen], self.suns.zone)
        return tuple(float(count) * self.suns.each for count in np.bincount(month, minlength=13)[1:])

    @property
    def lowest(self) -> float:
        """How far down the frame the sun comes, 0 the top to 1 the bottom; 0 where it never is in it."""
        return float(self.look.height[self.look.inside & self.look.free].max(initial=0.0))

    @property
    def highest_wanted(self) -> float:
        """The top of the wanted ground that shows, 0 the top of the frame to 1; 1 where none does."""
        tops = [float(np.nanmin(area.xy[area.seen, 1])) for area in self._shown]
        return min(tops, default=1.0)

    @property
    def _shown(self) -> Iterator[AreaCover]:
        return (self.cover.areas[name] for name in self.cover.watched if self.cover.areas[name].seen.any())

    @property
    def spells(self) -> tuple[Spell, ...]:
        """The parts of the year in which it is in the frame, mornings first where they are apart."""
        seen = self.look.which[self.look.inside & self.look.free]
        return spells(sun.local(self.suns.days[seen], self.suns.zone), DAYS, MINUTES)


def compute(camera: Camera, q: Query) -> Sun:
    """The sun of the year before a camera; ``Unknown`` where the plan does not say where the site is."""
    return Sun(q.of(SUNS, q.plan.site), q.of(COVER, camera), q.of(THINGS, q.plan.site).sometimes)


def vary(base: Sun, camera: Camera, changes: tuple[Change, ...], q: Query) -> Sun | None:
    """The base's where the sun, the frame and what shows of the areas are the same."""
    del changes  # the world itself says what is so
    cover = q.of(COVER, camera)
    same = q.of(SUNS, q.plan.site) is base.suns and q.of(THINGS, q.plan.site).sometimes == base.sometimes
    return base if same and cover.areas is base.cover.areas else None
