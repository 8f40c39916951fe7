"""Finding room on a drawing: words and marks beside what they belong to, none over another."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from msgspec import Struct, field

Rect = tuple[float, float, float, float]
"""left, bottom, right, top, in millimetres of paper"""

RINGS = (0.0, 3.0, 7.0, 12.0, 18.0, 26.0, 36.0)
"""mm from the thing at which room is looked for, nearest first"""
AROUND = (45.0, -45.0, 135.0, -135.0, 0.0, 180.0, 90.0, -90.0)
"""directions in which it is looked for, degrees from +x: beside the corners first"""

APART = 2.0
"""mm between places looked at all over a sheet"""


class Paper(Struct):
    """A sheet ``wide`` by ``high`` mm, and what is taken of it."""

    wide: float
    high: float
    taken: list[Rect] = field(default_factory=list)

    def take(self, x: float, y: float, wide: float, high: float) -> None:
        """Nothing else goes within these mm about a middle."""
        self.taken.append(_about(x, y, wide, high))

    def room(
        self, x: float, y: float, wide: float, high: float, *, off: float = 1.0, anywhere: bool = False
    ) -> tuple[float, float]:
        """The middle of the nearest free place for a box beside a point, which is taken; where there is none, the
        place with the least over it. ``off`` is how far the box keeps from the point; ``anywhere``: where there is no
        room beside it, all of the sheet is looked over.
        """
        best, least = (x, y), math.inf
        for middle in itertools.chain(_places(x, y, wide, high, off), self._all(x, y, wide, high) if anywhere else ()):
            rect = _about(*middle, wide, high)
            over = self._over(rect)
            if over < least:
                best, least = middle, over
            if over == 0.0:
                break
        self.taken.append(_about(*best, wide, high))
        return best

    def _all(self, x: float, y: float, wide: float, high: float) -> list[tuple[float, float]]:
        """Places all over the sheet at which a box is whole, those nearest to a point first."""
        across, up = max(self.wide - wide, 0.0), max(self.high - high, 0.0)
        columns, rows = int(across / APART) + 1, int(up / APART) + 1
        middles = (
            (wide / 2.0 + across * i / columns, high / 2.0 + up * j / rows)
            for i in range(columns + 1)
            for j in range(rows + 1)
        )
        return sorted(middles, key=lambda one: math.dist(one, (x, y)))

    def _over(self, rect: Rect) -> float:
        """mm² of a box that lie over what is taken, and off the sheet, which is worse."""
        whole = (rect[2] - rect[0]) * (rect[3] - rect[1])
        off = whole - _shared(rect, (0.0, 0.0, self.wide, self.high))
        return sum(_shared(rect, other) for other in self.taken) + 4.0 * off


def _places(x: float, y: float, wide: float, high: float, off: float) -> Iterator[tuple[float, float]]:
    for ring in RINGS:
        for angle in AROUND:
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            away = off + ring
            yield x + c * away + _sign(c) * wide / 2.0, y + s * away + _sign(s) * high / 2.0


def _sign(value: float) -> float:
    return 0.0 if abs(value) < 0.1 else math.copysign(1.0, value)


def _about(x: float, y: float, wide: float, high: float) -> Rect:
    return x - wide / 2.0, y - high / 2.0, x + wide / 2.0, y + high / 2.0


def _shared(a: Rect, b: Rect) -> float:
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0.0 and high > 0.0 else 0.0
