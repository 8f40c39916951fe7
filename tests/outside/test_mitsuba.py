"""Radiance and irradiance against a general-purpose renderer (Mitsuba 3): direct light, and by day what bounces too.

The same triangles, the same three sources with the cosᵐθ pattern of an LED, shadows, and
the same rays one by one, through a rectilinear and an equidistant lens. A source is a
projector whose picture holds the pattern: a projector's intensity goes as picture/cos³θ,
so the picture is I₀ cos^(m + 3)θ, and what a picture of 1 gives on the axis is measured
against a point source of known intensity.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from types import ModuleType
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.place.scene import Scene
from oneclimb.plan.model import Camera, Infrared, Lamp, Plan, Spot
from oneclimb.study import ALL, DAYLIGHT, LIGHTS, PICTURE
from oneclimb.study.daylight import Daylight, luminance
from oneclimb.study.night import Night
from oneclimb.study.night_build import compute
from oneclimb.study.sources import Light
from oneclimb.trade import glass, light
from oneclimb.trade.materials import reflectance
from place import builders

Array = npt.NDArray[np.float64]
HALF = 80.0
"""the projector's half angle, degrees: beyond it no ray of these scenes is lit"""
FINE = 1024


@pytest.fixture(scope="module")
def mi() -> Iterator[ModuleType]:
    import mitsuba

    before = mitsuba.variant()
    mitsuba.set_variant("scalar_rgb")
    yield mitsuba
    if before:
        mitsuba.set_variant(before)


def _camera(projection: str) -> Camera:
    wide = projection == "equidistant"
    return builders.camera(
        (9.5, 0.0, 2.6),
        bearing=200.0,
        tilt=18.0,
        across=130.0 if wide else 85.0,
        projection="equidistant" if wide else "rectilinear",
        infrared=Infrared(30.0, beam=100.0),
        shape="box",
    )


def _plan(projection: str) -> Plan:
    """A yard with a car, a pipe, a fence and a soffit; another camera opposite and an infrared lamp to the side."""
    other = builders.camera((6.0, -11.0, 3.0), bearing=20.0, tilt=20.0, name="other", normal=(0.0, 1.0, 0.0))
    lamp = Lamp("flood", Spot(2.0, -0.5, 2.4), None, "infrared", 100.0, (6.0, -6.0, 0.0), "always", 25.0)
    return builders.plan(
        builders.house(),
        builders.pipe(8.9, -0.1, diameter=0.1),
        builders.box(6.0, -5.0, name="car", wide=4.4, deep=1.8, tall=1.5, yaw=20.0, surface="car paint"),
        builders.box(6.0, -9.0, name="fence", wide=20.0, deep=0.06, tall=1.8, surface="weathered wood"),
        _camera(projection),
        other,
        lamp,
        constants={"ring-radius": 1e-6, "prune": 1e-6},
    )


def _night(projection: str) -> tuple[Night, list[Light]]:
    q = builders.FakeQuery(_plan(projection))
    camera = q.plan.cameras[0]
    return compute(camera, q, step=1, block=1), list(q.of(LIGHTS, q.plan.site).lights)


