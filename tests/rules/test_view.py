"""VIEW-01 and VIEW-02: what the frame is spent on, and whose ground it shows."""

import math
import re

import pytest

from oneclimb import kit
from oneclimb.api import Finding
from oneclimb.register import page_path
from oneclimb.trade.pixels import focal_pixels
from oneclimb_rules.view.neighbour_overlap import NeighbourOverlap
from oneclimb_rules.view.overlap import OPEN, PRIVATE
from oneclimb_rules.view.unwanted_zone import UnwantedZone

AREAS = "areas: [{id: lawn, for: detect, wall: back, along: 3 to 7, out: 3 to 9, height: 1}]"


def plan(
    aim: str = "{tilt: 15}", *, more: str = "", camera: str = "", back: float = 90, areas: str = AREAS, view: float = 85
) -> str:  # fmt: skip
    """A camera on a back wall, looking straight out."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 90, right: 90, back: {back}, left: 90}}
{more if "beyond" in more else "beyond: {front: public way, others: neighbour}"}
{"" if "beyond" in more else more}
{areas}
cameras:
  - {{id: cam, mount: {{wall: back, along: 5, height: 2.8}}, aim: {aim}, view: {view} deg, night: none, {camera}}}
"""


def levels(text: str, code: str) -> dict[str, str]:
    """Each finding's level by its key."""
    return {finding.key: finding.level for finding in kit.look(text).findings if finding.code == code}


def only(text: str, code: str) -> Finding:
    """The one finding of a rule."""
    (finding,) = (f for f in kit.look(text).findings if f.code == code)
    return finding


# ------------------------------------------------------------------------------ VIEW-01


def test_the_page_of_view_01_holds() -> None:
    kit.hold_page(UnwantedZone)


def test_the_worked_example_of_view_01_is_what_the_frame_shows() -> None:
    page = " ".join(page_path(UnwantedZone).read_text(encoding="utf-8").split())
    half = math.degrees(math.atan(math.tan(math.radians(42.5)) * 9 / 16))

    def sky(tilt: float) -> float:
        edge, horizon = math.tan(math.radians(half)), math.tan(math.radians(tilt))
        return (edge - horizon) / (2 * edge)

    assert f"85° × {2 * half:.1f}°" in page
    assert f"27.3°) = {sky(15):.2f}. A quarter" in page
    assert f"Tilted 3° down it is {sky(3):.2f}: over 40 %" in page
    ((reading, level),) = kit.readings(plan("{tilt: 3}"), "VIEW-01")
    assert reading.facts["spent"] == pytest.approx(sky(3), abs=0.02)
    assert level == "warning"
    assert levels(plan("{tilt: 15}"), "VIEW-01") == {}


def test_more_sky_is_never_better() -> None:
    swept = kit.sweep("VIEW-01", lambda tilt: plan(f"{{tilt: {tilt}}}"), [25, 20, 15, 12, 9, 7, 5, 2])
    assert swept[0][1] is None
    assert swept[-1][1] == "warning"


def test_the_turn_it_says_is_tried_and_clears_the_finding() -> None:
    finding = only(plan("{tilt: 3}"), "VIEW-01")
    assert "down" in finding.remedies[0].text
    assert kit.hold_remedies(plan("{tilt: 3}"), "VIEW-01") >= 1


def test_one_degree_less_and_the_finding_stays() -> None:
    text = plan("{bearing: 0, tilt: 3}")
    finding = only(text, "VIEW-01")
    tilt = float(re.search(r"'tilt': '([\d.]+) deg'", repr(finding.remedies[0].edits))[1])  # type: ignore[index]
    assert levels(plan(f"{{bearing: 0, tilt: {tilt}}}"), "VIEW-01") == {}
    assert levels(plan(f"{{bearing: 0, tilt: {tilt - 1}}}"), "VIEW-01") != {}


