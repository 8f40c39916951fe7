"""The picture study: a camera's frame after dark, fine enough to be drawn.

The light is reckoned anew at every ray of a finer raster. How the camera takes it (gain, stray light, how far it
dims its own infrared) is the night study's, so that a drawing shows the very state the findings are told from.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from oneclimb.study import DARK, FINE, LIGHTS, NIGHT
from oneclimb.study.night_build import scales
from oneclimb.study.night_field import Field, frame_field
from oneclimb.study.night_targets import own_light
from oneclimb.trade import exposure, light
from oneclimb.trade.constants import constant

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Change, Query
    from oneclimb.plan.model import Camera
    from oneclimb.study.night import Night
    from oneclimb.study.night_view import NightView
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]

NOTHING, DARKNESS, USABLE, WASHED, WHITE = range(5)
"""what a place of the picture is for whoever stands there: no place (the sky), too dark, usable, washed out by stray
light, too bright"""


class Fallen(Struct, frozen=True, eq=False):
    """What one source that is not the camera's own puts on the places of the frame: on the surfaces there (n,), and
    on a standing target held there (n,).
    """

    surface: Array
    target: Array


class Fine(Struct, frozen=True, dict=True, eq=False):
    """A camera's frame after dark, n = rows * cols rays from the top left."""

    night: Night
    """the night study, which says how the picture is taken"""
    fine: Night
    """the same night with the finer frame"""
    scale: Array
    """(sources,) how much of each source's light counts for this camera"""
    prune: float
    """shadows are looked for where a source gives more than this of the threshold or the camera's own"""
    own_target: Array
    """(n,) what the camera's own light gives a standing target held at each place; 0 in the sky"""
    fallen: dict[int, Fallen]
    """what sources give, by their row in ``night.others``, as far as it was asked for"""

    @property
    def raster(self) -> Raster:
        """The finer raster."""
        return self.fine.raster

    @property
    def size(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.raster.rows, self.raster.cols

    def signals(self, state: str = DARK, view: NightView | None = None) -> Array:
        """(rows, cols) signal without the veil; raises as ``Night.view``."""
        view = view or self.night.view(state)
        total = view.dimmed * self.fine.own_signal("usual")
        for row in self.night.lit(state).tolist():
            column = int(self.night.lights.columns[self.night.others.which[row]])
            shares = self.fine.shining(self.fine.frame, column, "usual")[self.fine.frame.group]
            total += light.signal(shares, self._fallen(row).surface)
        return total.reshape(self.size)

    def taken(self, state: str = DARK, view: NightView | None = None) -> Array:
        """(rows, cols) the picture as the camera takes it, 0 black to 1 white, linear. ``view`` where it is taken
        under something that is no light of the plan, as a lit room behind a pane.
        """
        view = view or self.night.view(state)
        return np.minimum(1.0, view.gain * (self.signals(state, view) + view.veil))

    def targets(self, state: str = DARK, view: NightView | None = None) -> Array:
        """(rows, cols) signal of a standing target (reflectance 0.2) held at each place."""
        view = view or self.night.view(state)
        own = self.own_target if self.fine.own_lit else np.zeros_like(self.own_target)
        total = view.dimmed * own
        for row in self.night.lit(state).tolist():
            total = total + self._fallen(row).target
        return np.asarray(total).reshape(self.size)

    def classes(self, state: str = DARK, view: NightView | None = None) -> npt.NDArray[np.uint8]:
        """(rows, cols) what each place is for whoever stands there, by the margins that say where a person is
        usable; white too where the picture itself is at full scale, whatever is held there.
        """
        view = view or self.night.view(state)
        held = self.targets(state, view)
        dark, blown, clear = exposure.headrooms(held, view.veil, gain=view.gain, **self._limits)
        found = np.full(self.size, USABLE, dtype=np.uint8)
        found[dark <= 0.0] = DARKNESS
        found[(clear <= 0.0) & (clear <= dark)] = WASHED
        found[self.raster.tri.reshape(self.size) < 0] = NOTHING
        found[((blown <= 0.0) & (found != NOTHING)) | (self.taken(state, view) >= 1.0)] = WHITE
        return found

    @property
    def _limits(self) -> dict[str, float]:
        habits = self.night.habits
        return {"full_scale": habits.full_scale, "white": habits.white, "contrast": habits.contrast}

    def _fallen(self, row: int) -> Fallen:
        if row not in self.fallen:
            self.fallen[row] = self._light(int(self.night.others.which[row]))
        return self.fallen[row]

    def _light(self, source: int) -> Fallen:
        """The light of a source, shadows found where it could matter."""
        frame, lights, which = self.fine.frame, self.night.lights, np.array([source])
        ways = lights.ways(which, frame.places)
        sight = -self.raster.dirs
        sent = lights.sent(which, ways) * self.scale[source]
        shares = np.stack([np.maximum(ways.along(frame.normals)[0], 0.0), light.sphere_phase(ways.along(sight)[0])])
        both = light.irradiance(sent, shares, ways.apart * ways.apart, self.fine.own.radius)
        both[:, frame.tri < 0] = 0.0
        worth = np.flatnonzero(both.max(axis=0) > self.prune * np.maximum(1.0, frame.own))
        free = np.zeros(len(frame.tri), dtype=np.bool_)
        free[worth] = self.raster.scene.visible(lights.spots[source], frame.places[worth], self.raster.absent)
        return Fallen(both[0] * free, both[1] * free)


def compute(camera: Camera, q: Query) -> Fine:
    """A camera's night on a finer raster. ``Unknown`` as the night study."""
    night, raster = q.of(NIGHT, camera), q.of(FINE, camera)
    frame = frame_field(raster, night.own, step=1, block=1)
    return _made(night, raster, frame, camera, q)


def _made(night: Night, raster: Raster, frame: Field, camera: Camera, q: Query) -> Fine:
    plan = q.plan
    held = own_light(raster, frame.places, np.zeros(len(frame.t), dtype=np.bool_), night.own)
    return Fine(
        night,
        replace(night, raster=raster, frame=frame, _views={}, _told={}),
        scales(camera, q.of(LIGHTS, plan.site), night.own_ref, plan),
        constant(plan, "prune").usual,
        np.where(frame.tri < 0, 0.0, held),
        {},
    )


def vary(base: Fine, camera: Camera, changes: tuple[Change, ...], q: Query) -> Fine | None:
    """The base's rays where the camera and the place are the same; its light too where only some of it is left out."""
    night = q.of(NIGHT, camera)
    if q.of(FINE, camera) is not base.raster or night.own != base.night.own:
        return None
    if night.others is not base.night.others or any(change.how != "dark" for change in changes):
        return _made(night, base.raster, base.fine.frame, camera, q)
    fine = replace(night, raster=base.raster, frame=base.fine.frame, _views={}, _told={})
    return replace(base, night=night, fine=fine)
