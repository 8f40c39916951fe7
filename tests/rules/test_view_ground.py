"""VIEW-03, VIEW-04, VIEW-06, VIEW-08: wanted ground shown, finely enough, levelly enough, not under a mask."""

import math

import pytest
import shapely

from oneclimb import kit
from oneclimb.api import Finding
from oneclimb.register import page_path
from oneclimb.trade.pixels import CATEGORIES, EDITION_2025, needed
from oneclimb_rules.view.masked_ground import MaskedGround
from oneclimb_rules.view.not_covered import NotCovered
from oneclimb_rules.view.too_few_pixels import TooFewPixels
from oneclimb_rules.view.too_steep import TooSteep


def plan(areas: str, *, objects: str = "", height: float = 2.8, camera: str = "", head: str = "") -> str:
    """A camera in the middle of a back wall that faces north, looking straight out."""
    what = camera or "aim: {bearing: 0, tilt: 15}, view: 85 deg"
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 90, right: 90, back: 90, left: 90}}
beyond: {{others: neighbour, front: neighbour}}
{head}
{objects}
areas: [{areas}]
cameras:
  - {{id: cam, shape: box, mount: {{wall: back, along: 5, height: {height}}}, night: none, {what}}}
"""


def area(
    task: str = "detect", *, name: str = "lawn", along: str = "3 to 7", out: str = "6 to 12", more: str = ""
) -> str:
    """An area behind the house."""
    return f"{{id: {name}, for: {task}, wall: back, along: {along}, out: {out}{more}}}"


def found(text: str, code: str) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in kit.look(text).findings if finding.code == code]


def value(text: str, code: str, key: str = "") -> float:
    """The one figure of a rule."""
    ((reading, _),) = [(r, level) for r, level in kit.readings(text, code) if not key or r.key == key]
    return reading.figure.value


@pytest.mark.parametrize("rule", [NotCovered, TooFewPixels, TooSteep, MaskedGround])
def test_its_page_holds(rule: type[NotCovered]) -> None:
    kit.hold_page(rule)


def page(rule: type[NotCovered | TooFewPixels | TooSteep | MaskedGround]) -> str:
    """A page's text with its line breaks taken out."""
    return " ".join(page_path(rule).read_text(encoding="utf-8").split())


# ------------------------------------------------------------------------------ VIEW-03


def test_the_worked_example_of_view_03_is_where_the_picture_begins() -> None:
    begins = (2.8 - 1.5) / math.tan(math.radians(50))
    assert f"tan 50° = {begins:.2f} m" in page(NotCovered)
    down = math.degrees(2 * math.atan(math.tan(math.radians(30)) * 16 / 9))
    camera = f"aim: {{bearing: 0, tilt: 20}}, view: {down:.3f} deg"

    def shown(out: float) -> float:
        return value(plan(area(along="5", out=f"{out}"), camera=camera), "VIEW-03")

    nose = 0.3  # the glass stands out from the wall by less than this
    assert shown(begins - 0.05) == 0.0
    assert shown(begins + nose) == 1.0


def test_what_a_tall_box_hides_is_what_its_shadow_on_the_plan_says() -> None:
    """Held against shapely: a box higher than every line of sight hides the points whose line crosses it."""
    box = "objects: [{id: tower, kind: shed, wall: back, along: 4.13, out: 4.07, wide: 2, deep: 1, tall: 9}]"
    text = plan(area(along="0 to 10", out="6 to 12"), objects=box)
    ((reading, _),) = kit.readings(text, "VIEW-03")
    ground = reading.facts["ground"]
    view = ground.views["cam"]
    eye = view.origin[:2]
    corners = [(x, y) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))]
    laid_out = kit.look(text).loaded.plan
    assert laid_out
    (thing,) = laid_out.objects
    foot = shapely.Polygon(
        [(thing.spot.x + thing.wide * (u - 0.5), thing.spot.y + thing.deep * (v - 0.5)) for u, v in corners]
    )
    blocked = [shapely.LineString([eye, point[:2]]).intersects(foot) for point in ground.ground]
    hidden = [bool(h) for h in (view.hidden_by >= 0)]
    in_frame = [bool(f) for f in view.in_frame]
    assert any(blocked)
    assert hidden == [b and f for b, f in zip(blocked, in_frame, strict=True)]


