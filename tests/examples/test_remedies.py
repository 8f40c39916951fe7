"""Every remedy that an example's report offers as tried: applied as printed, and one step short of it.

As printed the finding is gone (or, where the remedy says it helps in part, its figure is better)
and nothing new appears. One step less, 5 cm of a tape or 1 degree, will not do: the finding
stays, or that step brings a finding of its own, or costs wanted ground, or shows more of others'
ground. Brackets are not made shorter than 10 cm, so a bracket of 10 cm has no step below it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from examples.expected import PLANS, name
from examples.quick import quick
from oneclimb import kit
from oneclimb.api import LEVELS, Change, Finding, Ref, Remedy
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.plan.model import Camera, Plan
from oneclimb.plan.units import quantity
from oneclimb.review import Review
from oneclimb.study import COVER
from oneclimb.study.cover import Cover

TAPE = 0.05
BRACKET = 0.10
KEPT = 0.98
EXACT = 1e-6


def tried(review: Review) -> Iterator[tuple[Finding, Remedy]]:
    """Every remedy with edits, with its finding."""
    for finding in review.findings:
        yield from ((finding, remedy) for remedy in finding.remedies if remedy.edits)


def brings(before: Review, after: Review) -> list[str]:
    """Findings that are new or worse: by their level, or, where more than notes, by more than a tenth of the figure."""
    had = {f.path: f for f in before.findings}
    return [f.path for f in after.findings if not f.welcome and (f.path not in had or worse(had[f.path], f))]


def worse(before: Finding, after: Finding) -> bool:
    if LEVELS.index(after.level) > LEVELS.index(before.level):
        return True
    if after.level == "note" or before.figure is None or after.figure is None:
        return False
    was, now = before.figure, after.figure
    lost = now.value - was.value if was.good == "low" else was.value - now.value
    return lost > max(0.1 * abs(was.value), 0.0 if was.unit else 0.05) and not was.low <= now.value <= was.high


def finding_at(review: Review, path: str) -> Finding | None:
    return next((f for f in review.findings if f.path == path), None)


def better(before: Finding, after: Finding) -> bool:
    assert before.figure is not None
    assert after.figure is not None
    gained = before.figure.value - after.figure.value
    return gained > 0 if before.figure.good == "low" else gained < 0


# ---------------------------------------------------------------------- one step less


def step_less(edits: tuple[Change, ...], plan: Plan) -> tuple[Change, ...] | None:
    """The same edits one step nearer to the plan as written; ``None`` where there is no smaller step."""
    if all(change.at.field == "aim" for change in edits):
        return _turned_less(edits[0], plan)
    if all(change.at.field.endswith(("along", "height", "arm")) for change in edits):
        return _moved_less(edits, plan)
    return None


def _turned_less(change: Change, plan: Plan) -> tuple[Change, ...] | None:
    """One degree less of the larger of pan and tilt, the other in proportion, cut to whole degrees."""
    aim = _camera(plan, change.at.id).aim
    assert isinstance(change.by, dict)
    pan = (quantity(change.by["bearing"], "angle") - aim.bearing + 180) % 360 - 180
    tilt = quantity(change.by["tilt"], "angle") - aim.tilt
    turned = (aim.bearing, pan), (aim.tilt, tilt)
    steps = round(max(abs(pan), abs(tilt)))
    if steps <= 1:
        return None
    left = (steps - 1) / steps
    bearing, down = (now + math.trunc(by * left + math.copysign(EXACT, by)) for now, by in turned)
    return (replace(change, by={"bearing": f"{bearing % 360:.1f} deg", "tilt": f"{down:.1f} deg"}),)


def _moved_less(edits: tuple[Change, ...], plan: Plan) -> tuple[Change, ...] | None:
    """One mark of the tape less."""
    short = []
    for change in edits:
        now, to = _written(change.at, plan), quantity(str(change.by), "length")
        by = to - (TAPE if to > now else -TAPE)
        least = BRACKET if change.at.field == "mount.arm" else 0.0
        if abs(to - now) <= TAPE + EXACT or by < least - EXACT:
            return None
        short.append(replace(change, by=f"{by:.2f} m"))
    return tuple(short)


def _written(at: Ref, plan: Plan) -> float:
    """The length that a change replaces, m."""
    if at.kind == "lamp":
        return next(lamp for lamp in plan.lamps if lamp.id == at.id).spot.along
    if at.kind == "cable":
        legs = next(cable for cable in plan.cables if cable.id == at.id).legs or ()
        spots = [legs[0].a, *(leg.b for leg in legs)]
        return spots[int(at.field.split(".")[1])].z
    mount = _camera(plan, at.id).mount
    return {"mount.arm": mount.arm, "mount.along": mount.spot.along, "mount.height": mount.spot.z}[at.field]


def _camera(plan: Plan, one: str) -> Camera:
    return next(camera for camera in plan.cameras if camera.id == one)


def costs(before: Review, after: Review, edits: tuple[Change, ...]) -> bool:
    """Whether a moved or turned camera sees less of an area it is for, or shows more of others' ground."""
    for one in {change.at.id for change in edits if change.at.kind == "camera"}:
        had, has = cover(before, one), cover(after, one)
        if any(int(has.areas[a].seen.sum()) < KEPT * int(had.areas[a].seen.sum()) for a in had.watched):
            return True
        if others(has) > others(had):
            return True
    return False


