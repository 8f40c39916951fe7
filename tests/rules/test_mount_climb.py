"""MOUNT-05: before the drill and the climb."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.register import page_path
from oneclimb.study import CLIMB
from oneclimb.study.climb import Climb, away
from oneclimb_rules.mount.before_the_climb import BeforeTheClimb

CODE = "MOUNT-05"


def plan(height: float = 2.8, objects: str = "", more: str = "", mount: str = "wall: front, along: 6") -> str:
    """A camera on a wall, and what is near it."""
    return f"""
house: {{front: {{faces: 180, width: 12}}, depth: 7, eave: {{height: 8, depth: 0.5}}}}
objects: [{objects}]
{more}
cameras:
  - {{id: cam, mount: {{{mount}, height: {height}}}, night: none}}
"""


def world(text: str) -> World:
    """The plan's world."""
    loaded = kit.look(text).loaded
    assert not loaded.faults, loaded.faults
    return World(loaded, Shared(NOUNS, kit.DAY))


def climb(text: str) -> Climb:
    """The work at the camera."""
    q = world(text)
    return q.of(CLIMB, q.get(Ref("camera", "cam")))


def margin(text: str) -> float:
    """The least margin."""
    ((reading, _),) = kit.readings(text, CODE)
    return reading.figure.value


def level(text: str) -> str | None:
    """The level of the camera's finding."""
    found = [f for f in kit.look(text).findings if f.code == CODE]
    return found[0].level if found else None


def test_the_page_holds() -> None:
    kit.hold_page(BeforeTheClimb)


def test_the_pages_worked_example_is_what_the_study_computes() -> None:
    page = " ".join(page_path(BeforeTheClimb).read_text(encoding="utf-8").split())
    found = climb(plan(2.8))
    assert f"= 2.40 m; the rails are {4 * found.out:.3f} m long there and the foot stands {found.out:.2f} m out" in page
    text = plan(2.8, "{id: meter, kind: meter, wall: front, along: 6.4, height: 2.5}")
    assert f"0.20 / 0.50 = {0.2 / 0.5:.2f}, a warning" in page
    assert margin(text) == pytest.approx(0.4, abs=0.01)
    assert level(text) == "warning"


def test_the_ladders_foot_is_a_quarter_of_the_working_length_out() -> None:
    """29 CFR 1926.1053(b)(5)(i): supported at 4.00 m the rails are 4.131 m and the foot 1.033 m out."""
    found = climb(plan(4.4))
    assert found.out == pytest.approx(1.033, abs=5e-4)
    assert found.foot == pytest.approx((6.0, -1.033, 0.0), abs=5e-4)


def test_low_work_needs_no_ladder_and_height_alone_is_a_note() -> None:
    assert climb(plan(1.9)).foot is None
    swept = kit.sweep(CODE, plan, [1.5, 2.5, 3.0, 3.1, 4.0, 6.0])
    assert [at for _, at in swept] == [None, None, None, "note", "note", "note"]
    ((high, _),) = kit.readings(plan(6.0), CODE)
    assert high.figure.value == pytest.approx(3.0 / 6.0)
    assert high.figure.name == "height anyone may work at, of the height of this work"


@pytest.mark.parametrize(
    ("kind", "kept"), [("meter", 0.5), ("gas-pipe", 0.5), ("flue", 0.5), ("vent", 0.5), ("lightning-conductor", 1.8)]
)
def test_nearer_to_what_a_drill_keeps_off_is_never_better(kind: str, kept: float) -> None:
    def at(along: float) -> str:
        return plan(2.2, f"{{id: it, kind: {kind}, wall: front, along: {6 + along}, height: 2.3, tall: 1}}")

    swept = kit.sweep(CODE, at, [kept + 1.2, kept + 0.3, kept - 0.1, kept / 2, 0.05])
    assert [at for _, at in swept][:2] == [None, None]
    assert [at for _, at in swept][-2:] == ["warning", "warning"]


def test_the_mains_line_is_kept_from_the_whole_ladder() -> None:
    line = "{id: drop, kind: service-drop, at: [X, -1.0], height: 3.0, to: {at: [X, -12], height: 6}}"
    near, far = (plan(2.8, line.replace("X", x)) for x in ("7", "12"))
    assert level(near) == "warning"
    assert level(far) is None
    (finding,) = (f for f in kit.look(near).findings if f.code == CODE)
    assert "mains line drop" in finding.text
    assert "never a metal ladder" in finding.remedies[0].text


