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
    from oneclimb.study.raster import Raster

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
    raster, now = q.of(RASTER, camera), q.of(COVER, camera)
    shown = sorted(ref for ref in raster.shares() if ref.kind == "object")
    things = [thing for thing in map(q.get, shown) if thing.there == "sometimes"]
    numbers = now.sight.scene.numbers
    if not any(numbers[Ref("object", thing.id)] in now.areas.hiding for thing in things):
        return ()
    bare = q.vary(*(Change("absent", Ref("object", thing.id)) for thing in things)).of(COVER, camera)
    found = [hides for thing in things for hides in _hidden(thing, now, bare, raster)]
    return tuple(sorted(found, key=lambda one: -one.hidden))


def _hidden(thing: Object, now: Cover, bare: Cover, raster: Raster) -> Iterator[Hides]:
    ref = Ref("object", thing.id)
    number = now.sight.scene.numbers[ref]
    for name in bare.watched:
        if number not in now.areas[name].hidden_by:
            continue
        free = bare.areas[name]
        room = ~_inside(thing, free.ground)
        seen = free.seen & room
        lost = seen & (now.areas[name].hidden_by == number)
        if lost.any():
            whole = max(int(room.sum()), 1)
            without, hidden = float(seen.sum()) / whole, float(lost.sum()) / whole
            yield Hides(ref, name, without, hidden, raster.nearest(ref))


def _inside(thing: Object, points: NDArray[np.float64]) -> Flags:
    """Which places on the ground (k, 3) the thing itself stands on: nobody is looked for there."""
    if thing.shape == "crown":
        return np.zeros(len(points), dtype=np.bool_)
    return np.asarray(shapely.contains_xy(footprint(thing), points[:, 0], points[:, 1]))
