"""VIEW-01: frame spent on sky, leaves, a near wall or avoided ground that a turn would win back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Limits,
    Reading,
    Ref,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
    setting,
)
from oneclimb.study import RASTER, TURNS
from oneclimb_rules import moves
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.view.overlap import Stays
from oneclimb_rules.view.spent import Turn, best_turn, could_be_spent, spent_on

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class ZoneSettings(Settings, frozen=True):
    """How much of the frame a turn must win back; shares of the frame."""

    limits: Limits = Limits(note=0.05, warning=0.10)
    usual: float = setting(
        0.30,
        "share of the frame on sky, leaves and near walls that any camera has",
        unit="share",
        minimum=0.0,
        maximum=1.0,
    )
    most: float = setting(
        0.40, "a larger share of it counts whether a turn helps or not", unit="share", minimum=0.0, maximum=1.0
    )


class UnwantedZone(Rule["Camera"]):
    """The share of the frame, beyond the usual, that is spent on nothing wanted and could be better spent."""

    info = Info(
        code="VIEW-01",
        title="unwanted zone",
        sources=(
            "geometry of the pinhole camera (an 85° camera tilted 15° down is a quarter sky)",
            "common practice (what counts as unwanted, and the limits)",
        ),
        page="unwanted_zone.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = ZoneSettings

    def measure(self, subject: Camera, q: Query, settings: ZoneSettings) -> Iterable[Reading | Unknown]:
        """What the frame is spent on, and the best turn; looked into only where the frame holds enough else.

        A doorbell neither turns nor tilts: its frame is as it comes.
        """
        raster = q.of(RASTER, subject)
        if subject.shape == "doorbell" or could_be_spent(raster, q) <= settings.usual:
            yield _reading(subject, 0.0, {"spent": 0.0, "on": (), "turn": None})
            return
        turns = q.of(TURNS, subject)
        spent, on = spent_on(turns, raster)
        turn = best_turn(turns) if turns.watched and not _things_wanted(raster.shares(), subject, q) else None
        beyond = max(0.0, spent - settings.usual)
        vain = beyond if spent > settings.most else min(beyond, turn.won if turn else 0.0)
        yield _reading(subject, vain, {"spent": spent, "on": on, "turn": turn})
        if not turns.watched and spent > settings.usual:
            yield Unknown(
                Ref("camera", subject.id, "watches"),
                "which ground is this camera for? None of the areas is in its frame",
            )

    def tell(self, reading: Reading, q: Trial, settings: ZoneSettings) -> Told:
        """What the frame is spent on, and which turn wins it back."""
        camera: Camera = q.get(reading.at.thing)
        on, turn, spent = (reading.facts[name] for name in ("on", "turn", "spent"))
        listed = ", ".join(f"{name} {q.say.share(share)}" for name, share in on)
        each = f": {listed}" if len(on) > 1 else f" {on[0][0]}"
        stays = Stays(camera, q)
        turned = _turned(camera, turn, stays, q) if turn else None
        remedies = tuple(remedy for remedy in (turned, _on_its_side(camera, stays, q)) if remedy)
        ends = "" if remedies or turn else "; no turn that keeps the wanted ground wins it back"
        if turn and not turned:
            why = _why_not(camera, turn, stays, q)
            ends = f"; {turn.words} it would be {q.say.share(spent - turn.won)}, but that {why}"
        steps = [f"{q.say.share(share)} of the frame is {name}" for name, share in on]
        steps.append(f"{q.say.share(spent)} in all, {q.say.share(settings.usual)} is usual")
        if turn:
            steps.append(f"{turn.words} keeps the wanted ground and leaves {q.say.share(spent - turn.won)}")
        text = f"{q.say.share(spent)} of the frame of {camera.id} is spent on{each}{ends}"
        return Told(text, remedies or (_advice([name for name, _ in on]),), steps=tuple(steps))


def _reading(camera: Camera, vain: float, facts: dict[str, object]) -> Reading:
    return Reading(Figure("frame that could be better spent", vain, ""), Ref("camera", camera.id, "aim"), facts=facts)


def _things_wanted(shares: dict[Ref, float], camera: Camera, q: Query) -> bool:
    """Whether the frame holds walls or objects meant to be seen: what a turn would lose of them is not known."""
    own = (ref for ref in shares if ref.kind == "building" and not q.get(ref.thing).neighbour)
    walls = any(ref.field.removeprefix("walls.") in camera.watches for ref in own)
    objects = (q.get(ref) for ref in shares if ref.kind == "object")
    return walls or any(thing.wanted or thing.id in camera.watches for thing in objects)


def _turned(camera: Camera, turn: Turn, stays: Stays, q: Trial) -> Remedy | None:
    """The turn, a degree at a time, or as much of it as helps."""
    aims = [
        (round(turn.pan * i / turn.degrees), round(turn.tilt * i / turn.degrees)) for i in range(1, turn.degrees + 1)
    ]
    steps = [_aimed(camera, *aim) for aim in aims]
    turned = q.least(lambda i: Turn(*aims[i], 0.0).order(camera.id), steps, keeps=stays)
    return turned or _partly(turn.order(camera.id), steps[-1], stays, q)


def _aimed(camera: Camera, pan: int, tilt: int) -> tuple[Change, ...]:
    return moves.aimed(camera, camera.aim.bearing + pan, camera.aim.tilt + tilt)


def _on_its_side(camera: Camera, stays: Stays, q: Trial) -> Remedy | None:
    """The camera on its side for a narrow passage."""
    if camera.aim.turned != 0.0:
        return None
    on_its_side = (Change("replace", Ref("camera", camera.id, "turned"), "90 deg"),)
    return _partly(f"turn {camera.id} on its side (90°): a tall, narrow picture", on_its_side, stays, q)


def _partly(text: str, edits: Sequence[Change], stays: Stays, q: Trial) -> Remedy | None:
    """A turn that helps, if only in part, and stays with what is wanted."""
    remedy = q.lessens(text, edits)
    return remedy if remedy and stays(q.vary(*edits)) else None


def _why_not(camera: Camera, turn: Turn, stays: Stays, q: Query) -> str:
    """Why a turn that wins much of the frame back is not offered all the same."""
    try:
        broken = stays.broken(q.vary(*_aimed(camera, turn.pan, turn.tilt)))
    except ValueError:
        return "is an aim the plan cannot take"
    return broken or "was not proved to bring no other finding and make none worse"


def _advice(on: Sequence[str]) -> Remedy:
    """What is left where no turn serves, by what the frame is spent on."""
    ways = ["a narrower lens"]
    ways += ["a place further from the wall"] * ("near walls" in on) + ["a hood against the sky"] * ("sky" in on)
    wanted = any(name in on for name in ("near walls", "leaves"))
    say = "; or, if the wall or the trees are what it is for, say so in the plan: wanted, or watches" if wanted else ""
    return Remedy(f"think of {' or '.join(ways)}{say}")
