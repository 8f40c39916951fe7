"""Lines of sight in a camera's upright section: the frame's edges through its lens, and what they meet."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct

from oneclimb.study.side_cut import HALVINGS

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Ref
    from oneclimb.place import lens
    from oneclimb.study.cover import Sight
    from oneclimb.study.side_cut import Plane

    Array = npt.NDArray[np.float64]

RAYS = 1441
"""lines of sight between the frame's edges"""


class Ray(NamedTuple):
    """One line of sight in the section."""

    down: float
    """degrees below the level ahead; beyond 90 it leads back"""
    apart: float
    """m to what it meets, inf for the sky"""
    met: Ref | None
    """what it meets, None for the sky"""

    @property
    def along(self) -> float:
        """Distance along the ground of what it meets, m; inf for the sky."""
        return self.apart * math.cos(math.radians(self.down)) if self.met else math.inf


class Fan(Struct, frozen=True, eq=False):
    """Lines of sight (n,) from the frame's upper edge to its lower."""

    down: Array
    """degrees below the level ahead"""
    apart: Array
    """m, inf for the sky"""
    owner: npt.NDArray[np.int32]
    """number in ``scene.owners``, -1 for the sky"""
    share: Array
    """how far down the picture's own line, 0 at the upper edge to 1 at the lower"""


def edges(eye: lens.Eye, plane: Plane) -> tuple[float, float, float]:
    """Degrees below the level ahead of the frame's upper edge, its axis and its lower edge, through the lens."""
    forward = np.array(eye.forward)
    axis = math.degrees(math.atan2(-forward[2], float(forward[:2] @ plane.heading)))
    ends = []
    for side in (-1.0, 1.0):
        inside, outside = 0.0, 180.0
        for _ in range(2 * HALVINGS):
            middle = (inside + outside) / 2.0
            ray = plane.rays(np.array([axis + side * middle])) @ eye.axes.T
            if bool(eye.project_local(ray)[2][0]):
                inside = middle
            else:
                outside = middle
        ends.append(axis + side * inside)
    return ends[0], axis, ends[1]


def met(sight: Sight, plane: Plane, down: Array) -> list[Ray]:
    """What lines of sight meet, ``down`` (k,) degrees below the level ahead."""
    hits = sight.scene.cast(plane.foot, plane.rays(down), sight.absent)
    things = [sight.scene.owners[i] if i >= 0 else None for i in sight.scene.owner_of(hits).tolist()]
    return [Ray(*one) for one in zip(down.tolist(), hits.t.tolist(), things, strict=True)]


def fan_of(sight: Sight, plane: Plane, upper: float, lower: float) -> Fan:
    """Lines of sight between the frame's edges, evenly by angle."""
    down = np.linspace(upper, lower, RAYS)
    rays = plane.rays(down)
    hits = sight.scene.cast(plane.foot, rays, sight.absent)
    places = np.column_stack(sight.eye.project_local(rays @ sight.eye.axes.T)[:2])
    whole = places[-1] - places[0]
    share = (places - places[0]) @ whole / float(whole @ whole)
    return Fan(down, hits.t, sight.scene.owner_of(hits), share)


def back_of(fan: Fan) -> float:
    """How far behind the lens something is seen, m."""
    behind = np.abs(fan.down) > 90.0
    return float((-fan.apart[behind] * np.cos(np.radians(fan.down[behind]))).max(initial=0.0))
