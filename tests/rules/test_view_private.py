"""VIEW-11: private rooms, which no camera may show."""

import math

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.view.private_room import PrivateRoom

CODE = "VIEW-11"
YARD = "watches: [yard]"
NEXT = "\n    "


def plan(camera: str = YARD, *, window: str = "room: bedroom", away: float = 9, more: str = "") -> str:
    """A camera on a pole before a back wall with a window in its middle."""
    wall = f"windows: [{{id: pane, wall: back, along: 5.5 to 6.5, height: 1 to 2, {window}}}]"
    house = f"front: {{faces: 180, width: 12}}, depth: 8, height: 5, {wall}"
    return f"""
house: {{{house}}}
areas:
  - {{id: yard, for: detect, when: day, wall: back, along: 4 to 8, out: 1 to 3, height: 1}}
{more}
cameras:
  - id: cam
    mount: {{at: [6, {8 + away}], height: 2.6}}
    aim: {{bearing: 180, tilt: 12}}
    view: 60 deg
    pixels: 1920 x 1080
    night: none
    {camera.replace("; ", NEXT)}
"""


def levels(text: str) -> dict[str, str | None]:
    return {reading.key: level for reading, level in kit.readings(text, CODE)}


PANE = "building/house/windows.pane"


def test_the_page_holds() -> None:
    kit.hold_page(PrivateRoom)


def test_the_pages_worked_example_is_the_pinholes() -> None:
    """192 px/m at 10 m for 3840 px over 90 degrees (pinhole, exact), half of it for 1920."""
    page = " ".join(page_path(PrivateRoom).read_text(encoding="utf-8").split())
    assert "1920 pixels across 90° are 960 px/m at 1 m, 96 px/m 10 m off" in page
    room = f"{YARD}; sits: indoors; room: bedroom"
    text = plan(room, window="room: other").replace("view: 60 deg", "view: 90 deg")
    ((reading, level),) = kit.readings(text, CODE)
    assert (reading.key, level) == ("room", "error")
    assert reading.figure.value == pytest.approx(192.0 / 2 * 10 / 3)
    assert "Its detail is told for 3 m: 320 px/m" in page


@pytest.mark.parametrize("room", ["bedroom", "bathroom", "guest room", "changing room"])
def test_a_window_of_a_private_room_is_an_error(room: str) -> None:
    assert levels(plan(window=f"room: {room}")) == {PANE: "error"}
    (finding,) = (f for f in kit.look(plan(window=f"room: {room}")).findings if f.code == CODE)
    assert f"window pane ({room})" in finding.text


def test_another_room_is_none_of_its_business() -> None:
    assert levels(plan(window="room: other")) == {}
    assert levels(plan(window="curtain: none")) == {}


FOCAL = 960 / math.tan(math.radians(30))
"""px/m at 1 m of 1920 pixels across 60 degrees (pinhole, exact)"""


def test_farther_off_is_coarser_and_past_detect_it_does_not_count() -> None:
    swept = kit.sweep(CODE, lambda away: plan(away=away), [6, 9, 20, 60, 120, 150, 200])
    assert swept[0][1] == "error"
    assert swept[-1] == (0.0, None)
    limits = [
        FOCAL / 62.5 - 1,
        FOCAL / 62.5 + 2,
        FOCAL / 25 - 1,
        FOCAL / 25 + 3,
    ]  # depth counts, the axis dips 12 degrees
    assert [levels(plan(away=away))[PANE] for away in limits] == ["error", "warning", "warning", None]


@pytest.mark.parametrize(("away", "level"), [(9, "warning"), (40, "note"), (80, None)])
def test_a_curtain_drawn_by_night_makes_it_one_level_milder_and_is_said_to_hide_nothing_by_day(
    away: float, level: str | None
) -> None:
    text = plan(window="room: bedroom, curtain: drawn", away=away)
    assert levels(text) == {PANE: level}
    assert ["hides nothing by day" in f.text for f in kit.look(text).findings if f.code == CODE] == [True] * bool(level)


def test_a_private_area_is_an_error_at_any_detail() -> None:
    bed = "  - {id: bath, for: avoid, private: true, wall: back, along: 5, out: 2, height: 1}"
    assert levels(plan(window="room: other", more=bed)) == {"area/bath": "error"}
    assert levels(plan(window="room: other", more=bed, away=300)) == {"area/bath": "error"}


@pytest.mark.parametrize(
    ("mask", "level"),
    [("in-camera", None), ("in-recorder", "error"), ("planned", "error"), ("in-camera, moves", "error")],
)
def test_only_a_mask_set_in_a_camera_that_keeps_still_counts(mask: str, level: str | None) -> None:
    how, _, moving = mask.partition(", ")
    masks = f"masks: [{{id: m, outline: [[0, 0], [1, 0], [1, 0.6], [0, 0.6]], set: {how}}}]"
    text = plan(f"{YARD}; {masks}" + ("; moves: true" if moving else ""))
    assert levels(text) == {PANE: level}
    if level and not moving:
        (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
        assert "does not count until it is set" in finding.text


def test_a_fence_before_it_hides_it_and_the_back_of_the_house_is_not_seen_through() -> None:
    fence = "objects: [{id: fence, kind: fence, points: [[0, 9], [12, 9]], tall: 4}]"
    assert levels(plan(more=fence)) == {PANE: None}
    assert levels(plan(window="room: bedroom").replace("wall: back, along: 5.5", "wall: front, along: 5.5")) == {
        PANE: None
    }


def test_a_camera_that_looks_out_of_a_private_room_is_not_in_its_own_picture() -> None:
    inside = f"{YARD}; sits: indoors; room: bathroom"
    assert levels(plan(inside, window="room: other")) == {"room": "error"}
    assert levels(plan(f"{inside}; behind: {{sealed: true}}", window="room: other")) == {}
    assert levels(plan(inside.replace("bathroom", "other"), window="room: other")) == {}


def test_the_plan_cannot_silence_it() -> None:
    held = plan() + "settings: {VIEW-11: {level: none}}\n"
    found = {f.code: f.level for f in kit.look(held).findings}
    assert found[CODE] == "error"
    assert "PLAN-93" in found


def test_a_turn_away_is_tried_and_the_mask_says_where() -> None:
    assert kit.hold_remedies(kit.plans(kit.packs().page(CODE))[0], CODE) >= 1
    (finding,) = (f for f in kit.look(plan()).findings if f.code == CODE)
    assert "mask it in the camera itself" in finding.remedies[-1].text