def test_a_line_over_the_ladders_top_is_measured_from_there() -> None:
    """Work at 4.4 m, the ladder's top at 4.0 m by the wall; a line 1 m over it and 1.5 m out, 0.02 m thick."""
    line = "{id: drop, kind: service-drop, at: [2, -1.5], height: 5, to: {at: [10, -1.5], height: 5}}"
    (near,) = climb(plan(4.4, line)).near
    assert near.ladder == pytest.approx(math.hypot(1.5, 1.0) - 0.01, abs=1e-3)


@pytest.mark.parametrize(
    ("thing", "what"),
    [
        ("{id: steps, kind: steps, wall: front, along: 6}", "object/steps"),
        ("{id: wall, kind: garden-wall, wall: front, along: 4 to 8, out: 0.7}", "object/wall"),
    ],
)
def test_what_stands_where_the_foot_comes_is_named(thing: str, what: str) -> None:
    ((reading, at),) = kit.readings(plan(2.8, thing), CODE)
    assert at == "warning"
    assert [related.at.path for related in reading.related] == [what]
    assert kit.readings(plan(1.9, thing), CODE)[0][1] is None, "work from the ground needs no ladder's foot"


def test_what_is_there_sometimes_is_moved_first_and_a_signs_height_is_walked_under() -> None:
    assert level(plan(2.8, "{id: bins, kind: bin, wall: front, along: 6, out: 0.5}")) is None
    assert level(plan(2.8, "{id: sign, kind: sign, wall: front, along: 6, out: 0.6}")) is None


def test_a_public_way_at_the_foot_is_named() -> None:
    street = "boundary: {front: 0.5, right: 6, back: 9, left: 6}\nbeyond: {front: public way, others: neighbour}"
    (finding,) = (f for f in kit.look(plan(2.8, more=street)).findings if f.code == CODE)
    assert "a public way" in finding.text
    assert level(plan(2.8, more=street.replace("0.5", "5"))) is None


def test_a_camera_has_one_finding_however_much_is_near() -> None:
    near = ", ".join(
        f"{{id: it{i}, kind: {kind}, wall: front, along: {5.7 + i / 10}, height: 2.5}}"
        for i, kind in enumerate(("meter", "flue", "vent"))
    )
    readings = kit.readings(plan(3.0, near), CODE)
    assert len(readings) == 1
    assert len(readings[0][0].related) == 3


def test_it_never_says_safe_and_asks_for_the_owners_word() -> None:
    (finding,) = (f for f in kit.look(plan(3.5)).findings if f.code == CODE)
    assert "Nothing here says the work is safe" in finding.caution
    assert "asbestos" in finding.caution
    assert BeforeTheClimb.info.safety


def test_moving_along_the_wall_is_tried() -> None:
    text = plan(2.8, "{id: meter, kind: meter, wall: front, along: 6.3, height: 2.5}")
    assert kit.hold_remedies(text, CODE) == 1


def test_a_safety_rule_is_not_silenced_by_the_plan() -> None:
    text = plan(2.8, "{id: meter, kind: meter, wall: front, along: 6.3, height: 2.5}")
    assert level(text + "\nsettings: {MOUNT-05: {warning: 1 %, note: 1 %}}\n") == "warning"


def test_distance_to_an_upright_pipe_and_to_one_that_runs_is_the_closed_form() -> None:
    q = world(plan(2.8, "{id: pipe, kind: pipe, at: [2, -2], diameter: 0.1, tall: 3}"))
    pipe = q.get(Ref("object", "pipe"))
    points = np.array([[4.0, -2, 1], [2, -2, 5], [5, 2, 7]])
    assert away(points, pipe) == pytest.approx([1.95, 2.0, math.hypot(4.95, 4)], abs=0.01)
    level_run = replace(pipe, to=replace(pipe.spot, x=6.0))
    assert away(np.array([[4.0, -2, 1], [8, -2, 0]]), level_run) == pytest.approx([0.95, 1.95])
