"""The work at a camera: how high, where the ladder's foot comes to stand, and what is near it and the drill."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref
from oneclimb.plan.model import Building, Land, Object
from oneclimb.study import THINGS
from oneclimb.study.run_footing import footprint, top
from oneclimb.trade import ladder

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.plan.model import Camera, Vec

FOOT = 0.4
"""m round the middle of the ladder's foot: half its width, and room to step off (estimate)"""
LOW = 0.1
"""m: what is no higher than this under a foot is ground"""
CUTS = 25


class Near(Struct, frozen=True):
    """A thing a drill or a ladder keeps away from: how far it is from each, m (``ladder`` inf without one)."""

    at: Ref
    kind: str
    mount: float
    ladder: float


class Climb(Struct, frozen=True):
    """``work``: height of the screw holes above the ground, m. ``foot``: the middle of the ladder's foot, ``out`` m
    from what it leans on; None where no ladder is needed or the plan does not tell which way it leans.

    ``clear``: free room about the foot, m, of the ``room`` it wants; ``on`` what takes the rest. ``near``: in the
    plan's order.
    """

    work: float
    foot: Vec | None
    out: float
    room: float
    clear: float
    on: tuple[Ref, ...]
    near: tuple[Near, ...]


def compute(camera: Camera, q: Query) -> Climb:
    """Lay a ladder against what holds the camera, and measure about it. The foot's ground is taken as level."""
    mount = camera.mount
    ground = next((b.base for b in q.plan.buildings if b.id == mount.spot.building), 0.0)
    work = mount.spot.z - ground
    hole = np.array(mount.spot.xyz) - np.array(mount.normal) * mount.arm
    support, away = ladder.support_for(work), _away(camera)
    if not support or away is None or camera.sits == "indoors":
        return Climb(work, None, 0.0, FOOT, FOOT, (), _near(hole, None, q))
    out = ladder.foot(support).out
    wall = hole[:2] - away * (mount.spot.out - (mount.arm if mount.normal[2] == 0 else 0.0))
    foot = np.array([*(wall + away * out), ground])
    head = np.array([*wall, ground + support])
    taken = sorted(_taken(foot, camera, q), key=lambda one: one[0])
    clear = max(0.0, min([FOOT, *(far for far, _ in taken)]))
    spot = (float(foot[0]), float(foot[1]), float(foot[2]))
    return Climb(work, spot, out, FOOT, clear, tuple(ref for _, ref in taken), _near(hole, (foot, head), q))


def _away(camera: Camera) -> NDArray[np.float64] | None:
    """The level direction from what a ladder leans on to its foot; None where nothing tells."""
    flat = np.array(camera.mount.spot.normal if any(camera.mount.spot.normal) else camera.mount.normal[:2])
    long = float(np.hypot(*flat))
    return flat / long if long else None


def _taken(foot: NDArray[np.float64], camera: Camera, q: Query) -> list[tuple[float, Ref]]:
    """What lies within ``FOOT`` of the ladder's foot, and how near: things, buildings, and ground not one's own."""
    held = camera.fixing.held_by if camera.fixing else ""
    about = q.of(THINGS, q.plan.site).about(float(foot[0]), float(foot[1]), FOOT)
    found = [(far, ref_of(thing)) for far, thing in about if _in_the_way(thing, float(foot[2]))]
    return [(far, ref) for far, ref in found if far < FOOT and ref != Ref("object", held)]


def _in_the_way(thing: Object | Building | Land, ground: float) -> bool:
    """Whether it stands where a ladder's foot would."""
    if isinstance(thing, Object):
        return thing.spot.z < ground + 1.0 and thing.spot.z + thing.tall > ground + LOW
    return isinstance(thing, Land) or top(thing) > ground + LOW


def ref_of(thing: Object | Building | Land) -> Ref:
    """The reference of what stands there."""
    return Ref("object" if isinstance(thing, Object) else "land" if isinstance(thing, Land) else "building", thing.id)


def _near(
    hole: NDArray[np.float64], lean: tuple[NDArray[np.float64], NDArray[np.float64]] | None, q: Query
) -> tuple[Near, ...]:
    """Every hazard of the plan, how far from the screw holes and from the ladder that leans from foot to head."""
    rails = lean[0] + np.linspace(0, 1, CUTS)[:, None] * (lean[1] - lean[0]) if lean else np.zeros((0, 3))
    return tuple(
        Near(
            Ref("object", thing.id),
            thing.kind,
            float(away(hole[None], thing).min()),
            float(away(rails, thing).min(initial=math.inf)),
        )
        for thing in q.of(THINGS, q.plan.site).hazards
    )


def away(points: NDArray[np.float64], thing: Object) -> NDArray[np.float64]:
    """(n,) m from points (n, 3) to an upright thing, or to a pipe or line that runs from spot to spot; 0 inside."""
    if thing.to is not None:
        a, b = np.array(thing.spot.xyz), np.array(thing.to.xyz)
        along = np.clip((points - a) @ (b - a) / max(float((b - a) @ (b - a)), 1e-12), 0.0, 1.0)
        gap = np.linalg.norm(points - (a + along[:, None] * (b - a)), axis=1) - thing.diameter / 2
        return np.asarray(np.maximum(gap, 0.0))
    flat = np.asarray(shapely.distance(shapely.points(points[:, :2]), footprint(thing)))
    up = np.maximum(np.maximum(thing.spot.z - points[:, 2], points[:, 2] - thing.spot.z - thing.tall), 0.0)
    return np.asarray(np.hypot(flat, up))
