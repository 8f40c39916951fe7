"""A camera's body: where it sits, what it is fixed to, where its cable comes in; rooms and curtains about it."""

from __future__ import annotations

import pytest

from oneclimb.plan.model import Camera, Entry, Fixing, Hole, Pane
from plan.written import only, plan_of, site, under


def written(keys: str = "", extra: str = "") -> str:
    """A plan with one camera that has these keys."""
    return site(extra, f"{{id: cam, mount: {{wall: front, along: 5, height: 2.6}}{', ' + keys if keys else ''}}}")


def camera(keys: str = "", extra: str = "") -> Camera:
    """One camera, read."""
    return plan_of(written(keys, extra)).cameras[0]


def test_a_camera_is_white_and_outdoors_until_it_is_said_and_that_is_on_record() -> None:
    plan = plan_of(site())
    (bare,) = plan.cameras
    assert (bare.sits, bare.colour) == ("outdoors", "white")
    assert {("sits", "outdoors"), ("colour", "white")} <= {(a.field, a.taken) for a in plan.assumed}
    unknown = (bare.room, bare.size, bare.operating, bare.shutter, bare.switches_at, bare.microphone)
    assert (*unknown, bare.fixing, bare.entry, bare.behind) == (None,) * 9
    inside = camera("sits: indoors, room: bedroom, colour: black")
    assert (inside.sits, inside.room, inside.colour) == ("indoors", "bedroom", "black")


def test_a_body_is_read_in_si() -> None:
    cam = camera(
        "size: {wide: 110 mm, high: 9 cm, deep: 0.11}, operating: -22 to 140 F, shutter: 1/25 s, "
        "switches-at: 1 to 3 lx, microphone: false"
    )
    assert (cam.size, cam.shutter, cam.switches_at, cam.microphone) == ((0.11, 0.09, 0.11), 0.04, (1.0, 3.0), False)
    assert cam.operating == pytest.approx((-30, 60))
    assert camera("switches-at: 2").switches_at == (2.0, 2.0)


def test_what_a_camera_is_fixed_to_and_by_is_read() -> None:
    pole = "objects: [{id: yard-pole, kind: pole, at: [20, -9]}]"
    assert camera("fixing: {to: pole, sway: 0.5 deg, held-by: yard-pole}", pole).fixing == Fixing(
        "pole", 0.5, "yard-pole"
    )
    assert camera("fixing: {backed: true}").fixing == Fixing(backed=True)
    text = written("fixing: {to: pole, held-by: yard-pol}", pole)
    fault = only(text)
    assert (fault.code, fault.hint, under(fault, text)) == (
        "PLAN-19",
        "did you mean `yard-pole`?",
        "held-by: yard-pol",
    )


def test_where_the_cable_comes_in_is_read_down_to_the_hole() -> None:
    assert camera("entry: {side: below, loop: true, hole: {falls: outside, sealed: true, to: room}}").entry == Entry(
        "below", loop=True, hole=Hole("outside", sealed=True, to="room")
    )
    assert camera("entry: {loop: false}").entry == Entry(loop=False)


def test_a_pane_in_front_may_be_coated_and_the_room_behind_lit() -> None:
    assert camera("behind: {gap: 20 mm, coated: true, room: lit, curtain: false}").behind == Pane(
        0.02, coated=True, room="lit", curtain=False
    )


def test_a_type_lends_its_body_to_its_cameras_key_by_key() -> None:
    types = "types: {t: {colour: grey, shutter: 1/25 s, entry: {side: below, hole: {falls: outside, sealed: true}}}}"
    cam = camera("type: t, colour: black, entry: {hole: {sealed: false, to: room}}", types)
    assert (cam.colour, cam.shutter) == ("black", 0.04)
    assert cam.entry == Entry("below", hole=Hole("outside", sealed=False, to="room"))


def test_a_window_says_what_room_is_behind_it_and_whether_a_curtain_is_drawn() -> None:
    house = (
        "house: {front: {faces: 180, width: 10}, depth: 7, windows: "
        "[{id: a, wall: back, along: 1 to 2, height: 1 to 2, room: bedroom, curtain: none}, "
        "{id: b, wall: back, along: 3 to 4, height: 1 to 2}]}\n"
    )
    (building,) = plan_of(house + "cameras: [{id: cam, mount: {wall: front}}]").buildings
    panes = {pane.id: (pane.room, pane.curtain) for wall in building.walls for pane in wall.windows}
    assert panes == {"a": ("bedroom", "none"), "b": (None, None)}


def test_only_an_area_to_be_avoided_is_a_private_room() -> None:
    text = "areas: [{{id: bed, for: {}, at: [5, 3], private: true}}]"
    (bed,) = plan_of(site(text.format("avoid"))).areas
    assert bed.private
    fault = only(site(text.format("detect")))
    assert (fault.code, fault.hint) == ("PLAN-32", "write `for: avoid`")
    assert under(fault, site(text.format("detect"))) == "private: true"


def test_an_areas_pace_is_a_speed() -> None:
    for pace, metres in (("1.4 m/s", 1.4), ("36 km/h", 10.0), ("5 mph", 2.2352)):
        (area,) = plan_of(site(f"areas: [{{id: a, for: detect, at: [5, -3], pace: {pace}}}]")).areas
        assert area.pace == pytest.approx(metres)


@pytest.mark.parametrize(
    ("keys", "code", "at"),
    [
        ("size: {wide: 0, high: 90 mm, deep: 110 mm}", "PLAN-26", "size: {wide: 0, high: 90 mm, deep: 110 mm}"),
        ("size: {wide: 90 mm, high: 90 mm}", "PLAN-12", "size: {wide: 90 mm, high: 90 mm}"),
        ("operating: 60 to -30 C", "PLAN-22", "operating: 60 to -30 C"),
        ("operating: warm", "PLAN-15", "operating: warm"),
        ("switches-at: 3 to 1 lx", "PLAN-22", "switches-at: 3 to 1 lx"),
        ("shutter: 1/25 m", "PLAN-15", "shutter: 1/25 m"),
        ("colour: wite", "PLAN-14", "colour: wite"),
        ("fixing: {to: brik}", "PLAN-14", "to: brik"),
        ("entry: {hole: {fals: outside}}", "PLAN-11", "fals"),
    ],
)
def test_a_slip_in_a_body_is_told_at_its_place(keys: str, code: str, at: str) -> None:
    text = written(keys)
    fault = only(text)
    assert (fault.code, under(fault, text)) == (code, at)
