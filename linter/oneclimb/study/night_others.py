"""Light of sources that are not the camera's own: which of them matter, and what they reach.

One cast for all pairs of source and place. Pairs that could give less than a twentieth of
the threshold, or of the camera's own light there, and sources past the eight that matter
most, are left out and carried as doubt: a target may be lighter by as much.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.study.night_glass import RAYS, Direct, Front, possible, rays_to_sources
from oneclimb.trade import light

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.study.night_field import Field
    from oneclimb.study.night_targets import Targets
    from oneclimb.study.raster import Raster
    from oneclimb.study.sources import Lights

    Array = npt.NDArray[np.float64]
    Which = npt.NDArray[np.intp]

PROBES = 24
"""places of the frame, and of what lies round it, at which it is first asked how much a source matters"""
MOST = 8
"""lamps, and cameras' lights, that are followed: those that matter most"""
FAR = 2.0
"""sources farther from the camera than this many times their own reach (√peak) are left out"""


class Others(Struct, frozen=True, dict=True):
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
    pruned: Array
    """(T,) by how much light left out could lift each target, stops"""


class Stage(Struct, frozen=True):
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
    which, lost = _mattering(on)
    frame, beyond, found = on.frame, on.round, on.found
    points = np.concatenate([frame.places, beyond.places, found.points])
    ends = (len(frame.places), len(frame.places) + len(beyond.places))
    if not len(which):
        nothing = np.zeros((0, len(points)))
        return _told(on, which, nothing, ends, direct=(), lost=lost)
    lit = _arriving(on, which, points, ends[1])
    floor = np.maximum(1.0, np.concatenate([frame.own_at_places, beyond.own_at_places, found.own]))
    lit[:, ends[1] :] *= found.shown
    worth = lit > on.prune * floor
    lost = lost + np.where(worth, 0.0, lit)[:, ends[1] :].sum(axis=0)
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
    return _told(on, which, lit, ends, direct=direct, lost=lost)


def _told(
    on: Stage, which: Which, lit: Array, ends: tuple[int, int], *, direct: tuple[Direct, ...], lost: Array
) -> Others:
    """The light (k, P) on all places, taken apart."""
    on_frame, on_round = lit[:, : ends[0]], lit[:, ends[0] : ends[1]]
    return Others(
        which=which,
        on_frame=on_frame,
        on_targets=lit[:, ends[1] :],
        frame_sums=on.frame.by_group(on_frame),
        round_sums=on.round.by_group(on_round),
        direct=direct,
        pruned=np.log2(1.0 + lost / np.maximum(1.0, on.found.own)),
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


def _mattering(on: Stage) -> tuple[Which, Array]:
    """Sources that matter, and the light (T,) that the rest could put on the targets.

    A source matters by the most it could lift a target, by its part in the mean light of
    frame and surroundings, or by the veil it could make; each over the threshold or the
    camera's own.
    """
    away = np.linalg.norm(on.lights.spots - on.raster.origin, axis=1)
    near = np.flatnonzero(on.scale * on.lights.peaks * FAR**2 > away * away)
    count = len(on.found.points)
    if not len(near):
        return near, np.zeros(count)
    straight, _ = possible(on.raster, on.front, on.lights, near, on.radius)
    shown = np.flatnonzero(on.found.shown)
    probes = [(on.found.points[shown], on.found.own[shown])]
    for field in (on.frame, on.round):
        thin = max(1, len(field.places) // PROBES)
        probes.append((field.places[::thin], field.own_at_places[::thin]))
    ways = on.lights.ways(near, np.concatenate([places for places, _ in probes]))
    most = light.irradiance(on.lights.sent(near, ways), on.scale[near, None], ways.apart**2, on.radius)
    floor = np.maximum(1.0, np.concatenate([own for _, own in probes]))
    targets = len(shown)
    lift = (most[:, :targets] / floor[:targets]).max(axis=1, initial=0.0)
    part = most[:, targets:].mean(axis=1) / floor[targets:].mean()
    score = np.maximum(np.maximum(lift, part), straight * on.scale[near] * on.stray)
    kept = np.zeros(len(near), dtype=np.bool_)
    for kind in (on.lights.lamps[near], ~on.lights.lamps[near]):
        ranked = np.flatnonzero(kind & (score > on.prune))
        kept[ranked[np.argsort(-score[ranked], kind="stable")[:MOST]]] = True
    lost = np.zeros(count)
    lost[shown] = most[~kept, :targets].sum(axis=0)
    return near[kept], lost


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
