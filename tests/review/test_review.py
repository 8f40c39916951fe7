"""A review: what keeps a plan from being studied is a fault at its line."""

from __future__ import annotations

from pathlib import Path

from oneclimb import kit
from oneclimb.plan.limits import Limits
from oneclimb.review import check

PLAN = """\
house: {front: {faces: 180, width: 10 m}, depth: 7 m, eave: {height: 5 m, depth: 0.3 m}}
cameras:
  - {id: one, mount: {wall: front, along: 5 m, height: 2.6 m}, aim: {bearing: 180, tilt: 20}, view: 80 deg,
     pixels: 1920 x 1080, infrared: 30 m}
"""


def test_a_place_of_too_many_triangles_is_a_fault_that_names_the_setting(tmp_path: Path) -> None:
    path = tmp_path / "many.plan.yaml"
    path.write_text(PLAN, encoding="utf-8")
    review = check(str(path), kit.packs(), kit.schemas(), limits=Limits(triangles=10))
    assert [(f.code, f.span.line) for f in review.loaded.faults] == [("PLAN-35", 1)]
    assert "--limit triangles=" in review.loaded.faults[0].text
    assert review.findings == ()
    assert review.crashes == ()


def test_findings_come_worst_first_and_then_by_line() -> None:
    text = kit.plans(kit.packs().page("SEAL-01"))[0]
    review = kit.look(text)
    origins = review.loaded.origins
    assert origins is not None
    order = [("error", "warning", "note").index(f.level) for f in review.findings]
    assert order == sorted(order)
    again = kit.look(text)
    assert again.findings == review.findings


def test_the_answers_that_unlock_most_come_first() -> None:
    review = kit.look(PLAN)
    counts = [count for _, _, count in review.unlocks]
    assert counts == sorted(counts, reverse=True)
    assert sum(counts) == len(review.cannot_tell) > 0
