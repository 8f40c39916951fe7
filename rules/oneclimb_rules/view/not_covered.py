"""VIEW-03: wanted ground that no camera shows, where it is and what is in the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import COVERED
from oneclimb_rules import moves
from oneclimb_rules.heeds import VIEWS
from oneclimb_rules.view import aims
from oneclimb_rules.view.overlap import Stays
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Area, Camera
    from oneclimb.study.covered_ground import Gap, Ground

NAMED = 3
"""how many gaps a finding names"""
BEYOND = {
    "left": "to the left of the picture of {}",
    "right": "to the right of the picture of {}",
    "above": "above the picture of {}",
    "below": "below the picture of {}, too near it",
    "behind": "behind {}",
}


class CoveredSettings(Settings, frozen=True):
    """Least share of a wanted area that is to be shown."""

    limits: Limits = Limits(note=0.80, warning=0.60, error=0.001)


class NotCovered(Rule["Area"]):
    """The share of a wanted area that some camera shows."""

    info = Info(
        code="VIEW-03",
        title="wanted area not covered",
        sources=(
            "geometry of the pinhole camera and of r = f theta lenses",
            "common practice (what is wanted is shown; the limits)",
        ),
        page="not_covered.md",
    )
    subject: ClassVar[str] = "area"
    heeds = VIEWS
    settings = CoveredSettings

    def measure(self, subject: Area, q: Query, settings: CoveredSettings) -> Iterable[Reading | Unknown]:
        """The share shown by all cameras together; nothing where the plan has no camera, or nobody can stand there."""
        del settings
        if subject.task == "avoid" or not q.all("camera"):
            return
        ground = q.of(COVERED, q.plan.site).ground(subject)
        if ground.places:
            yield Reading(
                Figure("wanted area shown", ground.share, "", good="high"),
                Ref("area", subject.id),
                related=tuple(_related(gap, q) for gap in ground.gaps[:NAMED] if gap.hidden_by),
                facts={"ground": ground},
            )

    def tell(self, reading: Reading, q: Trial, settings: CoveredSettings) -> Told:
        """What is not shown and why; turning, tilting, a wider lens."""
        del settings
        ground: Ground = reading.facts["ground"]
        area: Area = q.get(reading.at.thing)
        gaps = [_worded(gap, q) for gap in ground.gaps[:NAMED]]
        whole = f"no camera of the plan shows any of {area.id}"
        text = whole if not ground.chief else f"{q.say.share(1.0 - ground.share)} of {area.id} is shown by no camera"
        steps = [f"{ground.places} places stand for {area.id}, {int(ground.shown.sum())} of them are shown"]
        steps += gaps
        return Told(
            f"{text}: {'; '.join(gaps)}" if gaps else f"{text}: it is in no camera's frame",
            tuple(_remedies(area, ground, q)),
            steps=tuple(steps),
        )


def _related(gap: Gap, q: Query) -> Related:
    ref = gap.hidden_by or Ref("camera", gap.camera)
    return Related(ref, f"{called(ref)} hides {q.say.share(gap.share)} of it from {gap.camera}")


def _worded(gap: Gap, q: Query) -> str:
    """A gap: how much, where, by what."""
    where = f"{q.say.span(gap.nearest, gap.farthest)} from {gap.camera}"
    if gap.hidden_by:
        return f"{q.say.share(gap.share)} of it is hidden behind {called(gap.hidden_by)} ({where})"
    return f"{q.say.share(gap.share)} of it lies {BEYOND[gap.side].format(gap.camera)} ({where})"


def _remedies(area: Area, ground: Ground, q: Trial) -> Iterator[Remedy]:
    """The camera that shows most of it, or else the nearest: turned, tilted, with a wider lens, aimed at it."""
    cameras: list[Camera] = [q.get(Ref("camera", name)) for name in ground.ranked] or list(aims.nearest(area, q))
    found = False
    for camera in cameras[:2]:
        keeps = Stays(camera, q)
        for remedy in _tried(camera, area, keeps, q):
            found = True
            yield remedy
        if found:
            return
    yield Remedy(f"a camera more, or one moved to where it sees {area.id}")


def _tried(camera: Camera, area: Area, keeps: Stays, q: Trial) -> Iterator[Remedy]:
    ways = (*aims.aims(camera), aims.wider(camera))
    cured = tuple(moves.offered(q, ways, keeps))
    yield from cured
    if cured or camera.shape == "doorbell":
        return
    partly = q.lessens(f"aim {camera.id} at {area.id}", aims.at(camera, area))
    if partly and keeps(q.vary(*partly.edits)):
        yield partly
