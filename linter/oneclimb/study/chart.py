"""The chart study: the ground about a camera, place by place, as a drawing from above shows it.

What of the ground it sees; how finely it shows whoever stands there, in the stream that is kept; and how far, in
stops, they are from being lost in the dark. How the night's picture is taken (gain, stray light, dimming) is the
night study's, so that the drawing and the findings agree.
"""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from msgspec import Struct, field

from oneclimb.api import Unknown
from oneclimb.place import lens
from oneclimb.study import DARK, LIGHTS, NIGHT, SCENE
from oneclimb.study.chart_edges import outlined
from oneclimb.study.cover import FARTHEST, Sight
from oneclimb.study.extent import Box, charted
from oneclimb.study.night_build import scales
from oneclimb.study.night_stood import margins
from oneclimb.study.night_targets import PERSON
from oneclimb.study.raster import absent_in
from oneclimb.trade.constants import constant
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera
    from oneclimb.study.cover import AreaCover
    from oneclimb.study.night import Night

    Array = npt.NDArray[np.float64]
    Flags = npt.NDArray[np.bool_]

LEAST = CATEGORIES["detect"]
"""px/m: nobody looks for a person in coarser pictures, so the chart ends there"""
SPACING = 0.15
"""m between places, at the least"""
MOST = 200
"""places along the longer side of a chart"""
COARSE = 48
"""places along each side of the first look, which finds how far the chart must reach"""


class Chart(Struct, frozen=True, dict=True, eq=False):
    """Places (rows, cols) of the ground, in steps along +x and +y."""

    x: Array
    """(cols,) m"""
    y: Array
    """(rows,) m"""
    ground: Flags
    """(rows, cols) the ground itself is in the frame and not hidden"""
    stood: Flags
    """(rows, cols) the face of whoever stands there is"""
    pxm: Array
    """(rows, cols) px/m of the kept stream at who stands there; nan where they don't show"""
    open: Array
    """(rows, cols) the same were nothing in the way, and outside the frame as far as the lens sees; 0 beyond that"""
    look: Look
    night: Night | None
    """None where the plan does not say what light the camera has"""
    unknown: str
    """what the plan would have to say for the night to be told"""
    scale: Array
    """(sources,) how much of each source's light counts for this camera"""
    prune: float
    """shadows are looked for where a source gives more than this of the threshold or the camera's own"""
    _told: dict[str, Array] = field(default_factory=dict)

    @property
    def cell(self) -> float:
        """Ground that a place stands for, m²."""
        return float((self.x[1] - self.x[0]) * (self.y[1] - self.y[0]))

    def served(self, least: float) -> float:
        """Ground on which who stands there is shown at ``least`` px/m or more, m²."""
        return float(np.nansum(self.pxm >= least)) * self.cell

    def usable(self, state: str = DARK) -> float:
        """Ground on which who stands there is usable by night, m²."""
        return float(np.nansum(self.margins(state) > 0.0)) * self.cell

    def margins(self, state: str = DARK) -> Array:
        """(rows, cols) stops that a person standing there is from being lost, usable where positive; nan where they
        don't show, and everywhere where there is no night. Raises as ``Night.view`` does.
        """
        if state not in self._told:
            self._told[state] = self._reckoned(state)
        return self._told[state]

    def _reckoned(self, state: str) -> Array:
        found = np.full(self.stood.shape, np.nan)
        if self.night is not None and len(self._points):
            found[self.stood] = margins(self.night, self._points, state, self.scale, self.prune)
        return found

    @functools.cached_property
    def bare(self) -> Any:
        """The outline (shapely) of ``ground`` where a person shows too, to a part of a step."""

        def asked(flat: Array) -> Flags:
            found = self.look(flat)
            return found.ground & found.stood

        return outlined(self.x, self.y, self.ground & self.stood, asked)

    @functools.cached_property
    def shown(self) -> Any:
        """The outline (shapely) of ``stood``, to a part of a step."""
        return outlined(self.x, self.y, self.stood, lambda flat: self.look(flat).stood)

    @functools.cached_property
    def _points(self) -> Array:
        """(k, 3) where a person shows: the height the night is judged at."""
        row, col = np.nonzero(self.stood)
        return np.column_stack([self.x[col], self.y[row], np.full(len(row), PERSON)])


