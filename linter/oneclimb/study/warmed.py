"""Whether, and how strongly, the sun of the warm half of the year stands on a camera's housing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.study import SCENE, SUNS
from oneclimb.study.run_footing import FOOTING
from oneclimb.trade import sky, sun
from oneclimb.trade.housing import HOUSINGS
from oneclimb.trade.reach import TROPIC

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera

STRONG = 15.0
"""degrees: a lower sun, through twice the air and more, heats little (estimate)"""
WARM = {True: frozenset(range(4, 10)), False: frozenset({10, 11, 12, 1, 2, 3})}
"""months of the warm half of the year, north of the equator and south of it"""


class Warmed(Struct, frozen=True):
    """``share``, 0 to 1, of the hours of strong sun in the warm half of the year in which it can stand on the housing,
    ``hours`` of them, and ``beam``, W/m² across the sun's rays at the strongest of them, under a clear sky.
    """

    share: float
    hours: float
    beam: float


def compute(camera: Camera, q: Query) -> Warmed:
    """Rays from the housing to the warm half-year's sun. Trees and what is there only sometimes give no shade.

    Raises ``Unknown`` where the plan does not say where the site is.
    """
    latitude, _ = q.need(q.plan.site, "place")
    year = q.of(SUNS, q.plan.site)
    warm = np.isin(sun.months(year.days, year.zone), sorted(WARM[latitude >= 0])) | (abs(latitude) <= TROPIC)
    strong = np.flatnonzero(warm & (year.elevation >= STRONG))
    if not len(strong):
        return Warmed(0.0, 0.0, 0.0)
    spot, normal, out = camera.mount.spot, camera.mount.normal, HOUSINGS[camera.shape].out
    place = np.array([spot.x + normal[0] * out, spot.y + normal[1] * out, spot.z + normal[2] * out])
    absent = q.of(FOOTING, q.plan.site).airy
    hits = q.of(SCENE, q.plan.site).cast(np.broadcast_to(place, (len(strong), 3)), year.rays[strong], absent=absent)
    on = strong[np.isinf(hits.t) & ~year.hills[strong]]
    outside = sky.extraterrestrial(sun.day_of_year(year.days[on]))
    beam = sky.clear(year.elevation[on], outside)[1]
    return Warmed(len(on) / len(strong), len(on) * year.each, float(beam.max(initial=0.0)))
