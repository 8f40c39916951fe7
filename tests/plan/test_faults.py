"""Every fault of sense and schema: one plan each, one fault each, at its place, in plain words."""

from __future__ import annotations

import pytest

from oneclimb.plan.faults import FAULTS
from oneclimb.plan.here import nearest
from oneclimb.plan.kinds import KINDS
from plan.written import CAMERA, HOUSE, faults, only, read, site, under

CASES = [
    # schema
    ("PLAN-11", site("", "{id: cam, mount: {wall: front}, shap: dome}"), "shap", "`shape`"),
    ("PLAN-11", "camera: []\n" + site(), "camera", "`cameras`"),
    ("PLAN-12", "house: {front: {faces: 1, width: 3}, depth: 3}\n", "house", "cameras"),
    ("PLAN-12", site("", "{id: cam}"), "id: cam", "mount"),
    ("PLAN-12", site("objects: [{id: b, kind: box, deep: 1, wall: front}]"), "id: b", "tall"),
    ("PLAN-12", site("objects: [{id: b, kind: box, tall: 1, deep: 1, wall: front}]"), "id: b", "wide"),
    ("PLAN-13", site("lamps: {id: a}"), "id: a", "a list"),
    ("PLAN-13", site("", "{id: cam, mount: {wall: front}, hood: sure}"), "hood: sure", "true or false"),
    ("PLAN-13", site("", "{id: cam, mount: }"), "mount: ", "nothing"),
    ("PLAN-14", site("", "{id: cam, shape: turet, mount: {wall: front}}"), "shape: turet", "`turret`"),
    ("PLAN-14", "version: 2\n" + site(), "version: 2", "1"),
    ("PLAN-15", site("", "{id: cam, mount: {wall: front, height: 2.6 furlongs}}"), "height: 2.6 furlongs", "a length"),
    ("PLAN-15", site("", "{id: cam, mount: {wall: front, height: .inf}}"), "height: .inf", "a length"),
    ("PLAN-15", site("", "{id: 'a b', mount: {wall: front}}"), "id: 'a b'", "an id"),
    ("PLAN-15", site("", "{id: cam, mount: {wall: front}, pixels: 4 MP}"), "pixels: 4 MP", "picture's size"),
    ("PLAN-15", site("areas: [{id: a, for: detect, wall: front, along: 1 till 3}]"), "along: 1 till 3", "a range"),
    ("PLAN-15", site("", "{id: cam, mount: {wall: front, height: '2,8'}}"), "height: '2,8'", "not a comma: `2.8`"),
    ("PLAN-11", site("", "{id: cam, mount: {wall: front, height: 2,8 m}}"), "8 m", "`2.8 m` for `height`"),
    ("PLAN-15", site("site: {place: ['54,6', 3]}"), "'54,6'", "not a comma: `54.6`"),
    ("PLAN-16", site("", "{id: cam, mount: {wall: front}, view: 500}"), "view: 500", "at most 180"),
    ("PLAN-16", HOUSE + "cameras: []\n", "cameras: []", "at least 1"),
    ("PLAN-16", site("", "{id: cam, mount: {wall: front}, view: 300 deg}"), "view: 300 deg", "between 1 and 180"),
    ("PLAN-16", site("", "{id: cam, mount: {wall: front}, aim: {bearing: 180, tilt: 95}}"), "tilt: 95", "-90"),
    ("PLAN-16", site("site: {place: [95, 0]}"), "place: [95, 0]", "latitude"),
    ("PLAN-16", site("site: {weather: [fog, fog]}"), "weather: [fog, fog]", "each entry once"),
    ("PLAN-16", site("lamps: [{id: a, at: [123456789, 0]}]"), "123456789", "`at`: at most 10000000"),
    (
        "PLAN-10",
        site("", f"{{id: cam, mount: {{wall: front, height: {'9' * 400} m}}}}"),
        f"height: {'9' * 400} m",
        "finite",
    ),
    # ids and names
    ("PLAN-18", site("", f"{CAMERA}, {CAMERA}"), "id: cam", "camera is already called `cam`"),
    ("PLAN-18", site("lamps: [{id: a, wall: front}, {id: a, wall: back}]"), "id: a", "lamp"),
    ("PLAN-19", site("", "{id: cam, mount: {wall: frnt}}"), "wall: frnt", "`front`"),
    ("PLAN-19", site("", "{id: cam, mount: {wall: front}, type: turet}"), "type: turet", "no type"),
    ("PLAN-19", site("", "{id: cam, mount: {wall: front}, aim: gate}"), "aim: gate", "no area or object"),
    ("PLAN-19", site("", "{id: cam, mount: {wall: front}, watches: [front, gate]}"), "gate", "`gate`"),
    ("PLAN-19", site("lamps: [{id: a, wall: front, building: hous}]"), "building: hous", "`house`"),
    ("PLAN-19", site("cables: [{id: a, camera: cm}]"), "camera: cm", "`cam`"),
    ("PLAN-19", site("model: {glare-insid: 0.02}"), "glare-insid", "`glare-inside`"),
    (
        "PLAN-20",
        site("objects: [{id: p, kind: post, wall: front, surface: red brik}]"),
        "surface: red brik",
        "`red brick`",
    ),
    # places
    ("PLAN-21", site("", "{id: cam, mount: {height: 2}}"), "mount: {height: 2}", "no place"),
    ("PLAN-21", site("lamps: [{id: a, wall: front, at: [1, -1]}]"), "at", "keep one"),
    ("PLAN-21", site("objects: [{id: f, kind: fence, wall: front}]"), "id: f", "drawn as a line"),
    ("PLAN-22", site("areas: [{id: a, for: detect, wall: front, along: 3 to 1}]"), "along: 3 to 1", "smaller number"),
    ("PLAN-22", site("site: {temperature: 31 to -8 C}"), "temperature: 31 to -8 C", "smaller number"),
    ("PLAN-23", site("", "{id: cam, mount: {wall: front, along: 10.4}}"), "along: 10.4", "off the wall"),
    ("PLAN-32", site("", "{id: cam, mount: {wall: front}, view: 90, lens: {focal: 3 mm}}"), "lens", "keep one"),
    ("PLAN-33", "cameras: [{id: cam, mount: {wall: front}}]\n", "wall: front", "no house"),
    ("PLAN-33", site("", "{id: cam, mount: {wall: front, storey: 2}}"), "storey: 2", "1 storey"),
    ("PLAN-33", site("beyond: {front: public way}"), "beyond", "boundary"),
    # heights
    ("PLAN-36", site("", "{id: cam, mount: {wall: front, height: 270}}"), "height: 270", "the wall, which is 2.7 m"),
    (
        "PLAN-36",
        site("", "{id: cam, mount: {wall: front, height: 270}}"),
        "height: 270",
        "is it 270 cm, which is 2.7 m",
    ),
    ("PLAN-36", site("", "{id: cam, mount: {wall: front, height: 2600}}"), "height: 2600", "2600 mm, which is 2.6 m"),
    ("PLAN-36", site("", "{id: cam, mount: {wall: front, height: 8.9}}"), "height: 8.9", "8.9 m up"),
    ("PLAN-36", site("", "{id: cam, mount: {wall: front, height: -1}}"), "height: -1", "1 m below the ground"),
    ("PLAN-36", site("lamps: [{id: a, wall: front, height: 210}]"), "height: 210", "210 cm, which is 2.1 m"),
    ("PLAN-36", site("lamps: [{id: a, at: [2, -9], height: 400}]"), "height: 400", "400 cm, which is 4 m"),
    ("PLAN-36", site("objects: [{id: v, kind: vent, wall: front, height: 180}]"), "height: 180", "180 cm"),
    ("PLAN-36", site("objects: [{id: b, kind: bin, wall: front, height: -3}]"), "height: -3", "below the ground"),
    (
        "PLAN-36",
        site("objects: [{id: f, kind: fence, wall: front, along: 0 to 4, out: 3, height: 180}]"),
        "height: 180",
        "is it 180 cm",
    ),
    (
        "PLAN-36",
        "units: feet\n" + site("", "{id: cam, mount: {wall: front, height: 102}}").replace("2.7", "9"),
        "height: 102",
        "is it 102 in, which is 8 ft 6 in",
    ),
    # outlines
    (
        "PLAN-25",
        site("areas: [{id: a, for: detect, points: [[0,-1],[2,-3],[2,-1],[0,-3]]}]"),
        "points: [[0,-1],[2,-3],[2,-1],[0,-3]]",
        "crosses itself",
    ),
    (
        "PLAN-25",
        "house: {outline: [[0,0],[5,5],[5,0],[0,5.5]]}\ncameras: [{id: c, mount: {at: [9,9]}, aim: {bearing: 0}}]\n",
        "house",
        "crosses itself",
    ),
    (
        "PLAN-26",
        "house: {front: {faces: 1, width: 0}, depth: 3}\ncameras: [{id: c, mount: {at: [9,9]}, aim: {bearing: 0}}]\n",
        "house",
        "no",
    ),
    ("PLAN-26", site("objects: [{id: p, kind: post, wall: front, tall: 0}]"), "tall: 0", "more than 0"),
    (
        "PLAN-27",
        site("", "{id: cam, mount: {wall: front}, cable: {seal: tape, until: 2026-02-30}}"),
        "until: 2026-02-30",
        "not a date",
    ),
    # what can't be built
    ("PLAN-28", site("", "{id: cam, mount: {wall: front, out: -0.5}}"), "mount", "inside house"),
    (
        "PLAN-28",
        site(
            "objects: [{id: s, kind: shed, at: [5, -9]}]",
            "{id: cam, mount: {at: [5, -9], height: 1}, aim: {bearing: 180}}",
        ),
        "mount",
        "inside s",
    ),
    (
        "PLAN-29",
        site("", "{id: cam, mount: {wall: front, height: 2.6}, aim: {bearing: 0, tilt: 10}}"),
        "aim",
        "its own wall",
    ),
    (
        "PLAN-29",
        site("", "{id: cam, mount: {wall: front, to: soffit}, aim: {bearing: 180, tilt: -30}}"),
        "aim",
        "the soffit",
    ),
    ("PLAN-30", site("", "{id: cam, mount: {at: [5, -5]}}"), "id: cam", "where the camera looks"),
    (
        "PLAN-30",
        site("", "{id: cam, mount: {at: [5, -5], height: 2}, aim: {at: [5, -5], height: 2}}"),
        "aim",
        "own place",
    ),
    ("PLAN-31", site("lamps: [{id: a, at: [123456 km, 0]}]"), "at: [123456 km, 0]", "not a place"),
]