def test_sky_behind_what_is_wanted_is_silent_up_to_two_fifths() -> None:
    """A gallery high up against the sky: tilting down would lose it."""
    high = "areas: [{id: gallery, for: observe, wall: back, along: 4 to 6, out: 15, height: 7.2}]"
    assert levels(plan("{tilt: 7}", areas=high), "VIEW-01") == {}
    assert levels(plan("{tilt: 7}"), "VIEW-01") == {"": "note"}
    higher = high.replace("7.2", "9.4")
    assert levels(plan("{tilt: 0}", areas=higher), "VIEW-01") == {"": "warning"}
    assert "no turn that keeps the wanted ground" in only(plan("{tilt: 0}", areas=higher), "VIEW-01").text


def test_a_turn_that_shows_more_of_the_neighbours_is_named_with_the_reason_it_is_not_offered() -> None:
    """A wall close by on the left, the neighbour's ground close by on the right."""
    text = """
house: {front: {faces: 180, width: 10}, depth: 7, height: 5}
boundary: {front: 90, right: 0.5, back: 90, left: 90}
beyond: {others: neighbour}
objects: [{id: shed, kind: garden-wall, at: [4, 9], wide: 0.2, deep: 4, tall: 4}]
areas: [{id: lawn, for: detect, wall: back, along: 4 to 6, out: 3 to 6, height: 1}]
cameras:
  - {id: cam, mount: {wall: back, along: 5, height: 2.8}, aim: {bearing: 0, tilt: 30}, view: 85 deg, night: none}
"""
    finding = only(text, "VIEW-01")
    turn = "turned 30° to the right"
    assert f"{turn} it would be 6 %, but that shows more of others' ground or windows" in finding.text
    assert finding.steps[-1].startswith(f"{turn} keeps the wanted ground and leaves 6 %")
    (advice,) = finding.remedies
    assert not advice.edits
    assert "a narrower lens or a place further from the wall" in advice.text
    (offered,) = only(text.replace("right: 0.5", "right: 90"), "VIEW-01").remedies
    assert offered.edits
    assert "turn cam" in offered.text


def test_where_no_turn_serves_what_is_left_is_advice() -> None:
    high = "areas: [{id: gallery, for: observe, wall: back, along: 4 to 6, out: 15, height: 9.4}]"
    (advice,) = only(plan("{tilt: 0}", areas=high), "VIEW-01").remedies
    assert (advice.edits, advice.text) == ((), "think of a narrower lens or a hood against the sky")


def test_a_wall_that_is_wanted_is_not_spent() -> None:
    wing = "objects: [{id: wing, kind: garden-wall, wall: back, along: 0 to 10, out: 3, tall: 4WANTED}]"
    aim = "{tilt: 10}"
    assert levels(plan(aim, more=wing.replace("WANTED", "")), "VIEW-01") == {"": "warning"}
    assert levels(plan(aim, more=wing.replace("WANTED", ", wanted: true")), "VIEW-01") == {}
    assert levels(plan(aim, more=wing.replace("WANTED", ""), camera="watches: [wing]"), "VIEW-01") == {}


def test_ground_to_be_avoided_counts() -> None:
    avoid = AREAS.replace("]", ", {id: pond, for: avoid, wall: back, along: -20 to 30, out: 10 to 60}]")
    assert "ground to be avoided" in only(plan("{tilt: 10}", areas=avoid), "VIEW-01").text


def test_without_wanted_ground_it_asks_what_the_camera_is_for() -> None:
    review = kit.look(plan("{tilt: 9}", areas=""))
    assert [c.ref.path for c in review.cannot_tell if c.code == "VIEW-01"] == ["camera/cam/watches"]


def at_the_door(area: str = "along: 5, out: 0.4") -> str:
    """A camera on a post, 1.3 m from the door it is for."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 90, right: 90, back: 90, left: 90}}
beyond: {{others: public way}}
areas: [{{id: door, for: identify, wall: front, {area}}}]
cameras:
  - {{id: cam, mount: {{at: [5, -1.4], height: 1.9, to: pole}}, aim: {{bearing: 0, tilt: 15}}, view: 85 deg,
     night: none}}
"""


def test_the_wall_behind_watched_ground_is_wanted() -> None:
    ((reading, level),) = kit.readings(at_the_door(), "VIEW-01")
    assert reading.facts["spent"] < 0.3
    assert level is None
    assert (
        "100 % of the frame of cam is spent on near walls" in only(at_the_door("along: 8.5, out: 0.4"), "VIEW-01").text
    )


