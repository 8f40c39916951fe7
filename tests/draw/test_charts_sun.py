"""The sun's picture: its paths against astral through a lens of our own making, its hours against pvlib's year."""

from __future__ import annotations

import datetime as dt
import math
from functools import cache
from typing import TYPE_CHECKING

import astral
import astral.sun
import numpy as np
import pandas as pd
import pvlib
import pytest
import shapely

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, ink, pictures
from oneclimb.draw.sun_paths import hours as at_hours
from oneclimb.draw.sun_paths import path, tracks
from oneclimb.draw.sun_year import cells, classes, daylight, hours
from oneclimb.report import facts
from oneclimb.review import world_of
from oneclimb.study import SUN
from oneclimb.study.sun import MINUTES
from oneclimb.trade import sun

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from oneclimb.study.sun import Sun

    Array = NDArray[np.float64]

PLACE = 51.5, -0.1
BEARING, TILT, ACROSS = 225.0, 5.0, 90.0
YEAR = kit.DAY.year
PLAN = """
site: {name: Mere, place: [51.5, -0.1], plus-y: 30, stage: design}
areas:
  - {id: gate, for: detect, points: [[-4, -6], [-1, -6], [-1, -9], [-4, -9]]}
cameras:
  - {id: eye, shape: box, pixels: 1920 x 1080, view: 90 deg, night: none,
     mount: {at: [0, -0.3], height: 2.6, to: pole}, aim: {bearing: 225, tilt: 5}}
WALL"""
WALL = """buildings:
  - id: hall
    outline: [[-20, -16], [12, -16], [12, -12], [-20, -12]]
    names: [far, east, near, west]
    height: 5.6
    surface: red brick
"""


@cache
def sitting(text: str = PLAN.replace("WALL", "")) -> Sitting:
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def found(one: Sitting) -> Sun:
    return one.world.of(SUN, one.world.get(Ref("camera", "eye")))


def picture(one: Sitting) -> Picture:
    (made,) = pictures(one, ["sun"])
    return made


def seen(azimuth: Array, elevation: Array, down: float) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Frame places of directions (degrees) through a lens without distortion, from angles alone: spherical
    trigonometry, no vectors.
    """
    a, e, t = np.radians(azimuth - BEARING), np.radians(elevation), math.radians(TILT)
    ahead = np.cos(e) * np.cos(a) * math.cos(t) - np.sin(e) * math.sin(t)
    up = np.cos(e) * np.cos(a) * math.sin(t) + np.sin(e) * math.cos(t)
    aside = np.cos(e) * np.sin(a)
    x = 0.5 + aside / ahead / (2 * math.tan(math.radians(ACROSS / 2)))
    y = 0.5 - up / ahead / (2 * math.tan(math.radians(down / 2)))
    return x, y, (ahead > 0) & (x >= 0) & (x <= 1) & (y >= 0) & (y <= 1)


def test_a_path_is_astrals_sun_through_the_lens() -> None:
    one = sitting()
    sun_there = found(one)
    down = one.world.get(Ref("camera", "eye")).view.down
    observer = astral.Observer(*PLACE, 0.0)
    compared = 0
    for _, track in tracks(sun_there, one.world.plan.site, YEAR):
        for i in np.flatnonzero(track.inside)[::3]:
            when = dt.datetime.fromtimestamp((track.days[i] - 2440587.5) * 86400, dt.UTC)
            azimuth = astral.sun.azimuth(observer, when)
            elevation = astral.sun.elevation(observer, when, with_refraction=True)
            x, y, _ = seen(np.array([azimuth]), np.array([elevation]), down)
            assert track.places[i] == pytest.approx((x[0], y[0]), abs=0.004)
            compared += 1
    assert compared > 60


def test_paths_are_named_after_their_months_and_lie_in_the_order_of_the_sun() -> None:
    named = dict(tracks(found(sitting()), sitting().world.plan.site, YEAR))
    assert list(named)[:3] == ["Dec", "Jan/Nov", "Feb/Oct"]
    heights = [float(np.nanmin(one.places[one.inside, 1])) for one in list(named.values())[:2]]
    assert heights[0] > heights[1]


def test_a_full_hour_is_where_the_path_of_the_day_is_at_that_hour() -> None:
    one = sitting()
    loops = dict(at_hours(found(one), one.world.plan.site, YEAR))
    assert 14 in loops
    noon = np.array([sun.julian(dt.datetime(YEAR, 12, 22, 14, tzinfo=dt.UTC))])
    near = np.abs(loops[14].days - noon[0])
    assert near.min() <= 2.5
    there = path(noon, found(one), one.world.plan.site).places[0]
    assert loops[14].places[int(np.argmin(near))] == pytest.approx(there, abs=0.01)


def test_the_hours_filled_are_the_studys() -> None:
    for one in (sitting(), sitting(PLAN.replace("WALL", WALL))):
        there = found(one)
        parts = classes(there)
        assert hours(there, parts["near"]) == there.near.value
        assert hours(there, parts["near"] | parts["frame"]) == there.in_frame.value
        assert hours(there, parts["hidden"]) == pytest.approx(sum(there.hidden.values()))
        assert not (parts["near"] & parts["frame"]).any()
        for name, which in parts.items():
            drawn = cells(there, which).area / 60
            assert drawn == pytest.approx(hours(there, which), rel=0.03), name


def test_the_hours_in_the_frame_are_pvlibs_year_counted_minute_by_minute() -> None:
    """Every five minutes of every day: NREL's SPA as pvlib has it, and the lens above."""
    one = sitting()
    times = pd.date_range(f"{YEAR}-01-01", f"{YEAR + 1}-01-01", freq="5min", tz="UTC", inclusive="left")
    there = pvlib.solarposition.get_solarposition(times, *PLACE)
    up = there["apparent_elevation"].to_numpy(), there["azimuth"].to_numpy()
    *_, inside = seen(up[1], up[0], one.world.get(Ref("camera", "eye")).view.down)
    counted = float((inside & (up[0] > 0.0)).sum()) * 5 / 60
    ours = found(one)
    whole = hours(ours, ours.look.inside)
    assert counted > 700
    assert whole == pytest.approx(counted, rel=0.01)


