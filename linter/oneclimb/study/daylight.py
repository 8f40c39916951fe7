"""The daylight study: a camera's frame by day, as bright as sun and sky make it.

Surfaces are Lambert's at their reflectance for green light. The sun casts shadows, the sky is seen from every place
as far as nothing stands before it, and light off the ground comes from below; no other light bounces. Panes mirror
the sky where they see it, with a dark room behind them. The front glass strays what comes from the frame and from the
sun. Where the plan does not say where the site is, the sky is covered.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.study import FINE
from oneclimb.study.daylight_sky import open_sky
from oneclimb.study.night_glass import front, share_of_glass
from oneclimb.study.sun import behind_hills
from oneclimb.trade import daylight, exposure, optics, sky, sun
from oneclimb.trade.constants import constant
from oneclimb.trade.materials import reflectance

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Change, Query
    from oneclimb.plan.model import Camera, Site
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]

YEAR = 2026
"""whose sun stands for every year's: within 0.3° of elevation"""
MONTH, DAY, HOUR = 3, 21, 10
"""when the sun is taken: the equinox, when it is up everywhere, in the middle of the morning by the clock"""
LOWEST = 3.0
"""degrees of elevation under which the sky is taken as covered"""
GREEN = 550
"""nm: the middle of what is seen by day"""
FAR = 200.0
"""m: how far towards the sun things that cast shadows are looked for"""
GROUND = Ref("site", "site", "ground")
UNLIMITED = 1e-9
"""full scale over the least light that is worth a picture: by day there is always enough"""


class Weather(Struct, frozen=True, eq=False):
    """The light of one hour."""

    ray: Array | None
    """(3,) unit direction to the sun, site coordinates; None where the sky is covered"""
    beam: float
    """lx across the sun's beam, 0 behind hills"""
    level: float
    """lx of the sky on open level ground"""
    sky: Callable[[Array, float], Array]
    """luminance of the sky, cd/m², by the sine of the elevation and ``level``"""
    words: str
    """what is taken, to be said"""


class Daylight(Struct, frozen=True, dict=True, eq=False):
    """A camera's frame by day, n = rows * cols rays from the top left."""

    raster: Raster
    weather: Weather
    luminance: Array
    """(n,) cd/m², without the veil"""
    veil: float
    """cd/m² that the front glass strays over the whole frame"""
    gain: float
    """the picture is white at the luminance 1/gain"""

    @property
    def taken(self) -> Array:
        """(rows, cols) the picture as the camera takes it, 0 black to 1 white, linear."""
        seen = np.minimum(1.0, self.gain * (self.luminance + self.veil))
        return np.asarray(seen.reshape(self.raster.rows, self.raster.cols))


def compute(camera: Camera, q: Query) -> Daylight:
    """A camera's frame by day."""
    return lit(camera, q, weather(q.plan.site))


def lit(camera: Camera, q: Query, now: Weather) -> Daylight:
    """A camera's frame in the light of one hour."""
    raster = q.of(FINE, camera)
    albedo = _albedo(raster)
    seen = luminance(raster, now, albedo, constant(q.plan, "pane-index").usual)
    stray = veil(camera, q, raster, seen, now)
    weights = exposure.centre_weights(raster.cols, raster.rows) if camera.metering == "centre" else None
    gain = exposure.gain(seen + stray, constant(q.plan, "exposure").usual, UNLIMITED, weights)
    return Daylight(raster, now, seen, stray, gain)


def vary(base: Daylight, camera: Camera, changes: tuple[Change, ...], q: Query) -> Daylight | None:
    """The base's frame where only lights differ; None where it must be reckoned anew."""
    same = q.of(FINE, camera) is base.raster and all(c.how == "dark" or c.at.kind == "lamp" for c in changes)
    return base if same else None


def weather(site: Site) -> Weather:
    """The stated hour's light at a site: a clear sky where the plan says where it is, else a covered one."""
    if site.place is not None:
        latitude, longitude = site.place
        zone = sun.clock(longitude) if site.clock is None else site.clock
        when = dt.datetime(YEAR, MONTH, DAY, HOUR, tzinfo=dt.timezone(dt.timedelta(hours=zone)))
        day = np.array([sun.julian(when)])
        azimuth, geometric = sun.position(day, latitude, longitude)
        elevation = sun.refracted(geometric)
        if elevation[0] > LOWEST:
            return _clear(site, day, azimuth, elevation)
    why = "the plan does not say where the site is" if site.place is None else "the sun is too low"
    words = f"under an evenly covered sky ({why}: no sun is drawn)"
    return Weather(None, 0.0, daylight.OVERCAST, daylight.overcast, words)