class Looked(NamedTuple):
    """Places (k,) as a camera shows them."""

    ground: Flags
    stood: Flags
    pxm: Array
    """were nothing in the way"""


class Look(NamedTuple):
    """How a camera looks at places, and how much of its pixels is kept."""

    sight: Sight
    kept: float

    def __call__(self, flat: Array) -> Looked:
        """Places (k, 2) on level ground."""
        ground = np.column_stack([flat, np.zeros(len(flat))])
        person: AreaCover = self.sight.look(np.column_stack([flat, np.full(len(flat), PERSON)]), ground)
        stood = person.seen & (person.pxm >= LEAST) & (person.distance <= FARTHEST)
        return Looked(self.sight.look(ground, ground).seen, stood, person.pxm * self.kept)


def compute(camera: Camera, q: Query) -> Chart:
    """Chart the ground about a camera: as far as it shows a person at all, and the plan goes."""
    site = q.plan.site
    sight = Sight(lens.eye(camera, site), q.of(SCENE, site), absent_in(q))
    x, y = _framed(sight, min(FARTHEST, sight.eye.range_of(LEAST)), charted(q.plan))
    look = Look(sight, kept_of(camera))
    found = look(np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2))
    shape = (len(y), len(x))
    stood, pxm = found.stood.reshape(shape), found.pxm.reshape(shape)
    night, unknown = night_of(camera, q)
    return Chart(
        x,
        y,
        found.ground.reshape(shape),
        stood,
        np.where(stood, pxm, np.nan),
        pxm,
        look,
        night,
        unknown,
        np.zeros(0) if night is None else scales(camera, q.of(LIGHTS, site), night.own_ref, q.plan),
        constant(q.plan, "prune").usual,
    )


def kept_of(camera: Camera) -> float:
    """How much of a camera's pixels across the recorded stream has, 0 to 1."""
    return camera.recorded[0] / camera.pixels[0] if camera.recorded else 1.0


def night_of(camera: Camera, q: Query) -> tuple[Night | None, str]:
    """A camera's night; or none, and what the plan would have to say for it."""
    try:
        return q.of(NIGHT, camera), ""
    except Unknown as silent:
        return None, silent.asks


def _framed(sight: Sight, reach: float, box: Box) -> tuple[Array, Array]:
    """Where places of the chart lie, m: as far as a person may show, found by a coarse look, within a box."""
    steps = (np.arange(COARSE) + 0.5) / COARSE * 2.0 * reach - reach
    x, y = np.meshgrid(sight.eye.origin[0] + steps, sight.eye.origin[1] + steps)
    shown = np.zeros(x.shape, dtype=np.bool_)
    for height in (0.0, PERSON):
        points = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, height)])
        local = sight.eye.local(points)
        inside = sight.eye.project_local(local)[2] & (np.linalg.norm(local, axis=1) <= reach)
        shown |= inside.reshape(shown.shape)
    margin = steps[1] - steps[0]
    spans = [_span(values[shown], centre, margin) for values, centre in zip((x, y), sight.eye.origin[:2], strict=True)]
    spans = [
        (max(low, box[i]), min(high, box[i + 2])) if max(low, box[i]) < min(high, box[i + 2]) else (low, high)
        for i, (low, high) in enumerate(spans)
    ]
    step = max(SPACING, max(high - low for low, high in spans) / MOST)
    across, up = (np.arange(low + step / 2.0, high + step / 2.0, step) for low, high in spans)
    return across, up


def _span(shown: Array, centre: float, margin: float) -> tuple[float, float]:
    """From where to where on one axis; about the camera where nothing shows."""
    if not len(shown):
        return centre - margin, centre + margin
    low, high = min(float(shown.min()), centre), max(float(shown.max()), centre)
    return math.floor(low - margin), math.ceil(high + margin)
