"""GLARE-05: the sun in the frame, held against a library's own sun."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from astral import Observer
from astral import sun as astral_sun

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb.study.sun_spells import spells
from oneclimb.trade import sun as trade_sun
from oneclimb_rules.glare.sun_in_frame import FRAME, SUBJECT, SunInFrame

CODE = "GLARE-05"
LATITUDE, LONGITUDE = 51.4, -2.1


def failing() -> str:
    return kit.plans(kit.packs().page(CODE))[0]


def plan(
    aim: str = "{bearing: 270, tilt: 0}", *, site: str = "", more: str = "", view: int = 60, out: int = 25,
    height: float = 1.5,
) -> str:  # fmt: skip
    """A camera on a wide, low west wall, over flat ground."""
    return f"""
site: {{place: [{LATITUDE}, {LONGITUDE}]{site}}}
house: {{front: {{faces: 90, width: 60}}, depth: 7, height: 5}}
areas: [{{id: lane, for: detect, when: day, wall: back, along: 10 to 50, out: {out}, height: {height}}}]
{more}
cameras:
  - {{id: cam, mount: {{wall: back, along: 30, height: 3}}, aim: {aim}, view: {view} deg, night: none, watches: [lane]}}
"""


def hours(text: str, key: str = FRAME) -> float:
    return next(r.figure.value for r, _ in kit.readings(text, CODE) if r.key == key)


def test_the_page_holds() -> None:
    kit.hold_page(SunInFrame)


def test_the_pages_worked_example_is_what_the_figures_give() -> None:
    page = " ".join(page_path(SunInFrame).read_text(encoding="utf-8").split())
    down = math.degrees(math.atan((3.0 - 1.5) / 20))
    assert f"atan(1.5 / 20) = {down:.1f}° down" in page
    assert f"below 10 − {down:.1f} = {10 - down:.1f}°" in page


def test_hours_in_the_frame_are_those_of_a_librarys_sun() -> None:
    """Every tenth day of the year at every tenth minute by astral 3.2, for a 60° lens looking due west."""
    observer, inside = Observer(LATITUDE, LONGITUDE, 0.0), 0
    half = math.degrees(math.atan(math.tan(math.radians(30)) * 9 / 16))
    for day in range(0, 365, 10):
        start = dt.datetime(2026, 1, 1, tzinfo=dt.UTC) + dt.timedelta(days=day)
        for minute in range(12 * 60, 22 * 60, 10):
            moment = start + dt.timedelta(minutes=minute)
            up = astral_sun.elevation(observer, moment)
            off = astral_sun.azimuth(observer, moment) - 270.0
            if up <= 0.0 or abs(off) >= 30.0:
                continue
            inside += math.degrees(math.atan(math.tan(math.radians(up)) / math.cos(math.radians(off)))) < half
    assert hours(plan()) == pytest.approx(inside / 6 * 365 / 37, rel=0.03)


def test_north_may_lie_anywhere_on_the_drawing() -> None:
    aim = "{bearing: 250, tilt: 0}"
    assert hours(plan(aim, site=", plus-y: 40")) == pytest.approx(hours(plan(aim)), rel=0.02)


def test_the_words_say_when_by_the_clock() -> None:
    """On 21 December astral has the sun set at 16:02 UTC over flat ground there, at 21 June 20:31."""
    (finding,) = (f for f in kit.look(failing()).findings if f.code == CODE)
    assert "hours of the year under a clear sky" in finding.text
    assert "(clock without summer time)" in finding.text
    reading = next(r for r, _ in kit.readings(plan(view=100), CODE) if r.key == FRAME)
    spells = reading.facts["sun"].spells
    latest = max(spell.end for spell in spells)
    last = astral_sun.sunset(Observer(LATITUDE, LONGITUDE, 0.0), date=dt.date(2026, 6, 21)).time()
    assert abs((latest.hour - last.hour) * 60 + latest.minute - last.minute) <= 15


DRAWN = ", hills: [{bearings: 10 to 20, up: 1 deg}]"


def test_the_nearer_the_horizon_what_is_wanted_the_more_hours() -> None:
    def at(height: float) -> str:
        return plan(site=DRAWN, out=12, height=height, view=80)

    swept = kit.sweep(CODE, at, [0.1, 0.8, 1.2, 1.8, 2.4, 3.0, 3.6], key=SUBJECT)
    levels = [level for _, level in swept]
    assert levels[0] is None
    assert "note" in levels
    assert levels[-1] == "warning"


def test_hours_anywhere_are_a_note_only_where_none_near_the_subject_are_told() -> None:
    def levels(text: str) -> dict[str, str | None]:
        drawn = text.replace(f"{LONGITUDE}]", f"{LONGITUDE}], hills: [{{bearings: 10 to 20, up: 1 deg}}]")
        return {r.key: level for r, level in kit.readings(drawn, CODE)}

    assert levels(plan(view=85)) == {SUBJECT: "warning", FRAME: None}
    assert levels(plan(out=4)) == {SUBJECT: None, FRAME: "note"}
    held = plan(out=4) + "settings: {GLARE-05: {frame: 2000}}\n"
    assert levels(held) == {SUBJECT: None, FRAME: None}


def test_hills_and_buildings_take_hours_away_and_are_named() -> None:
    hill = plan(site=", hills: [{bearings: 200 to 340, up: 9 deg}]")
    barn = plan(more="objects: [{id: barn, kind: box, wall: back, along: 30, out: 60, wide: 100, deep: 4, tall: 20}]")
    for text in (hill, barn):
        assert hours(text) < 0.7 * hours(plan())
    (reading,) = (r for r, _ in kit.readings(hill, CODE) if r.key == FRAME)
    assert {ref.field for ref in reading.facts["sun"].hidden} == {"hills"}
    assert hours(plan(site=", hills: [{bearings: 340 to 200, up: 9 deg}]")) == hours(plan())


def test_what_is_there_only_sometimes_hides_no_sun() -> None:
    van = "objects: [{id: van, kind: van, wall: back, along: 30, out: 60, wide: 200, tall: 40}]"
    assert hours(plan(more=van)) == pytest.approx(hours(plan()), rel=0.001)
    assert hours(plan(more=van.replace("tall: 40", "tall: 40, there: always"))) < 0.2 * hours(plan())


def test_the_ends_of_the_doubt_hold_the_figure_and_stated_hills_take_the_skyline_out() -> None:
    def ends(text: str) -> tuple[float, float, float]:
        (reading,) = (r.settled() for r, _ in kit.readings(text, CODE) if r.key == FRAME)
        return reading.figure.low, reading.figure.value, reading.figure.high

    low, value, high = ends(plan())
    assert low < value <= high
    drawn = ends(plan(site=", hills: [{bearings: 10 to 20, up: 3 deg}]"))
    assert drawn[1] == value
    assert low < drawn[0] <= value


def test_the_opposite_camera_south_of_the_equator_has_the_same_hours_half_a_year_off() -> None:
    north = kit.readings(plan("{bearing: 180, tilt: 0}"), CODE)
    south = kit.readings(plan("{bearing: 0, tilt: 0}").replace(f"[{LATITUDE}", f"[-{LATITUDE}"), CODE)
    months = [next(r.facts["sun"].months for r, _ in one if r.key == FRAME) for one in (north, south)]
    assert sum(months[1]) == pytest.approx(sum(months[0]), rel=0.1)
    assert months[0][11] > months[0][5]
    assert months[1][5] > months[1][11]


def test_remedies_hold_as_printed_and_keep_the_lane() -> None:
    text = plan("{bearing: 270, tilt: 8}", site=DRAWN, out=12)
    assert kit.hold_remedies(text, CODE) >= 1
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert "further down" in finding.remedies[0].text


def test_a_visor_is_advised_where_it_would_hide_no_wanted_ground() -> None:
    def last(text: str) -> str:
        (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
        assert not finding.remedies[-1].edits
        return finding.remedies[-1].text

    assert last(failing()).startswith("a visor or hood over the lens that covers the top 29 % of the frame")
    assert last(plan(site=DRAWN, height=4)).startswith("cover the same ground from the other side")


def test_without_a_place_it_asks_and_an_indoor_camera_has_no_sun() -> None:
    silent = plan().replace(f"site: {{place: [{LATITUDE}, {LONGITUDE}]}}", "site: {name: Weir End}")
    assert {c.ref.path for c in kit.look(silent).cannot_tell if c.code == CODE} == {"site/site/place"}
    assert kit.readings(plan().replace("night: none", "night: none, sits: indoors"), CODE) == []


def test_the_clock_the_plan_gives_is_the_clock_it_speaks_by() -> None:
    def start(text: str) -> dt.time:
        (reading,) = (r for r, _ in kit.readings(text, CODE) if r.key == FRAME)
        first: dt.time = reading.facts["sun"].spells[0].start
        return first

    assert trade_sun.clock(LONGITUDE) == 0
    assert start(plan(site=", clock: 1")).hour == start(plan()).hour + 1


def at(day: int, clock: str) -> dt.datetime:
    return dt.datetime.fromisoformat(f"2026-01-01T{clock}") + dt.timedelta(days=day)


def words(*moments: dt.datetime) -> list[str]:
    return [spell.words for spell in spells(sorted(moments), 4, 10)]


def test_a_spell_over_noon_is_one_and_morning_and_evening_are_two() -> None:
    noon = [at(day, clock) for day in range(0, 40, 4) for clock in ("11:20", "11:50", "12:40", "13:10")]
    gap = [at(day, clock) for day in range(0, 40, 4) for clock in ("11:20", "13:10")]
    assert words(*noon, *gap) == ["early January to early February, 11:20 to 13:20"]
    assert words(*gap) == [
        "early January to early February, 11:20 to 11:30",
        "early January to early February, 13:10 to 13:20",
    ]


def test_a_spell_lasts_a_step_and_a_short_pause_does_not_end_it() -> None:
    assert words(at(44, "06:00")) == ["mid February, 06:00 to 06:10"]
    assert words(at(0, "06:00"), at(14, "06:00")) == ["early January to mid January, 06:00 to 06:10"]
    assert len(words(at(0, "06:00"), at(18, "06:00"))) == 2
    assert words() == []


def test_hours_are_told_whole() -> None:
    for reading, _ in kit.readings(plan(site=DRAWN, out=12, view=80), CODE):
        figure = reading.settled().figure
        assert all(hours == round(hours) for hours in (figure.low, figure.value, figure.high))
