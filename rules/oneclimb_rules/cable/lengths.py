"""How long a cable is: as declared, or as its route adds up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.study import WAY

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Cable

SLACK = 1.1
"""a route drawn straight from point to point, over which the real cable may be longer (estimate)"""


class Long(Struct, frozen=True):
    """Metres of cable, the most it may be, and how they were found."""

    metres: float
    most: float
    how: str


def known(cable: Cable) -> bool:
    """Whether the plan says how long it is, or where it runs."""
    return cable.length is not None or cable.legs is not None


def long(cable: Cable, q: Query) -> Long:
    """The larger of the declared length and the route's own; ``Unknown`` where the plan gives neither."""
    if cable.legs is None:
        length: float = q.need(cable, "length")
        return Long(length, length, f"declared {length:.1f} m")
    route = q.of(WAY, cable).length
    if cable.length is None:
        return Long(route, route * SLACK, f"the route adds up to {route:.1f} m, the cable may be a tenth longer")
    return Long(
        max(route, cable.length), max(route, cable.length), f"declared {cable.length:.1f} m, route {route:.1f} m"
    )
