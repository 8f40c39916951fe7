"""Volts and watts as drawn: the standard's worked cases, Kirchhoff step by step, the rules' own figures."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, ink, pictures
from oneclimb.draw.budget import of_supply, of_switch
from oneclimb.draw.volts import crossing, line
from oneclimb.plan.units import FOOT
from oneclimb.report import gear
from oneclimb.review import check, world_of
from oneclimb.study import DROP, LOAD
from oneclimb.study.drop import Drop, End
from oneclimb.trade import copper
from oneclimb.web.tables import tables

FARM = Path(__file__).parents[2] / "examples/hill-farm/as-drawn.plan.yaml"
FEET = """
units: feet
site: {name: Barn, stage: design}
switches: [{id: sw, gives: 802.3af, budget: 30 W, volts: 48 V}]
supplies: [{id: box, volts: 12 V, current: DC, watts: 20 W, sits: indoors}]
cameras:
  - {id: near, shape: turret, pixels: 2560 x 1440, view: 84 deg, night: none, power: {watts: 9 W, poe: 3},
     mount: {at: [0, 0], height: 9, to: pole}, aim: {bearing: 0, tilt: 10},
     cable: {to: sw, length: 328, conductor: copper}}
  - {id: mute, shape: turret, pixels: 2560 x 1440, view: 84 deg, night: none, power: {source: poe},
     mount: {at: [3, 0], height: 9, to: pole}, aim: {bearing: 0, tilt: 10}, cable: {to: sw, length: 30}}
  - {id: far, shape: turret, pixels: 2560 x 1440, view: 84 deg, night: none,
     power: {source: low-voltage, watts: 6 W, volts: 12 V, current: DC, tolerance: 10 %, supply: box},
     mount: {at: [6, 0], height: 9, to: pole}, aim: {bearing: 0, tilt: 10},
     cable: {to: box, carries: power, length: 100, gauge: 18 AWG, conductor: copper}}
