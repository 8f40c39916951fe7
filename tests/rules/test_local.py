"""LOCAL-01 and LOCAL-02: planning classes, each idle unless the site names its country."""

from __future__ import annotations

import subprocess
import sys
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest

import oneclimb_local
from oneclimb import kit
from oneclimb.packs import load_packs
from oneclimb.register import page_path
from oneclimb_local.england_class_f import EnglandClassF
from oneclimb_local.scotland_class_72 import ScotlandClass72

ENGLAND, SCOTLAND = "LOCAL-01", "LOCAL-02"


def plan(*cameras: str, country: str = "England", site: str = ", protected: false", more: str = "") -> str:
    """A house 30 by 20 m in the middle of wide grounds, with these cameras."""
    listed = "\n".join(f"  - {{id: cam{i}, night: none, view: 60 deg, {one}}}" for i, one in enumerate(cameras))
    return f"""
site: {{country: "{country}"{site}}}
house: {{front: {{faces: 180, width: 60}}, depth: 20, height: 6}}
boundary: {{front: 200, right: 200, back: 200, left: 200}}
beyond: {{front: public way, others: neighbour}}
{more}
cameras:
{listed}
"""


def wall(along: float = 30, height: float = 2.8, side: str = "front", keys: str = "") -> str:
    return f"mount: {{wall: {side}, along: {along}, height: {height}}}{keys}"


def read(text: str, code: str = ENGLAND) -> dict[str, list[tuple[float, str | None]]]:
    """Figures and levels by condition."""
    found: dict[str, list[tuple[float, str | None]]] = {}
    for reading, level in kit.readings(text, code):
        found.setdefault(reading.key, []).append((reading.figure.value, level))
    return found


def levels(text: str, code: str = ENGLAND) -> dict[str, str]:
    return {f"{f.at.path} {f.key}": f.level for f in kit.look(text).findings if f.code == code}


def asked(text: str, code: str) -> list[str]:
    return [item.ref.path for item in kit.look(text).cannot_tell if item.code == code]


def test_the_pack_comes_in_by_its_own_door_with_all_its_pages() -> None:
    (own,) = (entry for entry in metadata.entry_points(group="oneclimb") if entry.name == "local")
    packs = load_packs([own])
    assert packs.crashes == ()
    pages = set(Path(oneclimb_local.__file__).parent.glob("*.md"))
    assert {page_path(type(rule)) for rule in packs.rules.values()} == pages
    assert all(rule.info.instrument and rule.info.countries for rule in packs.rules.values())


@pytest.mark.parametrize("rule", [EnglandClassF, ScotlandClass72])
def test_the_pages_hold(rule: type[Any]) -> None:
    kit.hold_page(rule)
    page = page_path(rule).read_text("utf-8")
    assert "As of 2026-11-25".lower() in page.lower()
    assert "A clean report is not permission" in page
    assert "3 m apart. Height is 2.80 m, good; 3.00 m lie\nbetween them where 10 m are asked for: a warning" in page
    assert rule.info.instrument.split(" (")[0] in page


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    got = read(plan(wall(4), wall(7)))
    ((apart, level),) = got["apart"]
    assert apart == pytest.approx(3.0)
    assert level == "warning"
    assert got["height"] == [(2.8, None)] * 2


@pytest.mark.parametrize(
    ("country", "code"),
    [
        ("England", ENGLAND), ("england", ENGLAND), ("England, UK", ENGLAND), ("GB-ENG", ENGLAND),
        ("Scotland", SCOTLAND), ("SCOTLAND", SCOTLAND), ("Scotland (UK)", SCOTLAND), ("gb-sct", SCOTLAND),
    ],
)  # fmt: skip
def test_each_speaks_of_its_own_country_however_it_is_spelt(country: str, code: str) -> None:
    text = plan(wall(4), wall(7), country=country)
    assert {f.code for f in kit.look(text).findings if f.code.startswith("LOCAL")} == {code}


@pytest.mark.parametrize("country", ["Wales", "Northern Ireland", "New England", "Nova Scotia", "France"])
def test_elsewhere_both_are_idle(country: str) -> None:
    for code in (ENGLAND, SCOTLAND):
        assert read(plan(wall(4), wall(7), country=country), code) == {}
        assert asked(plan(wall(4), country=country, site=""), code) == []


