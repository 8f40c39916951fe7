"""CABLE-02: the sun on a jacket."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from oneclimb import kit
from oneclimb.api import Reading
from oneclimb.register import page_path
from oneclimb_rules.cable.sunlit_jacket import SunlitJacket

CODE = "CABLE-02"
LEVEL = "{wall: front, along: 4, height: 2.8COVER}, {wall: front, along: 9, height: 2.8}"


def plan(
    *, faces: float = 200, suits: str = "suits: [wet],", route: str = LEVEL, cover: str = "", more: str = "",
    site: str = "place: [54.62, -3.55]", eave: str = "",
) -> str:  # fmt: skip
    """A cable along a wall."""
    return f"""
site: {{{site}}}
house: {{front: {{faces: {faces}, width: 12}}, depth: 7, height: 5{eave}}}
{more}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none}}
cables:
  - {{id: c, {suits} route: [{route.replace("COVER", cover)}]}}
"""


def one(text: str) -> tuple[Reading, str | None]:
    """The one reading."""
    ((reading, level),) = kit.readings(text, CODE)
    return reading.settled(), level


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(SunlitJacket)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(SunlitJacket).read_text("utf-8").split())
    south, level = one(plan(faces=200))
    assert f"about {round(south.figure.value, -2):,.0f} hours, a warning" in page
    assert level == "warning"
    north, level = one(plan(faces=20))
    assert f"about {round(north.figure.value, -1):.0f} hours, a note" in page
    assert level == "note"


@pytest.mark.parametrize("faces", [20, 90, 180, 200, 300])
def test_hours_on_an_open_wall_are_those_of_pvlib(faces: int) -> None:
    """By pvlib's solar position (NREL SPA) every ten minutes of the year: the sun 10° up and before the wall."""
    times = pd.date_range("2026-01-01", "2026-12-31 23:50", freq="10min", tz="UTC")
    sun = pvlib.solarposition.get_solarposition(times, 54.62, -3.55)
    before = np.cos(np.radians(sun["azimuth"] - faces)) > 0
    hours = float((before & (sun["apparent_elevation"] >= 10)).sum()) / 6
    assert one(plan(faces=faces))[0].figure.value == pytest.approx(hours, rel=0.03, abs=10)


def test_a_wall_turned_to_the_sun_is_never_better() -> None:
    swept = kit.sweep(CODE, lambda faces: plan(faces=faces), [0, 20, 45, 90, 135, 180])
    assert [at for _, at in swept] == ["note", "note", "warning", "warning", "warning", "warning"]


def test_an_eave_shades_what_is_close_under_it() -> None:
    under = LEVEL.replace("2.8", "4.9")
    eave = ", eave: {height: 5, depth: 0.8}"
    bare, shaded = one(plan(route=under))[0], one(plan(route=under, eave=eave))[0]
    assert shaded.figure.value < 0.2 * bare.figure.value


def test_hills_hide_the_sun() -> None:
    site = "place: [54.62, -3.55], hills: [{bearings: 90 to 270, up: 40 deg}]"
    assert one(plan(site=site))[0].figure.value < 0.6 * one(plan())[0].figure.value


def test_trees_and_what_is_there_sometimes_give_no_shade() -> None:
    tree = "objects: [{id: oak, kind: tree, wall: front, along: 6, out: 3}, {id: van, kind: van, wall: front, out: 2}]"
    assert one(plan(more=tree))[0].figure.value == one(plan())[0].figure.value


def test_a_compass_ten_degrees_out_is_the_figures_doubt() -> None:
    reading, _ = one(plan(faces=60))
    assert reading.figure.low < reading.figure.value < reading.figure.high
    assert one(plan(faces=70))[0].figure.value == pytest.approx(reading.figure.high, rel=0.01)


def test_a_short_stretch_is_no_more_than_a_note() -> None:
    short = "{wall: front, along: 4, height: 2.8}, {wall: front, along: 4.25, height: 2.8}"
    assert one(plan(route=short))[1] == "note"
    assert one(plan(route=short.replace("4.25", "4.4")))[1] == "warning"


@pytest.mark.parametrize("cover", ["conduit", "wall", "buried", "indoors"])
def test_what_is_covered_gets_no_sun(cover: str) -> None:
    assert one(plan(cover=f", cover: {cover}"))[0].figure.value == 0
    assert asked(plan(suits="", cover=f", cover: {cover}")) == set()


def test_a_cable_inside_the_house_gets_no_sun() -> None:
    inside = "{wall: front, along: 4, out: -1, height: 2}, {wall: front, along: 9, out: -1, height: 2}"
    assert one(plan(route=inside))[0].figure.value == 0


def test_a_jacket_for_the_sun_is_silent_and_needs_no_place() -> None:
    assert one(plan(suits="suits: [sun],", site="name: Yard"))[0].figure.value == 0
    assert asked(plan(suits="suits: [sun],", site="name: Yard")) == set()


def test_jacket_and_place_are_asked_for_only_where_they_matter() -> None:
    assert asked(plan(suits="")) == {"cable/c/suits"}
    assert asked(plan(site="name: Yard")) == {"site/site/place"}
    assert asked(plan(route="").replace("route: []", "length: 9")) == set()


def test_another_jacket_or_conduit_clears_it() -> None:
    assert kit.hold_remedies(plan(), CODE) == 2
    bent = LEVEL.replace("COVER", "") + ", {wall: front, along: 9, height: 4}"
    assert kit.hold_remedies(plan(route=bent), CODE) == 2


def test_what_hangs_is_replaced_by_advice_alone() -> None:
    text = plan(site="place: [54.62, -3.55], stage: as-built")
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert not finding.remedies[0].edits
    assert finding.remedies[0].text.startswith("replace it")
