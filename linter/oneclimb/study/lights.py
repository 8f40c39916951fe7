"""The lights study: every lamp and illuminator of the site as arrays, in threshold units.

Built once a run. Cameras and lamps are sources, not solids: they hide nothing.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Ref, Unknown
from oneclimb.place import lens
from oneclimb.trade import lamps
from oneclimb.trade.constants import constant
from oneclimb.trade.light import led_exponent

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Change, Query
    from oneclimb.plan.model import Camera, Lamp, Site, Vec

    Array = npt.NDArray[np.float64]

INFRARED = ("infrared", "both")
"""nights judged by the infrared; with ``both`` the white light comes only with an event"""
BULB = 0.05
"""a bulb stands at least this far, m, from the wall or soffit its lamp is fixed to (common practice)"""


@dataclass(frozen=True, slots=True)
class Light:
    """One source. ``peak`` axial intensity, threshold units; ``exponent`` of cosᵐθ, 0 all round.

    ``column`` the reflectances its light meets (nm), ``seen`` whether a camera that keeps
    infrared out (colour by white light) sees it; ``steady`` a lamp lit whenever it is dark;
    ``shade`` a lamp that sends nothing above the horizontal.
    """

    ref: Ref
    spot: Vec
    axis: Vec
    peak: float
    exponent: float
    column: int
    seen: bool
    steady: bool = False
    shade: bool = False
    weak: float = 1.0
    """how much less it could be, as a factor: the doubt of what its lumens are worth"""
    strong: float = 1.0
    """how much more"""

    def burns(self, state: str, whole: tuple[str, str]) -> bool:
        """Whether it is lit in a state: cameras' lights always, lamps not in the first of ``whole``, all in the
        second, and else the one the state is named after and those lit all night.
        """
        dark, everything = whole
        if self.ref.kind != "lamp" or state == everything:
            return True
        return state != dark and (self.steady or self.ref.id == state)

    def strength(self, end: str) -> float:
        """Its strength at the low, usual or high end of the doubt, over the usual."""
        return {"low": self.weak, "usual": 1.0, "high": self.strong}[end]


@dataclass(frozen=True, slots=True)
class Ways:
    """Straight ways from p places to k sources: unit vectors by coordinate, each (k, p), and distances, m."""

    x: Array
    y: Array
    z: Array
    apart: Array

    def along(self, vectors: Array) -> Array:
        """(k, p) cosines to unit vectors (p, 3), one a place."""
        return self.x * vectors[:, 0] + self.y * vectors[:, 1] + self.z * vectors[:, 2]


@dataclass(frozen=True)
class Lights:
    """All sources of the site. n = len(lights)."""

    lights: tuple[Light, ...]
    unknown: Mapping[Ref, Unknown]
    """sources the plan does not describe well enough, with the question; not among ``lights``"""
    spots: Array
    """(n, 3) m, site coordinates"""
    axes: Array
    """(n, 3) unit vectors of the beams"""
    peaks: Array
    exponents: Array
    shades: npt.NDArray[np.bool_]
    columns: npt.NDArray[np.intp]
    seen: npt.NDArray[np.bool_]
    lamps: npt.NDArray[np.bool_]
    """(n,) whether it is a lamp, not a camera's"""
    index: Mapping[Ref, int]

    def ways(self, which: npt.NDArray[np.intp], places: Array) -> Ways:
        """From places (p, 3) to sources ``which`` (k,)."""
        x, y, z = (self.spots[which, i, None] - places[None, :, i] for i in range(3))
        apart = np.maximum(np.sqrt(x * x + y * y + z * z), 1e-6)
        return Ways(x / apart, y / apart, z / apart, apart)

    def sent(self, which: npt.NDArray[np.intp], ways: Ways) -> Array:
        """Intensity (k, p) that sources ``which`` (k,) send down those ways."""
        axis = self.axes[which]
        cosine = -(ways.x * axis[:, 0, None] + ways.y * axis[:, 1, None] + ways.z * axis[:, 2, None])
        exponent = self.exponents[which, None]
        beam = np.power(np.maximum(cosine, 1e-9), exponent)
        beam[(cosine <= 0.0) & (exponent > 0.0)] = 0.0
        if self.shades[which].any():
            beam[(ways.z < 0.0) & self.shades[which, None]] = 0.0
        return np.asarray(beam * self.peaks[which, None])


def lights_of(lights: Iterable[Light], unknown: Mapping[Ref, Unknown]) -> Lights:
    """Sources as arrays."""
    listed = tuple(lights)
    return Lights(
        listed,
        unknown,
        np.array([s.spot for s in listed], dtype=np.float64).reshape(-1, 3),
        np.array([s.axis for s in listed], dtype=np.float64).reshape(-1, 3),
        np.array([s.peak for s in listed], dtype=np.float64),
        np.array([s.exponent for s in listed], dtype=np.float64),
        np.array([s.shade for s in listed], dtype=np.bool_),
        np.array([s.column for s in listed], dtype=np.intp),
        np.array([s.seen for s in listed], dtype=np.bool_),
        np.array([s.ref.kind == "lamp" for s in listed], dtype=np.bool_),
        {s.ref: i for i, s in enumerate(listed)},
    )


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
    return lights_of(lights, unknown)
