"""The retro study: how bright a camera's own light makes number plates and signs, against its exposure.

Each is judged at its middle, so that a plate too small for the raster is not missed.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.place import lens
from oneclimb.study import COVER, NIGHT, RASTER, THINGS
from oneclimb.study.night_targets import at_night
from oneclimb.trade import light
from oneclimb.trade.constants import constant
from oneclimb.trade.materials import BUILT_IN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Object, Vec
    from oneclimb.study.night import Night

WIDEST = 60.0
"""degrees from square on beyond which sheeting returns next to nothing (estimate; ASTM D4956 measures it at 30)"""
SHY = 0.02
"""m before its face at which a thing is looked for"""


class Returned(Struct, frozen=True):
    """What one reflective thing sends back: signal in threshold units, and how far past full scale that is taken.

    ``over`` stops above white (below it negative); ``aside`` the stops less were the light a metre from the lens;
    ``coefficient`` R_A, cd/(lx m²); ``lit`` what falls on it square to the beam, threshold units; ``gain`` k.
    """

    ref: Ref
    distance: float
    coefficient: float
    lit: float
    signal: float
    gain: float
    over: float
    aside: float


ASIDE = 1.0
"""m: a lamp of its own this far from the lens (common practice)"""


CAR = 4.0
"""m/s from which what moves over an area is taken to be a vehicle, with a plate (estimate)"""
PLATE = ("number plate", 0.45)
"""what it is made of, and how high it hangs, m (common practice)"""


def compute(camera: Camera, q: Query) -> tuple[Returned, ...]:
    """Every reflective thing that shows, and a plate where vehicles are wanted, nearest first.

    None for a camera without a light of its own. Raises ``Unknown`` as the night study does.
    """
    if camera.night == "none":
        return ()
    eye = lens.eye(camera, q.plan.site)
    shown = [*_things(eye, camera, q), *_plates(camera, q)]
    if not shown:
        return ()
    night, aligned = q.of(NIGHT, camera), constant(q.plan, "retro-angle").usual
    found = (_returned(night, ref, retro, place, aligned) for ref, retro, place in shown)
    return tuple(sorted(found, key=lambda one: one.distance))


def _things(eye: lens.Eye, camera: Camera, q: Query) -> Iterator[tuple[Ref, float, Vec]]:
    """Things of reflective sheeting in the frame with nothing before them."""
    for thing, retro in q.of(THINGS, q.plan.site).reflectors:
        place, slant = _facing(thing, eye)
        point = np.array([place])
        if slant <= WIDEST and eye.project(point)[2][0]:
            raster = q.of(RASTER, camera)
            if raster.scene.visible(raster.origin, point, raster.absent)[0]:
                yield Ref("object", thing.id), retro, place


def _plates(camera: Camera, q: Query) -> Iterator[tuple[Ref, float, Vec]]:
    """A plate turned to the camera at the nearest place of each watched area that vehicles move over by night."""
    cover = q.of(COVER, camera)
    watched = (q.get(Ref("area", name)) for name in cover.watched)
    fast = [area for area in watched if (area.pace or 0.0) >= CAR and at_night(area)]
    for area in fast:
        found = cover.areas[area.id]
        if found.seen.any():
            x, y, z = found.ground[found.seen][np.argmin(found.distance[found.seen])]
            yield Ref("area", area.id), BUILT_IN[PLATE[0]].retro, (float(x), float(y), float(z) + PLATE[1])


def _facing(thing: Object, eye: lens.Eye) -> tuple[Vec, float]:
    """The middle of the side turned to the camera, a little before it; how many degrees from square on it is seen."""
    spot = thing.spot
    middle = np.array([spot.x, spot.y, spot.z + thing.tall / 2])
    way = np.array(eye.origin) - middle
    if thing.shape not in ("panel", "box"):
        square = way / max(float(np.linalg.norm(way)), 1e-6)
        deep = thing.diameter
    else:
        turn = math.radians(thing.yaw)
        square = np.array([-math.sin(turn), math.cos(turn), 0.0])
        square = square if float(square @ way) > 0.0 else -square
        deep = thing.deep
    place = middle + (deep / 2 + SHY) * square
    toward = np.array(eye.origin) - place
    cosine = float(toward @ square) / max(float(np.linalg.norm(toward)), 1e-6)
    return (float(place[0]), float(place[1]), float(place[2])), math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def _returned(night: Night, ref: Ref, coefficient: float, place: Vec, aligned: float) -> Returned:
    own, view = night.own, night.view()
    way = np.array(place) - night.raster.origin
    apart = max(float(np.linalg.norm(way)), own.touching)
    cosine = float(way @ np.array(night.raster.eye.forward)) / apart
    lit = float(light.irradiance(own.peak * light.pattern(np.array(cosine), own.exponent), 1.0, apart**2, own.radius))
    near, far = (float(light.retro_share(radius, np.array(apart), aligned)) for radius in (own.radius, ASIDE))
    signal = float(light.signal(math.pi * coefficient * near, lit * view.dimmed))
    over = math.log2(max(view.gain * (signal + view.veil), 1e-9))
    return Returned(ref, apart, coefficient, lit, signal, view.gain, over, math.log2(near / far))
