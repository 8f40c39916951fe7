"""A study of this pack: where the cameras on each of one's own buildings are, as planning classes measure it."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Query, Study
from oneclimb.trade.housing import HOUSINGS

if TYPE_CHECKING:
    from oneclimb.plan.model import Building, Camera, Site

SAME = math.cos(math.radians(5.0))
"""walls that face within 5 degrees of each other are one side of a building"""
UNSAID = 0.1
"""m that the lowest part of a housing of unknown size may hang below its screw hole (estimate)"""


class Sited(Struct, frozen=True):
    """A camera on a building. ``height``: its lowest part above the ground, m, with the low end of its doubt;
    ``out``: how far it stands out from what it is fixed to, m.
    """

    camera: Camera
    height: float
    lowest: float
    out: float


class OnBuilding(Struct, frozen=True):
    """One building's cameras; ``pairs``: ids of every two and the distance between them, m, nearest first;
    ``side``: the most on one side.
    """

    building: Building
    cameras: tuple[Sited, ...]
    pairs: tuple[tuple[float, str, str], ...]
    side: int


def compute(_site: Site, q: Query) -> tuple[OnBuilding, ...]:
    """The buildings that are one's own and have a camera outdoors."""
    found = []
    for building in q.all("building"):
        cameras = [one for one in q.all("camera") if one.mount.spot.building == building.id and one.sits == "outdoors"]
        if cameras and building.neighbour is None:
            found.append(_on(building, cameras))
    return tuple(found)


def _on(building: Building, cameras: list[Camera]) -> OnBuilding:
    pairs = sorted(_apart(one, other) for one, other in combinations(cameras, 2))
    side = max(sum(_same(camera, other) for other in cameras) for camera in cameras)
    return OnBuilding(building, tuple(_sited(camera, building) for camera in cameras), tuple(pairs), side)


def _apart(one: Camera, other: Camera) -> tuple[float, str, str]:
    first, second = sorted((one.id, other.id))
    return math.dist(one.mount.spot.xyz, other.mount.spot.xyz), first, second


def _same(one: Camera, other: Camera) -> bool:
    (ax, ay), (bx, by) = one.mount.spot.normal, other.mount.spot.normal
    return ax * bx + ay * by >= SAME


def _sited(camera: Camera, building: Building) -> Sited:
    mount, size = camera.mount, camera.size
    height = mount.spot.z - building.base - (size[1] / 2 if size else 0.0)
    housing = HOUSINGS[camera.shape]
    deep = size[2] if size else housing.out + housing.nose
    from_wall = mount.spot.out if mount.to == "wall" else mount.arm
    return Sited(camera, height, height - (0.0 if size else UNSAID), from_wall + deep)


SITED: Study[Site, tuple[OnBuilding, ...]] = Study("local-sited", compute, keep="run")
"""Where the cameras on one's own buildings are."""
