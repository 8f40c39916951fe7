"""The side study: a camera from the side, in the upright plane through its lens along its heading.

Where the frame's edges lead and what they meet; where the sky begins; what its own light gives a person along the way
and where that is most; where a person shows, and is usable by night; how steeply a face is looked down on. Distances
are counted along the level ground from under the lens. How the night's picture is taken, and who shows, is asked as
the chart asks, so that the two drawings and the findings agree.
"""

from __future__ import annotations

import functools
import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.place import lens
from oneclimb.place.solids import GROUND
from oneclimb.study import COVER, DARK, LIGHTS, SCENE
from oneclimb.study.chart import LEAST, Look, kept_of, night_of
from oneclimb.study.cover import FARTHEST, Sight
from oneclimb.study.extent import charted, within
from oneclimb.study.night_build import scales
from oneclimb.study.night_stood import given, margins
from oneclimb.study.night_targets import PERSON, ahead
from oneclimb.study.raster import absent_in
from oneclimb.study.side_cut import Cut, Plane, Stretch, cuts, stretches
from oneclimb.study.side_rays import Fan, Ray, back_of, edges, fan_of, met
from oneclimb.trade.constants import constant
from oneclimb.trade.face import distance_for

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Query
    from oneclimb.plan.model import Area, Camera
    from oneclimb.study.night import Night

    Array = npt.NDArray[np.float64]
    Flags = npt.NDArray[np.bool_]

PLACES = 601
"""places along the ground"""
FINER = 201
"""places about the brightest, to find it more finely"""
BESIDE = 0.5
"""m: a spot or line that is wanted lies on the section no farther from it than this"""
SHORTEST = 3.0
"""m of ground that are looked at, at the least"""


class Sky(NamedTuple):
    """``share`` of the picture's line is sky, 0 to 1; ``down`` is how steep its lowest ray is, degrees (nan for none);
    ``top``: whether it is all in one piece from the picture's upper edge.
    """

    share: float
    down: float
    top: bool


class Watched(NamedTuple):
    """A wanted area that the section crosses, from ``near`` to ``far`` m along it."""

    area: Area
    near: float
    far: float

    @property
    def spot(self) -> float | None:
        """How far along one spot lies; None for an area that is more than a spot."""
        return (self.near + self.far) / 2.0 if len(self.area.outline) == 1 else None


class Brightest(NamedTuple):
    """Where the camera's own light gives a standing person most: m along, how much (1 is what it gives straight ahead
    at its rated range), and whether a person shows there.
    """

    along: float
    light: float
    shown: bool


class Side(Struct, frozen=True, dict=True, eq=False):
    """A camera's section. Arrays (p,) are by the distances ``along``."""

    sight: Sight
    look: Look
    plane: Plane
    along: Array
    """(p,) m, evenly from the section's one end to its other"""
    upper: Ray
    axis: Ray
    lower: Ray
    fan: Fan
    cut: tuple[Cut, ...]
    watched: tuple[Watched, ...]
    aside: tuple[str, ...]
    """ids of wanted areas the camera is for that the section misses"""
    night: Night | None
    """None where the plan does not say what light the camera has"""
    unknown: str
    """what the plan would have to say for the night to be told"""
    scale: Array
    """(sources,) how much of each source's light counts for this camera"""
    prune: float

    @property
    def height(self) -> float:
        """The lens above the ground, m."""
        return float(self.plane.foot[2])

    def at(self, ray: Ray) -> float:
        """How high a line of sight ends, m; inf or -inf for the sky."""
        return self.height - ray.apart * math.sin(math.radians(ray.down))

    # ---------------------------------------------------------------------- by day

    def shows(self, along: Array) -> Flags:
        """Whether the face of whoever stands at distances (k,) shows."""
        return self.look(self.plane.points(along, 0.0)[:, :2]).stood

    @functools.cached_property
    def stood(self) -> tuple[Stretch, ...]:
        """Where a person shows."""
        return stretches(self.along, self.shows)

    @functools.cached_property
    def blind(self) -> float:
        """How far from under the lens the ground first shows, m: 0 where it shows there, inf where none does."""
        fan = self.fan
        ground = fan.owner == self.sight.scene.numbers.get(GROUND, -2)
        if not ground.any():
            return math.inf
        along = fan.apart[ground] * np.cos(np.radians(fan.down[ground]))
        return max(0.0, float(along.min()))

    @functools.cached_property
    def sky(self) -> Sky:
        """How much of the picture's line is sky, and where it begins."""
        fan, none = self.fan, self.fan.owner < 0
        if np.count_nonzero(none) < 2:
            return Sky(0.0, math.nan, top=True)
        wide = np.gradient(fan.share)
        wide[[0, -1]] /= 2.0
        last = int(np.flatnonzero(none)[-1])
        return Sky(float(wide[none].sum()), float(fan.down[last]), top=bool(none[: last + 1].all()))

    def steep_within(self, angle: float, base: float = 0.0) -> float:
        """Nearer than this, m, a face is looked down on more steeply than ``angle`` degrees; 0 nowhere. ``base`` is the
        level who it belongs to stands on, m.
        """
        return distance_for(angle, self.height - base)

    # -------------------------------------------------------------------- by night

    def lit(self, along: Array) -> Array:
        """(k,) what the camera's own light gives a standing person as the picture is taken with every lamp out, in
        threshold units: 1 is what it gives straight ahead at its rated range. 0 where something is in the way.
        """
        night = self.night
        if night is None or not night.own_lit:
            return np.zeros(len(along))
        points = self.plane.points(along, PERSON)
        free = self.sight.scene.visible(self.plane.foot, points, self.sight.absent)
        return np.asarray(night.view(DARK).dimmed * given(night, points) * free)

    @functools.cached_property
    def light(self) -> Array:
        """(p,) ``lit`` along the whole section."""
        return self.lit(self.along)

    @functools.cached_property
    def brightest(self) -> Brightest | None:
        """Where its own light gives a person most; None where it has none, or none is known of."""
        most = int(self.light.argmax())
        if not self.light[most] > 0.0:
            return None
        ends = self.along[max(most - 1, 0)], self.along[min(most + 1, len(self.along) - 1)]
        near = np.linspace(*ends, FINER)
        light = self.lit(near)
        here = near[[int(light.argmax())]]
        return Brightest(float(here[0]), float(light.max()), bool(self.shows(here)[0]))

    def usable_at(self, along: Array) -> Flags:
        """Whether a person at distances (k,) shows and is usable by night with every lamp out."""
        shown = self.shows(along)
        if self.night is not None and shown.any():
            points = self.plane.points(along[shown], PERSON)
            shown[shown] = margins(self.night, points, DARK, self.scale, self.prune) > 0.0
        return shown & (self.night is not None)

    @functools.cached_property
    def usable(self) -> tuple[Stretch, ...]:
        """Where a person is usable by night with every lamp out."""
        return stretches(self.along, self.usable_at)


