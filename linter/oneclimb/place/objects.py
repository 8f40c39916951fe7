"""Objects of the plan as triangles, all of one shape at once."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.place import shapes
from oneclimb.place.mesh import Part, Registry, numbers, placed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from numpy.typing import NDArray

    from oneclimb.api import Ref
    from oneclimb.plan.model import Object

    Array = NDArray[np.float64]
    Owned = tuple[Ref, Object]

PROUD = 0.002
"""A flush sign or pane is lifted this far off what it is fixed to, m."""
BARK = "bark"
SHY = 0.0005
"""Solids are drawn this much smaller all round, m, so that no face lies in the very ground
or wall it touches: a ray that passes through a thing taken away must still find them."""


def parts(registry: Registry, objects: Iterable[Owned]) -> Iterator[Part]:
    """The solids of objects, each under the reference that owns it."""
    by_shape: dict[str, list[Owned]] = {}
    for owned in objects:
        registry.owner(owned[0])
        thing = owned[1]
        flat = "sheet" if thing.deep == 0 else "box"
        by_shape.setdefault(flat if thing.shape == "panel" else thing.shape, []).append(owned)
    for shape, group in by_shape.items():
        yield _MAKERS[shape](registry, group)
    trees = [owned for owned in by_shape.get("crown", ()) if owned[1].trunk]
    if trees:
        yield _trunks(registry, trees)


def _part(registry: Registry, group: Sequence[Owned], template: Array, frames: Array, feet: Array) -> Part:
    k = len(template)
    owner = numbers([registry.owner(ref) for ref, _ in group], k)
    material = numbers([registry.material(o.surface, ref) for ref, o in group], k)
    return Part(placed(template, frames, feet).reshape(-1, 3, 3), owner, material)


def _feet(group: Sequence[Owned]) -> Array:
    return np.array([(o.spot.x, o.spot.y, o.spot.z) for _, o in group], dtype=np.float64)


def _turned(wide: Array, deep: Array, tall: Array, yaw: Array) -> Array:
    """(n, 3, 3): the wide side along ``yaw`` (degrees from +x), the deep side to its left, up."""
    c, s = np.cos(np.radians(yaw)), np.sin(np.radians(yaw))
    frames = np.zeros((len(wide), 3, 3))
    frames[:, 0, 0], frames[:, 0, 1] = c * wide, s * wide
    frames[:, 1, 0], frames[:, 1, 1] = -s * deep, c * deep
    frames[:, 2, 2] = tall
    return frames


def _boxes(registry: Registry, group: Sequence[Owned]) -> Part:
    sizes = np.array([(o.wide, o.deep, o.tall) for _, o in group], dtype=np.float64)
    yaw = np.array([o.yaw for _, o in group])
    shy = _shy(sizes)
    wide, deep, tall = (sizes - 2 * shy).T
    feet = _feet(group)
    feet[:, 2] += shy[:, 2]
    return _part(registry, group, shapes.box(), _turned(wide, deep, tall, yaw), feet)


def _shy(sizes: Array) -> Array:
    """How much each side is drawn in; less for what is thin itself."""
    return np.minimum(SHY, sizes / 10)


def _sheets(registry: Registry, group: Sequence[Owned]) -> Part:
    """Panels without thickness; one that lies on its wall is lifted off it."""
    sizes = np.array([(o.wide, 1.0, o.tall, o.yaw) for _, o in group]).T
    lift = np.array([(*o.spot.normal, 0.0) for _, o in group])
    out = np.array([[PROUD if abs(o.spot.out) < PROUD else 0.0] for _, o in group])
    return _part(registry, group, shapes.sheet(), _turned(*sizes), _feet(group) + lift * out)


def _cylinders(registry: Registry, group: Sequence[Owned]) -> Part:
    feet = _feet(group)
    tops = np.array([(o.to.x, o.to.y, o.to.z) if o.to else (o.spot.x, o.spot.y, o.spot.z + o.tall) for _, o in group])
    radius = np.array([o.diameter / 2 for _, o in group])
    axis = tops - feet
    length = np.linalg.norm(axis, axis=1, keepdims=True)
    shy = np.divide(_shy(length), length, out=np.zeros_like(length), where=length > 0)
    return _part(
        registry, group, shapes.cylinder(), _along(axis * (1 - 2 * shy), radius, registry.facing), feet + axis * shy
    )


def _along(axis: Array, radius: Array, facing: float) -> Array:
    """(n, 3, 3): two unit vectors square to the axis times the radius, and the axis."""
    level = np.abs(axis[:, 2]) < 0.9 * np.linalg.norm(axis, axis=1)
    across = (math.cos(math.radians(facing)), math.sin(math.radians(facing)), 0.0)
    aside = np.where(level[:, None], (0.0, 0.0, 1.0), across)
    second = np.cross(axis, aside)
    length = np.linalg.norm(second, axis=1, keepdims=True)
    second = np.divide(second, length, out=np.zeros_like(second), where=length > 0)
    first = np.cross(second, axis)
    length = np.linalg.norm(first, axis=1, keepdims=True)
    first = np.divide(first, length, out=np.zeros_like(first), where=length > 0)
    return np.stack([first * radius[:, None], second * radius[:, None], axis], axis=1)


def _crowns(registry: Registry, group: Sequence[Owned]) -> Part:
    """Leaves as ellipsoids; a tree's stand on its trunk."""
    radius, tall = np.array([(o.diameter / 2, o.tall) for _, o in group]).T
    feet = _feet(group)
    feet[:, 2] += [o.trunk[0] if o.trunk else 0.0 for _, o in group]
    return _part(
        registry, group, shapes.ellipsoid(), _turned(radius, radius, tall, np.full_like(tall, registry.facing)), feet
    )


def _trunks(registry: Registry, group: Sequence[Owned]) -> Part:
    """Trunks, of bark where the plan knows it, up to a little inside the crown."""
    sizes = np.array([o.trunk for _, o in group if o.trunk])
    frames = _turned(sizes[:, 1] / 2, sizes[:, 1] / 2, sizes[:, 0], np.full(len(sizes), registry.facing))
    feet = _feet(group)
    feet[:, 2] += SHY
    part = _part(registry, group, shapes.cylinder(), frames, feet)
    if BARK not in registry.known:
        return part
    bark = registry.material(BARK, group[0][0])
    return Part(part.triangles, part.owner, np.full_like(part.material, bark))


_MAKERS = {"box": _boxes, "sheet": _sheets, "cylinder": _cylinders, "crown": _crowns}