@pytest.mark.parametrize(("code", "text", "at", "word"), CASES, ids=[f"{c[0]}-{i}" for i, c in enumerate(CASES)])
def test_each_fault_is_told_once_at_its_place_in_plain_words(code: str, text: str, at: str, word: str) -> None:
    fault = only(text)
    assert fault.code == code, fault
    assert under(fault, text).startswith(at), (under(fault, text), fault)
    assert word in fault.text + fault.hint


def test_walls_that_do_not_meet_are_told_with_the_gap() -> None:
    text = """house:
  walls:
    - {id: front, faces: 180, width: 8}
    - {id: right, faces: 90, width: 6}
    - {id: back, faces: 0, width: 8}
    - {id: left, faces: 270, width: 5}
cameras: [{id: c, mount: {at: [20, 20]}, aim: {bearing: 0}}]
"""
    fault = only(text)
    assert fault.code == "PLAN-24"
    assert "1.00 m is missing" in fault.text
    assert read(text.replace("width: 5", "width: 5.9")).plan is not None


def test_walls_listed_clockwise_are_refused() -> None:
    walls = ", ".join(f"{{id: w{f}, faces: {f}, width: 5}}" for f in (180, 270, 0, 90))
    fault = only(f"house: {{walls: [{walls}]}}\ncameras: [{{id: c, mount: {{at: [9, 9]}}, aim: {{bearing: 0}}}}]\n")
    assert fault.code == "PLAN-24"
    assert "anticlockwise" in fault.hint


