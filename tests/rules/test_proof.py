"""PROOF-01 and PROOF-02: what a stage asks to be shown, and by whom it was."""

import pytest

from oneclimb import kit
from oneclimb.plan.shown import Asked, asked
from oneclimb_rules.proof.bench_test import BenchTest
from oneclimb_rules.proof.still_to_show import StillToShow

LAMPS = "lamps: [{id: porch, at: [3, -2], height: 2.2, lit: dusk}, {id: far, at: [60, -40], height: 2.2, lit: dusk}]\n"

EARLY, LATE = (f"kind: bench, when: 2026-05-0{day}, passed:" for day in (2, 3))


def plan(stage: str, proofs: str = "", *, lamps: str = "", cameras: int = 1, far: float = 3.0) -> str:
    """Cameras on a wall; two of them face each other."""
    aims = ("{bearing: 90, tilt: 5}", "{bearing: 270, tilt: 5}")
    listed = "".join(
        f"  - {{id: cam-{n}, mount: {{at: [{n * far}, -3], height: 2.5, to: pole}}, aim: {aims[n % 2]}, "
        "infrared: 30 m, shape: turret}\n"
        for n in range(cameras)
    )
    return f"site: {{stage: {stage}}}\n{lamps}cameras:\n{listed}" + (f"proofs: [{proofs}]\n" if proofs else "")


def figures(text: str, code: str) -> list[float]:
    return [reading.figure.value for reading, _ in kit.readings(text, code)]


@pytest.mark.parametrize("rule", [BenchTest, StillToShow])
def test_the_page_holds(rule: type[BenchTest | StillToShow]) -> None:
    kit.hold_page(rule)


@pytest.mark.parametrize(
    ("proofs", "passed", "level"),
    [
        ("", 0.0, "warning"),
        ("{id: a, kind: bench, of: [cam-0], passed: true}", 1.0, None),
        ("{id: a, kind: bench, passed: true}", 1.0, None),
        ("{id: a, kind: bench, passed: false}", 0.0, "error"),
        ("{id: a, kind: day, passed: true}", 0.0, "warning"),
        (f"{{id: a, {EARLY} false}}, {{id: b, {LATE} true}}", 1.0, None),
        (f"{{id: a, {EARLY} true}}, {{id: b, {LATE} false}}", 0.0, "error"),
    ],
)
def test_the_last_bench_test_counts(proofs: str, passed: float, level: str | None) -> None:
    ((reading, got),) = kit.readings(plan("ready", proofs), "PROOF-01")
    assert (reading.figure.name, reading.figure.unit) == ("bench tests passed", "of 1")
    assert (reading.figure.value, got) == (passed, level)


def test_one_proof_speaks_only_of_those_it_names() -> None:
    assert figures(plan("ready", "{id: a, kind: bench, of: [cam-1], passed: true}", cameras=3), "PROOF-01") == [0, 1, 0]


@pytest.mark.parametrize("code", ["PROOF-01", "PROOF-02"])
def test_a_design_is_asked_for_no_proof(code: str) -> None:
    assert figures(plan("design"), code) == []


def test_a_proof_that_does_not_say_whether_it_passed_is_asked_about() -> None:
    review = kit.look(plan("ready", "{id: a, kind: bench}"))
    assert [item.ref.path for item in review.cannot_tell if item.code == "PROOF-01"] == ["proof/a/passed"]
    assert not [finding for finding in review.findings if finding.code == "PROOF-01"]
    review = kit.look(plan("as-built", "{id: a, kind: night, passed: true}", lamps=LAMPS))
    assert [item.ref.path for item in review.cannot_tell if item.code == "PROOF-02"] == ["proof/a/lamps"]


def test_each_view_shown_is_one_less_to_show() -> None:
    day, dark, lit = (
        "{id: d, kind: day, passed: true}",
        "{id: n, kind: night, lamps: [], passed: true}",
        "{id: l, kind: night, lamps: [porch], passed: true}",
    )
    told = [figures(plan("as-built", ", ".join(done), lamps=LAMPS), "PROOF-02")[0] for done in ([], [day], [day, dark])]
    assert told == [3, 2, 1]
    assert figures(plan("as-built", f"{day}, {dark}, {lit}", lamps=LAMPS), "PROOF-02") == [0]
    assert figures(plan("as-built", "{id: d, kind: day, passed: false}", lamps=LAMPS), "PROOF-02") == [3]


def test_two_cameras_that_face_each_other_are_shown_in_four_states() -> None:
    text = plan("as-built", "{id: d, kind: day, passed: true}", cameras=2)
    (finding, _) = [f for f in kit.look(text).findings if f.code == "PROOF-02"]
    for state in ("both dark", "infrared of cam-1 dark", "own infrared dark", "both lit"):
        assert state in finding.text
    pair = ", ".join(
        f"{{id: n{i}, kind: night, lamps: [], cameras: [{lit}], passed: true}}"
        for i, lit in enumerate(("", "cam-0", "cam-1", "cam-0, cam-1"))
    )
    assert figures(plan("as-built", "{id: d, kind: day, passed: true}, " + pair, cameras=2), "PROOF-02") == [0, 0]


def test_what_is_still_to_be_shown_is_counted() -> None:
    review = kit.look(plan("design", "{id: a, kind: bench, of: [cam-0], passed: true}", cameras=3))
    assert review.loaded.plan is not None
    assert asked(review.loaded.plan) == Asked(bench=2, cable=0, day=3, night=3)
