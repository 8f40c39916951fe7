"""How much of wind-driven rain's directions reach a connector, a box or a camera's housing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Query, Ref, Unknown
from oneclimb.plan.model import Box, Camera, Connector
from oneclimb.study import SCENE
from oneclimb.study.run_footing import FOOTING
from oneclimb.trade.housing import HOUSINGS
from oneclimb.trade.ingress import SPRAY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.plan.model import Spot

RAYS = 400
"""directions of rain tried: the share is right to about 0.01"""
OFF = 0.03
"""m, how far off its wall and below its soffit a thing hangs at least"""


class Shelter(Struct, frozen=True):
    """``rain``: share, 0 to 1, of rain's directions up to 60° from the vertical that reach the
    thing (the spray of second characteristic numeral 3, IEC 60529), each solid angle alike.
    """

    rain: float


def shelter(thing: Connector | Box | Camera, q: Query) -> Shelter:
    """Share of rain's directions that reach a thing, by casting at the place.

    Only in the open and under an eave can rain reach a connector or box, only outdoors a camera. Trees and
    what is there only sometimes keep no rain off. Raises ``Unknown`` where the plan does not say where it is.
    """
    if isinstance(thing, Camera):
        return Shelter(_reaching(thing.mount.spot, HOUSINGS[thing.shape].out, q) if thing.sits == "outdoors" else 0.0)
    if thing.sits not in ("open", "eave"):
        return Shelter(0.0)
    if thing.spot is None:
        noun = "connector" if isinstance(thing, Connector) else "box"
        raise Unknown(Ref(noun, thing.id, "at"), f"where is the {noun}?")
    return Shelter(_reaching(thing.spot, OFF, q))


def _reaching(spot: Spot, least: float, q: Query) -> float:
    """The share at a spot, taken ``least`` metres off its wall at least."""
    nx, ny = spot.normal
    off = max(0.0, least - spot.out)
    place = np.array([spot.x + nx * off, spot.y + ny * off, spot.z - OFF])
    rays = rain_directions(math.atan2(ny, nx))
    scene = q.of(SCENE, q.plan.site)
    hits = scene.cast(np.broadcast_to(place, rays.shape), rays, absent=q.of(FOOTING, q.plan.site).airy)
    return float(np.isinf(hits.t).mean())


def rain_directions(azimuth: float, count: int = RAYS) -> NDArray[np.float64]:
    """Unit vectors (count, 3) up against rain's fall, evenly over the cone of 60° about the zenith.

    ``azimuth`` (radians anticlockwise from +x) turns the pattern with the wall, so that a site
    turned as a whole gives the same share. (A golden-angle spiral: even in solid angle.)
    """
    i = np.arange(count) + 0.5
    up = 1 - i / count * (1 - math.cos(math.radians(SPRAY)))
    around = azimuth + i * math.pi * (3 - math.sqrt(5))
    flat = np.sqrt(1 - up**2)
    return np.stack([flat * np.cos(around), flat * np.sin(around), up], axis=1)
