"""Light of sources that are not the camera's own: which of them matter, and what they reach.

One cast for all pairs of source and place. Pairs that could give less than a twentieth of
the threshold, or of the camera's own light there, are left out and carried as doubt.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.study.night_field import from_places, on_surfaces
from oneclimb.study.night_glass import RAYS, Direct, Front, possible, rays_to_sources
from oneclimb.study.night_targets import others_light
from oneclimb.trade import light

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.study.lights import Lights
    from oneclimb.study.night_field import Field
    from oneclimb.study.night_targets import Targets
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]
    Which = npt.NDArray[np.intp]

PROBES = 48
"""places of each kind at which it is first asked whether a source matters at all"""


@dataclass(frozen=True)
class Others:
    """k sources that matter: ``which`` (k,) of the site's lights, their light on the frame's places (k, p), on
    what lies round it (k, r), on the targets (k, T), straight on the glass; ``pruned`` what was left out, stops.
    """

    which: Which
    on_frame: Array
    on_round: Array
    on_targets: Array
    direct: tuple[Direct, ...]
    pruned: float


@dataclass(frozen=True, slots=True)
class Stage:
    """Where other light is looked for: all that a camera sees and all that is lit, and what the search needs.

    ``scale`` (n,) of every source for this camera; the ring's ``radius``, m; ``prune``, the share below which
    light is left out; ``stray``, the most of the light on the glass that becomes veil.
    """

    raster: Raster
    lights: Lights
    frame: Field
    round: Field
    found: Targets
    front: Front
    scale: Array
    radius: float
    prune: float
    stray: float


def others(on: Stage) -> Others:
    """Other sources' light on everything the camera sees."""
    places = [on.frame.places, on.round.places, on.found.points]
    which = _mattering(on)
    if not len(which):
        frame, beyond, at = (np.zeros((0, len(here))) for here in places)
        return Others(which, frame, beyond, at, (), 0.0)
    scale = on.scale[which, None]
    lit = [scale * on_surfaces(on.lights, which, f.places, f.normals, on.radius) for f in (on.frame, on.round)]
    lit.append(scale * others_light(on.lights, which, on.found, on.raster.origin, on.radius))
    floors = [np.maximum(1.0, own) for own in (on.frame.own_at_places, on.round.own_at_places, on.found.own)]
    worth = [here > on.prune * floor for here, floor in zip(lit, floors, strict=True)]
    worth[2] &= on.found.shown
    pruned = _left_out(lit[2] * on.found.shown, worth[2], floors[2])
    straight, inside = possible(on.raster, on.front, on.lights, which, on.radius)
    straight = straight * on.scale[which]
    glaring = np.flatnonzero(straight * on.stray > on.prune)
    free = _cast(on, which, places, worth, glaring)
    for here, kept, clear in zip(lit, worth, free[:3], strict=True):
        here[~kept] = 0.0
        here[kept] *= clear
    seen = free[3].reshape(-1, RAYS).mean(axis=1)
    apart = np.linalg.norm(on.lights.spots[which] - on.raster.origin, axis=1)
    direct = tuple(
        Direct(on.lights.lights[which[i]].ref, float(straight[i] * share), bool(inside[i]), float(apart[i]))
        for i, share in zip(glaring, seen, strict=True)
        if share > 0.0
    )
    return Others(which, lit[0], lit[1], lit[2], direct, pruned)


def _mattering(on: Stage) -> Which:
    """Sources that could matter at a few places each of frame, round and targets, or on the glass."""
    lit = np.flatnonzero(on.scale * on.lights.peaks > 0.0)
    if not len(lit):
        return lit
    straight, _ = possible(on.raster, on.front, on.lights, lit, on.radius)
    glaring = straight * on.scale[lit] * on.stray > on.prune
    rest = lit[~glaring]
    shown = on.found.shown
    probes = (
        (on.found.points[shown], on.found.own[shown]),
        (on.frame.places, on.frame.own_at_places),
        (on.round.places, on.round.own_at_places),
    )
    steps = [max(1, len(at) // PROBES) for at, _ in probes]
    places = np.concatenate([at[::step] for (at, _), step in zip(probes, steps, strict=True)])
    floor = np.concatenate([np.maximum(1.0, own[::step]) for (_, own), step in zip(probes, steps, strict=True)])
    toward, apart = from_places(on.lights, rest, places)
    most = light.irradiance(on.lights.intensity(rest, -toward), on.scale[rest, None], apart * apart, on.radius)
    strong = (most > on.prune * floor).any(axis=1)
    return np.sort(np.concatenate([lit[glaring], rest[strong]]))


def _left_out(on_targets: Array, kept: npt.NDArray[np.bool_], floor: Array) -> float:
    """The most by which light left out could lift a target, stops."""
    lost = np.where(kept, 0.0, on_targets).sum(axis=0) / floor
    return math.log2(1.0 + float(lost.max(initial=0.0)))


def _cast(
    on: Stage, which: Which, places: list[Array], worth: list[npt.NDArray[np.bool_]], glaring: Which
) -> list[npt.NDArray[np.bool_]]:
    """Whether the way is free for every pair kept, place by place, and for the rays to the glass; one cast."""
    starts, ends, counts = [], [], []
    for at, kept in zip(places, worth, strict=True):
        source, place = np.nonzero(kept)
        starts.append(on.lights.spots[which[source]])
        ends.append(at[place])
        counts.append(len(source))
    ring = rays_to_sources(on.lights, which[glaring], on.raster.origin).reshape(-1, 3)
    starts.append(ring)
    ends.append(np.broadcast_to(on.raster.origin, ring.shape))
    free = on.raster.scene.visible(np.concatenate(starts), np.concatenate(ends), on.raster.absent)
    return np.split(free, np.cumsum(counts))
