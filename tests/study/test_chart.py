"""The chart of a camera's ground against closed forms, plane geometry (shapely) and the night study's own places."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.world import World
from oneclimb.place import lens
from oneclimb.review import world_of
from oneclimb.study import ALL, CHART, DARK, NIGHT
from oneclimb.study.chart import Chart
from oneclimb.study.extent import charted
from oneclimb.trade.pixels import CATEGORIES

COTTAGE = Path(__file__).parents[2] / "examples/two-cameras/cottage.plan.yaml"
OPEN = """
site: {{name: Field, stage: design}}
objects:
{objects}
lamps:
  - {{id: flood, at: [2, 6], height: 4 m, lumens: 3000, kind: white LED, lit: switched}}
areas:
  - {{id: spot, for: detect, points: [[-1, 5], [1, 5], [1, 8], [-1, 8]], height: 1.5 m}}
cameras:
  - id: eye
    shape: box
    pixels: 2560 x 1440
    view: {{across: 40 deg, down: 23 deg}}
    night: infrared
    infrared: 30 m
    mount: {{at: [0, 0], height: 5 m, to: pole}}
    aim: {{bearing: 0, tilt: {tilt}}}
"""
POST = "  - {id: post, kind: post, at: [-3, -3], tall: 1 m}"
CRATE = "  - {id: crate, kind: box, at: [0, 4], wide: 1 m, deep: 1 m, tall: 1.2 m}"


def chart_of(text: str) -> tuple[Chart, lens.Eye, World]:
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    world = world_of(review.loaded, kit.packs(), kit.DAY)
    camera = world.get(Ref("camera", "eye"))
    return world.of(CHART, camera), lens.eye(camera, world.plan.site), world


def footprint(eye: lens.Eye, height: float) -> shapely.Polygon:
    """Where the frame's edge meets a level, by its corners' rays: closed form."""
    a, b = math.tan(math.radians(eye.view.across / 2)), math.tan(math.radians(eye.view.down / 2))
    corners = []
    for x, y in ((-a, b), (a, b), (a, -b), (-a, -b)):
        ray = np.array(eye.forward) + x * np.array(eye.right) + y * np.array(eye.up)
        corners.append(tuple((np.array(eye.origin) + (height - eye.origin[2]) / ray[2] * ray)[:2]))
    return shapely.Polygon(corners)


def test_the_ground_seen_is_the_frames_footprint() -> None:
    chart, eye, _ = chart_of(OPEN.format(objects=POST, tilt=40))
    expected = footprint(eye, 0.0)
    assert float(chart.ground.sum()) * chart.cell == pytest.approx(expected.area, rel=0.03)
    x, y = np.meshgrid(chart.x, chart.y)
    inside = shapely.contains_xy(expected.buffer(-0.2), x, y)
    assert chart.ground[inside].all()
    assert not chart.ground[~shapely.contains_xy(expected.buffer(0.2), x, y)].any()


def test_where_a_person_shows_is_the_footprint_at_their_height() -> None:
    chart, eye, _ = chart_of(OPEN.format(objects=POST, tilt=40))
    assert float(chart.stood.sum()) * chart.cell == pytest.approx(footprint(eye, 1.5).area, rel=0.03)


def test_pixels_a_metre_fall_with_the_depth_along_the_axis() -> None:
    chart, eye, _ = chart_of(OPEN.format(objects=POST, tilt=40))
    row, col = np.nonzero(chart.stood)
    points = np.column_stack([chart.x[col], chart.y[row], np.full(len(row), 1.5)])
    depth = (points - np.array(eye.origin)) @ np.array(eye.forward)
    focal = 2560 / (2 * math.tan(math.radians(20)))
    np.testing.assert_allclose(chart.pxm[chart.stood], focal / depth, rtol=1e-9)
    assert chart.served(CATEGORIES["detect"]) == pytest.approx(float(chart.stood.sum()) * chart.cell)
    assert chart.served(600.0) < chart.served(250.0)


def test_ground_behind_a_box_is_hidden_by_its_shadow_from_the_lens() -> None:
    chart, eye, _ = chart_of(OPEN.format(objects=CRATE, tilt=40))
    top = [(x, y, 1.2) for x, y in ((-0.5, 3.5), (0.5, 3.5), (0.5, 4.5), (-0.5, 4.5))]
    cast = [
        tuple(eye.origin[i] + (x[i] - eye.origin[i]) * eye.origin[2] / (eye.origin[2] - x[2]) for i in (0, 1))
        for x in top
    ]
    base = [(x, y) for x, y, _ in top]
    shadow = shapely.MultiPoint([*cast, *base]).convex_hull
    expected = footprint(eye, 0.0).difference(shadow)
    assert float(chart.ground.sum()) * chart.cell == pytest.approx(expected.area, rel=0.03)


def test_the_outline_of_what_is_seen_is_truer_than_the_charts_steps() -> None:
    chart, eye, _ = chart_of(OPEN.format(objects=CRATE, tilt=40))
    expected = footprint(eye, 1.5)
    assert chart.shown.area == pytest.approx(expected.area, rel=0.01)
    assert chart.shown.hausdorff_distance(expected) < float(chart.x[1] - chart.x[0])
    crate = shapely.box(-0.5, 3.5, 0.5, 4.5)
    assert chart.bare.intersection(crate).area < 0.02
    assert chart.bare.area == pytest.approx(float((chart.ground & chart.stood).sum()) * chart.cell, rel=0.02)


def test_ground_is_charted_no_farther_than_the_plan_says_what_stands_there() -> None:
    _, _, world = chart_of(OPEN.format(objects=POST, tilt=20))
    assert charted(world.plan) == (-math.inf, -math.inf, math.inf, math.inf)
    fenced = replace(world.plan, boundary=((-6.0, -4.0), (6.0, -4.0), (6.0, 7.0), (-6.0, 7.0)))
    assert charted(fenced) == (-11.0, -9.0, 11.0, 13.0)
    cottage = kit.look(COTTAGE.read_text(encoding="utf-8"))
    home = world_of(cottage.loaded, kit.packs(), kit.DAY)
    chart = home.of(CHART, home.get(Ref("camera", "front-cam")))
    left, bottom, right, top = charted(home.plan)
    step = float(chart.x[1] - chart.x[0])
    assert chart.x[0] == pytest.approx(left, abs=step)
    assert chart.y[0] == pytest.approx(bottom, abs=step)
    assert chart.x[-1] <= right + step
    assert chart.y[-1] <= top + step


def test_pixels_are_those_of_the_stream_that_is_kept() -> None:
    whole, _, _ = chart_of(OPEN.format(objects=POST, tilt=40))
    text = OPEN.format(objects=POST, tilt=40).replace("view:", "recorded: 640 x 360\n    view:")
    kept, _, _ = chart_of(text)
    np.testing.assert_allclose(kept.pxm[kept.stood], whole.pxm[whole.stood] / 4.0)


@pytest.mark.parametrize("state", [DARK, "flood", ALL])
def test_the_night_margin_of_a_place_is_the_night_studys(state: str) -> None:
    chart, _, world = chart_of(OPEN.format(objects=CRATE, tilt=30))
    night = world.of(NIGHT, world.get(Ref("camera", "eye")))
    found = night.found
    shown = np.flatnonzero(found.shown[found.areas["spot"]])
    assert len(shown) > 5
    for i in shown[:: max(1, len(shown) // 6)]:
        x, y, z = found.points[found.areas["spot"]][i]
        assert z == 1.5
        one = replace(
            chart,
            x=np.array([x]),
            y=np.array([y]),
            stood=np.ones((1, 1), dtype=np.bool_),
            pxm=np.ones((1, 1)),
            _told={},
        )
        assert one.margins(state)[0, 0] == pytest.approx(night.view(state).margins[found.areas["spot"]][i], abs=1e-6)


def test_lamps_widen_the_usable_ground_of_a_dark_field() -> None:
    chart, _, _ = chart_of(OPEN.format(objects=POST, tilt=30).replace("infrared: 30 m", "infrared: 7 m"))
    assert chart.usable(ALL) > chart.usable(DARK) > 0.0


def test_a_night_the_plan_does_not_describe_is_said_and_not_guessed() -> None:
    chart, _, _ = chart_of(OPEN.format(objects=POST, tilt=30).replace("    infrared: 30 m\n", ""))
    assert chart.night is None
    assert "infrared" in chart.unknown
    assert chart.usable() == 0.0
    assert np.isnan(chart.margins()).all()
