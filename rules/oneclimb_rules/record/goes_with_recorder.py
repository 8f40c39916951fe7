"""RECORD-08: the evidence goes with the recorder, or stops without a word."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb.study import FILMED
from oneclimb_rules.asks import unsaid
from oneclimb_rules.offers import offered_at_design
from oneclimb_rules.record.kept import kept_by, many

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Camera, Recorder

TAKEN, DIES = "taken", "dies"
AWAY = ("cloud", "elsewhere")
NEAR = 6.0
"""m: nearer than this to ground it films, a recorder is found by whoever comes in there (estimate)"""

LOCKS = {True: ", behind a lock,", False: ", not locked away,", None: ""}


class CopiesSettings(Settings, frozen=True):
    """Copies of the pictures that must be left once the recorder is taken."""

    limits: Limits = Limits(note=0.5, warning=0.5)


class GoesWithRecorder(Rule["Recorder"]):
    """Counts the copies that are left without the recorder, and the cameras whose death nobody is told of."""

    info = Info(
        code="RECORD-08",
        title="evidence goes with the recorder",
        sources=("common practice (a second copy out of a thief's reach; a recorder out of sight, locked; alerts on)",),
        page="goes_with_recorder.md",
    )
    subject: ClassVar[str] = "recorder"
    settings = CopiesSettings

    def measure(self, subject: Recorder, q: Query, settings: CopiesSettings) -> Iterable[Reading | Unknown]:
        """Both figures, as far as the plan tells."""
        del settings
        cameras = kept_by(subject, q)
        if not cameras:
            return
        bare = tuple(camera for camera in cameras if camera.card is None)
        facts = {"recorder": subject, "bare": bare, "cameras": cameras}
        silent = tuple(unsaid(q, subject, "copy")) if bare else ()
        yield from silent
        if not silent:
            yield _taken(subject, bare, facts)
            if bare and subject.copy not in AWAY:
                yield from unsaid(q, subject, "locked")
        told = tuple(unsaid(q, subject, "alerts"))
        yield from told
        if not told:
            count = 0.0 if subject.alerts else float(len(cameras))
            figure = Figure("may die without a word", count, "cameras")
            yield Reading(figure, Ref("recorder", subject.id, "alerts"), DIES, facts=facts)

    def level(self, reading: Reading, value: float, settings: CopiesSettings) -> Level | None:
        """No copy left is a warning, behind a lock (or where none is told) a note; no alert a warning."""
        if reading.key == DIES:
            return "warning" if value > 0.5 else None
        recorder: Recorder = reading.facts["recorder"]
        found = settings.limits.level(value, "high")
        return found if recorder.locked is False else found and "note"

    def tell(self, reading: Reading, q: Trial, settings: CopiesSettings) -> Told:
        """What is lost with it, where it stands, and where a second copy may be."""
        del settings
        recorder: Recorder = reading.facts["recorder"]
        at = Ref("recorder", recorder.id)
        if reading.key == DIES:
            text = (
                f"{recorder.id} tells nobody when a camera or its disk dies (declared by the plan): "
                f"{many(len(reading.facts['cameras']), 'camera')} may be dead for weeks before it is noticed"
            )
            ways = [("switch its alerts on, to a phone that is read", Change("replace", at.at("alerts"), by=True))]
            return Told(text, tuple(offered_at_design(q, ways)))
        return Told(
            _lost(recorder, reading.facts["bare"], q), tuple(_copies(recorder, at, q)), steps=reading.facts["steps"]
        )


def _taken(recorder: Recorder, bare: tuple[Camera, ...], facts: dict[str, object]) -> Reading:
    """Copies left of the camera that has fewest: the one away, and its own card's."""
    away = float(recorder.copy in AWAY)
    left = away + (0.0 if bare else 1.0)
    steps = (
        f"a copy away from it: {away:g}; a card in every camera: {0 if bare else 1}; left {left:g}",
        f"with a camera taken instead: {1 + away:g} (the recorder's own, and the one away)",
    )
    return Reading(
        Figure("left when the recorder is taken", left, "copies", good="high"),
        Ref("recorder", recorder.id, "copy"),
        TAKEN,
        tuple(Related(Ref("camera", camera.id), "has no card of its own") for camera in bare),
        {**facts, "steps": steps},
    )


def _lost(recorder: Recorder, bare: tuple[Camera, ...], q: Query) -> str:
    """Whose pictures go with it, and whether it is easily found."""
    filmed = q.of(FILMED, recorder)
    near = ""
    if filmed and filmed.distance <= NEAR:
        near = f"; it stands {q.say.tape(filmed.distance)} from {filmed.area}, which it films"
    lock = LOCKS[recorder.locked]
    keeps = f"keeps the only copy of {many(len(bare), 'camera')}"
    return f"{recorder.id}{lock} {keeps} (declared by the plan): whoever takes it, or a fire, takes the evidence{near}"


def _copies(recorder: Recorder, at: Ref, q: Trial) -> Iterator[Remedy]:
    """A copy away; a lock; a card in each camera."""
    copy = at.at("copy")
    ways = [
        ("send a second copy to another building", Change("replace", copy, "elsewhere")),
        ("send a second copy out of the house, and see who can look at it there", Change("replace", copy, "cloud")),
    ]
    yield from offered_at_design(q, ways)
    if not recorder.locked:
        yield Remedy("lock it away, out of sight of the doors and windows it films, with air to cool it")
    yield Remedy("or put a card into each camera")
