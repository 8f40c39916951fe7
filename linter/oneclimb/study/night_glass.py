"""Light that falls straight on the front glass: lamps, other cameras' emitters, and mirrors of the camera's own."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.trade import glass, light, optics
from oneclimb.trade.constants import constant
from oneclimb.trade.housing import HOUSINGS

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Plan
    from oneclimb.study.night_field import Own
    from oneclimb.study.raster import Raster
    from oneclimb.study.sources import Lights

    Array = npt.NDArray[np.float64]
    Which = npt.NDArray[np.intp]

RAYS = 8
"""visibility rays from a small source to the glass"""
SPREAD = 0.01
"""radius, m, of the ring they start from"""


class Front(Struct, frozen=True):
    """A front glass. ``dome_axis`` (3,) for a bubble, else None; ``hood`` the cosine of the edge a hood makes,
    0 without one; ``recessed`` whether stray light from outside the frame is the lesser.
    """

    dome_axis: tuple[float, float, float] | None
    hood: float
    recessed: bool


def front(camera: Camera, plan: Plan) -> Front:
    """The glass of a camera's housing.

    A bubble takes light from all round, the others have a flat window. Where the LEDs have a window
    of their own (turret, doorbell) the lens sits back behind another; a hood cuts off
    what comes from beyond its edge.
    """
    housing = HOUSINGS[camera.shape]
    if housing.bubble:
        return Front(camera.mount.normal, 0.0, recessed=False)
    edge = math.cos(math.radians(constant(plan, "hood-angle").usual)) if camera.hood else 0.0
    return Front(None, edge, recessed=camera.hood or housing.window)


class Direct(Struct, frozen=True):
    """Light straight on the glass from one source: its irradiance, whether from inside the frame, how far."""

    ref: Ref
    received: float
    inside: bool
    distance: float


def share_of_glass(glazed: Front, forward: Array, toward: Array, inside: npt.NDArray[np.bool_]) -> Array:
    """What share of light from directions (k, 3) counts on the glass (k,): cosine to the axis for what lies in
    the frame and for flat windows, the bubble's projected area for the rest of a dome's.
    """
    cosine = toward @ forward
    flat = glass.flat_share(cosine, glazed.hood)
    lens = np.maximum(cosine, 0.0)
    if glazed.dome_axis is None:
        return np.where(inside, lens, flat)
    return np.where(inside, lens, glass.dome_share(toward @ np.array(glazed.dome_axis)))


def possible(
    raster: Raster, glazed: Front, lights: Lights, which: Which, radius: float
) -> tuple[Array, npt.NDArray[np.bool_]]:
    """Irradiance (k,) sources would put on the glass were nothing in the way, and which lie in the frame."""
    ways = lights.ways(which, raster.origin[None, :])
    toward = np.column_stack([ways.x, ways.y, ways.z])
    inside = raster.eye.project(lights.spots[which])[2]
    counted = share_of_glass(glazed, np.array(raster.eye.forward), toward, inside)
    return light.irradiance(lights.sent(which, ways)[:, 0], counted, ways.apart[:, 0] ** 2, radius), inside


def rays_to_sources(lights: Lights, which: Which, origin: Array) -> Array:
    """Points (k, 8, 3) on a small ring round each source, square to its line to the glass."""
    way = lights.spots[which] - origin
    way = way / np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-6)
    other = np.eye(3)[np.argmin(np.abs(way), axis=1)]
    u = np.cross(way, other)
    u = u / np.linalg.norm(u, axis=1, keepdims=True)
    v = np.cross(way, u)
    angle = np.arange(RAYS) * (2.0 * math.pi / RAYS)
    ring = np.cos(angle)[None, :, None] * u[:, None, :] + np.sin(angle)[None, :, None] * v[:, None, :]
    return np.asarray(lights.spots[which, None, :] + SPREAD * ring)


def around(raster: Raster, dome_axis: Array | None, hood: float) -> tuple[Array, float]:
    """Rays (n, 3) that meet the glass from outside the frame, and what each puts on it per unit of signal.

    They are fixed to the camera, so turning the site changes nothing. ``dome_axis`` (3,)
    for a bubble, None for a flat window; ``hood`` the cosine of a hood's edge, else 0.
    """
    eye = raster.eye
    if dome_axis is None:
        local, whole = glass.flat_rays(), np.pi
        rays = local @ eye.axes
        keep = local[:, 2] > hood
    else:
        local, whole = glass.dome_rays(), 2.0 * np.pi
        rays = local @ _frame_about(dome_axis, np.array(eye.forward))
        keep = np.ones(len(local), dtype=np.bool_)
    _, _, inside = eye.project_local(rays @ eye.axes.T)
    return rays[keep & ~inside], light.TARGET / np.pi * whole / len(local)


def _frame_about(axis: Array, forward: Array) -> Array:
    """Three unit vectors, rows, the last along ``axis``, the first as near ``forward`` as it can be."""
    side = forward - axis * (axis @ forward)
    if np.linalg.norm(side) < 1e-6:
        side = np.eye(3)[int(np.argmin(np.abs(axis)))]
        side = side - axis * (axis @ side)
    side = side / np.linalg.norm(side)
    return np.stack([side, np.cross(axis, side), axis])


def mirrors(raster: Raster, glazed: Front, own: Own, index: float) -> list[Direct]:
    """Panes in which the camera meets its own lamp: those that face it squarely, seen at twice their distance."""
    owners, feet, apart = _feet(raster)
    forward = np.array(raster.eye.forward)
    toward = (feet - raster.origin) / np.maximum(apart, 1e-6)[:, None]
    inside = raster.eye.project(feet)[2]
    sent = own.peak * light.pattern(toward @ forward, own.exponent) * float(optics.pane(0.0, index)[0])
    counted = share_of_glass(glazed, forward, toward, inside)
    received = light.irradiance(sent, counted, 4.0 * np.maximum(apart, own.touching) ** 2, own.radius)
    met = np.flatnonzero(received > 0.0)
    met = met[raster.scene.visible(raster.origin, feet[met], raster.absent)]
    found = {raster.scene.owners[owners[i]]: i for i in met[np.argsort(-apart[met], kind="stable")]}
    return [Direct(ref, float(received[i]), bool(inside[i]), float(apart[i])) for ref, i in found.items()]


def _feet(raster: Raster) -> tuple[Which, Array, Array]:
    """The points of panes straight in front of the camera: owners (k,), points (k, 3), distances (k,) m."""
    scene = raster.scene
    tris = scene.panes
    if raster.absent:
        tris = tris[~np.isin(scene.owner[tris], scene.owned_by(raster.absent))]
    corners, normals = scene.triangles[tris], scene.normals[tris]
    apart = np.einsum("ij,ij->i", raster.origin - corners[:, 0], normals)
    feet = raster.origin - apart[:, None] * normals
    onward = np.roll(corners, -1, axis=1) - corners
    sides = np.einsum("ijk,ik->ij", np.cross(onward, feet[:, None] - corners), normals)
    within = (sides >= -1e-9).all(axis=1)
    return scene.owner[tris[within]].astype(np.intp), feet[within], np.abs(apart[within])


def pane_through(camera: Camera, plan: Plan, *, seen: bool) -> float:
    """What share of light the pane before a camera lets through, 1 without one; ``seen`` for light the eye sees.

    A metal coating keeps near infrared back.
    """
    if camera.behind is None:
        return 1.0
    if camera.behind.coated and not seen:
        return constant(plan, "coated-pane").usual
    return float(optics.pane(0.0, constant(plan, "pane-index").usual)[1])


def own_pane(camera: Camera, q: Query, own: Own) -> tuple[list[Direct], float]:
    """A pane in front of the camera: its own light thrown back, and what share of light the pane lets through.

    Sealed to the glass nothing comes back; else the lamp is seen in the pane at twice the
    gap. ``Unknown`` where the plan tells neither, if there is light to come back.
    """
    through = pane_through(camera, q.plan, seen=camera.night == "white")
    if camera.behind is None or own.peak <= 0.0 or q.need(camera, "behind.sealed"):
        return [], through
    gap = float(q.need(camera, "behind.gap"))
    received = light.irradiance(own.peak * (1.0 - through), 1.0, (2.0 * gap) ** 2, own.radius)
    return [Direct(Ref("camera", camera.id, "behind"), float(received), inside=True, distance=gap)], through
