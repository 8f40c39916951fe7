"""Light of sources that are not the camera's own: which of them matter, and what they reach.

One cast for all pairs of source and place. Pairs that could give less than a twentieth of
the threshold, or of the camera's own light there, are left out and carried as doubt.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.study.night_glass import RAYS, Direct, Front, possible, rays_to_sources
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
    """k sources that matter."""

    which: Which
    """(k,) of the site's lights"""
    on_frame: Array
    """(k, p) light on the frame's places"""
    on_targets: Array
    """(k, T) light on the targets"""
    frame_sums: Array
    """(k, G) what each makes the frame's groups put on the glass, per unit of reflectance"""
    round_sums: Array
    """(k, G) the same of what lies round the frame"""
    direct: tuple[Direct, ...]
    """light straight on the glass"""
    pruned: float
    """what was left out, stops"""


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
    which = _mattering(on)
    frame, beyond, found = on.frame, on.round, on.found
    points = np.concatenate([frame.places, beyond.places, found.points])
    ends = (len(frame.places), len(frame.places) + len(beyond.places))
    if not len(which):
        nothing = np.zeros((0, len(points)))
        return _told(on, which, nothing, ends, direct=(), pruned=0.0)
    lit = _arriving(on, which, points, ends[1])
    floor = np.maximum(1.0, np.concatenate([frame.own_at_places, beyond.own_at_places, found.own]))
    lit[:, ends[1] :] *= found.shown
    worth = lit > on.prune * floor
    lost = np.where(worth, 0.0, lit)[:, ends[1] :].sum(axis=0) / floor[ends[1] :]
    straight, inside = possible(on.raster, on.front, on.lights, which, on.radius)
    straight = straight * on.scale[which]
    glaring = np.flatnonzero(straight * on.stray > on.prune)
    free, seen = _cast(on, which, points, worth, glaring)
    lit[~worth] = 0.0
    lit[worth] *= free
    apart = np.linalg.norm(on.lights.spots[which] - on.raster.origin, axis=1)
    direct = tuple(
        Direct(on.lights.lights[which[i]].ref, float(straight[i] * share), bool(inside[i]), float(apart[i]))
        for i, share in zip(glaring, seen, strict=True)
        if share > 0.0
    )
    return _told(on, which, lit, ends, direct=direct, pruned=math.log2(1.0 + float(lost.max(initial=0.0))))


def _told(
    on: Stage, which: Which, lit: Array, ends: tuple[int, int], *, direct: tuple[Direct, ...], pruned: float
) -> Others:
    """The light (k, P) on all places, taken apart."""
    on_frame, on_round = lit[:, : ends[0]], lit[:, ends[0] : ends[1]]
    return Others(
        which=which,
        on_frame=on_frame,
        on_targets=lit[:, ends[1] :],
        frame_sums=on_frame @ on.frame.mix,
        round_sums=on_round @ on.round.mix,
        direct=direct,
        pruned=pruned,
    )


def _arriving(on: Stage, which: Which, points: Array, surfaces: int) -> Array:
    """Light (k, P) of sources on all places were nothing in the way; the first ``surfaces`` places are surfaces,
    the rest targets: a standing one takes it by the phase of a Lambert sphere, the ground by the cosine.
    """
    ways = on.lights.ways(which, points)
    normals = np.concatenate([on.frame.normals, on.round.normals])
    sight = on.raster.origin - on.found.points
    sight = sight / np.maximum(np.linalg.norm(sight, axis=1, keepdims=True), 1e-6)
    cosine = ways.along(np.concatenate([normals, sight]))
    share = np.maximum(cosine, 0.0)
    phase = light.sphere_phase(cosine[:, surfaces:])
    share[:, surfaces:] = np.where(on.found.flat, np.maximum(ways.z[:, surfaces:], 0.0), phase)
    sent = on.lights.sent(which, ways) * on.scale[which, None]
    return light.irradiance(sent, share, ways.apart * ways.apart, on.radius)


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
    ways = on.lights.ways(rest, places)
    most = light.irradiance(on.lights.sent(rest, ways), on.scale[rest, None], ways.apart**2, on.radius)
    strong = (most > on.prune * floor).any(axis=1)
    return np.sort(np.concatenate([lit[glaring], rest[strong]]))


def _cast(
    on: Stage, which: Which, points: Array, worth: npt.NDArray[np.bool_], glaring: Which
) -> tuple[npt.NDArray[np.bool_], Array]:
    """Whether the way is free for every pair worth it, and what share of each glaring source the glass sees;
    one cast.
    """
    source, place = np.nonzero(worth)
    ring = rays_to_sources(on.lights, which[glaring], on.raster.origin).reshape(-1, 3)
    starts = np.concatenate([on.lights.spots[which[source]], ring])
    ends = np.concatenate([points[place], np.broadcast_to(on.raster.origin, ring.shape)])
    free = on.raster.scene.visible(starts, ends, on.raster.absent)
    return free[: len(source)], free[len(source) :].reshape(-1, RAYS).mean(axis=1)
