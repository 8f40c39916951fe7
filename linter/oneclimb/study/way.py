"""Where a cable's route leads: in or out of doors, from which building or pole to which, how near the mains."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Query, Ref, Unknown
from oneclimb.study import WAY
from oneclimb.study.run_footing import FOOTING, footprint

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from oneclimb.plan.model import Building, Cable, Lamp, Leg, Object
    from oneclimb.plan.model.cable import Cover

    Array = NDArray[np.float64]

STEP = 0.1
"""m, the longest piece a leg is cut into for where it is"""
FINE = 0.02
"""m, the same for how near it comes to mains: right to 5 mm at 50 mm"""
AT = 0.2
"""m from a building's outline or a pole's side within which a cable is on it (estimate)"""
ON = 0.02
"""m within which it touches it"""
ASK = 0.5
"""m within which a cable's distance from mains is worth asking for (estimate)"""
APART = ("shed", "pole", "post")
"""objects that stand by themselves and carry cables"""
OWN = 3.0
"""m from a building's outline within which a shed, pole or post is part of it: a porch's post (estimate)"""
MAINS = ("meter", "service-drop")
"""objects that mains wiring runs in"""


class Stretch(Struct, frozen=True):
    """One leg of a route: its length, how much of it is inside a building (m), what covers it and how deep it is."""

    length: float
    inside: float
    cover: Cover
    depth: float | None

    @property
    def outside(self) -> float:
        """Metres of it outdoors."""
        return self.length - self.inside


class Near(Struct, frozen=True):
    """Something the mains feed that the route passes, and the least distance to it, m, outside any conduit."""

    at: Ref
    metres: float


class Way(Struct, frozen=True):
    """A cable's route. ``stretches`` by leg; ``joins`` the ids of the buildings, sheds and poles that it goes from
    one to another of, in order; ``between`` metres outdoors from one to the next of them; ``near`` what it passes
    within ``ASK`` metres that the mains feed, nearest first.
    """

    stretches: tuple[Stretch, ...]
    joins: tuple[str, ...]
    between: float
    near: tuple[Near, ...]

    @property
    def length(self) -> float:
        """All of it, m."""
        return math.fsum(stretch.length for stretch in self.stretches)


class Crossing(Struct, frozen=True):
    """What a cable joins, by id, in order, and the metres outdoors between them; not ``known`` where the plan gives no
    route: then they are the least there can be, as the crow flies.
    """

    joins: tuple[str, ...]
    metres: float
    known: bool


def compute(cable: Cable, q: Query) -> Way:
    """Follow a cable's route; ``Unknown`` where the plan does not say where it runs."""
    if cable.legs is None:
        raise Unknown(Ref("cable", cable.id, "route"), "which way does the cable run, and how high?")
    insides = q.of(FOOTING, q.plan.site).insides
    cuts = [_middles(leg, STEP) for leg in cable.legs]
    within = [_within(insides, points) for points in cuts]
    stretches = tuple(
        Stretch(
            _length(leg),
            _length(leg) * (1.0 if leg.cover == "indoors" else float(inside.mean())),
            leg.cover,
            leg.depth,
        )
        for leg, inside in zip(cable.legs, within, strict=True)
    )
    joins, between = _between(cable.legs, cuts, _bodies(q))
    return Way(stretches, joins, between, tuple(_nearest(cable.legs, q)))


def crossing(cable: Cable, q: Query) -> Crossing:
    """From what to what a cable goes outdoors: by its route, else by the buildings it is said to join."""
    if cable.legs is not None:
        way = q.of(WAY, cable)
        if len(way.joins) > 1 or cable.between is None:
            return Crossing(way.joins, way.between, known=True)
    if cable.between is None:
        return Crossing((), 0.0, known=False)
    one, other = (shapely.Polygon(q.get(Ref("building", end)).outline) for end in cable.between)
    return Crossing(cable.between, float(one.distance(other)), known=False)


def _length(leg: Leg) -> float:
    return math.dist(leg.a.xyz, leg.b.xyz)


def _middles(leg: Leg, step: float) -> Array:
    """The middles (k, 3) of a leg's k equal pieces; a leg without length has one all the same."""
    k = max(1, math.ceil(_length(leg) / step - 1e-9))
    a, b = np.array(leg.a.xyz), np.array(leg.b.xyz)
    return np.asarray(a + (np.arange(k) + 0.5)[:, None] / k * (b - a))