"""


@cache
def farm() -> Sitting:
    review = check(str(FARM), kit.packs(), kit.schemas(), today=kit.DAY)
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


@cache
def feet() -> Sitting:
    review = kit.look(FEET)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def drawn(one: Sitting, name: str) -> tuple[Picture, Figure]:
    kind = name.partition("-")[0]
    (picture,) = (each for each in pictures(one, [kind]) if each.name == name)
    return picture, ink.drawn(picture)


def drop(one: Sitting, camera: str) -> Drop:
    found = one.world.of(DROP, one.world.get(Ref("camera", camera)))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("volts", "ohm", "watts", "arrives"),
    [(44.0, 20.0, 12.95, 37.0), (50.0, 12.5, 25.5, 42.5), (52.0, 6.25, 71.3, 41.1)],
)
def test_the_line_ends_at_the_standards_worst_cases(volts: float, ohm: float, watts: float, arrives: float) -> None:
    """IEEE 802.3 types 1, 2 and 4: least volts at the port, the longest loop, all the watts: the device's least volts
    (12.95 W over 20 ohm from 44 V is 37.0 V; the standard's tables, as restated by the Ethernet Alliance, 2018).
    """
    x, y = line(End(volts, watts, ohm, 100.0, 20.0, plugs=0.8))
    assert (x[0], x[-1]) == (0.0, 100.0)
    assert y[0] == volts
    assert y[-1] == pytest.approx(arrives, abs=0.1)
    assert y == sorted(y, reverse=True)


def test_on_the_way_the_volts_are_kirchhoffs_step_by_step() -> None:
    """A loop of 500 pieces with the camera's amps in each: Ohm's law piece by piece."""
    end = drop(farm(), "plate-cam").usual
    amps = end.watts / end.arrives
    piece, now, found = (end.ohm - end.plugs) / 500, end.volts - amps * end.plugs / 2, []
    for _ in range(500):
        found.append(now)
        now -= amps * piece
    x, y = line(end)
    there = np.interp(np.arange(500) / 500 * end.metres, x[1:3], y[1:3])
    assert there == pytest.approx(found, abs=1e-6)
    assert now - amps * end.plugs / 2 == pytest.approx(end.arrives, abs=1e-6)


@pytest.mark.parametrize("camera", ["plate-cam", "pens-cam", "barn-cam", "diesel-cam"])
def test_what_is_drawn_is_the_studys_and_the_tables(camera: str) -> None:
    there = drop(farm(), camera)
    picture, figure = drawn(farm(), f"volts-{camera}")
    axes = figure.axes[0]
    usual, dot, least = axes.lines[:3]
    assert list(np.asarray(usual.get_ydata())) == line(there.usual)[1]
    assert float(np.asarray(dot.get_ydata())[0]) == there.usual.arrives
    assert set(np.asarray(least.get_ydata())) == {there.least}
    row = next(one for one in tables(farm().review, farm().world)["power"].joined.rows if one[0] == camera)
    assert row[-2:] == (gear.volts(there), f"{there.least:.1f} V")
    assert gear.volts(there) in picture.words
    assert f"{there.least:.1f} V" in picture.words
    assert picture.about == Ref("camera", camera, "power")
    band = np.asarray(axes.patches[0].get_path().vertices)
    assert min(band[:, 1]) == min(there.low.arrives, there.high.arrives)
    assert max(band[:, 1]) == max(there.low.volts, there.high.volts)


def test_titles_carry_the_verdict_and_say_where_the_wire_cannot() -> None:
    assert drawn(farm(), "volts-plate-cam")[0].title == "plate-cam gets 45.4 V, needs 37.0"
    barn, figure = drawn(farm(), "volts-barn-cam")
    there = drop(farm(), "barn-cam").usual
    most = there.volts**2 / (4 * there.ohm)
    assert f"passes no more than {most:.1f} W" in barn.title
    assert any(text.get_text().startswith(f"at most {most:.1f} W") for text in figure.axes[0].texts)


def test_where_the_volts_fall_short_is_marked_and_a_wire_so_long_serves() -> None:
    there = drop(farm(), "diesel-cam")
    at = crossing(there)
    assert at is not None
    assert there.usual.at(at) == pytest.approx(there.least)
    said = [text.get_text() for text in drawn(farm(), "volts-diesel-cam")[1].axes[0].texts]
    tape = farm().world.say.tape
    assert f"under it after {tape(at)}" in said
    assert f"such a wire serves as far as {tape(there.reaches)}" in said
    left = copper.deliver(there.usual.volts, there.usual.a_metre * there.reaches, there.usual.watts)
    assert left is not None
    assert left.volts == pytest.approx(there.least)
    assert crossing(drop(farm(), "plate-cam")) is None


@pytest.mark.parametrize("change", [("watts: 6 W", "watts: 0 W"), ("length: 100,", "length: 0,")])
def test_nothing_drawn_or_no_cable_at_all_is_still_a_picture(change: tuple[str, str]) -> None:
    review = kit.look(FEET.replace(*change))
    picture, figure = drawn(Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY)), "volts-far")
    assert picture.title == "far gets 12.0 V, needs 10.8"
    assert figure.axes[0].get_xlim()[1] > 0.0


def test_a_plan_in_feet_is_drawn_in_feet() -> None:
    _, figure = drawn(feet(), "volts-near")
    axes = figure.axes[0]
    assert axes.get_xlim()[1] == pytest.approx(328.0)
    assert axes.get_xlabel().startswith("feet of cable, sw to near")
    assert drop(feet(), "near").usual.metres == pytest.approx(328 * FOOT)


def test_a_switchs_bars_are_the_rules_figure_and_the_standards_classes() -> None:
    """9 W of class 3: at most 15.4 / 12.95 of it at the port; 15.4 W set aside (IEEE 802.3 table 33-7, as restated)."""
    load = farm().world.of(LOAD, farm().world.plan.site)
    bars = of_switch(farm().world.get(Ref("switch", "hall-switch")), load)
    hand = [9 * 15.4 / 12.95] * 3 + [13 * 30.0 / 25.5]
    assert [one.drawn for one in bars.shares] == pytest.approx(hand)
    assert [one.by_class for one in bars.shares] == [15.4, 15.4, 15.4, 30.0]
    (finding,) = (one for one in farm().review.findings if one.code == "POWER-02")
    assert finding.figure is not None
    assert bars.drawn / 36.0 == pytest.approx(finding.figure.value)
    assert bars.by_class == pytest.approx(36.0 * finding.figure.high)
    title = drawn(farm(), "budget-hall-switch")[0].title
    assert title == "4 cameras on hall-switch take 47 W of its 36 W with everything on"


def test_each_bar_starts_where_the_one_before_it_ends() -> None:
    _, figure = drawn(farm(), "budget-hall-switch")
    axes = figure.axes[0]
    rows = [one for one in axes.patches if isinstance(one, Rectangle)]
    for hatched, whole in ((False, sum([9 * 15.4 / 12.95] * 3) + 13 * 30.0 / 25.5), (True, 76.2)):
        bars = [one for one in rows if bool(one.get_hatch()) == hatched]
        ends = [one.get_x() + one.get_width() for one in bars]
        assert [one.get_x() for one in bars] == pytest.approx([0.0, *ends[:-1]])
        assert ends[-1] == pytest.approx(whole)
    (limit,) = axes.lines
    assert set(np.asarray(limit.get_xdata())) == {36.0}


def test_a_camera_that_tells_nothing_may_take_all_of_a_port() -> None:
    load = feet().world.of(LOAD, feet().world.plan.site)
    near, mute = of_switch(feet().world.get(Ref("switch", "sw")), load).shares
    assert (mute.drawn, mute.by_class, mute.told) == (0.0, 15.4, False)
    assert near.told
    picture, figure = drawn(feet(), "budget-sw")
    assert "mute: not said, 15.4 W by class" in picture.words
    assert [label.get_text() for label in figure.axes[0].get_yticklabels()][1] == "mute  not said"


def test_a_supply_is_held_against_its_own_watts() -> None:
    load = farm().world.of(LOAD, farm().world.plan.site)
    bars = of_supply(farm().world.get(Ref("supply", "byre-adapter")), load)
    assert (bars.drawn, bars.gives, bars.by_class) == (16.0, 12.0, None)
    other = feet().world
    assert of_supply(other.get(Ref("supply", "box")), other.of(LOAD, other.plan.site)).drawn == 6.0