def _clear(site: Site, day: Array, azimuth: Array, elevation: Array) -> Weather:
    _, beam, diffuse = sky.clear(elevation, sky.extraterrestrial(sun.day_of_year(day)))
    hidden = bool(behind_hills(site.hills, azimuth, elevation)[0])
    words = f"under a clear sky on {DAY} March at {HOUR}:00 (clock without summer time)"
    return Weather(
        sun.directions(azimuth - site.plus_y, elevation)[0],
        0.0 if hidden else float(beam[0]) * daylight.BEAM,
        float(diffuse[0]) * daylight.SKY,
        daylight.even,
        words + (", the sun behind the hills" if hidden else ""),
    )


def _albedo(raster: Raster) -> float:
    """Reflectance of the ground by day."""
    number = raster.scene.numbers.get(GROUND)
    if number is None:
        return sky.ALBEDO
    material = raster.scene.material[int(np.argmax(raster.scene.owner == number))]
    return reflectance(raster.scene.materials[material], GREEN).usual


def luminance(raster: Raster, now: Weather, albedo: float, index: float) -> Array:
    """(n,) luminance of what every ray meets, cd/m²; ``albedo`` the ground's reflectance, ``index`` a pane's."""
    scene, rays = raster.scene, raster.dirs
    met = raster.tri >= 0
    normals = np.where(met[:, None], scene.normals.take(raster.tri, axis=0), 0.0)
    normals = normals * -np.sign(np.einsum("ij,ij->i", normals, rays))[:, None]
    straight = 0.0 if now.ray is None else now.beam * max(float(now.ray[2]), 0.0)
    below = albedo * (now.level + straight)
    falls = open_sky(raster, normals, lambda sine: now.sky(sine, now.level))
    falls += below * (1.0 - normals[:, 2]) / 2.0
    if now.ray is not None and now.beam > 0.0:
        falls += now.beam * _sunlit(raster, normals, now.ray)
    shares = np.array([reflectance(material, GREEN).usual for material in scene.materials])
    up = rays[:, 2]
    above = np.where(up > 0.0, now.sky(np.maximum(up, 0.0), now.level), below / np.pi)
    seen = np.where(met, shares[scene.material[raster.tri]] * falls / np.pi, above)
    return seen + _mirrored(raster, normals, now, index)


def _sunlit(raster: Raster, normals: Array, ray: Array) -> Array:
    """(n,) cosine of the sun's beam on every place it reaches, else 0."""
    cosine = np.maximum(normals @ ray, 0.0)
    toward = np.flatnonzero(cosine > 0.0)
    places = raster.points[toward]
    cosine[toward] *= raster.scene.visible(places + FAR * ray, places, raster.absent)
    return np.asarray(cosine)


def _mirrored(raster: Raster, normals: Array, now: Weather, index: float) -> Array:
    """(n,) what panes mirror of the sky."""
    scene, added = raster.scene, np.zeros(len(raster.t))
    glass = np.array([material.glass for material in scene.materials] + [False])
    panes = np.flatnonzero(glass[np.where(raster.tri >= 0, scene.material[raster.tri], -1)])
    if not len(panes):
        return added
    cosine = np.einsum("ij,ij->i", -raster.dirs[panes], normals[panes])
    back = raster.dirs[panes] + 2.0 * cosine[:, None] * normals[panes]
    hits = scene.cast(raster.points[panes] + 0.002 * normals[panes], back, raster.absent)
    free = (hits.tri < 0) & (back[:, 2] > 0.0)
    share = optics.pane(np.degrees(np.arccos(np.clip(cosine, 0.0, 1.0))), index)[0]
    added[panes] = free * share * now.sky(np.maximum(back[:, 2], 0.0), now.level)
    return added


def veil(camera: Camera, q: Query, raster: Raster, seen: Array, now: Weather) -> float:
    """What the front glass strays of the frame's light and of the sun that shines on it, cd/m²; sky beside the frame
    is left out.
    """
    glazed, forward = front(camera, q.plan), np.array(raster.eye.forward)
    dirt = constant(q.plan, "dirt").usual if camera.front == "dirty" else 1.0
    inside = constant(q.plan, "glare-inside").usual * dirt
    outside = constant(q.plan, "glare-outside-hooded" if glazed.recessed else "glare-outside").usual * dirt
    strayed = inside * float((seen * np.maximum(raster.cos, 0.0) * raster.solid).sum())
    if now.ray is not None and now.beam > 0.0:
        origin = raster.origin[None, :]
        within = raster.eye.project(origin + now.ray)[2]
        if raster.scene.visible(origin + FAR * now.ray, origin, raster.absent)[0]:
            falls = now.beam * float(share_of_glass(glazed, forward, now.ray[None, :], within)[0])
            strayed += (inside if within[0] else outside) * falls
    return strayed / np.pi