def test_a_doorbell_is_not_told_to_tilt() -> None:
    text = """
house: {front: {faces: 180, width: 10}, depth: 7, height: 5}
boundary: {front: 90, right: 90, back: 90, left: 90}
beyond: {others: public way}
areas: [{id: step, for: identify, wall: front, along: 5, out: 1}]
cameras:
  - {id: bell, shape: SHAPE, mount: {wall: front, along: 4.5, height: 1.3}, aim: {tilt: 0}, view: 120 deg, night: none}
"""
    assert levels(text.replace("SHAPE", "turret"), "VIEW-01") == {"": "warning"}
    ((reading, level),) = kit.readings(text.replace("SHAPE", "doorbell"), "VIEW-01")
    assert (reading.figure.value, level) == (0.0, None)


# ------------------------------------------------------------------------------ VIEW-02


@pytest.mark.parametrize(
    ("beyond", "counted"),
    [("others: neighbour", {PRIVATE: {"land/beyond-back"}, OPEN: set()}), ("back: public way", {})],
)
def test_each_piece_of_private_ground_that_shows_is_counted(beyond: str, counted: dict[str, set[str]]) -> None:
    text = plan(back=8, more=f"beyond: {{{beyond}}}")
    found = {reading.key: {ref.path for ref in reading.counted} for reading, _ in kit.readings(text, "VIEW-02")}
    assert found == {PRIVATE: set(), OPEN: set()} | counted


def test_the_page_of_view_02_holds() -> None:
    kit.hold_page(NeighbourOverlap)


def test_the_worked_example_of_view_02_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(NeighbourOverlap).read_text(encoding="utf-8").split())
    focal = focal_pixels(2560, 85.0)
    assert f"tan 42.5°) = {focal:.0f} pixels" in page
    assert f"1397 / 10 = {focal / 10:.1f} px/m" in page
    assert f"At 30 m it is {focal / 30:.1f} px/m" in page
    text = plan("{bearing: 0, tilt: 15}", back=10)
    (detail,) = (reading.figure.value for reading, _ in kit.readings(text, "VIEW-02") if reading.key == PRIVATE)
    assert detail == pytest.approx(focal / 10, rel=0.12)
    assert levels(text, "VIEW-02") == {PRIVATE: "warning"}


def test_the_nearer_the_neighbour_the_more_detail() -> None:
    swept = kit.sweep("VIEW-02", lambda back: plan(back=back), [120, 80, 55, 40, 30, 20, 15, 10], key=PRIVATE)
    assert {level for _, level in swept} == {None, "note", "warning"}


def test_the_public_way_is_never_more_than_a_note() -> None:
    assert levels(plan(back=8, more="beyond: {back: public way}"), "VIEW-02") == {OPEN: "note"}


@pytest.mark.parametrize(
    ("land", "expected"),
    [
        ("{id: next, side: back}", {PRIVATE: "warning"}),
        ("{id: next, side: back, frontage: true}", {OPEN: "note"}),
        ('{id: next, side: back, agrees: {who: the neighbour, when: "2026-04-02", what: the garden}}', {OPEN: "note"}),
    ],
)
def test_a_frontage_and_an_agreement_lower_it_to_a_note(land: str, expected: dict[str, str]) -> None:
    assert levels(plan(back=8, more=f"beyond: {{others: neighbour}}\nneighbours: [{land}]"), "VIEW-02") == expected


AGREED = 'agrees: {who: the baker, when: "2026-04-02", what: the garden}'


def masks(text: str) -> list[str]:
    """What is advised of masks."""
    return [remedy.text for remedy in only(text, "VIEW-02").remedies if "mask" in remedy.text]


def test_no_mask_is_advised_on_agreed_ground_and_who_agreed_is_said_once() -> None:
    text = plan(back=8, more=f"beyond: {{others: neighbour}}\nneighbours: [{{id: next, side: back, {AGREED}}}]")
    finding = only(text, "VIEW-02")
    assert finding.text.count("agreed with the baker, 2026-04-02") == 1
    assert finding.text.endswith(": nothing to do)")
    assert masks(text) == []
    assert not any("baker" in words for words in (*finding.steps, *(related.text for related in finding.related)))


