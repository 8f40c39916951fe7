"""A cable cut in short stretches, each held against where someone can stand."""

from __future__ import annotations

import math
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Query, Ref, Unknown
from oneclimb.place.solids import GROUND
from oneclimb.study.run_footing import FOOTING, Footing
from oneclimb.trade.reach import REACH_BELOW, faces_sun

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from oneclimb.plan.model import Cable, Leg, Plan, Site

STEP = 0.1
"""m, the longest piece a cable is cut into"""


class Low(Struct, frozen=True):
    """A stretch of a cable that someone can touch.

    ``a`` and ``b`` are its ends (site coordinates, m), ``length`` and ``sunny`` metres within reach
    and metres of those on a wall that faces the sun, ``lowest`` the height of its lowest point
    above the surface ``above`` that it is reached from (negative: below it). ``legs`` are the
    route's legs it lies on, in order.
    """

    a: tuple[float, float, float]
    b: tuple[float, float, float]
    length: float
    sunny: float
    lowest: float
    above: Ref
    legs: tuple[int, ...]


class Run(Struct, frozen=True):
    """A cable's way. ``low``: the stretches within arm's reach that nothing covers, in order."""

    length: float
    """m, all of it"""
    low: tuple[Low, ...]

    @property
    def exposed(self) -> float:
        """Metres within reach that nothing covers."""
        return math.fsum(stretch.length for stretch in self.low)

    @property
    def sunny(self) -> float:
        """Metres of ``exposed`` on walls that face the sun."""
        return math.fsum(stretch.sunny for stretch in self.low)


class _Pieces(Struct, frozen=True):
    """A route's short pieces (k of them): ends, leg, height of the middle above what it is reached from, which."""

    starts: NDArray[np.float64]
    ends: NDArray[np.float64]
    leg: NDArray[np.int64]
    heights: NDArray[np.float64]
    which: NDArray[np.int64]
    sunny: NDArray[np.bool_]

    @property
    def lengths(self) -> NDArray[np.float64]:
        """(k,) m."""
        return np.asarray(np.linalg.norm(self.ends - self.starts, axis=1))

    @property
    def lowest(self) -> NDArray[np.float64]:
        """(k,) height of each piece's lower end, m, as far as it is in reach."""
        below = np.abs(self.ends[:, 2] - self.starts[:, 2]) / 2
        return np.asarray(np.maximum(self.heights - below, -REACH_BELOW))


def compute(cable: Cable, q: Query) -> Run:
    """Cut a cable's route and hold each piece against where someone can stand.

    Raises ``Unknown`` where the plan does not say where the cable runs.
    """
    if cable.legs is None:
        raise Unknown(Ref("cable", cable.id, "route"), "which way does the cable run, and how high?")
    cuts = [_cut(leg) for leg in cable.legs]
    starts = np.concatenate([cut[:-1] for cut in cuts])
    ends = np.concatenate([cut[1:] for cut in cuts])
    leg = np.repeat(np.arange(len(cuts)), [len(cut) - 1 for cut in cuts])
    foot = q.of(FOOTING, q.plan.site)
    ground = np.array([_ground(leg, q.plan) for leg in cable.legs])[leg]
    heights, which = foot.above((starts + ends) / 2, ground)
    sunny = np.array([_sunny(leg, q.plan) for leg in cable.legs])[leg]
    bare = np.array([leg.cover == "none" and not cable.armoured for leg in cable.legs])[leg]
    pieces = _Pieces(starts, ends, leg, heights, which, sunny)
    low = tuple(_low(pieces, np.array(run), foot) for run in _unbroken(bare & ~np.isnan(heights)))
    return Run(float(pieces.lengths.sum()), low)


def _cut(leg: Leg) -> NDArray[np.float64]:
    """The points (k + 1, 3) that cut a leg in k equal pieces; a leg without length has none."""
    a, b = np.array(leg.a.xyz), np.array(leg.b.xyz)
    k = math.ceil(float(np.linalg.norm(b - a)) / STEP - 1e-9)
    return np.asarray(a + np.linspace(0.0, 1.0, k + 1)[:, None] * (b - a))


def _ground(leg: Leg, plan: Plan) -> float:
    """The ground's height at a leg: that of the building whose wall it is on, otherwise zero."""
    at = {leg.a.building, leg.b.building}
    return next((b.base for b in plan.buildings if b.id in at), 0.0)


def _sunny(leg: Leg, plan: Plan) -> bool:
    """Whether a leg runs on a wall that faces the sun."""
    x, y = leg.a.normal
    if plan.site.place is None or leg.a.wall != leg.b.wall or not (x or y):
        return False
    return faces_sun(plan.site.plus_y + math.degrees(math.atan2(x, y)), plan.site.place[0])


def _unbroken(mask: NDArray[np.bool_]) -> list[list[int]]:
    """The indices of each unbroken run of true values."""
    return [[i for i, _ in run] for yes, run in groupby(enumerate(mask.tolist()), key=itemgetter(1)) if yes]


def _low(pieces: _Pieces, at: NDArray[np.int64], foot: Footing) -> Low:
    """One stretch within reach, from the pieces ``at`` that make it up."""
    lengths = pieces.lengths[at]
    lowest = at[int(np.argmin(pieces.lowest[at]))]
    surface = int(pieces.which[lowest])
    return Low(
        tuple(pieces.starts[at[0]].tolist()),
        tuple(pieces.ends[at[-1]].tolist()),
        float(lengths.sum()),
        float(lengths[pieces.sunny[at]].sum()),
        float(pieces.lowest[lowest]),
        GROUND if surface < 0 else foot.refs[surface],
        tuple(dict.fromkeys(pieces.leg[at].tolist())),
    )


def wiring(_site: Site, q: Query) -> Mapping[str, tuple[Cable, ...]]:
    """Each camera's cables, by the camera's id, in the plan's order."""
    by_camera: dict[str, list[Cable]] = {}
    for cable in q.all("cable"):
        by_camera.setdefault(cable.camera, []).append(cable)
    return {camera: tuple(cables) for camera, cables in by_camera.items()}