def test_several_faults_are_told_in_the_order_of_lines() -> None:
    text = site(
        "lamps: [{id: a, wall: frnt}]\nareas: [{id: b, for: detect, wall: front, along: 9 to 2}]",
        "{id: cam, mount: {wall: bak}}",
    )
    found = faults(text)
    assert [fault.code for fault in found] == ["PLAN-19", "PLAN-22", "PLAN-19"]
    assert [fault.span.line for fault in found] == [2, 3, 4]


def test_a_fault_in_a_type_is_told_where_it_is_written() -> None:
    text = site("types: {t: {shape: dome, view: 300 deg}}", "{id: cam, type: t, mount: {wall: front}}")
    fault = only(text)
    assert (fault.code, fault.span.line, under(fault, text)) == ("PLAN-16", 2, "view: 300 deg")


def test_every_code_has_a_title_and_an_explanation() -> None:
    for code, info in FAULTS.items():
        assert code.startswith("PLAN-")
        assert info.title
        assert len(info.explain) > 30


def test_a_camera_indoors_behind_a_pane_or_on_a_ceiling_may_be_inside() -> None:
    for camera in (
        "{id: cam, mount: {wall: front, out: -0.3}, behind: {gap: 20 mm}, aim: {bearing: 180}}",
        "{id: cam, mount: {at: [5, 3], to: ceiling}, aim: {bearing: 180, tilt: 30}}",
    ):
        assert read(site("", camera)).plan is not None, faults(site("", camera))


def test_a_camera_may_look_at_the_foot_of_its_own_wall() -> None:
    door = "areas: [{id: door, for: identify, wall: front, along: 5}]"
    assert read(site(door, "{id: cam, mount: {wall: front, along: 5, height: 2.6}, aim: door}")).plan is not None


def test_a_camera_on_a_pole_is_not_inside_the_pole() -> None:
    text = site(
        "objects: [{id: p, kind: pole, at: [5, -9]}]\nareas: [{id: a, for: detect, at: [5, -2]}]",
        "{id: cam, mount: {at: [5, -9], height: 3, to: pole}, aim: a}",
    )
    assert read(text).plan is not None, faults(text)


