"""VIEW-10: a parked car, a bin or a parasol before what is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import MOVING
from oneclimb_rules import moves
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Object
    from oneclimb.study.moving import Hides

FARTHEST = 3.0
"""m along its wall that a thing of one's own is offered to be moved"""
STEP = 0.25
"""m"""


class MovesSettings(Settings, frozen=True):
    """Limits on the share of a wanted area that one thing hides when it is there."""

    limits: Limits = Limits(note=0.05, warning=0.50)


class WhatMoves(Rule["Camera"]):
    """For each thing that is there sometimes: the worst share of a watched area it hides."""

    info = Info(
        code="VIEW-10",
        title="what moves",
        sources=(
            "lines of sight, with the thing and without it (geometry)",
            "what is there sometimes, and the limits: common practice, estimate",
        ),
        page="what_moves.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = MovesSettings

    def measure(self, subject: Camera, q: Query, settings: MovesSettings) -> Iterable[Reading | Unknown]:
        """A reading for each thing in the frame that hides something wanted."""
        del settings
        worst: dict[Ref, list[Hides]] = {}
        for one in q.of(MOVING, subject):
            worst.setdefault(one.ref, []).append(one)
        for ref, hides in worst.items():
            yield Reading(
                Figure("wanted ground hidden when it is there", hides[0].hidden, ""),
                Ref("camera", subject.id, "aim"),
                ref.path,
                (Related(ref, f"{called(ref)}, {q.say.tape(hides[0].distance)} from the lens"),),
                {"hides": hides},
            )

    def tell(self, reading: Reading, q: Trial, settings: MovesSettings) -> Told:
        """What is hidden with it there, what is seen without, and what can be done."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        hides: list[Hides] = reading.facts["hides"]
        thing: Object = q.get(hides[0].ref)
        first, name = hides[0], called(hides[0].ref)
        text = (
            f"when {name} is there it hides {q.say.share(first.hidden)} of {first.area} from {camera.id}: "
            f"{q.say.share(first.without - first.hidden)} of it is seen with it, {q.say.share(first.without)} without"
        )
        steps = tuple(
            f"{one.area}: {q.say.share(one.without)} seen without {name}, {q.say.share(one.hidden)} lost to it"
            for one in hides
        )
        return Told(text, tuple(_remedies(camera, thing, q)), steps=steps)


def _remedies(camera: Camera, thing: Object, q: Trial) -> Iterator[Remedy]:
    """The camera, or a thing of one's own, along its wall, tried; else a place for it, or a second camera."""
    ways = (*moves.along(camera, q), *_aside(thing, q))
    yield from moves.offered(q, ways, moves.StillSees(camera, q))
    where = "mark where it may stand" if thing.fixed_by == "own" else "agree where it is parked"
    yield Remedy(f"{where}, or let a second camera look from the other side")


def _aside(thing: Object, q: Query) -> Iterator[moves.Move]:
    """A thing of one's own to the left and to the right along the wall it was measured from."""
    spot = thing.spot
    if thing.fixed_by != "own" or not spot.wall or thing.to is not None:
        return
    at = Ref("object", thing.id, "along")
    if q.known(at) != "written":
        return
    for sign, side in moves.SIDES:
        shifts = [STEP * i for i in range(1, round(FARTHEST / STEP) + 1) if spot.along + sign * STEP * i > 0.0]
        steps = tuple((Change("replace", at, moves.metres(spot.along + sign * shift)),) for shift in shifts)
        yield moves.Move(partial(_moved, thing.id, side, q, shifts), steps)


def _moved(thing: str, side: str, q: Query, shifts: list[float], i: int) -> str:
    return f"keep {thing} {q.say.tape(shifts[i])} farther to the {side}"
