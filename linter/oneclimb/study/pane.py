"""The pane study: what a pane before a camera does to its night besides throwing its own light back.

What is mirrored in the pane, and what dirt on it strays, lies as a veil over the whole frame. All of it is
reckoned with the pane's return of the camera's own light left out, so that each is seen by itself.
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.study import NIGHT
from oneclimb.study.night_field import ENDS
from oneclimb.trade import lamps, light, optics
from oneclimb.trade.constants import Constant, constant

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Plan
    from oneclimb.study.doubt import Doubt
    from oneclimb.study.night import Night
    from oneclimb.study.night_view import Added, NightView

OWN = "behind"
SPECK = 0.003
"""m: a status light's radius; nearer than this it grows no brighter (estimate)"""


class Behind(Struct, frozen=True, dict=True, eq=False):
    """A camera's night behind its pane."""

    night: Night
    plan: Plan
    mirrored: float
    """share of light the pane throws back, square on"""

    @functools.cached_property
    def clear(self) -> Night:
        """With the pane's return of the camera's own light left out."""
        return self.night.darkened(frozenset({Ref("camera", self.night.camera.id, OWN)}))

    @property
    def own(self) -> tuple[NightView, NightView]:
        """With the camera's own light thrown back by the pane, and without."""
        return self.night.view(), self.clear.view()

    def under(self, state: str, veil: Added) -> tuple[NightView, NightView]:
        """In a state of the lights, with a veil and without; raises as ``Night.view``."""
        return self.clear.view(state, added=veil), self.clear.view(state)

    def unlit(self, state: str) -> Doubt:
        """The wanted night view with the camera's own light off, 0 to 1; raises as ``Night.view``."""
        own = self.night.own_ref
        return self.night.darkened(frozenset({own}) if own else frozenset()).view(state).wanted

    @property
    def room(self) -> Added:
        """The veil of a lit room mirrored in the pane: R ρ E over the threshold."""
        lit = constant(self.plan, "room-light").usual * constant(self.plan, "room-walls").usual
        return self._visible(self.mirrored * lit / light.TARGET)

    def status(self, gap: float) -> Added:
        """The veil of a status light mirrored in the pane at twice the gap: g R I / (2 g)² over the threshold."""
        bright = constant(self.plan, "status-light").usual
        received = float(light.irradiance(self.mirrored * bright, 1.0, (2.0 * gap) ** 2, SPECK))
        return self._strayed(self._visible(received))

    def lamp(self, ref: Ref) -> Added:
        """The veil of a lamp's light on the pane, which strays as a front glass does."""
        lights, number = self.night.lights, np.array([self.night.lights.index[ref]], dtype=np.intp)
        gap = (self.night.camera.behind.gap if self.night.camera.behind else None) or 0.0
        forward = np.array(self.night.raster.eye.forward)
        level = np.array([forward[0], forward[1], 0.0])
        length = float(np.linalg.norm(level))
        normal = level / length if length > 0.0 else forward
        place = (self.night.raster.origin + gap * normal)[None, :]
        ways = lights.ways(number, place)
        cosine = float(ways.along(normal[None, :])[0, 0])
        free = self.night.raster.scene.visible(lights.spots[number], place, self.night.raster.absent)[0]
        if cosine <= 0.0 or not free:
            return (0.0, 0.0, 0.0)
        apart = float(ways.apart[0, 0])
        received = float(
            light.irradiance(float(lights.sent(number, ways)[0, 0]), cosine, apart * apart, self.night.own.radius)
        )
        low, usual, high = (received * lights.lights[int(number[0])].strength(end) for end in ENDS)
        return self._strayed((low, usual, high))

    def _strayed(self, received: Added) -> Added:
        low, usual, high = (
            float(light.veil(self.night.habits.glare_inside[end], 0.0, one, 0.0))
            for end, one in zip(ENDS, received, strict=True)
        )
        return low, usual, high

    def _visible(self, lux: float) -> Added:
        """Visible light in threshold units, by the ends of what a lux is worth."""
        worth: Constant = lamps.threshold(self.plan, "white LED")
        return lux / worth.high, lux / worth.usual, lux / worth.low


def compute(camera: Camera, q: Query) -> Behind:
    """The night behind a pane. Raises ``Unknown`` as the night study does."""
    index = constant(q.plan, "pane-index").usual
    return Behind(q.of(NIGHT, camera), q.plan, float(optics.pane(0.0, index)[0]))
