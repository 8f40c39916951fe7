"""Where a person would stand: world-fixed places of the wanted areas, and along lines to them.

A target is a standing one, a Lambert sphere of reflectance 0.2 at the area's height, or
the ground itself where the area's height is 0. Usability is asked here, never of pixels.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.trade import light

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.place.lens import Eye
    from oneclimb.plan.model import Area
    from oneclimb.study.cover import Cover
    from oneclimb.study.night_field import Own
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]
    Flags = npt.NDArray[np.bool_]

MOST = 200
"""samples of one area that are asked about; a larger area's are taken at even steps"""
AXIS_STEPS = 40
LINE_STEPS = 24
NEAREST = 0.5
"""m along a line where its first place lies"""
PERSON = 1.5
"""height, m, of the target along the camera's own axis"""
AXIS = ""
"""the name of the line along the camera's axis; other lines have their area's id"""


class Line(Struct, frozen=True):
    """Places along the ground from under the camera: distances (s,) m, and which targets they are."""

    distance: Array
    span: slice


class Targets(Struct, frozen=True, dict=True):
    """All targets of a camera. T targets.

    ``points`` (T, 3); ``shown`` (T,) in the frame and not hidden; ``flat`` (T,) the ground
    itself; ``own`` (T,) what the camera's light gives; ``areas`` the samples of each
    night-wanted area, ``lines`` the line to it, and along the axis under ``AXIS``.
    """

    points: Array
    shown: Flags
    flat: Flags
    own: Array
    areas: Mapping[str, slice]
    lines: Mapping[str, Line]

    @functools.cached_property
    def seen(self) -> dict[str, npt.NDArray[np.intp]]:
        """By area: which targets of it are in sight."""
        return {name: np.flatnonzero(self.shown[span]) + span.start for name, span in self.areas.items()}

    @functools.cached_property
    def ways(self) -> dict[str, tuple[Array, npt.NDArray[np.intp]]]:
        """By line: distances of its places in sight, m, and which targets they are."""
        found = {}
        for name, line in self.lines.items():
            seen = np.flatnonzero(self.shown[line.span])
            found[name] = (line.distance[seen], seen + line.span.start)
        return found


def at_night(area: Area) -> bool:
    """Whether an area is wanted by night."""
    return area.task != "avoid" and area.when != "day"


def targets(raster: Raster, cover: Cover, areas: tuple[Area, ...], own: Own, length: float) -> Targets:
    """The targets of a camera; ``length`` m is how far its own axis is followed, if it is in sight so far."""
    eye = raster.eye
    spans: dict[str, slice] = {}
    lines: dict[str, Line] = {}
    points: list[Array] = []
    flat: list[Flags] = []
    count = 0
    seen: list[Flags] = []
    for area in areas:
        samples = cover.areas[area.id]
        some = slice(None, None, 1 + (len(samples.points) - 1) // MOST)
        points.append(samples.points[some])
        seen.append(samples.seen[some])
        spans[area.id] = slice(count, count + len(points[-1]))
        count += len(points[-1])
        flat.append(np.full(len(points[-1]), area.height <= 0.0))
    known = count
    for name, height, base, heading, along in _ways(eye, cover, areas, _in_sight(raster, length)):
        lines[name] = Line(along, slice(count, count + len(along)))
        count += len(along)
        points.append(_places(eye, heading, along, base + height))
        flat.append(np.full(len(along), height <= 0.0))
    together, is_flat = np.concatenate(points), np.concatenate(flat)
    shown = np.concatenate([*seen, _shown(raster, together[known:])])
    return Targets(together, shown, is_flat, own_light(raster, together, is_flat, own), spans, lines)


def _ways(
    eye: Eye, cover: Cover, areas: tuple[Area, ...], length: float
) -> Iterator[tuple[str, float, float, Array, Array]]:
    """Every line: name, target's height, ground's level, direction, distances."""
    yield AXIS, PERSON, 0.0, ahead(eye), _spaced(length, AXIS_STEPS)
    for area in areas:
        heading, along = _toward(eye, cover.areas[area.id].ground)
        yield area.id, area.height, area.base, heading, along


def _in_sight(raster: Raster, length: float) -> float:
    """How far along the axis the last place up to ``length`` m lies where a person is in sight; ``length`` for none."""
    near, far = _last_shown(raster, _spaced(length, AXIS_STEPS))
    return near if near == far else _last_shown(raster, np.linspace(near, far, AXIS_STEPS))[0]


def _last_shown(raster: Raster, along: Array) -> tuple[float, float]:
    """The last distance along the axis at which a person is in sight, and the next; the last of all twice where it is
    that one, or none is.
    """
    seen = np.flatnonzero(_shown(raster, _places(raster.eye, ahead(raster.eye), along, PERSON)))
    last = int(seen[-1]) if len(seen) else len(along) - 1
    return float(along[last]), float(along[min(last + 1, len(along) - 1)])


@functools.lru_cache(maxsize=8)
def _steps(count: int) -> Array:
    return np.linspace(0.0, 1.0, count)


def _spaced(far: float, steps: int) -> Array:
    """Distances up to ``far`` that grow by about the same share."""
    near = min(NEAREST, far / 2.0)
    return np.asarray(near * np.power(far / near, _steps(steps)))


def ahead(eye: Eye) -> Array:
    """The level direction the camera looks in; of the picture's top where it looks straight down."""
    level = np.array(eye.forward[:2])
    if math.hypot(*level) < 1e-3:
        level = np.array(eye.up[:2])
    return np.asarray(level / math.hypot(*level))


def _toward(eye: Eye, ground: Array) -> tuple[Array, Array]:
    """From under the camera through the middle of an area's samples: direction, and distances to its far side."""
    way = ground[:, :2] - np.array(eye.origin[:2])
    middle = way.mean(axis=0)
    length = math.hypot(*middle)
    heading = middle / length if length > 0.1 else ahead(eye)
    return heading, _spaced(max(float((way @ heading).max()), 2.0 * NEAREST), LINE_STEPS)


def _places(eye: Eye, heading: Array, along: Array, height: float) -> Array:
    ground = np.array(eye.origin[:2]) + along[:, None] * heading
    return np.column_stack([ground, np.full(len(along), height)])


def _shown(raster: Raster, points: Array) -> Flags:
    """Which points lie in the frame with nothing before them."""
    shown: Flags = raster.eye.project(points)[2]
    shown[shown] = raster.scene.visible(raster.origin, points[shown], raster.absent)
    return shown


def own_light(raster: Raster, points: Array, flat: Flags, own: Own) -> Array:
    """What the camera's own light puts on targets (T,): whole on a standing one, with the cosine on the ground."""
    way = points - raster.origin
    apart = np.maximum(np.linalg.norm(way, axis=1), 1e-6)
    cosine = way @ np.array(raster.eye.forward) / apart
    incidence = np.where(flat, np.maximum(-way[:, 2] / apart, 0.0), 1.0)
    apart = np.maximum(apart, own.touching)
    return light.irradiance(own.peak * light.pattern(cosine, own.exponent), incidence, apart * apart, own.radius)
