"""People standing at places of the ground: how far, in stops, each is from being lost in the dark.

How the picture is taken (gain, stray light, dimming) is the night study's own, so that drawings and findings agree.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from oneclimb.study.night_targets import own_light
from oneclimb.trade import exposure, light

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.study.night import Night

    Array = npt.NDArray[np.float64]


def margins(night: Night, points: Array, state: str, scale: Array, prune: float) -> Array:
    """Stops (k,) that a person whose chest is at points (k, 3) is from being lost, usable where positive.

    ``scale`` (sources,) is how much of each source's light counts for the camera; shadows are looked for where a
    source gives more than ``prune`` of the threshold or of the camera's own. Raises as ``Night.view`` does.
    """
    view, habits = night.view(state), night.habits
    own = given(night, points)
    held = view.dimmed * own * night.own_lit
    for row in night.lit(state).tolist():
        source = int(night.others.which[row])
        held += _from(night, source, points, worth=prune * np.maximum(1.0, own), scale=float(scale[source]))
    limits = {"full_scale": habits.full_scale, "white": habits.white, "contrast": habits.contrast}
    return exposure.margins(held, view.veil, gain=view.gain, **limits)


def given(night: Night, points: Array) -> Array:
    """What the camera's own light, undimmed, puts on people at points (k, 3), threshold units; nothing in its way."""
    return own_light(night.raster, points, np.zeros(len(points), dtype=np.bool_), night.own)


def _from(night: Night, source: int, points: Array, *, worth: Array, scale: float) -> Array:
    """What another source puts on a person at each point (k,), where that is more than it is ``worth`` (k,)."""
    lights, which = night.lights, np.array([source])
    ways = lights.ways(which, points)
    sight = night.raster.origin - points
    sight /= np.maximum(np.linalg.norm(sight, axis=1, keepdims=True), 1e-6)
    share = light.sphere_phase(ways.along(sight)[0])
    sent = lights.sent(which, ways)[0] * scale
    arriving = light.irradiance(sent, share, (ways.apart * ways.apart)[0], night.own.radius)
    counts = np.flatnonzero(arriving > worth)
    free = np.zeros(len(points), dtype=np.bool_)
    free[counts] = night.raster.scene.visible(lights.spots[source], points[counts], night.raster.absent)
    return np.asarray(arriving * free)