def test_a_mask_on_the_street_is_advised_only_while_it_hides_little_of_what_is_wanted() -> None:
    street = "beyond: {back: public way}"
    far = AREAS.replace("out: 3 to 9", "out: 3 to 30")
    (advice,) = masks(plan(back=14, more=street))
    assert "the public way (back)" in advice
    assert masks(plan(back=8, more=street, areas=far)) == []
    (private,) = masks(plan(back=8, areas=far))
    hidden = re.search(r"it hides (\d+) % of lawn too", private)
    assert hidden
    assert int(hidden[1]) >= 20


def test_the_finest_detail_is_said_once_with_its_task() -> None:
    finding = only(plan(back=10), "VIEW-02")
    assert finding.figure
    assert finding.text.count(f"{finding.figure.value:.0f} px/m") == 1
    assert f"{finding.figure.value:.0f} px/m, enough pixels to recognise a person" in finding.text


def test_a_window_counts_even_where_the_ground_is_hidden() -> None:
    beside = """beyond: {others: neighbour}
neighbours: [{id: next, side: back, frontage: true}]
buildings:
  - {id: house, front: {faces: 180, width: 10}, depth: 7, height: 5}
  - {id: villa, at: [0, 21], front: {faces: 180, width: 10}, depth: 7, height: 6, neighbour: next,
     windows: [{id: bath, wall: front, along: 4 to 6, height: 3 to 4}]}
"""
    text = plan(back=9, more=beside, view=60).replace(
        "house: {front: {faces: 180, width: 10}, depth: 7, height: 5}\n", "", 1
    )
    found = levels(text, "VIEW-02")
    assert found == {PRIVATE: "warning", OPEN: "note"}
    (finding,) = (f for f in kit.look(text).findings if f.key == PRIVATE)
    assert "window bath of villa" in finding.text
    assert [r.at.path for r in finding.related] == ["building/villa/windows/bath"]


MASK = "masks: [{id: m, box: {x: 0 to 1, y: 0 to BOTTOM}, set: SET}]"


def masked(bottom: float, how: str = "in-camera", camera: str = "") -> str:
    """The upper part of the frame under a mask."""
    return plan(back=8, camera=MASK.replace("BOTTOM", str(bottom)).replace("SET", how) + camera)


def test_a_mask_that_covers_it_all_is_enough() -> None:
    assert levels(masked(0.6), "VIEW-02") == {}


def test_a_mask_that_nearly_covers_says_how_much_is_left() -> None:
    assert "its mask leaves" in only(masked(0.33), "VIEW-02").text


def test_lowering_a_masks_edge_is_never_worse() -> None:
    kit.sweep("VIEW-02", masked, [0.0001, 0.2, 0.3, 0.35, 0.4, 0.6], key=PRIVATE)


@pytest.mark.parametrize("how", ["planned", "in-recorder"])
def test_a_mask_that_is_not_set_in_the_camera_does_not_count(how: str) -> None:
    finding = only(masked(0.6, how), "VIEW-02")
    assert finding.level == "warning"
    assert "does not count until it is set in the camera" in finding.text


def test_no_mask_counts_on_a_camera_that_moves() -> None:
    finding = only(masked(0.6, camera=", moves: true"), "VIEW-02")
    assert "no mask counts on a camera that moves" in finding.text
    assert not any("mask" in remedy.text for remedy in finding.remedies)


def test_a_mask_is_advice_with_its_place_and_no_edit() -> None:
    (advice,) = (remedy for remedy in only(plan(back=8), "VIEW-02").remedies if "mask" in remedy.text)
    assert not advice.edits
    assert "% across" in advice.text


def test_a_mask_that_would_hide_wanted_ground_says_so() -> None:
    far = AREAS.replace("out: 3 to 9", "out: 3 to 30")
    (advice,) = (remedy for remedy in only(plan(back=8, areas=far), "VIEW-02").remedies if "mask" in remedy.text)
    assert "of lawn too" in advice.text