def _meshes(mi: ModuleType, scene: Scene, nanometres: int = 850) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for number, material in enumerate(scene.materials):
        corners = scene.triangles[scene.material == number].reshape(-1, 3)
        if not len(corners):
            continue
        props = mi.Properties()
        grey = {"type": "rgb", "value": reflectance(material, nanometres).usual}
        props["bsdf"] = mi.load_dict({"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": grey}})
        mesh = mi.Mesh(f"m{number}", len(corners), len(corners) // 3, props=props)
        parameters = mi.traverse(mesh)
        parameters["vertex_positions"] = corners.ravel().astype(np.float32)
        parameters["faces"] = np.arange(len(corners), dtype=np.uint32)
        parameters.update()
        made[f"mesh{number}"] = mesh
    return made


def _projector(mi: ModuleType, source: Light, unit: float) -> dict[str, Any]:
    across = (np.arange(FINE) + 0.5) / FINE * 2.0 - 1.0
    u, v = np.meshgrid(across, across)
    cosine = 1.0 / np.sqrt(1.0 + (u * u + v * v) * math.tan(math.radians(HALF)) ** 2)
    picture = (source.peak / unit * cosine ** (source.exponent + 3.0)).astype(np.float32)
    target = np.array(source.spot) + np.array(source.axis)
    bitmap = mi.Bitmap(np.repeat(picture[:, :, None], 3, axis=2))
    return {
        "type": "projector",
        "irradiance": {"type": "bitmap", "bitmap": bitmap, "raw": True, "wrap_mode": "clamp"},
        "fov": 2.0 * HALF,
        "to_world": mi.ScalarTransform4f().look_at(origin=source.spot, target=target.tolist(), up=[0.1, 0.2, 1.0]),
    }


def _lit_wall(mi: ModuleType, emitter: dict[str, Any]) -> float:
    """Radiance of a white wall 2 m in front of an emitter at the origin that shines along +y."""
    wall = {
        "type": "rectangle",
        "to_world": mi.ScalarTransform4f().look_at(origin=[0, 2, 0], target=[0, 0, 0], up=[0, 0, 1]),
        "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.999}},
    }
    scene = mi.load_dict({"type": "scene", "wall": wall, "lamp": emitter})
    return float(_direct(mi).sample(scene, _sampler(mi), mi.RayDifferential3f([0, 0, 0], [0, 1, 0]))[0][0])


@pytest.fixture(scope="module")
def unit(mi: ModuleType) -> float:
    """Axial intensity of a projector with a picture of 1, found against a point source of intensity 1."""
    lamp = Light(Ref("lamp", "unit"), (0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 1.0, 1.0, 850, seen=False)
    point = {"type": "point", "position": [0, 0, 0], "intensity": {"type": "rgb", "value": 1.0}}
    return _lit_wall(mi, _projector(mi, lamp, 1.0)) / _lit_wall(mi, point)


def _direct(mi: ModuleType) -> Any:
    return mi.load_dict({"type": "direct", "emitter_samples": 1, "bsdf_samples": 0})


def _sampler(mi: ModuleType) -> Any:
    return mi.load_dict({"type": "independent"})


def _radiance(mi: ModuleType, unit: float, night: Night, sources: Iterable[Light], rays: Array) -> Array:
    """Radiance (n,) along rays from the glass: one render a source, added."""
    total = np.zeros(len(rays))
    meshes, integrator, sampler = _meshes(mi, night.raster.scene), _direct(mi), _sampler(mi)
    origin = night.raster.origin.tolist()
    for source in sources:
        scene = mi.load_dict({"type": "scene", **meshes, "lamp": _projector(mi, source, unit)})
        total += [
            float(integrator.sample(scene, sampler, mi.RayDifferential3f(origin, ray))[0][0]) for ray in rays.tolist()
        ]
    return total


@pytest.mark.parametrize("projection", ["rectilinear", "equidistant"])
def test_radiance_of_a_frame_is_the_renderers(mi: ModuleType, unit: float, projection: str) -> None:
    """Median pixel within 1 %, mean of the frame within 0.5 %, under three sources with shadows."""
    night, sources = _night(projection)
    assert len(sources) == 3
    rays = slice(None, None, 3)
    theirs = _radiance(mi, unit, night, sources, night.raster.dirs[rays])
    ours = night.view(ALL).signals.ravel()[rays] * light.TARGET / math.pi
    lit = theirs > 0.0
    assert lit.mean() > 0.5
    assert np.median(np.abs(ours[lit] / theirs[lit] - 1.0)) < 0.01
    assert ours.mean() == pytest.approx(theirs.mean(), rel=0.005)


@pytest.mark.parametrize("projection", ["rectilinear", "equidistant"])
def test_the_picture_drawn_of_a_night_is_the_renderers_at_the_same_exposure(
    mi: ModuleType, unit: float, projection: str
) -> None:
    """As it is drawn, one ray in eleven: exposed, veiled and clipped. Median pixel within 1 %, mean within
    0.5 %.
    """
    q = builders.FakeQuery(_plan(projection))
    fine = q.of(PICTURE, q.plan.cameras[0])
    rays = slice(None, None, 11)
    theirs = _radiance(mi, unit, fine.fine, q.of(LIGHTS, q.plan.site).lights, fine.raster.dirs[rays])
    view = fine.night.view(ALL)
    exposed = np.minimum(1.0, view.gain * (theirs * math.pi / light.TARGET + view.veil))
    ours = fine.taken(ALL).ravel()[rays]
    lit = theirs > 0.0
    assert np.median(np.abs(ours[lit] / exposed[lit] - 1.0)) < 0.01
    assert ours.mean() == pytest.approx(exposed.mean(), rel=0.005)
    assert float(ours.std()) > 0.01


# ----------------------------------------------------------------------------- by day

GREEN = 550
"""nm: what reflectances are taken at by day"""
SKY_ROWS = 256
STRAIGHT, ONCE = 2, 3
"""the renderer's depth of a path: light straight from sun and sky, and light that has met one surface more"""
PATHS = 256
"""paths of the renderer's along each ray"""
EVERY = slice(None, None, 101)


def _day(projection: str) -> Daylight:
    """The same yard by day under a clear sky, its site at 45° north."""
    plan = _plan(projection)
    q = builders.FakeQuery(replace(plan, site=replace(plan.site, place=(45.0, 0.0))))
    return q.of(DAYLIGHT, q.plan.cameras[0])


def _dome(mi: ModuleType, above: float) -> dict[str, Any]:
    """Light from all round above the horizon, of one radiance."""
    rows = np.where(np.arange(SKY_ROWS) < SKY_ROWS // 2, above, 0.0).astype(np.float32)
    picture = np.repeat(np.repeat(rows[:, None, None], 2 * SKY_ROWS, axis=1), 3, axis=2)
    upright = mi.ScalarTransform4f().rotate([1, 0, 0], 90)  # the renderer's sky stands along +y
    return {"type": "envmap", "bitmap": mi.Bitmap(picture), "to_world": upright}


def _by_day(mi: ModuleType, day: Daylight, depth: int) -> Array:
    """Radiance (n,) along every 101st ray under the study's sun and its sky: a render each, added."""
    assert day.weather.ray is not None
    level = {"type": "rgb", "value": day.weather.beam}
    sun = {"type": "directional", "direction": (-day.weather.ray).tolist(), "irradiance": level}
    sky = _dome(mi, day.weather.level / math.pi)
    path, sampler = mi.load_dict({"type": "path", "max_depth": depth, "rr_depth": 99}), _sampler(mi)
    rays = [mi.RayDifferential3f(day.raster.origin.tolist(), ray) for ray in day.raster.dirs[EVERY].tolist()]
    total = np.zeros(len(rays))
    for source, times in ((sun, 1 if depth == STRAIGHT else PATHS), (sky, PATHS)):
        scene = mi.load_dict({"type": "scene", **_meshes(mi, day.raster.scene, GREEN), "light": source})
        total += [sum(float(path.sample(scene, sampler, ray)[0][0]) for _ in range(times)) / times for ray in rays]
    return total


@pytest.mark.parametrize("projection", ["rectilinear", "equidistant"])
def test_the_day_straight_from_sun_and_sky_is_the_renderers(mi: ModuleType, projection: str) -> None:
    """With the light off the ground left out. Median pixel within 1 %, mean within 1 %; one in ten is off by 8 % or
    more: the share of the sky that is seen is looked for along 40 rays from every fourth place, and shared out.
    """
    day = _day(projection)
    theirs, surface = _by_day(mi, day, STRAIGHT), day.raster.tri[EVERY] >= 0
    ours = luminance(day.raster, day.weather, 0.0, 1.52)[EVERY]
    lit = surface & (theirs > 0.0)
    assert np.median(np.abs(ours[lit] / theirs[lit] - 1.0)) < 0.01
    assert ours[surface].mean() == pytest.approx(theirs[surface].mean(), rel=0.01)
    sky = ~surface & (day.raster.dirs[EVERY, 2] > 2.0 / SKY_ROWS)
    assert sky.sum() > 30
    assert ours[sky] == pytest.approx(theirs[sky], rel=1e-3)


@pytest.mark.parametrize("projection", ["rectilinear", "equidistant"])
def test_the_picture_drawn_of_a_day_is_near_the_renderers_with_light_that_bounces(
    mi: ModuleType, projection: str
) -> None:
    """As it is drawn, at the same exposure and veil, against light that has met one surface more on its way. Median
    pixel within 7 %, the darker; mean within 10 %. Of light that bounces ours has only what comes off open ground, so
    that where walls, soffit and pipe light each other it is darker, by up to half in their corners.
    """
    day = _day(projection)
    surface = day.raster.tri[EVERY] >= 0
    theirs = np.minimum(1.0, day.gain * (_by_day(mi, day, ONCE) + day.veil))[surface]
    ours = day.taken.ravel()[EVERY][surface]
    assert 0.93 < np.median(ours / theirs) < 1.0
    assert ours.mean() == pytest.approx(theirs.mean(), rel=0.10)
    bare = luminance(day.raster, day.weather, 0.0, 1.52)[EVERY][surface]
    without = np.minimum(1.0, day.gain * (bare + day.veil))
    assert np.abs(ours / theirs - 1.0).mean() < np.abs(without / theirs - 1.0).mean()


def test_shadows_fall_where_the_renderers_do(mi: ModuleType, unit: float) -> None:
    """Every source reaches some of the frame and not the rest; the answers differ along edges only."""
    night, sources = _night("rectilinear")
    rays = slice(None, None, 7)
    for row, number in enumerate(night.others.which):
        source = sources[number]
        way = night.frame.places[rays] - np.array(source.spot)
        within = way @ np.array(source.axis) > math.cos(math.radians(HALF - 1.0)) * np.linalg.norm(way, axis=1)
        theirs = _radiance(mi, unit, night, [source], night.raster.dirs[rays])[within] > 0.0
        ours = night.others.on_frame[row][rays][within] > 0.0
        assert 0.02 < theirs.mean() < 0.98
        assert (theirs == ours).mean() > 0.995


def test_irradiance_on_the_front_glass_is_the_renderers(mi: ModuleType, unit: float) -> None:
    """E = ∫ L cos θ dΩ over the half space before a flat window, from 9,000 rays of the renderer's."""
    night, sources = _night("rectilinear")
    rays = glass.flat_rays(75, 120) @ night.raster.eye.axes
    theirs = math.pi * float(_radiance(mi, unit, night, sources, rays).mean())
    sums = night.sums(night.lit(ALL), "usual")
    straight = sum(d.received for d in night.others.direct)
    ours = sums.own_inside + sums.rest_inside + sums.own_outside + sums.rest_outside - straight
    assert straight > 0.0
    assert ours == pytest.approx(theirs, rel=0.03)


def test_light_of_the_other_camera_on_the_glass_is_inverse_square() -> None:
    """E = I(θ) cos i/d², by hand, for the camera opposite."""
    night, sources = _night("rectilinear")
    other = next(s for s in sources if s.ref.id == "other")
    way = np.array(other.spot) - night.raster.origin
    apart = float(np.linalg.norm(way))
    off = float(-way @ np.array(other.axis)) / apart
    onto = float(way @ np.array(night.raster.eye.forward)) / apart
    expected = other.peak * off**other.exponent * onto / apart**2
    direct = next(d for d in night.others.direct if d.ref == other.ref)
    assert direct.received == pytest.approx(expected, rel=1e-9)
    assert direct.inside
