"""What each surface and each source does to a camera's picture after dark."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Ref
from oneclimb.trade import light

if TYPE_CHECKING:
    from collections.abc import Iterator

    from oneclimb.study.night import Night

LEAST = 0.02
"""contributions below this share of metered light and of veil are not told"""


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one surface or source does to the picture.

    ``metered`` its share of the light the metering sees, ``veil`` its share of the veil,
    ``outside`` what part of that veil comes from outside the frame, ``frame`` its share
    of the frame, ``nearest`` its distance, m.
    """

    ref: Ref
    metered: float
    veil: float
    nearest: float
    frame: float
    outside: float


def contributions(night: Night, state: str) -> tuple[Contribution, ...]:
    """Surfaces and sources but the camera's own light, those worth telling, largest first."""
    told = [*_surfaces(night, state), *_sources(night, state), *_panes(night, state)]
    kept = [c for c in told if max(c.metered, c.veil) >= LEAST]
    return tuple(sorted(kept, key=lambda c: -max(c.metered, c.veil)))


def _surfaces(night: Night, state: str) -> Iterator[Contribution]:
    view, lit = night.view(state), night.lit(state)
    owners, frame, beyond = night.raster.scene.owners, night.frame, night.round
    count = len(owners) + 1
    signal = view.signals.ravel()
    taken = np.minimum(1.0, view.gain * (signal + view.veil))
    metered = np.bincount(frame.owner + 1, taken, count) / max(float(taken.sum()), 1e-12)
    around = view.dimmed * night.own_signal(beyond, "usual")
    around += night.rest_signal(beyond, night.others.on_round, lit, "usual")
    inside = np.bincount(frame.owner + 1, frame.collect * signal, count)
    outside = np.bincount(beyond.owner + 1, beyond.collect * around, count)
    for mirror in night.mirrors_lit:
        number = night.raster.scene.numbers.get(mirror.ref)
        if number is not None:
            (inside if mirror.inside else outside)[number + 1] += view.dimmed * mirror.received
    shares = np.bincount(frame.owner + 1, minlength=count) / len(frame.owner)
    for i, ref in enumerate(owners):
        if metered[i + 1] >= LEAST or inside[i + 1] + outside[i + 1] > 0.0:
            veil, part = _veil(night, inside[i + 1], outside[i + 1], view.veil)
            if max(metered[i + 1], veil) >= LEAST:
                yield Contribution(ref, float(metered[i + 1]), veil, _nearest(night, i), float(shares[i + 1]), part)


def _nearest(night: Night, owner: int) -> float:
    return float(min(field.t[field.owner == owner].min(initial=math.inf) for field in (night.frame, night.round)))


def _sources(night: Night, state: str) -> Iterator[Contribution]:
    view = night.view(state)
    signal = view.signals.ravel() + view.veil
    whole = float(np.minimum(1.0, view.gain * signal).sum())
    for i in night.lit(state):
        source = night.others.which[i]
        sums = night.sums(np.array([i], dtype=np.intp), "usual")
        without = np.minimum(1.0, view.gain * np.maximum(signal - sums.rest, 0.0)).sum()
        veil, part = _veil(night, sums.rest_inside, sums.rest_outside, view.veil)
        apart = float(np.linalg.norm(night.lights.spots[source] - night.raster.origin))
        metered = 1.0 - float(without) / whole if whole > 0.0 else 0.0
        yield Contribution(night.lights.lights[source].ref, metered, veil, apart, 0.0, part)


def _panes(night: Night, state: str) -> Iterator[Contribution]:
    """A pane in front of the camera; panes of the place are surfaces."""
    view = night.view(state)
    for mirror in night.mirrors_lit:
        if mirror.ref not in night.raster.scene.numbers:
            veil, part = _veil(night, view.dimmed * mirror.received, 0.0, view.veil)
            yield Contribution(mirror.ref, 0.0, veil, mirror.distance, 0.0, part)


def _veil(night: Night, inside: float, outside: float, whole: float) -> tuple[float, float]:
    """Share of the whole veil that light on the glass makes, and what part of it comes from outside the frame."""
    g_in, g_out = night.habits.glare_inside["usual"], night.habits.glare_outside["usual"]
    beyond, both = float(light.veil(g_in, g_out, 0.0, outside)), float(light.veil(g_in, g_out, inside, outside))
    return (both / whole if whole > 0.0 else 0.0), (beyond / both if both > 0.0 else 0.0)
