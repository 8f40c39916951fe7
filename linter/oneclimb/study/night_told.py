"""What each surface and each source does to a camera's picture after dark."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.trade import light

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from oneclimb.study.night import Night
    from oneclimb.study.night_view import NightView

    Array = npt.NDArray[np.float64]

LEAST = 0.02
"""contributions below this share of metered light and of veil are not told"""


class Contribution(Struct, frozen=True):
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
    owners, frame = night.raster.scene.owners, night.frame
    metered, shares = _metered(night, view), np.bincount(frame.group, minlength=len(frame.owners)) / len(frame.group)
    light_of: dict[int, Array] = defaultdict(lambda: np.zeros(4))
    for field, place in ((frame, 2), (night.round, 3)):
        fallen = view.dimmed * night.own_fallen(field, "usual") + night.rest_fallen(field, lit, "usual")
        for group, owner in enumerate(field.owners.tolist()):
            light_of[owner][place] += fallen[group]
            if field is frame:
                light_of[owner][:2] += metered[group], shares[group]
    for mirror in night.mirrors_lit:
        if mirror.ref in night.raster.scene.numbers:
            owner = night.raster.scene.numbers[mirror.ref]
            light_of[owner][2 if mirror.inside else 3] += view.dimmed * mirror.received
    owned = np.array([owner for owner in light_of if owner >= 0], dtype=np.intp)
    taken, share, inside, outside = np.array([light_of[owner] for owner in owned.tolist()]).reshape(-1, 4).T
    veil, part = _veil(night, inside, outside, view.veil)
    for k in np.flatnonzero(np.maximum(taken, veil) >= LEAST).tolist():
        owner = int(owned[k])
        mirrored = (m.distance for m in night.mirrors_lit if m.ref == owners[owner])
        nearest = min(frame.nearest(owner), night.round.nearest(owner), *mirrored)
        yield Contribution(owners[owner], float(taken[k]), float(veil[k]), nearest, float(share[k]), float(part[k]))


def _metered(night: Night, view: NightView) -> Array:
    """(G,) share of the light the metering sees by the frame's groups."""
    signal = view.signals.ravel() + view.veil
    taken = np.bincount(night.frame.group, np.minimum(1.0, view.gain * signal), len(night.frame.owners))
    return np.asarray(taken / max(float(taken.sum()), 1e-12))


def _sources(night: Night, state: str) -> Iterator[Contribution]:
    view = night.view(state)
    signal = view.signals.ravel() + view.veil
    whole = float(np.minimum(1.0, view.gain * signal).sum())
    lit = night.lit(state)
    strays = [night.rest_on_glass(np.array([i], dtype=np.intp), "usual") for i in lit]
    inside, outside = np.array(strays).reshape(-1, 2).T
    veils, parts = _veil(night, inside, outside, view.veil)
    for i, veil, part in zip(lit.tolist(), veils.tolist(), parts.tolist(), strict=True):
        source, alone = night.others.which[i], np.array([i], dtype=np.intp)
        less = np.maximum(signal - night.rest_signal(alone, "usual"), 0.0)
        metered = 1.0 - float(np.minimum(1.0, view.gain * less).sum()) / whole if whole > 0.0 else 0.0
        apart = float(np.linalg.norm(night.lights.spots[source] - night.raster.origin))
        yield Contribution(night.lights.lights[source].ref, metered, veil, apart, 0.0, part)


def _panes(night: Night, state: str) -> Iterator[Contribution]:
    """A pane in front of the camera; panes of the place are surfaces."""
    view = night.view(state)
    for mirror in night.mirrors_lit:
        if mirror.ref not in night.raster.scene.numbers:
            veil, part = _veil(night, np.array([view.dimmed * mirror.received]), np.zeros(1), view.veil)
            yield Contribution(mirror.ref, 0.0, float(veil[0]), mirror.distance, 0.0, float(part[0]))


def _veil(night: Night, inside: Array, outside: Array, whole: float) -> tuple[Array, Array]:
    """Share of the whole veil that light on the glass makes, and what part of it comes from outside the frame."""
    g_in, g_out = night.habits.glare_inside["usual"], night.habits.glare_outside["usual"]
    beyond, both = light.veil(g_in, g_out, 0.0, outside), light.veil(g_in, g_out, inside, outside)
    part = np.divide(beyond, both, out=np.zeros_like(both), where=both > 0.0)
    return (both / whole if whole > 0.0 else np.zeros_like(both)), part
