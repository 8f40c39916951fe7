"""The moving study: what each thing that is there only sometimes hides of a camera's wanted ground."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely
from msgspec import Struct

from oneclimb.api import Change, Ref
from oneclimb.study import COVER, RASTER
from oneclimb.study.run_footing import footprint

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Object
    from oneclimb.study.cover import Cover

    Flags = NDArray[np.bool_]


class Hides(Struct, frozen=True):
    """What a thing hides of one watched area: shares of the samples there is room to stand at.

    ``without`` is seen with none of the things there, ``hidden`` of it is lost to this one; ``distance`` from the
    camera to the thing, m.
    """

    ref: Ref
    area: str
    without: float
    hidden: float
    distance: float


def compute(camera: Camera, q: Query) -> tuple[Hides, ...]:
    """Each thing in the frame with each watched area it hides some of, worst first."""
    raster = q.of(RASTER, camera)
    shown = sorted(ref for ref in raster.shares() if ref.kind == "object")
    things = [thing for thing in map(q.get, shown) if thing.there == "sometimes"]
    if not things:
        return ()
    gone = tuple(Change("absent", Ref("object", thing.id)) for thing in things)
    now, bare = q.of(COVER, camera), q.vary(*gone).of(COVER, camera)
    found = [hides for thing in things for hides in _hidden(thing, now, bare, raster.nearest(Ref("object", thing.id)))]
    return tuple(sorted(found, key=lambda one: -one.hidden))


def _hidden(thing: Object, now: Cover, bare: Cover, distance: float) -> Iterator[Hides]:
    ref = Ref("object", thing.id)
    number = now.sight.scene.numbers[ref]
    for name in bare.watched:
        free = bare.areas[name]
        room = ~_inside(thing, free.ground)
        seen = free.seen & room
        lost = seen & (now.areas[name].hidden_by == number)
        if lost.any():
            whole = max(int(room.sum()), 1)
            yield Hides(ref, name, float(seen.sum()) / whole, float(lost.sum()) / whole, distance)


def _inside(thing: Object, points: NDArray[np.float64]) -> Flags:
    """Which places on the ground (k, 3) the thing itself stands on: nobody is looked for there."""
    if thing.shape == "crown":
        return np.zeros(len(points), dtype=np.bool_)
    return np.asarray(shapely.contains_xy(footprint(thing), points[:, 0], points[:, 1]))