def compute(camera: Camera, q: Query) -> Side:
    """Cut the place along a camera's heading, and look along it."""
    site = q.plan.site
    sight = Sight(lens.eye(camera, site), q.of(SCENE, site), absent_in(q))
    plane = Plane(np.array(sight.eye.origin), ahead(sight.eye))
    upper, axis, lower = edges(sight.eye, plane)
    rays, fan = met(sight, plane, np.array([upper, axis, lower])), fan_of(sight, plane, upper, lower)
    back = back_of(fan)
    watched, aside = _watched(camera, q, plane, back)
    night, unknown = night_of(camera, q)
    return Side(
        sight=sight,
        look=Look(sight, kept_of(camera)),
        plane=plane,
        along=_along(sight, plane, back, [one.far for one in watched], q),
        upper=rays[0],
        axis=rays[1],
        lower=rays[2],
        fan=fan,
        cut=cuts(sight.scene, plane, sight.absent),
        watched=watched,
        aside=aside,
        night=night,
        unknown=unknown,
        scale=np.zeros(0) if night is None else scales(camera, q.of(LIGHTS, site), night.own_ref, q.plan),
        prune=constant(q.plan, "prune").usual,
    )


def _along(sight: Sight, plane: Plane, back: float, wanted: list[float], q: Query) -> Array:
    """The places looked at: as far as a person may show and the plan goes, and to the end of what is wanted; ``back``
    behind the lens at the most.
    """
    reach = min(FARTHEST, sight.eye.range_of(LEAST))
    ends = within(plane.foot, plane.heading, charted(q.plan))
    return np.linspace(-min(back, reach, -ends[0]), max(min(reach, ends[1]), *wanted, SHORTEST), PLACES)


def _watched(camera: Camera, q: Query, plane: Plane, back: float) -> tuple[tuple[Watched, ...], tuple[str, ...]]:
    """The wanted areas a camera is for: where the section crosses them, and which it misses."""
    names = q.of(COVER, camera).watched
    found = {area.id: crossed(area, plane, back) for area in q.plan.areas if area.id in names}
    there = sorted((one for one in found.values() if one), key=lambda one: one.near)
    return tuple(there), tuple(name for name, one in found.items() if not one)


def crossed(area: Area, plane: Plane, back: float) -> Watched | None:
    """From where to where the section lies in an area, or no farther than ``BESIDE`` from a spot or line; behind the
    lens no farther than it looks ``back``.
    """
    shape = shapely.Polygon(area.outline) if len(area.outline) > 2 else shapely.MultiPoint(area.outline).convex_hull
    wide = shape if len(area.outline) > 2 else shape.buffer(BESIDE)
    far = FARTHEST * plane.heading
    line = shapely.LineString([plane.foot[:2] - far, plane.foot[:2] + far])
    ends = shapely.get_coordinates(shapely.intersection(wide, line))
    along = (ends - plane.foot[:2]) @ plane.heading
    if along.max(initial=-math.inf) <= -back:
        return None
    return Watched(area, max(-back, float(along.min())), float(along.max()))
