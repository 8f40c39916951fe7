"""Building a camera's night: the light on all it sees, and how it takes the picture."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.plan.model import Power
from oneclimb.study import COVER, LIGHTS, RASTER
from oneclimb.study.cover import FARTHEST
from oneclimb.study.lights import INFRARED
from oneclimb.study.night import Night
from oneclimb.study.night_field import BLOCK, STEP, Own, frame_field, reflectances, round_field
from oneclimb.study.night_glass import Front, around, front, mirrors, own_pane, pane_through
from oneclimb.study.night_others import Stage, others
from oneclimb.study.night_sums import Habits
from oneclimb.study.night_targets import at_night, targets
from oneclimb.study.sources import Lights
from oneclimb.trade import lamps, light
from oneclimb.trade.constants import constant
from oneclimb.trade.pixels import CATEGORIES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    import numpy.typing as npt

    from oneclimb.api import Change, Query
    from oneclimb.plan.model import Area, Camera, Plan
    from oneclimb.study.cover import Cover
    from oneclimb.study.night_field import Field
    from oneclimb.study.night_others import Others
    from oneclimb.study.raster import Raster

    Array = npt.NDArray[np.float64]

OWN_FARTHEST = 1.3
"""the axis is followed to this many times the rated range, and as far as a person shows by whatever light"""
GLARE = ("glare-inside", "glare-outside", "glare-outside-hooded")
GROUND = Ref("site", "site", "ground")


def compute(camera: Camera, q: Query, step: int = STEP, block: int = BLOCK) -> Night:
    """A camera's night. ``Unknown`` where the plan does not describe the camera's own light, or a pane before it.

    Light is reckoned on every ``step``-th pixel of the raster each way, other sources' on every ``block``-th of these.
    """
    plan: Plan = q.plan
    raster, cover, lights = q.of(RASTER, camera), q.of(COVER, camera), q.of(LIGHTS, plan.site)
    index = constant(plan, "pane-index").usual
    own_ref, own = _own(camera, lights, plan)
    thrown_back, through = own_pane(camera, q, own)
    own = replace(own, peak=own.peak * through * through)
    glazed = front(camera, plan)
    rays, each = around(raster, None if glazed.dome_axis is None else np.array(glazed.dome_axis), glazed.hood)
    fields = (frame_field(raster, own, step, block), round_field(raster, rays, each, own, block))
    areas = _areas(cover, q)
    length = max(_followed(raster), OWN_FARTHEST * math.sqrt(own.peak))
    found = targets(raster, cover, areas, own, length)
    scale = scales(camera, lights, own_ref, plan)
    seen = {"raster": raster, "frame": fields[0], "round": fields[1], "found": found}
    rest = others(_stage(plan, lights=lights, front=glazed, scale=scale, **seen))
    night = Night(
        camera=camera,
        raster=raster,
        cover=cover,
        lights=lights,
        own_ref=own_ref,
        own_column=_wavelength(camera),
        own=own,
        frame=fields[0],
        round=fields[1],
        found=found,
        others=rest,
        mirrors=(*mirrors(raster, glazed, own, index), *thrown_back),
        watched=tuple(name for name in cover.watched if name in found.areas),
        habits=_habits(camera, plan, glazed),
        tables=_tables(raster, camera, lights, rest),
        ground=_ground(raster, fields[0]),
    )
    return night.darkened(frozenset(c.at for c in q.changes if c.how == "dark"))


def vary(base: Night, camera: Camera, changes: tuple[Change, ...], q: Query) -> Night | None:
    """The base's night with some terms left out, taken with other habits, or under other cameras' and lamps' changed
    light; None where anything else differs.
    """
    dark = frozenset(change.at for change in changes if change.how == "dark")
    if len(dark) == len(changes):
        return base.darkened(dark)
    plan: Plan = q.plan
    same_light = camera.behind is None and _lighting(camera) == _lighting(base.camera)
    if not same_light or any(change.at.kind == "model" for change in changes):
        return None
    cover = q.of(COVER, camera)
    if q.of(RASTER, camera) is not base.raster or cover.areas is not base.cover.areas:
        return None
    glazed, lights = front(camera, plan), q.of(LIGHTS, plan.site)
    night = base if lights is base.lights else _under(base, lights, glazed, plan)
    return replace(
        night,
        camera=camera,
        cover=cover,
        habits=_habits(camera, plan, glazed),
        watched=tuple(name for name in cover.watched if name in base.found.areas),
        dark=base.dark | dark,
        _views={},
        _told={},
    )


def _lighting(camera: Camera) -> Camera:
    """A camera less what has no part in the light it sees."""
    return replace(
        camera,
        name="",
        type="",
        front="clean",
        metering="frame",
        status_light=None,
        moves=False,
        masks=(),
        watches=(),
        records=None,
        link=None,
        power=Power(None),
        bitrate=None,
        rated=None,
        shutter=None,
        microphone=None,
    )


def _under(base: Night, lights: Lights, glazed: Front, plan: Plan) -> Night:
    """The same camera's night where other sources have changed: its own light and all it sees stay."""
    scale = scales(base.camera, lights, base.own_ref, plan)
    seen = {"raster": base.raster, "frame": base.frame, "round": base.round, "found": base.found}
    rest = others(_stage(plan, lights=lights, front=glazed, scale=scale, **seen))
    tables = _tables(base.raster, base.camera, lights, rest)
    return replace(base, lights=lights, others=rest, tables=tables)