def cover(review: Review, one: str) -> Cover:
    world = World(review.loaded, Shared(NOUNS, kit.DAY))
    return world.of(COVER, world.get(Ref("camera", one)))


def others(shown: Cover) -> int:
    """Samples of others' ground and windows that show unmasked."""
    return sum(int((part.seen & ~part.masked).sum()) for part in (*shown.land.values(), *shown.panes.values()))


# ------------------------------------------------------------------------------ tests


@pytest.fixture(scope="module", params=PLANS, ids=name)
def example(request: pytest.FixtureRequest) -> tuple[str, Review]:
    """An example's text, and its full review."""
    plan: Path = request.param
    text = plan.read_text(encoding="utf-8")
    review = kit.look(text)
    assert review.crashes == ()
    return text, review


def test_remedies_do_as_printed_what_they_say(example: tuple[str, Review]) -> None:
    text, before = example
    wrong = []
    for finding, remedy in tried(before):
        after = quick(kit.mend(text, finding, remedy, before))
        assert (after.loaded.faults, after.crashes) == ((), ()), remedy.text
        left = finding_at(after, finding.path)
        if new := brings(before, after):
            wrong.append(f"{finding.path}: {remedy.text!r} brings {new}")
        if remedy.partial != (left is not None):
            wrong.append(f"{finding.path}: {remedy.text!r} leaves {left and left.figure}")
        elif left and not better(finding, left):
            wrong.append(f"{finding.path}: {remedy.text!r} makes it no better")
    assert not wrong, "\n".join(wrong)


def test_one_step_less_will_not_do(example: tuple[str, Review]) -> None:
    text, before = example
    plan = before.loaded.plan
    assert plan is not None
    wrong = []
    for finding, remedy in tried(before):
        edits = None if remedy.partial else step_less(remedy.edits, plan)
        if edits is None:
            continue
        after = quick(kit.mend(text, finding, replace(remedy, edits=edits), before))
        stays = finding_at(after, finding.path) is not None
        if not (stays or brings(before, after) or costs(before, after, edits)):
            wrong.append(f"{finding.path}: {remedy.text!r}: {edits[0].by} would do too")
    assert not wrong, "\n".join(wrong)


def test_steps_are_taken_back_by_one_degree_or_one_mark_of_the_tape() -> None:
    review = quick(next(plan for plan in PLANS if plan.name == "as-drawn.plan.yaml").read_text(encoding="utf-8"))
    plan = review.loaded.plan
    assert plan is not None
    camera = _camera(plan, "garden-cam")
    assert (camera.aim.bearing, camera.aim.tilt, camera.mount.spot.along) == (340.0, -5.0, 12.5)
    aim, along, arm = (Ref("camera", "garden-cam", field) for field in ("aim", "mount.along", "mount.arm"))
    turned = Change("replace", aim, {"bearing": "343.0 deg", "tilt": "-5.0 deg"})
    assert step_less((turned,), plan) == (replace(turned, by={"bearing": "342.0 deg", "tilt": "-5.0 deg"}),)
    assert step_less((replace(turned, by={"bearing": "341.0 deg", "tilt": "-5.0 deg"}),), plan) is None
    assert step_less((Change("replace", along, "12.30 m"),), plan) == (Change("replace", along, "12.35 m"),)
    assert step_less((Change("replace", arm, "0.15 m"),), plan) == (Change("replace", arm, "0.10 m"),)
    assert step_less((Change("replace", arm, "0.10 m"),), plan) is None
    assert step_less((Change("replace", Ref("camera", "garden-cam", "records"), "motion"),), plan) is None
