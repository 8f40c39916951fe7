"""What of others' ground and windows shows in a camera's frame, and what masks leave of it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.study import COVER
from oneclimb_rules.moves import StillSees

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Land, Plan
    from oneclimb.study.cover import Cover, LandCover

PRIVATE, OPEN = "private", "open"


CROWN = 0.15
"""how far a crown, and a taller person, stands above the face, as a share of the height from feet to face"""


class Part(Struct, frozen=True):
    """A piece of ground, or a window, that shows: the most detail there, and what masks do about it."""

    ref: Ref
    name: str
    agreed: str
    """who agreed and when, empty where nobody did"""
    detail: float
    left: float
    """share of what shows there that no mask covers"""
    planned: bool
    """a mask lies over it that does not count yet"""
    box: tuple[float, float, float, float]
    """where it shows in the frame, people from crown to feet: left, top, right, bottom, 0 to 1"""


def parts_shown(cover: Cover, q: Query) -> Iterator[tuple[str, Part]]:
    """Everything of others that shows, private or open."""
    lands: dict[str, Land] = {land.id: land for land in q.plan.land}
    for name, land in lands.items():
        part = _part(cover.land[name], Ref("land", name), _ground(land), land) if name in cover.land else None
        if part:
            mild = land.kind == "public-way" or land.frontage or bool(land.agrees)
            yield OPEN if mild else PRIVATE, part
    owners = {building.id: building.neighbour or "" for building in q.plan.buildings}
    for path, pane in cover.panes.items():
        building, _, window = path.partition("/")
        owner = lands.get(owners[building])
        part = _part(pane, Ref("building", building, f"windows.{window}"), f"window {window} of {building}", owner)
        if part:
            yield OPEN if part.agreed else PRIVATE, part


def _ground(land: Land) -> str:
    """A piece of land in words; one without a name of its own by its side of the boundary."""
    side = land.id.removeprefix("beyond-")
    if land.kind == "public-way":
        return f"the public way ({side})"
    kind = "frontage" if land.frontage else "ground"
    return f"the {kind} of {land.id}" if side == land.id else f"the neighbour's {kind} ({side} side)"


def _part(cover: LandCover, ref: Ref, name: str, land: Land | None) -> Part | None:
    """What shows unmasked of a piece of ground or a window, or None; ``land`` is it, or its owner's."""
    shows = cover.seen & ~cover.masked
    if not shows.any():
        return None
    x, y = cover.xy[shows].T
    low_x, low_y = cover.lowest[shows].T
    top = float(max(0.0, (y - CROWN * (low_y - y)).min()))
    return Part(
        ref,
        name,
        f"{land.agrees.who}, {land.agrees.when}" if land and land.agrees else "",
        float(cover.pxm[shows].max()),
        float(shows.sum() / cover.seen.sum()),
        bool((shows & cover.covered_by_planned).any()),
        (float(min(x.min(), low_x.min())), top, float(max(x.max(), low_x.max())), float(max(y.max(), low_y.max()))),
    )


def sides_unsaid(plan: Plan) -> str:
    """How many sides of the boundary the plan says nothing of, in words; empty where it speaks of all.

    Land drawn with an outline of its own is taken to lie past one side.
    """
    if not plan.boundary:
        return "" if plan.land else "each side"
    sides = [{a, b} for a, b in pairwise((*plan.boundary, plan.boundary[0]))]
    strips = [[side for side in sides if side <= set(land.outline)] for land in plan.land]
    told = sum(max(1, len(strip)) for strip in strips)
    left = len(sides) - told
    return "" if left <= 0 else f"{left} of the {len(sides)} sides" if plan.land else "each side"


def under(box: tuple[float, float, float, float], cover: Cover) -> Iterator[tuple[str, float]]:
    """The watched areas that a box of the frame would hide, and how much of what shows of each."""
    left, top, right, bottom = box
    for name in cover.watched:
        shown = cover.areas[name]
        x, y = shown.xy[shown.seen].T
        hidden = (x >= left) & (x <= right) & (y >= top) & (y <= bottom)
        if hidden.any():
            yield name, float(hidden.mean())


class Stays:
    """Called with a changed world: whether a camera keeps its wanted ground and shows no more of others'."""

    def __init__(self, camera: Camera, q: Query) -> None:
        self.sees = StillSees(camera, q)
        self.others = _others(q.of(COVER, camera))

    def __call__(self, world: Query) -> bool:
        """Whether all of it holds there."""
        return not self.broken(world)

    def broken(self, world: Query) -> str:
        """What does not hold there, in words; empty where all does."""
        if not self.sees(world):
            return "loses wanted ground"
        more = _others(world.of(COVER, world.get(self.sees.camera))) > self.others
        return "shows more of others' ground or windows" if more else ""


def _others(cover: Cover) -> int:
    """How many places on others' ground and at their windows show."""
    return sum(int((shown.seen & ~shown.masked).sum()) for shown in (*cover.land.values(), *cover.panes.values()))