@pytest.mark.parametrize("country", ["UK", "United Kingdom", "Great Britain"])
def test_a_name_of_several_countries_is_asked_about(country: str) -> None:
    for code in (ENGLAND, SCOTLAND):
        assert asked(plan(wall(4), country=country), code) == ["site/site/country"]


def test_without_a_country_no_rule_of_the_pack_is_imported(tmp_path: Path) -> None:
    path = tmp_path / "one.plan.yaml"
    code = (
        "import sys; from oneclimb.cli import main; main(['check', sys.argv[1]]); "
        "print(sorted(m for m in sys.modules if m.startswith('oneclimb_local.')))"
    )
    for text, named in ((plan(wall()).replace('country: "England", ', ""), False), (plan(wall()), True)):
        path.write_text(text, "utf-8")
        done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
        assert ("oneclimb_local.england_class_f" in done.stdout.splitlines()[-1]) == named


# The figures below are the Order's: 2.5 m, 1 m, 10 m, 4 a side, 16 a building, 0.75 x 0.25 x 0.25 m.


def test_lower_than_two_and_a_half_metres_is_beyond_the_class() -> None:
    size = ", size: {wide: 100 mm, high: 100 mm, deep: 100 mm}"
    swept = [read(plan(wall(height=z, keys=size)))["height"][0] for z in (2.0, 2.5, 2.54, 2.55, 3.0)]
    assert [level for _, level in swept] == ["warning", "warning", "warning", None, None]
    assert swept[3][0] == pytest.approx(2.5)


def test_a_housing_of_unknown_size_hangs_lower_only_in_doubt() -> None:
    ((reading, level),) = [(r, at) for r, at in kit.readings(plan(wall(height=2.45)), ENGLAND) if r.key == "height"]
    assert [reading.figure.low, reading.figure.value] == pytest.approx([2.35, 2.45])
    assert level == "warning"
    assert read(plan(wall(height=2.5)))["height"] == [(2.5, None)]


def test_a_doorbell_is_a_note() -> None:
    assert levels(plan(wall(height=1.2, keys=", shape: doorbell"))) == {"camera/cam0/mount height": "note"}


def test_standing_out_more_than_a_metre_is_beyond_the_class() -> None:
    arm = [read(plan(f"mount: {{wall: front, along: 30, height: 3, arm: {m}}}"))["out"][0][1] for m in (0.5, 0.9, 0.95)]
    assert arm == [None, None, "warning"]


def test_nearer_than_ten_metres_is_beyond_the_class() -> None:
    assert [read(plan(wall(10), wall(10 + m)))["apart"][0][1] for m in (3, 9.9, 10, 20)] == [
        "warning",
        "warning",
        None,
        None,
    ]
    ((told,),) = [[f for f in kit.look(plan(wall(10), wall(13))).findings if f.code == ENGLAND]]
    assert "cam0 and cam1 are 3.00 m apart: at least 10 m is asked for (England, Class F)" in told.text


def test_four_a_side_and_sixteen_a_building() -> None:
    five = [wall(along) for along in (2, 14, 26, 38, 50)]
    assert read(plan(*five[:4]))["side"] == [(4.0, None)]
    assert read(plan(*five))["side"] == [(5.0, "warning")]
    many = [wall(1 + 0.5 * i, side=side) for side in ("front", "right", "back", "left") for i in range(5)]
    assert read(plan(*many[:16]))["building"] == [(16.0, None)]
    assert read(plan(*many[:17]))["building"] == [(17.0, "warning")]


@pytest.mark.parametrize(
    ("size", "level"),
    [("75 x 25 x 25", None), ("76 x 25 x 25", "warning"), ("25 x 75 x 25", None), ("26 x 75 x 25", "warning")],
)
def test_a_larger_housing_is_beyond_the_class_whichever_way_it_lies(size: str, level: str | None) -> None:
    wide, high, deep = size.split(" x ")
    keys = f", size: {{wide: {wide} cm, high: {high} cm, deep: {deep} cm}}"
    assert read(plan(wall(height=4, keys=keys)))["size"][0][1] == level