def _stage(plan: Plan, **seen: Any) -> Stage:
    """Where other light is looked for, with what of it the constants say."""
    stray = max(constant(plan, name).high for name in GLARE) * constant(plan, "dirt").high / light.TARGET
    radius, prune = constant(plan, "ring-radius").usual, constant(plan, "prune").usual
    return Stage(**seen, radius=radius, prune=prune, stray=stray)


def _tables(raster: Raster, camera: Camera, lights: Lights, rest: Others) -> Mapping[tuple[int, str], Array]:
    """Reflectances at every wavelength some light here has."""
    columns = {_wavelength(camera), *lights.columns[rest.which].tolist()}
    return reflectances(raster.scene.materials, tuple(columns))


def _own(camera: Camera, lights: Lights, plan: Plan) -> tuple[Ref | None, Own]:
    """The camera's own light, at its axis; the ring's size also serves for other sources."""
    radius, touching = constant(plan, "ring-radius").usual, constant(plan, "touching").usual
    retro = constant(plan, "retro-angle").usual
    if camera.night == "none":
        return None, Own(0.0, 1.0, radius, touching, retro)
    ref = Ref("camera", camera.id, "infrared" if camera.night in INFRARED else "white")
    if ref in lights.unknown:
        raise lights.unknown[ref]
    own = lights.lights[lights.index[ref]]
    return ref, Own(own.peak, own.exponent, radius, touching, retro)


def _followed(raster: Raster) -> float:
    """How far along the axis a person may show, m: as finely as detecting takes."""
    return min(FARTHEST, raster.eye.range_of(CATEGORIES["detect"]))


def _wavelength(camera: Camera) -> int:
    if camera.night == "white":
        return lamps.VISIBLE
    return camera.infrared.wavelength if camera.infrared else lamps.NEAR


def scales(camera: Camera, lights: Lights, own_ref: Ref | None, plan: Plan) -> Array:
    """How much of each source's light counts for this camera (n,): none of its own here, none of the infrared
    for one that sees colour by white light, part of an infrared lamp's of another wavelength; less what a pane before
    the camera keeps back.
    """
    other = 0.0 if camera.night == "white" else constant(plan, "other-wavelength").usual
    same = 0.0 if camera.night == "white" else 1.0
    scale = np.where(lights.seen, 1.0, np.where(lights.columns == _wavelength(camera), same, other))
    scale *= np.where(lights.seen, *(pane_through(camera, plan, seen=seen) for seen in (True, False)))
    if own_ref is not None:
        scale[lights.index[own_ref]] = 0.0
    return scale


def _areas(cover: Cover, q: Query) -> tuple[Area, ...]:
    """Night-wanted areas of which the camera sees something, in the plan's order."""
    seen: Iterator[Area] = (q.get(Ref("area", name)) for name in cover.areas.seen)
    return tuple(area for area in seen if at_night(area))


def _ground(raster: Raster, frame: Field) -> int:
    """Material number of the ground, -1 where there is none."""
    number = raster.scene.numbers.get(GROUND)
    if number is None:
        return -1
    seen = np.flatnonzero(frame.owners == number)
    if len(seen):
        return int(frame.materials[seen[0]])
    return int(raster.scene.material[np.argmax(raster.scene.owner == number)])


def _habits(camera: Camera, plan: Plan, glazed: Front) -> Habits:
    """The camera's habits and its glass's stray light, from the constants."""

    def usual(name: str) -> float:
        return constant(plan, name).usual

    def dirtied(name: str) -> Mapping[str, float]:
        glare, dirt = constant(plan, name), constant(plan, "dirt")
        return {
            end: getattr(glare, end) * (getattr(dirt, end) if camera.front == "dirty" else 1.0)
            for end in ("low", "usual", "high")
        }

    return Habits(
        glare_inside=dirtied("glare-inside"),
        glare_outside=dirtied("glare-outside-hooded" if glazed.recessed else "glare-outside"),
        exposure=usual("exposure"),
        full_scale=usual("full-scale"),
        white=usual("white"),
        contrast=usual("contrast"),
        stops=usual("margin"),
        dim_white=usual("dim-white"),
        dim_floor=usual("dim-floor"),
        centre=camera.metering == "centre",
        dims=bool(camera.infrared and camera.infrared.dims),
    )
