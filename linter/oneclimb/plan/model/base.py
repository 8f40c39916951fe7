"""What every thing of a plan is made of: places, ranges, somebody's word."""

from __future__ import annotations

from msgspec import Struct

Vec = tuple[float, float, float]
Vec2 = tuple[float, float]


class Spot(Struct, frozen=True):
    """A place. ``x, y, z`` in site coordinates; the wall it was measured from, if any.

    ``out`` is the distance straight out from the wall's face, ``normal`` the wall's outward
    unit vector (``(0, 0, 0)`` where the place was given in coordinates).
    """

    x: float
    y: float
    z: float
    building: str = ""
    wall: str = ""
    along: float = 0.0
    out: float = 0.0
    normal: Vec2 = (0.0, 0.0)

    @property
    def xyz(self) -> Vec:
        """The coordinates alone."""
        return (self.x, self.y, self.z)


class Agreed(Struct, frozen=True):
    """Somebody's word: who, when (ISO date), what."""

    who: str
    when: str
    what: str = ""