def test_a_camera_on_its_side_is_offered_for_a_side_passage() -> None:
    text = """
house: {front: {faces: 180, width: 10}, depth: 12, height: 5}
boundary: {front: 90, right: 90, back: 90, left: 90}
objects: [{id: fence, kind: fence, wall: left, along: 0 to 12, out: 1.5}]
areas: [{id: passage, for: detect, wall: left, along: 3 to 10, out: 0.75, height: 1}]
cameras:
  - {id: cam, mount: {wall: left, along: 0.3, height: 2.6, arm: 0.3}, aim: {bearing: 180, tilt: 35}, view: 85 deg,
     night: none}
"""
    assert any("on its side" in remedy.text and remedy.edits for remedy in only(text, "VIEW-01").remedies)
    assert kit.hold_remedies(text, "VIEW-01") >= 1


def test_tilting_down_is_offered_where_it_clears_and_keeps_the_lawn() -> None:
    near = AREAS.replace("out: 3 to 9", "out: 1 to 4")
    text = plan("{bearing: 0, tilt: 32}", back=12, areas=near)
    assert kit.hold_remedies(text, "VIEW-02") >= 1


def test_a_tilt_that_takes_only_the_faces_out_says_that_legs_may_still_show() -> None:
    """By the angles: the frame's upper edge lies below the nearest face, and above the feet below it."""
    near = AREAS.replace("out: 3 to 9", "out: 1 to 4")
    text = plan("{bearing: 0, tilt: 32}", back=12, areas=near)
    tilted = only(text, "VIEW-02").remedies[0]
    assert tilted.text.endswith("(faces leave the picture; legs may still show)")
    assert tilted.after
    assert tilted.after.value == 0.0
    tilt = float(re.search(r"'tilt': '([\d.]+) deg'", repr(tilted.edits))[1])  # type: ignore[index]
    edge = tilt - math.degrees(math.atan(math.tan(math.radians(42.5)) * 9 / 16))
    face, feet = (math.degrees(math.atan((2.8 - height) / 12.5)) for height in (1.6, 0.0))
    assert face < edge < feet


def test_what_lies_beyond_the_boundary_is_asked_where_the_plan_is_silent() -> None:
    text = plan().replace("beyond: {front: public way, others: neighbour}\n", "")
    assert [c.ref.path for c in kit.look(text).cannot_tell if c.code == "VIEW-02"] == ["site/site/beyond"]


def test_a_side_the_plan_says_nothing_of_is_asked_for() -> None:
    review = kit.look(plan(more="beyond: {front: public way, back: neighbour}"))
    asks = [c.asks for c in review.cannot_tell if c.code == "VIEW-02"]
    assert asks == ["what lies past 2 of the 4 sides of the boundary, and how far off is it?"]
    assert [c for c in kit.look(plan()).cannot_tell if c.code == "VIEW-02"] == []


def test_a_turn_that_the_plan_cannot_take_is_not_offered() -> None:
    """A camera that looks steeply down its own wall would, turned, look into it."""
    step = "areas: [{id: step, for: detect, wall: back, along: 5, height: 1}]"
    review = kit.look(plan("step", areas=step))
    assert review.crashes == ()
    assert "VIEW-01" in {finding.code for finding in review.findings}


def test_a_mask_over_heads_alone_leaves_the_people_in_view() -> None:
    beyond = "beyond: {others: neighbour}"
    bare = only(plan(back=8, more=beyond), "VIEW-02")
    top, bottom = (float(n) / 100 for n in re.findall(r"(\d+) to (\d+) % down", bare.remedies[-2].text)[0])
    assert bottom > top + 0.15
    mask = "masks: [{{id: m, box: {{x: 0 to 1, y: 0 to {y}}}, set: in-camera}}]"
    heads = plan(back=8, more=beyond, camera=mask.format(y=round(top + 0.1, 2)))
    whole = plan(back=8, more=beyond, camera=mask.format(y=round(bottom + 0.01, 2)))
    assert levels(heads, "VIEW-02") == levels(plan(back=8, more=beyond), "VIEW-02")
    assert levels(whole, "VIEW-02") == {}