def test_the_more_of_it_lies_aside_the_less_is_shown() -> None:
    swept = kit.sweep(
        "VIEW-03", lambda a: plan(area(along=f"{a} to {a + 6}", out="4 to 10")), [2, -2, -2.6, -3.2, -4, -6, -8, -14]
    )
    assert swept[0] == (1.0, None)
    assert [level for _, level in swept][-1] == "error"
    assert {level for _, level in swept} == {None, "note", "warning", "error"}


def test_it_says_what_hides_it_and_where() -> None:
    hedge = "objects: [{id: laurel, kind: hedge, wall: back, along: -4 to 14, out: 5, tall: 4}]"
    (finding,) = found(plan(area(), objects=hedge), "VIEW-03")
    assert finding.level == "error"
    assert (
        "no camera of the plan shows any of lawn: 100 % of it is hidden behind laurel (6 to 12 m from cam)"
        in finding.text
    )
    assert finding.related[0].at.id == "laurel"
    left = found(plan(area(along="-12 to -8", out="2 to 6")), "VIEW-03")[0].text
    right = found(plan(area(along="18 to 22", out="2 to 6")), "VIEW-03")[0].text
    assert {"it is in no camera's frame" in text for text in (left, right)} == {True}


def test_a_parked_car_is_another_rules_question_and_nobody_stands_inside_a_shed() -> None:
    shed = (
        "objects: [{{id: hut, kind: shed, wall: back, along: 5, out: 9, wide: 3, deep: 3, tall: 2.2, there: {there}}}]"
    )
    ground = area(along="2 to 8", out="6 to 12")
    assert value(plan(ground, objects=shed.format(there="sometimes")), "VIEW-03") == 1.0
    ((reading, _),) = kit.readings(plan(ground, objects=shed.format(there="always")), "VIEW-03")
    free = reading.facts["ground"]
    assert free.places < len(free.free)
    assert 0.5 < reading.figure.value < 1.0


def test_a_camera_that_watches_other_ground_does_not_count() -> None:
    two = f"{area()}, {area(name='path', along='4 to 6', out='3 to 5')}"
    camera = "aim: {bearing: 0, tilt: 15}, view: 85 deg, watches: [path]"
    levels = {f.at.id: f.level for f in found(plan(two, camera=camera), "VIEW-03")}
    assert levels == {"lawn": "error"}
    assert found(plan(two), "VIEW-03") == []


def test_avoided_ground_is_not_wanted() -> None:
    assert kit.readings(plan("{id: street, for: avoid, wall: front, along: 3, out: 3}"), "VIEW-03") == []
    assert kit.readings(plan("{id: guest, for: avoid, private: true, wall: back, along: 3, out: 3}"), "VIEW-03") == []


def test_turning_the_camera_clears_it_and_brings_nothing() -> None:
    text = plan(area(along="8 to 14", out="5 to 12"), camera="aim: {bearing: 20, tilt: 15}, view: 70 deg")
    assert found(text, "VIEW-03")[0].level in {"warning", "error", "note"}
    assert kit.hold_remedies(text, "VIEW-03") >= 1


# ------------------------------------------------------------------------------ VIEW-04


def test_the_worked_example_of_view_04_is_where_the_pixels_stop() -> None:
    one = 1920 / (2 * math.tan(math.radians(42.5)))
    assert f"are 1920 / (2 × tan 42.5°) = {one:.0f} pixels at one metre" in page(TooFewPixels)
    assert f"{one:.0f} / 125 = {one / 125:.1f} m along the axis" in page(TooFewPixels)
    whole = 2560 / (2 * math.tan(math.radians(42.5))) / 125
    assert f"2560 pixels would last to {whole:.1f} m" in page(TooFewPixels)
    camera = "aim: {bearing: 0, tilt: 0}, view: 85 deg, pixels: 2560 x 1440, recorded: 1920 x 1080"

    def share(out: float) -> float:
        return value(plan(area("recognise", along="5", out=f"{out}"), camera=camera, height=1.5), "VIEW-04")

    assert (share(8.3), share(8.8)) == (1.0, 0.0)


