"""Radiance and irradiance against a general-purpose renderer (Mitsuba 3, direct light only).

The same triangles, the same three sources with the cosᵐθ pattern of an LED, shadows, and
the same rays one by one, through a rectilinear and an equidistant lens. A source is a
projector whose picture holds the pattern: Mitsuba's intensity is picture/cos³θ, so the
picture is I₀ cos^(m + 3)θ.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator
from types import ModuleType
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from place import builders

from oneclimb.plan.model import Camera, Infrared, Lamp, Plan
from oneclimb.study import LIGHTS
from oneclimb.study.lights import Light
from oneclimb.study.night import Night
from oneclimb.study.night_build import compute
from oneclimb.trade import glass, light
from oneclimb.trade.materials import reflectance

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
    lamp = Lamp("flood", builders.Spot(2.0, -0.5, 2.4), None, "infrared", 100.0, (6.0, -6.0, 0.0), "always", 25.0)
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
    return compute(camera, q, block=1), list(q.of(LIGHTS, q.plan.site).lights)


def _meshes(mi: ModuleType, night: Night) -> dict[str, Any]:
    scene, made = night.raster.scene, {}
    for number, material in enumerate(scene.materials):
        corners = scene.triangles[scene.material == number].reshape(-1, 3)
        if not len(corners):
            continue
        props = mi.Properties()
        grey = {"type": "rgb", "value": reflectance(material, 850).usual}
        props["bsdf"] = mi.load_dict({"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": grey}})
        mesh = mi.Mesh(f"m{number}", len(corners), len(corners) // 3, props=props)
        parameters = mi.traverse(mesh)
        parameters["vertex_positions"] = corners.ravel().astype(np.float32)
        parameters["faces"] = np.arange(len(corners), dtype=np.uint32)
        parameters.update()
        made[f"mesh{number}"] = mesh
    return made


def _projector(mi: ModuleType, source: Light) -> dict[str, Any]:
    across = (np.arange(FINE) + 0.5) / FINE * 2.0 - 1.0
    u, v = np.meshgrid(across, across)
    cosine = 1.0 / np.sqrt(1.0 + (u * u + v * v) * math.tan(math.radians(HALF)) ** 2)
    picture = (source.peak * cosine ** (source.exponent + 3.0)).astype(np.float32)
    target = np.array(source.spot) + np.array(source.axis)
    bitmap = mi.Bitmap(np.repeat(picture[:, :, None], 3, axis=2))
    return {
        "type": "projector",
        "irradiance": {"type": "bitmap", "bitmap": bitmap, "raw": True, "wrap_mode": "clamp"},
        "fov": 2.0 * HALF,
        "to_world": mi.ScalarTransform4f().look_at(origin=source.spot, target=target.tolist(), up=[0.1, 0.2, 1.0]),
    }


def _radiance(mi: ModuleType, night: Night, sources: Iterable[Light], rays: Array) -> Array:
    """Radiance (n,) along rays from the glass: one render a source, added."""
    total = np.zeros(len(rays))
    meshes = _meshes(mi, night)
    origin = night.raster.origin.tolist()
    for source in sources:
        scene = mi.load_dict({"type": "scene", **meshes, "lamp": _projector(mi, source)})
        integrator = mi.load_dict({"type": "direct", "emitter_samples": 1, "bsdf_samples": 0})
        sampler = mi.load_dict({"type": "independent"})
        for i, ray in enumerate(rays):
            spectrum = integrator.sample(scene, sampler, mi.RayDifferential3f(origin, ray.tolist()))[0]
            total[i] += float(spectrum[0])
    return total