def _within(insides: shapely.STRtree, points: Array) -> NDArray[np.bool_]:
    """Which points (k, 3) are inside a building, seen from above."""
    found = np.zeros(len(points), dtype=np.bool_)
    found[insides.query(shapely.points(points[:, :2]), predicate="within")[0]] = True
    return found


def _bodies(q: Query) -> Mapping[str, shapely.Geometry]:
    """What stands by itself, by id: its outline; not what stands close by a building."""
    buildings: Sequence[Building] = q.all("building")
    objects: Sequence[Object] = q.all("object")
    built = {building.id: shapely.Polygon(building.outline) for building in buildings}
    loose = {thing.id: footprint(thing) for thing in objects if thing.kind in APART}
    apart = {name: body for name, body in loose.items() if all(body.distance(one) > OWN for one in built.values())}
    return {**apart, **built}


def _between(
    legs: Sequence[Leg], cuts: Sequence[Array], bodies: Mapping[str, shapely.Geometry]
) -> tuple[tuple[str, ...], float]:
    """The bodies a route goes between, and the metres of it that lie between them.

    What stands against a building (a shed, a pole) is the building.
    """
    points = np.concatenate([[legs[0].a.xyz], *cuts, [legs[-1].b.xyz]])
    metres = [_length(leg) / len(cut) for leg, cut in zip(legs, cuts, strict=True) for _ in cut]
    flat = shapely.points(points[:, :2])
    at = _which(flat, [body.buffer(AT) for body in bodies.values()])
    on = _which(flat, [body.buffer(ON) for body in bodies.values()])
    joins: list[str] = []
    between = loose = 0.0
    last, arrived = -1, False
    for near, touched, long in zip(at, on, [0.0, *metres, 0.0], strict=True):
        if near not in (-1, last):
            arrived = last >= 0
            joins += [name for i, name in enumerate(bodies) if i == near]
            last = near
        loose += 0.0 if touched >= 0 else long
        if touched >= 0:
            between += loose if arrived else 0.0
            loose, arrived = 0.0, False
    return tuple(joins), between + (loose if arrived else 0.0)


def _which(flat: NDArray[np.object_], shapes: Sequence[shapely.Geometry]) -> list[int]:
    """The last of the shapes that each point is in, -1 for none."""
    at = np.full(len(flat), -1)
    for i, shape in enumerate(shapes):
        at[shapely.intersects(shape, flat)] = i
    return [int(i) for i in at]


def _nearest(legs: Sequence[Leg], q: Query) -> Iterator[Near]:
    """What the mains feed within ``ASK`` of the route; legs in conduit don't count."""
    bare = [_middles(leg, FINE) for leg in legs if leg.cover != "conduit"]
    if not bare:
        return
    ends = [np.array([leg.a.xyz, leg.b.xyz]) for leg in legs if leg.cover != "conduit"]
    points = np.concatenate([*bare, *ends])
    objects: Sequence[Object] = q.all("object")
    lamps: Sequence[Lamp] = q.all("lamp")
    found = [(Ref("object", o.id), _to_object(points, o)) for o in objects if o.kind in MAINS]
    found += [(Ref("lamp", lamp.id), _apart(points, np.array(lamp.spot.xyz))) for lamp in lamps]
    for ref, metres in sorted(found, key=lambda one: one[1]):
        if metres <= ASK:
            yield Near(ref, metres)


def _to_object(points: Array, thing: Object) -> float:
    """Least distance of points (k, 3) to a thing's surface, 0 where they are in it."""
    if thing.to is not None:
        a, b = np.array(thing.spot.xyz), np.array(thing.to.xyz)
        along = np.clip((points - a) @ (b - a) / max(float((b - a) @ (b - a)), 1e-12), 0.0, 1.0)
        line = a + along[:, None] * (b - a)
        return max(0.0, float(np.linalg.norm(points - line, axis=1).min()) - thing.diameter / 2)
    flat = shapely.distance(footprint(thing), shapely.points(points[:, :2]))
    z = points[:, 2]
    rise = np.maximum(0.0, np.maximum(thing.spot.z - z, z - thing.spot.z - thing.tall))
    return float(np.hypot(flat, rise).min())


def _apart(points: Array, place: Array) -> float:
    return float(np.linalg.norm(points - place, axis=1).min())
