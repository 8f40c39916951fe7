"""Small moves that rules offer: each a list of steps from least to most, with its words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import islice

from msgspec import Struct

from oneclimb.api import Change, Query, Ref, Remedy, Trial
from oneclimb.plan.model import Camera, Lamp, Spot
from oneclimb.study import COVER

TAPE = 0.05
"""m: the least move worth drilling for, one mark of a tape"""
LOWEST = 2.2
"""m: no camera is offered lower than this above the ground, out of easy reach of a raised hand (common practice)"""
KEPT = 0.98
"""share of the wanted samples seen before that must still be seen after a move"""
ENOUGH = 2
"""remedies offered of one kind of search: a person wants a choice, not a list"""
SIDES = ((-1, "left"), (1, "right"))
"""as seen from outside facing the wall for a move; as seen by the camera for a turn"""


class Move(Struct, frozen=True):
    """Steps from least to most, each the edits it takes; ``words(i)`` says step ``i``."""

    words: Callable[[int], str]
    steps: tuple[tuple[Change, ...], ...]
    ladder: bool = False


def offered(q: Trial, moves: Iterable[Move], keeps: Callable[[Query], bool]) -> Iterator[Remedy]:
    """The least step of each move that clears the finding, where one does; the first few."""
    tried = (q.least(move.words, move.steps, keeps=keeps, ladder=move.ladder) for move in moves)
    yield from islice((remedy for remedy in tried if remedy), ENOUGH)


def metres(value: float) -> str:
    """A length as it stands in an edit."""
    return f"{value:.2f} m"


def foot(spot: Spot, q: Query) -> float:
    """The height that a height written along a wall, or in coordinates, counts from where no storey is named, m."""
    return float(q.get(Ref("building", spot.building)).base) if spot.building else 0.0


def along(thing: Camera | Lamp, q: Query, furthest: float = 1.5, away_from: Ref | None = None) -> Iterator[Move]:
    """Along its wall, to the left and to the right, a tape mark at a time, within the wall.

    Only one way where it is to get away from something on the same wall.
    """
    camera = isinstance(thing, Camera)
    spot = thing.mount.spot if isinstance(thing, Camera) else thing.spot
    if not spot.wall:
        return
    building = q.get(Ref("building", spot.building))
    length = next(wall.length for wall in building.walls if wall.id == spot.wall)
    at = Ref("camera", thing.id, "mount.along") if camera else Ref("lamp", thing.id, "along")
    other = q.get(away_from).spot if away_from and away_from.kind in ("object", "lamp") else None
    near = other if other and (other.building, other.wall) == (spot.building, spot.wall) else None
    for sign, side in SIDES:
        if near and (near.along - spot.along) * sign > 0:
            continue
        shifts = [TAPE * i for i in range(1, round(furthest / TAPE) + 1)]
        shifts = [shift for shift in shifts if TAPE <= spot.along + sign * shift <= length - TAPE]
        steps = tuple((Change("replace", at, metres(spot.along + sign * shift)),) for shift in shifts)
        yield Move(partial(_moved, thing.id, side, q, shifts), steps, ladder=True)


def _moved(thing: str, side: str, q: Query, shifts: Sequence[float], i: int) -> str:
    return f"move {thing} {q.say.tape(shifts[i])} to the {side} along its wall"


def arm(camera: Camera, q: Query, longest: float = 0.6) -> Iterator[Move]:
    """An arm or pole bracket straight out from the wall."""
    if camera.mount.to != "wall":
        return
    at = Ref("camera", camera.id, "mount.arm")
    lengths = [camera.mount.arm + TAPE * i for i in range(2, round((longest - camera.mount.arm) / TAPE) + 1)]
    steps = tuple((Change("replace", at, metres(length)),) for length in lengths)
    yield Move(lambda i: f"stand {camera.id} off on a bracket, {q.say.tape(lengths[i])} out", steps, ladder=True)


def lower(camera: Camera, q: Query, furthest: float = 0.6) -> Iterator[Move]:
    """Lower on the wall, no lower than ``LOWEST``; not where its height is written from a storey's floor."""
    mount = Ref("camera", camera.id, "mount")
    on_wall = camera.mount.to == "wall" and camera.mount.spot.wall
    if not on_wall or q.known(mount.at("mount.storey")) == "written":
        return
    up = camera.mount.spot.z - foot(camera.mount.spot, q)
    heights = [up - TAPE * i for i in range(1, round(furthest / TAPE) + 1)]
    steps = tuple(
        (Change("replace", mount.at("mount.height"), metres(height)),) for height in heights if height >= LOWEST
    )
    yield Move(lambda i: f"fix {camera.id} {q.say.tape(TAPE * (i + 1))} lower", steps, ladder=True)


def turn(camera: Camera, furthest: int = 25) -> Iterator[Move]:
    """Turned to the left and to the right, a degree at a time, at the same tilt."""
    for sign, side in SIDES:
        steps = tuple(aimed(camera, camera.aim.bearing + sign * i, camera.aim.tilt) for i in range(1, furthest + 1))
        yield Move(partial(_turned, camera.id, side), steps)


def _turned(camera: str, side: str, i: int) -> str:
    return f"turn {camera} {i + 1}° to the {side}"


def down(camera: Camera, furthest: int = 20) -> Iterator[Move]:
    """Tilted further down, a degree at a time, on the same bearing."""
    tilts = [camera.aim.tilt + i for i in range(1, furthest + 1) if camera.aim.tilt + i <= 90]
    steps = tuple(aimed(camera, camera.aim.bearing, tilt) for tilt in tilts)
    yield Move(lambda i: f"tilt {camera.id} {i + 1}° further down", steps)


def aimed(camera: Camera, bearing: float, tilt: float) -> tuple[Change, ...]:
    """The edit that aims a camera, degrees."""
    aim = {"bearing": f"{bearing % 360:.1f} deg", "tilt": f"{tilt:.1f} deg"}
    return (Change("replace", Ref("camera", camera.id, "aim"), aim),)


class StillSees:
    """Called with a changed world: whether a camera still sees the wanted ground it sees now."""

    def __init__(self, camera: Camera, q: Query) -> None:
        cover = q.of(COVER, camera)
        self.camera = Ref("camera", camera.id)
        self.seen = {area: int(cover.areas[area].seen.sum()) for area in cover.watched}

    def __call__(self, world: Query) -> bool:
        """Whether each watched area keeps nearly all its seen samples."""
        cover = world.of(COVER, world.get(self.camera))
        return all(int(cover.areas[area].seen.sum()) >= KEPT * seen for area, seen in self.seen.items())
