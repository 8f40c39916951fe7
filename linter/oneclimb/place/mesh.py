"""Triangles with an owner and a material: how solids are gathered before they are cast at.

Shapes are made once as templates in a unit frame and set in place by the hundred with one
matrix product a shape, so that a site of thousands of things is built in no time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct, field

from oneclimb.api import Ref
from oneclimb.plan.limits import passed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from oneclimb.plan.model import Vec
    from oneclimb.trade.materials import Material

    Array = NDArray[np.float64]
    Index = NDArray[np.int32]

THINNEST = 1e-12
"""Twice the area, m2, under which a triangle is a line or a point."""


class PlaceError(Exception):
    """The place cannot be built: ``ref`` is the thing at fault, the message says why."""

    def __init__(self, ref: Ref, text: str) -> None:
        super().__init__(f"{ref.path}: {text}")
        self.ref = ref
        self.text = text


class Registry(Struct):
    """Numbers for owners and materials, in the order they are met."""

    known: Mapping[str, Material]
    facing: float = 0.0
    """degrees anticlockwise: the facets of round things lie by the compass, so that turning the
    site together with its north changes nothing"""
    owners: dict[Ref, int] = field(default_factory=dict)
    used: dict[str, int] = field(default_factory=dict)

    def owner(self, ref: Ref) -> int:
        """The owner's number."""
        return self.owners.setdefault(ref, len(self.owners))

    def material(self, name: str, ref: Ref) -> int:
        """The material's number; ``PlaceError`` where the plan knows no such surface."""
        if name not in self.known:
            raise PlaceError(ref, f"no material is called {name!r}")
        return self.used.setdefault(name, len(self.used))

    @property
    def materials(self) -> tuple[Material, ...]:
        """The materials by number."""
        return tuple(self.known[name] for name in self.used)


class Part(Struct, frozen=True):
    """Some triangles (k, 3, 3), each with owner (k,) and material (k,) numbers."""

    triangles: Array
    owner: Index
    material: Index


class Quads(Struct):
    """Flat four-cornered faces, corners anticlockwise seen from outside."""

    corners: list[tuple[Vec, Vec, Vec, Vec]] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)
    material: list[int] = field(default_factory=list)

    def add(self, owner: int, material: int, *corners: Vec) -> None:
        """One face."""
        a, b, c, d = corners
        self.corners.append((a, b, c, d))
        self.owner.append(owner)
        self.material.append(material)

    def part(self) -> Part:
        """Two triangles a face."""
        corners = np.array(self.corners, dtype=np.float64).reshape(-1, 4, 3)
        triangles = corners[:, ((0, 1, 2), (0, 2, 3))].reshape(-1, 3, 3)
        return Part(triangles, numbers(self.owner, 2), numbers(self.material, 2))


def numbers(values: Sequence[int], times: int) -> Index:
    """Each value ``times`` over."""
    return np.repeat(np.array(values, dtype=np.int32), times)


def placed(template: Array, frames: Array, feet: Array) -> Array:
    """Copies of a template (k, 3, 3): (n, k, 3, 3) with the unit axes sent to the rows of
    ``frames`` (n, 3, 3) and the unit frame's origin to ``feet`` (n, 3).
    """
    flat = template.reshape(-1, 3) @ frames + feet[:, None, :]
    return np.asarray(flat.reshape(len(frames), -1, 3, 3))


class Solids(Struct, frozen=True, eq=False):
    """All there is to cast at. ``triangles`` (m, 3, 3) m, site coordinates, corners
    anticlockwise seen from outside; ``owner`` and ``material`` (m,) numbers.
    """

    owners: tuple[Ref, ...]
    materials: tuple[Material, ...]
    triangles: Array
    owner: Index
    material: Index
    normals: Array
    """(m, 3) unit vectors, outward"""
    made_of: tuple[Any, ...] = ()
    """the plan's own values these were made of"""


def gathered(registry: Registry, parts: Sequence[Part], most: int, made_of: tuple[Any, ...] = ()) -> Solids:
    """The parts as one, ``most`` triangles, checked: Embree drops bad ones without a word."""
    triangles = np.concatenate([p.triangles for p in parts])
    owner = np.concatenate([p.owner for p in parts])
    material = np.concatenate([p.material for p in parts])
    owners = tuple(registry.owners)
    if len(triangles) > most:
        text = passed("triangles", f"the place has {len(triangles):,} triangles, at most {most:,} are cast at")
        raise PlaceError(Ref("site", "site"), text)
    return Solids(owners, registry.materials, triangles, owner, material, _normals(triangles, owner, owners), made_of)


def _normals(triangles: Array, owner: Index, owners: tuple[Ref, ...]) -> Array:
    """Unit normals, where every triangle has one."""
    with np.errstate(invalid="ignore", over="ignore"):
        ab, ac = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
        square = np.cross(ab, ac)
        twice = np.sqrt(np.einsum("ij,ij->i", square, square))
        bad = ~(np.isfinite(twice) & (twice > THINNEST))
    if bad.any():
        first = int(np.argmax(bad))
        finite = bool(np.isfinite(triangles[first]).all())
        text = "a face without area" if finite else "a size or place that is not finite"
        raise PlaceError(owners[int(owner[first])], text)
    return np.asarray(square / twice[:, None])
