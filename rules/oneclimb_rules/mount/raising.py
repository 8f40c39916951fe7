"""A camera fixed higher on its wall: the ladder counts, so no higher than work for anyone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from oneclimb.api import Change, Reading, Ref, Remedy, Rule
from oneclimb.trade.ladder import TRAINED
from oneclimb_rules.firm import firmly
from oneclimb_rules.moves import TAPE, Move, StillSees, foot, metres, offered

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


def higher(camera: Camera, q: Query, most: float = TRAINED) -> Move | None:
    """Up its wall a tape mark at a time, to ``most`` m above the ground; None where that makes no sense."""
    mount = Ref("camera", camera.id, "mount")
    if camera.mount.to != "wall" or not camera.mount.spot.wall or q.known(mount.at("mount.storey")) == "written":
        return None
    up = camera.mount.spot.z - foot(camera.mount.spot, q)
    heights = [up + TAPE * i for i in range(1, int((most - up) / TAPE + 1e-6) + 1)]
    steps = tuple((Change("replace", mount.at("mount.height"), metres(height)),) for height in heights)
    return Move(lambda i: f"fix {camera.id} {q.say.tape(TAPE * (i + 1))} higher", steps, ladder=True)


def raised(rule: Rule[Any], reading: Reading, q: Trial, settings: Any) -> Iterator[Remedy]:
    """The least height that clears a reading whatever its doubt."""
    camera: Camera = reading.facts["camera"]
    move = higher(camera, q)
    if move and move.steps:
        first = firmly(rule, reading, q, settings, move.steps)
        words = move.words
        yield from offered(q, [Move(lambda i: words(first + i), move.steps[first:], move.ladder)], StillSees(camera, q))