def test_both_tables_are_asked_for_by_name() -> None:
    assert needed("recognise") == ("recognise", 125.0)
    assert needed("observe", 2025) == ("discern", 80.0)
    assert CATEGORIES.keys() == EDITION_2025.keys()
    assert all(1000 / least == pytest.approx(mm) for (_, least), mm in zip(
        CATEGORIES.items(), (80, 40, 16, 8, 4, 1), strict=True))  # fmt: skip
    text = plan(area("observe", along="4 to 6", out="20"), head="settings: {VIEW-04: {edition: 2025}}")
    assert "discern (80 px/m)" in found(text, "VIEW-04")[0].text
    assert found(text.replace("2025", "2014"), "VIEW-04") == []


def test_the_farther_the_ground_the_fewer_the_pixels() -> None:
    swept = kit.sweep(
        "VIEW-04", lambda far: plan(area("recognise", along="4 to 6", out=f"5 to {far}")), [8, 11, 14, 18, 24]
    )
    assert swept[0] == (1.0, None)
    assert [level for _, level in swept] == [None, None, "warning", "warning", "error"]


def test_edges_of_a_wide_lens_are_doubt_and_a_limit_in_it_lowers_the_level() -> None:
    camera = "aim: {bearing: 0, tilt: 10}, view: 100 deg, pixels: 2560 x 1440"
    text = plan(area("recognise", along="-3 to 13", out="8.3"), camera=camera)
    ((reading, _),) = kit.readings(text, "VIEW-04")
    assert reading.settled().figure.low < reading.figure.value == 1.0
    narrow = plan(area("recognise", along="3 to 7", out="16"), camera=camera.replace("100", "60"))
    ((firm, _),) = kit.readings(narrow, "VIEW-04")
    assert firm.settled().figure.low == firm.figure.value


def test_the_best_camera_of_an_area_decides() -> None:
    text = plan(area("recognise", along="4 to 6", out="16 to 18"))
    assert found(text, "VIEW-04")[0].level == "error"
    near = "  - {id: gate-cam, mount: {to: pole, at: [0, 26], height: 3}, aim: lawn, view: 40 deg, night: none}\n"
    assert found(text + near, "VIEW-04") == []


def test_lens_and_sensor_are_tried() -> None:
    camera = "aim: {bearing: 0, tilt: 12}, view: 85 deg, pixels: 2560 x 1440, recorded: 1280 x 720"
    text = plan(area("recognise", along="4 to 6", out="6 to 9"), camera=camera)
    said = [remedy.text for remedy in found(text, "VIEW-04")[0].remedies]
    assert any("record the whole picture" in words for words in said)
    assert kit.hold_remedies(text, "VIEW-04") == 2


# ------------------------------------------------------------------------------ VIEW-06


def test_the_worked_example_of_view_06_is_trigonometry_and_what_the_rule_measures() -> None:
    assert f"atan(0.9 / 3) = {math.degrees(math.atan(0.9 / 3)):.1f}°" in page(TooSteep)
    far = [(height - 1.6) / math.tan(math.radians(15)) for height in (2.5, 3.0, 4.0)]
    assert "{:.2f} m away; for a camera 3.0 m up {:.2f} m, for one 4 m up {:.2f} m".format(*far) in page(TooSteep)
    text = plan(area("identify", along="5", out="3.03"), height=2.5, camera="aim: {bearing: 0, tilt: 20}, view: 85 deg")
    assert value(text, "VIEW-06") == pytest.approx(16.7, abs=0.1)