def test_a_listed_building_is_a_note_and_is_asked_about() -> None:
    assert levels(plan(wall(), site=", protected: true")) == {"site/site/protected protected": "note"}
    assert asked(plan(wall(), site=""), ENGLAND) == ["site/site/protected"]


def test_a_camera_on_a_pole_or_indoors_is_not_on_a_building() -> None:
    pole = "mount: {at: [10, -20], height: 2, to: pole}, aim: {bearing: 0, tilt: 10}"
    assert set(read(plan(pole))) == {"protected"}
    assert set(read(plan(wall(keys=", sits: indoors")))) == {"protected"}
    assert set(read(plan(wall(keys=", sits: indoors"), country="Scotland"), SCOTLAND)) == {"protected", "view"}
    assert read(plan(wall(keys=", sits: indoors"), country="Scotland"), SCOTLAND)["view"] == [(0.0, None)]


def test_fixing_it_higher_is_tried() -> None:
    text = plan(wall(height=2.2))
    (finding,) = (f for f in kit.look(text).findings if f.code == ENGLAND)
    assert finding.remedies[0].edits[0].at.path == "camera/cam0/mount/height"
    assert finding.remedies[0].ladder
    assert kit.hold_remedies(text, ENGLAND) == 1
    assert "planning authority" in finding.remedies[-1].text


@pytest.mark.parametrize(("size", "up"), [("", "2.60 m"), (", size: {wide: 9 cm, high: 9 cm, deep: 9 cm}", "2.55 m")])
def test_it_is_fixed_so_high_that_the_low_end_clears_too(size: str, up: str) -> None:
    """2.5 m and the 0.1 m that a housing of unknown size may hang lower; 2.5 and half of 0.09 to the next 5 cm."""
    (finding,) = (f for f in kit.look(plan(wall(height=2.2, keys=size))).findings if f.code == ENGLAND)
    assert finding.remedies[0].text == f"fix cam0 {up} above the ground"
    after = finding.remedies[0].after
    assert after
    assert after.low >= 2.5


def test_in_feet_the_next_inch_clears_too() -> None:
    """2.6 m is 8 ft 6.36 in: at 8 ft 6 in the lowest part could still hang too low."""
    text = "units: feet\n" + plan(wall(height=7), site=", protected: false")
    (finding,) = (f for f in kit.look(text).findings if f.code == ENGLAND and f.key == "height")
    assert finding.remedies[0].text == "fix cam0 8 ft 7 in above the ground"


def test_scotland_asks_that_the_view_stays_on_the_land() -> None:
    near = plan(wall(), country="Scotland").replace("front: 200", "front: 6")
    assert levels(near, SCOTLAND) == {"site/site/country view": "note"}
    assert levels(plan(wall(), country="Scotland"), SCOTLAND) == {}
    mask = ", masks: [{id: m, outline: [[0, 0], [1, 0], [1, 1], [0, 1]], set: in-camera}]"
    assert levels(near.replace("height: 2.8}", f"height: 2.8}}{mask}"), SCOTLAND) == {}
    assert "view" not in read(near.replace("Scotland", "England"))


def test_all_views_beyond_the_boundary_are_one_note_that_says_to_turn_them_first() -> None:
    """Three cameras at the front see the street, one at the back sees nobody's ground."""
    cameras = (wall(10), wall(25), wall(40), wall(30, side="back"))
    near = plan(*cameras, country="Scotland").replace("front: 200", "front: 6")
    assert read(near, SCOTLAND)["view"] == [(3.0, "note")]
    (told,) = (f for f in kit.look(near).findings if f.code == SCOTLAND and f.key == "view")
    assert {one.at.id for one in told.related} == {"cam0", "cam1", "cam2"}
    assert all(f"{one.at.id} ({one.text.removeprefix('up to ')})" in told.text for one in told.related)
    assert ["mask" in remedy.text for remedy in told.remedies] == [True, False]
    assert "planning authority" in told.remedies[-1].text


def test_scotland_asks_what_lies_beyond_where_the_plan_is_silent() -> None:
    text = plan(wall(), country="Scotland").replace("beyond: {front: public way, others: neighbour}", "")
    assert asked(text, SCOTLAND) == ["site/site/beyond"]
