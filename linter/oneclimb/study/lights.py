"""The lights study: every lamp and illuminator of the site as arrays, in threshold units.

Built once a run. Cameras and lamps are sources, not solids: they hide nothing.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Ref, Unknown
from oneclimb.place import lens
from oneclimb.study.sources import Light, Lights, lights_of
from oneclimb.trade import lamps
from oneclimb.trade.constants import constant
from oneclimb.trade.led import led_exponent

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Change, Query
    from oneclimb.plan.model import Camera, Lamp, Site, Vec

    Array = npt.NDArray[np.float64]

INFRARED = ("infrared", "both")
"""nights judged by the infrared; with ``both`` the white light comes only with an event"""
BULB = 0.05
"""a bulb stands at least this far, m, from the wall or soffit its lamp is fixed to (common practice)"""


def compute(site: Site, q: Query) -> Lights:
    """Every lamp's and camera's light."""
    del site
    lights: list[Light] = []
    unknown: dict[Ref, Unknown] = {}
    for ref, make in _makers(q):
        try:
            lights.append(make())
        except Unknown as unsaid:
            unknown[ref] = unsaid
    return lights_of(lights, unknown)


def _makers(q: Query) -> Iterable[tuple[Ref, Callable[[], Light]]]:
    for lamp in q.all("lamp"):
        ref = Ref("lamp", lamp.id)
        yield ref, functools.partial(lamp_light, lamp, ref, q)
    for camera in q.all("camera"):
        if camera.night in INFRARED:
            ref = Ref("camera", camera.id, "infrared")
            yield ref, functools.partial(infrared_light, camera, ref, q)
        if camera.night == "white":
            ref = Ref("camera", camera.id, "white")
            yield ref, functools.partial(white_light, camera, ref, q)


def lamp_light(lamp: Lamp, ref: Ref, q: Query) -> Light:
    """A lamp's light; ``Unknown`` where the plan gives no kind, no lumens or, for infrared, no range or beam."""
    kind = q.need(lamp, "kind")
    weak = strong = 1.0
    if kind == "infrared":
        peak = lamps.infrared_intensity(q.need(lamp, "range"))
        exponent = led_exponent(min(q.need(lamp, "beam") / 2.0, _widest(q)))
    else:
        candela, exponent = lamps.candela(q.need(lamp, "lumens"), lamp.beam)
        worth = lamps.threshold(q.plan, kind)
        peak = candela / worth.usual
        weak, strong = worth.usual / worth.high, worth.usual / worth.low
    axis = _toward(lamp.spot.xyz, lamp.aim)
    return Light(
        ref,
        _bulb(lamp, axis),
        axis,
        peak,
        exponent,
        lamps.COLUMN[kind],
        seen=kind != "infrared",
        steady=lamp.lit in {"always", "dusk"},
        shade=lamp.shade,
        weak=weak,
        strong=strong,
    )


def infrared_light(camera: Camera, ref: Ref, q: Query) -> Light:
    """A camera's own infrared, at its front glass and along its axis; ``Unknown`` without a rated range."""
    peak = lamps.infrared_intensity(q.need(camera, "infrared.range"))
    infrared = camera.infrared
    wavelength, beam = (infrared.wavelength, infrared.beam) if infrared else (lamps.NEAR, None)
    exponent = led_exponent(half_beam(camera, beam, q))
    eye = lens.eye(camera, q.plan.site)
    return Light(ref, eye.origin, eye.forward, peak, exponent, wavelength, seen=False)


def white_light(camera: Camera, ref: Ref, q: Query) -> Light:
    """A camera's own white light; ``Unknown`` without its lumens."""
    lumens = q.need(camera, "white.lumens")
    beam = camera.white.beam if camera.white else None
    candela, exponent = lamps.candela(lumens, 2.0 * half_beam(camera, beam, q))
    eye = lens.eye(camera, q.plan.site)
    peak = candela / lamps.threshold(q.plan, "white LED").usual
    return Light(ref, eye.origin, eye.forward, peak, exponent, lamps.VISIBLE, seen=True)


def half_beam(camera: Camera, beam: float | None, q: Query) -> float:
    """Angle of half intensity: half the beam, or half the angle of view where the plan gives none, degrees."""
    return min((camera.view.across if beam is None else beam) / 2.0, _widest(q))


def _widest(q: Query) -> float:
    return constant(q.plan, "widest-half-beam").usual


def _toward(spot: Vec, aim: Vec | None) -> Vec:
    """Unit vector from a lamp to what it is aimed at; straight down without an aim."""
    if aim is None:
        return (0.0, 0.0, -1.0)
    way = tuple(b - a for a, b in zip(spot, aim, strict=True))
    length = math.hypot(*way)
    return (way[0] / length, way[1] / length, way[2] / length) if length > 0.0 else (0.0, 0.0, -1.0)


def _bulb(lamp: Lamp, axis: Vec) -> Vec:
    """Where the light comes from: clear of the wall, and of what a lamp with a beam shines away from."""
    spot, out = lamp.spot, max(0.0, BULB - lamp.spot.out)
    down = 0.0 if lamp.beam is None else BULB
    return (
        spot.x + out * spot.normal[0] + down * axis[0],
        spot.y + out * spot.normal[1] + down * axis[1],
        spot.z + down * axis[2],
    )


_STRANGERS = frozenset({"object", "area", "cable", "connector", "land", "building"})


def vary(base: Lights, site: Site, changes: tuple[Change, ...], q: Query) -> Lights | None:
    """The base's lights where only cameras, lamps and things that give no light are touched; the touched made anew."""
    del site
    real = [change for change in changes if change.how != "dark" and change.at.kind not in _STRANGERS]
    if not real:
        return base
    if any(change.at.kind not in {"camera", "lamp"} for change in real):
        return None
    touched = {change.at.thing for change in real}
    lights: list[Light] = []
    unknown: dict[Ref, Unknown] = {}
    for ref, make in _makers(q):
        try:
            same = ref in base.index and ref.thing not in touched
            lights.append(base.lights[base.index[ref]] if same else make())
        except Unknown as unsaid:
            unknown[ref] = unsaid
    if tuple(lights) == base.lights and unknown.keys() == base.unknown.keys():
        return base
    return lights_of(lights, unknown)