def test_the_nearer_the_steeper() -> None:
    camera = "aim: {bearing: 0, tilt: 35}, view: 95 deg"
    swept = kit.sweep(
        "VIEW-06", lambda out: plan(area("identify", along="5", out=f"{out}"), camera=camera), [8, 5, 4, 3, 2, 1.5]
    )
    assert [level for _, level in swept] == [None, None, "note", "note", "note", "warning"]


def test_only_faces_count() -> None:
    steep = {"along": "5", "out": "1.5"}
    camera = "aim: {bearing: 0, tilt: 35}, view: 95 deg"
    assert found(plan(area("identify", **steep), camera=camera), "VIEW-06")
    assert not kit.readings(plan(area("observe", **steep), camera=camera), "VIEW-06")
    assert not kit.readings(plan(area("identify", **steep, more=", height: 0.5"), camera=camera), "VIEW-06")


def test_lower_is_tried() -> None:
    camera = "aim: {bearing: 0, tilt: 20}, view: 95 deg, pixels: 3840 x 2160"
    text = plan(area("identify", along="4 to 6", out="4"), camera=camera, height=3)
    (finding,) = found(text, "VIEW-06")
    assert "lower" in finding.remedies[0].text
    assert "impact rating" in finding.remedies[1].text
    assert kit.hold_remedies(text, "VIEW-06") == 1


# ------------------------------------------------------------------------------ VIEW-08


def masked(bottom: float, more: str = "", box: str = "x: 0 to 1") -> str:
    """A lawn seen through a mask from the top of the frame down to ``bottom``."""
    camera = "aim: {bearing: 0, tilt: 20}, view: 80 deg"
    mask = f"masks: [{{id: gardens, box: {{{box}, y: 0 to {bottom}}}, set: planned}}]"
    return plan(area(along="2 to 8", out="4 to 12", more=", height: 1"), camera=f"{camera}, {mask}") + more


def test_the_worked_example_of_view_08_is_where_the_mask_ends() -> None:
    half = math.degrees(math.atan(math.tan(math.radians(40)) * 9 / 16))
    assert f"a frame {2 * half:.1f}° high" in page(MaskedGround)
    share = math.tan(math.radians(20)) / math.tan(math.radians(half))
    assert f"{share:.3f} of the half height, so 0.5 − {share / 2:.3f} = {0.5 - share / 2:.3f}" in page(MaskedGround)
    begins = 1.8 / math.tan(math.radians(20))
    assert f"1.8 / tan 20° = {begins:.1f} m" in page(MaskedGround)
    # rows of the lawn lie 0.5 to 1 m apart between 4 and 12 m out
    assert value(masked(0.5), "VIEW-08") == pytest.approx((12 - begins) / 8, abs=0.1)


def test_the_deeper_the_mask_the_more_it_hides() -> None:
    swept = kit.sweep("VIEW-08", masked, [0.1, 0.2, 0.27, 0.3, 0.33, 0.5, 0.8])
    assert swept[0] == (0.0, None)
    assert {level for _, level in swept} == {None, "note", "warning"}


def test_what_another_camera_shows_is_not_lost() -> None:
    other = "  - {id: other, mount: {wall: back, along: 2, height: 2.8}, aim: lawn, view: 100 deg, night: none}\n"
    assert found(masked(0.5), "VIEW-08")[0].level == "warning"
    assert value(masked(0.5, other), "VIEW-08", key="lawn") < 0.05


def test_a_box_is_drawn_back() -> None:
    (finding,) = found(masked(0.5), "VIEW-08")
    assert "draw the bottom edge of gardens back" in finding.remedies[0].text
    assert kit.hold_remedies(masked(0.5), "VIEW-08") == 1


@pytest.mark.parametrize("code", ["VIEW-03", "VIEW-04", "VIEW-06", "VIEW-08", "VIEW-09"])
def test_every_remedy_can_be_read_by_itself(code: str) -> None:
    remedies = [r.text for f in found(kit.plans(kit.packs().page(code))[0], code) for r in f.remedies]
    assert remedies
    assert not [text for text in remedies if text.startswith("or ")]
