"""What can be written but can't be built: cameras inside things, aims into walls, a site too wide."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from oneclimb.plan.here import Context, Raw
from oneclimb.plan.limits import passed
from oneclimb.plan.model import Building, Camera, Object, Vec, Vec2
from oneclimb.plan.outline import inside
from oneclimb.plan.read_cameras import pivot
from oneclimb.plan.where import distance

_CELL = 8.0
"""m: the side of the squares things are sorted into"""
_MOST = 80
"""squares a thing may span each way: 640 m"""
_INTO = -math.sin(math.radians(10.0))
"""an axis more than 10 degrees into the wall behind it is a slip (the project's own figure)"""
_SKIN = 0.005
"""m: how far inside counts as inside"""


T = TypeVar("T")
Cells = dict[tuple[int, int], list[T]]


@dataclass(frozen=True, slots=True)
class Solids:
    """Buildings and objects, sorted into squares so that a camera looks at its neighbours only."""

    buildings: Cells[Building]
    objects: Cells[Object]

    @classmethod
    def of(cls, buildings: Iterable[Building], objects: Iterable[Object]) -> Solids:
        """Sort them."""
        return cls(_sorted({}, buildings, _house_box), _sorted({}, objects, _object_box))

    def instead(self, gone: frozenset[Object], new: Iterable[Object]) -> Solids:
        """The same with some objects in place of others."""
        touched = {cell for thing in gone for cell in _cells(_object_box(thing))}
        cells = {**self.objects, **{cell: [o for o in self.objects.get(cell, ()) if o not in gone] for cell in touched}}
        return Solids(self.buildings, _sorted(cells, new, _object_box))

    @staticmethod
    def near(cells: Cells[T], at: Vec) -> Sequence[T]:
        """What may reach over a point."""
        return cells.get((math.floor(at[0] / _CELL), math.floor(at[1] / _CELL)), ())


Box = tuple[float, float, float, float]


def _sorted(cells: Cells[T], things: Iterable[T], box: Callable[[T], Box]) -> Cells[T]:
    for thing in things:
        for cell in _cells(box(thing)):
            cells[cell] = [*cells.get(cell, ()), thing]
    return cells


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    """The squares a box touches; of a very long one only the first thousands."""
    x0, y0, x1, y1 = (math.floor(v / _CELL) for v in box)
    for i in range(x0, min(x1, x0 + _MOST) + 1):
        for j in range(y0, min(y1, y0 + _MOST) + 1):
            yield i, j


def _house_box(building: Building) -> Box:
    xs, ys = zip(*building.outline, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _object_box(thing: Object) -> Box:
    r, s = _reach(thing), thing.spot
    return s.x - r, s.y - r, s.x + r, s.y + r


def _reach(thing: Object) -> float:
    return max(math.hypot(thing.wide, thing.deep), thing.diameter) / 2


def check_camera(c: Context, camera: Camera, solids: Solids, *, walls: bool = True) -> None:
    """A camera that can't be where it is, or (with ``walls``) can't see for its own wall."""
    path = c.paths["camera", camera.id]
    at = pivot(camera.mount, camera.shape)
    indoors = camera.mount.to == "ceiling" or camera.behind is not None
    for building in solids.near(solids.buildings, at):
        if not indoors and _in_building(at, building):
            text = f"{camera.id} is inside {building.id}"
            c.faults.append(Raw("PLAN-28", text, (*path, "mount"), "`out` counts straight out from the wall's face"))
            return
    for thing in solids.near(solids.objects, at):
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
    if not building.base <= at[2] < building.base + building.height or not inside(at[:2], building.outline):
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
    x, y, z = at[0] - thing.spot.x, at[1] - thing.spot.y, at[2] - thing.spot.z
    z -= thing.trunk[0] if thing.trunk else 0.0
    if not 0 < z < thing.tall or thing.to is not None:
        return False
    if thing.shape == "cylinder":
        return math.hypot(x, y) < thing.diameter / 2 - _SKIN
    if thing.shape == "crown":
        across = math.hypot(x, y) / (thing.diameter / 2)
        up = (z - thing.tall / 2) / (thing.tall / 2)
        return math.hypot(across, up) < 1
    a = math.radians(thing.yaw)
    u, v = x * math.cos(a) + y * math.sin(a), y * math.cos(a) - x * math.sin(a)
    return abs(u) < thing.wide / 2 - _SKIN and abs(v) < thing.deep / 2 - _SKIN


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