def test_heights_that_can_be_meant_are_not_doubted() -> None:
    tower = "house: {front: {faces: 180, width: 10}, depth: 7, storeys: 30}\n"
    for text in (
        site("", "{id: cam, mount: {wall: front, height: 8.6}, aim: {bearing: 180, tilt: 40}}"),  # on the chimney
        site("", "{id: cam, mount: {wall: front, to: soffit}}"),
        site("", "{id: cam, mount: {wall: front, out: 1, to: pole, height: 12}, aim: {bearing: 180, tilt: 40}}"),
        site("", "{id: cam, mount: {at: [5, -9], height: 20}, aim: {bearing: 180, tilt: 40}}"),
        site("", "{id: cam, mount: {wall: front, height: 2.6}, aim: {at: [5, -300], height: -20}}"),  # the valley
        site("objects: [{id: c, kind: car, wall: front, out: 9, height: -1}]"),  # a drive that falls
        site("objects: [{id: v, kind: vent, wall: front, height: 5}]"),  # in the gable
        tower + "cameras: [{id: cam, mount: {wall: front, height: 75}}]\n",
        tower + "cameras: [{id: cam, mount: {wall: front, storey: 30, height: 2}}]\n",
        tower + "cameras: [{id: cam, mount: {at: [5, -1], height: 75}, aim: {bearing: 180}}]\n",
        site("", "{id: cam, mount: {wall: front, height: -1}}").replace("depth: 7", "depth: 7, base: 2"),
    ):
        assert read(text).plan is not None, faults(text)


def test_a_slip_in_a_storeys_height_is_told_by_the_number_written() -> None:
    text = "house: {front: {faces: 180, width: 10}, depth: 7, storeys: 2}\n"
    fault = only(text + "cameras: [{id: cam, mount: {wall: front, storey: 2, height: 240}}]\n")
    assert (fault.code, fault.hint) == ("PLAN-36", "is it 240 cm, which is 2.4 m? write the unit with it")


NO_HOUSE = "house: {front: {faces: 1, width: 0}, depth: 3}\n"
BAD_GATE = "areas: [{id: gate, for: detect, wall: front, along: 8 to 7}]\n"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (site(BAD_GATE, "{id: cam, mount: {wall: front}, aim: gate, watches: [gate]}"), "PLAN-22"),
        (site(BAD_GATE + "lamps: [{id: a, wall: front, aim: gate}]"), "PLAN-22"),
        (
            site(
                "objects: [{id: bin, kind: bin, wall: front, tall: 0}]",
                "{id: cam, mount: {wall: front}, aim: bin, watches: [bin]}",
            ),
            "PLAN-26",
        ),
        (site("cables: [{id: k, camera: cam}]", "{id: cam, mount: {wall: frnt}}"), "PLAN-19"),
        (f"{NO_HOUSE}cameras: [{{id: cam, mount: {{wall: front}}}}]\n", "PLAN-26"),
        (f"{NO_HOUSE}cameras: [{{id: cam, mount: {{wall: front, building: house}}}}]\n", "PLAN-26"),
        (f"{NO_HOUSE}cameras: [{{id: cam, mount: {{wall: front, to: soffit}}}}]\n", "PLAN-26"),
        (f"{NO_HOUSE}cameras: [{{id: c, mount: {{at: [9, 9]}}, aim: {{bearing: 0}}, watches: [front]}}]\n", "PLAN-26"),
    ],
)
def test_what_leans_on_a_thing_with_a_fault_has_none_of_its_own(text: str, code: str) -> None:
    assert only(text).code == code


@pytest.mark.parametrize(
    ("kind", "meant"), [("downpip", "downpipe"), ("Car", "car"), ("wheelie bin", "bin"), ("TREE", "tree")]
)
def test_the_nearest_of_many_words_is_suggested(kind: str, meant: str) -> None:
    assert only(site(f"objects: [{{id: o, kind: {kind}, at: [2, -9]}}]")).hint == f"did you mean `{meant}`?"


def test_where_no_word_is_near_all_are_shown() -> None:
    fault = only(site("objects: [{id: o, kind: lorry, at: [2, -9]}]"))
    assert fault.hint == "known: " + ", ".join(f"`{kind}`" for kind in KINDS)


def test_of_very_many_names_some_are_shown_and_the_rest_counted() -> None:
    areas = ", ".join(f"{{id: a{i}, for: detect, wall: front, along: 2}}" for i in range(70))
    fault = only(site(f"areas: [{areas}]", "{id: cam, mount: {wall: front}, aim: xxxxxxxxx}"))
    assert fault.hint.endswith("`a6`, `a7` and 62 more")
    words = [f"word-{i}" for i in range(100)]
    assert nearest("lorry", words, "look").endswith("`word-7` and 92 more: look")
