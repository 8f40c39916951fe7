"""What can be written but can't be built: cameras inside things, aims into walls, a site too wide."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from oneclimb.plan.here import Context, Raw
from oneclimb.plan.limits import passed
from oneclimb.plan.model import Building, Camera, Object, Vec, Vec2
from oneclimb.plan.outline import inside
from oneclimb.plan.read_mounts import pivot
from oneclimb.plan.where import distance

_INTO = -math.sin(math.radians(10.0))
"""an axis more than 10 degrees into the wall behind it is a slip (the project's own figure)"""
_SKIN = 0.005
"""m: how far inside counts as inside"""


class Solids(Struct, frozen=True):
    """Buildings and objects with their boxes as arrays, so that a camera meets only what reaches over it."""

    buildings: tuple[Building, ...]
    houses: NDArray[np.float64]
    """(n, 4): least and greatest x and y of each building, m"""
    outlines: tuple[NDArray[np.float64], ...]
    """(corners, 2) of each building, m"""
    objects: tuple[Object, ...]
    boxes: NDArray[np.float64]
    """(n, 8): x, y, cosine and sine of the yaw, half width, half depth, lowest and highest point"""

    @classmethod
    def of(cls, buildings: tuple[Building, ...], objects: tuple[Object, ...]) -> Solids:
        """Measure them."""
        outlines = tuple(np.array(b.outline, dtype=np.float64) for b in buildings)
        houses = [(*np.min(o, axis=0), *np.max(o, axis=0)) for o in outlines]
        boxes = np.array([_box(thing) for thing in objects], dtype=np.float64).reshape(-1, 8)
        return cls(buildings, np.array(houses, dtype=np.float64).reshape(-1, 4), outlines, objects, boxes)

    def instead(self, objects: tuple[Object, ...], new: frozenset[str]) -> Solids:
        """The same with other objects, of which those with ids in ``new`` are to be measured."""
        if len(objects) != len(self.objects):
            old = dict(zip((thing.id for thing in self.objects), self.boxes, strict=True))
            rows = [_box(o) if o.id in new or o.id not in old else old[o.id] for o in objects]
            return replace(self, objects=objects, boxes=np.array(rows, dtype=np.float64).reshape(-1, 8))
        boxes = self.boxes.copy()
        for i, thing in enumerate(objects):
            if thing.id in new:
                boxes[i] = _box(thing)
        return replace(self, objects=objects, boxes=boxes)

    def round_it(self, at: Vec) -> Iterator[Building]:
        """The buildings whose outline a point lies inside."""
        h = self.houses
        found = (h[:, 0] <= at[0]) & (at[0] <= h[:, 2]) & (h[:, 1] <= at[1]) & (at[1] <= h[:, 3])
        return (self.buildings[i] for i in np.nonzero(found)[0] if inside(at[:2], self.outlines[i]))

    def near_objects(self, at: Vec) -> list[Object]:
        """The objects whose box a point lies in."""
        b = self.boxes
        x, y = at[0] - b[:, 0], at[1] - b[:, 1]
        wide, deep = np.abs(x * b[:, 2] + y * b[:, 3]) < b[:, 4], np.abs(y * b[:, 2] - x * b[:, 3]) < b[:, 5]
        return [self.objects[i] for i in np.nonzero(wide & deep & (b[:, 6] < at[2]) & (at[2] < b[:, 7]))[0]]


def _box(thing: Object) -> tuple[float, ...]:
    a, s, round_ = math.radians(thing.yaw), thing.spot, thing.diameter / 2
    foot = s.z + (thing.trunk[0] if thing.trunk else 0.0)
    half = (round_, round_) if thing.shape in ("cylinder", "crown") else (thing.wide / 2, thing.deep / 2)
    return (s.x, s.y, math.cos(a), math.sin(a), half[0] - _SKIN, half[1] - _SKIN, foot, foot + thing.tall)


def check_camera(c: Context, camera: Camera, solids: Solids, *, walls: bool = True) -> None:
    """A camera that can't be where it is, or (with ``walls``) can't see for its own wall."""
    path = c.paths["camera", camera.id]
    at = pivot(camera.mount, camera.shape)
    indoors = camera.mount.to == "ceiling" or camera.behind is not None
    for building in solids.round_it(at):
        if not indoors and _in_building(at, building):
            text = f"{camera.id} is inside {building.id}"
            c.faults.append(Raw("PLAN-28", text, (*path, "mount"), "`out` counts straight out from the wall's face"))
            return
    for thing in solids.near_objects(at):
        if _in_object(at, thing) and not (camera.mount.to == "pole" and thing.shape == "cylinder"):
            c.faults.append(Raw("PLAN-28", f"{camera.id} is inside {thing.id}", (*path, "mount")))
            return
    if not walls:
        return
    ahead = axis(c, camera)
    if not indoors and _into_wall(at, ahead, camera, c.buildings):
        what = "the soffit" if camera.mount.normal[2] < 0 and ahead[2] > 0 else "its own wall"
        c.faults.append(Raw("PLAN-29", f"{camera.id} looks into {what}", (*path, "aim")))


def axis(c: Context, camera: Camera) -> Vec:
    """The direction it looks in, site coordinates."""
    x, y = c.unit(camera.aim.bearing)
    t = math.radians(camera.aim.tilt)
    return (x * math.cos(t), y * math.cos(t), -math.sin(t))


def _into_wall(at: Vec, ahead: Vec, camera: Camera, buildings: Mapping[str, Building]) -> bool:
    """Whether the axis runs into what the camera is fixed to."""
    mount = camera.mount
    if mount.normal[2] < 0 and -ahead[2] < _INTO:
        return True
    spot = mount.spot
    into = ahead[0] * spot.normal[0] + ahead[1] * spot.normal[1]
    if spot.normal == (0.0, 0.0) or into > _INTO:
        return False
    building = buildings[spot.building]
    wall = next(w for w in building.walls if w.id == spot.wall)
    out = (at[0] - wall.a[0]) * wall.normal[0] + (at[1] - wall.a[1]) * wall.normal[1]
    t = out / -into
    x, y, z = (at[i] + t * ahead[i] for i in range(3))
    along = ((x - wall.a[0]) * (wall.b[0] - wall.a[0]) + (y - wall.a[1]) * (wall.b[1] - wall.a[1])) / wall.length
    return 0 <= along <= wall.length and building.base - 1 <= z <= building.base + building.height


def _in_building(at: Vec, building: Building) -> bool:
    if not building.base <= at[2] < building.base + building.height:
        return False
    return all(_off(at[:2], wall.a, wall.normal) < -_SKIN for wall in building.walls if _beside(at[:2], wall.a, wall.b))


def _off(p: Vec2, a: Vec2, normal: Vec2) -> float:
    return (p[0] - a[0]) * normal[0] + (p[1] - a[1]) * normal[1]


def _beside(p: Vec2, a: Vec2, b: Vec2) -> bool:
    """Whether a point lies abreast of a wall, not past its ends."""
    length = distance(a, b)
    along = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / length
    return 0 <= along <= length and abs(_off(p, a, ((b[1] - a[1]) / length, -(b[0] - a[0]) / length))) < 0.05


def _in_object(at: Vec, thing: Object) -> bool:
    """Whether a point in an object's box is in the object."""
    if thing.to is not None:
        return False
    x, y = at[0] - thing.spot.x, at[1] - thing.spot.y
    if thing.shape == "cylinder":
        return math.hypot(x, y) < thing.diameter / 2 - _SKIN
    if thing.shape == "crown":
        foot = thing.spot.z + (thing.trunk[0] if thing.trunk else 0.0)
        across = math.hypot(x, y) / (thing.diameter / 2)
        return math.hypot(across, (at[2] - foot - thing.tall / 2) / (thing.tall / 2)) < 1
    return True


def check_width(c: Context, placed: Iterable[tuple[tuple[str, str], Vec2]]) -> None:
    """A site is no wider than the place model can hold; the thing farthest from the first is told."""
    points = list(placed)
    if not points:
        return
    x0, y0 = points[0][1]
    far, at = max(((math.hypot(x - x0, y - y0), thing) for thing, (x, y) in points), key=lambda pair: pair[0])
    if far > c.limits.site_size:
        what = f"{at[1]} lies {far:.0f} m from {points[0][0][1]}: a site is at most {c.limits.site_size:g} m wide"
        c.faults.append(Raw("PLAN-31", passed("site_size", what), c.paths[at]))