def test_what_a_wall_hides_is_what_lies_under_its_edge() -> None:
    """A wall with a level top: the sun is hidden under the plane through the lens and that edge, between its ends."""
    one = sitting(PLAN.replace("WALL", WALL))
    there = found(one)
    eye = np.array(there.cover.sight.eye.origin)
    right, left, middle = (np.array([x, -12.0, 5.6]) - eye for x in (12.0, -20.0, -4.0))
    up, checked = np.array([0.0, 0.0, 1.0]), 0
    over_edge, from_right, from_left = np.cross(left, right), np.cross(up, right), np.cross(left, up)
    for _, track in tracks(there, one.world.plan.site, YEAR):
        azimuth, elevation = sun.position(track.days, *PLACE)
        rays = sun.directions(azimuth - 30.0, sun.refracted(elevation))
        between = [
            rays @ side * np.sign(middle @ side) / np.linalg.norm(side) > 0.02 for side in (from_right, from_left)
        ]
        over = rays @ over_edge * np.sign(over_edge[2]) / np.linalg.norm(over_edge)
        sure = track.inside & between[0] & between[1] & (np.abs(over) > 0.005)
        assert (track.free[sure] == (over[sure] > 0)).all()
        checked += int((sure & ~track.free).sum())
    assert checked > 20


def test_sunrise_and_sunset_are_astrals_by_the_sites_clock() -> None:
    days, rises, sets = daylight(sitting().world.plan.site, 0.0, YEAR)
    for day, rise, sink in list(zip(days, rises, sets, strict=True))[:-1:6]:
        date = dt.date(YEAR, 1, 1) + dt.timedelta(days=int(day))
        theirs = astral.sun.sun(astral.Observer(*PLACE, 0.0), date)
        for ours, at in ((rise, theirs["sunrise"]), (sink, theirs["sunset"])):
            assert ours == pytest.approx(at.hour * 60 + at.minute + at.second / 60, abs=2.0)


def test_where_it_never_rises_or_sets_the_lines_say_so() -> None:
    polar = sitting(PLAN.replace("WALL", "").replace("[51.5, -0.1]", "[78.2, 15.6]"))
    days, rises, sets = daylight(polar.world.plan.site, 1.0, YEAR)
    midsummer, midwinter = int(np.argmin(abs(days - 172))), 0
    assert (rises[midsummer], sets[midsummer]) == (0.0, 1440.0)
    assert rises[midwinter] == sets[midwinter] == 720.0
    assert ink.svg(picture(polar)).startswith("<?xml")


def test_picture_and_finding_tell_the_same_hours() -> None:
    one = sitting()
    (finding,) = [each.finding for each in facts.alike(one.review) if each.finding.code == "GLARE-05"]
    there, made = found(one), picture(one)
    assert finding.figure is not None
    assert f"up to {there.in_frame.value:.0f} hours of the year" in made.title
    assert f"up to {there.in_frame.value:.0f} hours of the year" in finding.text
    for spell in there.spells:
        assert spell.words in made.words
    assert made.about == Ref("camera", "eye")
    figure = ink.drawn(made)
    legend = figure.axes[1].get_legend()
    assert legend is not None
    said = [text.get_text() for text in legend.get_texts()]
    assert f"in the frame: {there.in_frame.value:.0f} h" in said
    assert f"near what is wanted: {there.near.value:.0f} h" in said


def test_the_drawn_cells_are_the_studys_by_the_sites_clock() -> None:
    there = found(sitting())
    which = classes(there)["frame"]
    ground = cells(there, which)
    moments = sun.local(there.suns.days[there.look.which[which]], there.suns.zone)
    for moment in moments[::37]:
        day, minute = moment.timetuple().tm_yday - 1, moment.hour * 60 + moment.minute
        assert ground.contains(shapely.Point(day + 0.5, minute + MINUTES / 2))


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (("place: [51.5, -0.1], ", ""), "the plan does not say where the site is"),
        (("aim: {bearing: 225, tilt: 5}", "aim: {bearing: 0, tilt: 60}"), "the sun never stands where it looks"),
    ],
)
def test_there_is_no_picture_where_there_is_nothing_to_draw(change: tuple[str, str], why: str) -> None:
    assert list(pictures(sitting(PLAN.replace("WALL", "").replace(*change)), ["sun"])) == [], why
