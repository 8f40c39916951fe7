"""The side study against closed forms on a bare plane, plane geometry (shapely), textbook radiometry and the chart."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.world import World
from oneclimb.place.solids import GROUND
from oneclimb.review import world_of
from oneclimb.study import CHART, DARK, NIGHT, SIDE
from oneclimb.study.extent import charted, within
from oneclimb.study.night_stood import margins
from oneclimb.study.night_targets import PERSON
from oneclimb.study.run_footing import footprint
from oneclimb.study.side import Side, crossed
from oneclimb.study.side_cut import stretches

FIELD = """
site: {{name: Field, stage: design}}
objects:
{objects}
areas:
  - {{id: spot, for: recognise, points: [[-1, 5], [1, 5], [1, 8], [-1, 8]], height: 1.5 m}}
  - {{id: aside, for: detect, points: [[2, 5], [3, 5], [3, 8], [2, 8]], height: 1.5 m}}
cameras:
  - id: eye
    shape: {shape}
    pixels: 2560 x 1440
    view: {{across: {across} deg, down: {down} deg}}
    night: infrared
    {light}
    watches: [spot, aside]
    mount: {{at: [0, 0], height: {height} m, to: pole}}
    turned: {turned} deg
    aim: {{bearing: 0, tilt: {tilt}}}
"""
POST = "  - {id: post, kind: post, at: [-3, -3], tall: 1 m}"
WALL = "  - {id: screen, kind: garden-wall, points: [[-4, 6], [4, 6]], tall: 1.2 m}"
LIGHT = "infrared: {range: 20 m, beam: 60}"


def side_of(
    *,
    objects: str = POST,
    shape: str = "box",
    across: float = 40.0,
    down: float = 23.0,
    light: str = LIGHT,
    height: float = 5.0,
    turned: float = 0.0,
    tilt: float = 40.0,
) -> tuple[Side, World]:
    known = {"objects": objects, "shape": shape, "across": across, "down": down, "light": light}
    review = kit.look(FIELD.format(height=height, turned=turned, tilt=tilt, **known))
    assert not review.loaded.faults, review.loaded.faults
    world = world_of(review.loaded, kit.packs(), kit.DAY)
    return world.of(SIDE, world.get(Ref("camera", "eye"))), world


# -------------------------------------------------------------------------- the frame's edges


@pytest.mark.parametrize(("tilt", "across", "down"), [(40, 40, 23), (25, 100, 60), (50, 90, 55)])
def test_the_lower_edge_meets_bare_ground_at_height_over_the_tangent(tilt: float, across: float, down: float) -> None:
    side, _ = side_of(tilt=tilt, across=across, down=down)
    assert side.lower.met == GROUND
    assert side.lower.along == pytest.approx(side.height / math.tan(math.radians(tilt + down / 2)), rel=1e-4)
    assert side.axis.along == pytest.approx(side.height / math.tan(math.radians(tilt)), rel=1e-4)
    assert side.blind == pytest.approx(side.lower.along, rel=1e-6)
    assert side.at(side.lower) == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize(("tilt", "down"), [(40, 23), (25, 40), (10, 60), (-5, 40)])
def test_the_upper_edge_meets_ground_or_sky(tilt: float, down: float) -> None:
    side, _ = side_of(tilt=tilt, across=90, down=down)
    above = tilt - down / 2
    assert side.upper.down == pytest.approx(above, abs=1e-6)
    if above > 0:
        assert side.upper.along == pytest.approx(side.height / math.tan(math.radians(above)), rel=1e-4)
        assert side.sky.share == 0.0
    else:
        assert side.upper.met is None
        assert side.upper.along == math.inf


@pytest.mark.parametrize("turned", [0, 15, 30, 60, 90])
@pytest.mark.parametrize(("across", "down"), [(80, 45), (140, 80)])
def test_a_turned_cameras_edges_lie_where_the_line_leaves_the_frame(turned: float, across: float, down: float) -> None:
    side, _ = side_of(turned=turned, across=across, down=down, tilt=20)
    c, s = abs(math.cos(math.radians(turned))) + 1e-12, abs(math.sin(math.radians(turned))) + 1e-12
    if side.sight.eye.view.projection == "equidistant":
        half = min(across / 2 / s, down / 2 / c)
    else:
        reach = min(math.tan(math.radians(across / 2)) / s, math.tan(math.radians(down / 2)) / c)
        half = math.degrees(math.atan(reach))
    assert side.axis.down == pytest.approx(20.0, abs=1e-9)
    assert side.upper.down == pytest.approx(20.0 - half, abs=1e-6)
    assert side.lower.down == pytest.approx(20.0 + half, abs=1e-6)


def test_both_projections_were_tried() -> None:
    assert side_of(across=80, down=45)[0].sight.eye.view.projection == "rectilinear"
    assert side_of(across=140, down=80)[0].sight.eye.view.projection == "equidistant"


@pytest.mark.parametrize("tilt", [2.0, 8.0, 15.0])
def test_the_share_of_sky_is_the_rectilinear_lenss_own(tilt: float) -> None:
    side, _ = side_of(tilt=tilt, across=80, down=46)
    half, horizon = math.tan(math.radians(23)), math.tan(math.radians(tilt))
    assert side.sky.share == pytest.approx((half - horizon) / (2 * half), abs=0.001)
    assert side.sky.down == pytest.approx(0.0, abs=0.1)
    assert side.sky.top


@pytest.mark.parametrize("turned", [0, 90])
def test_a_camera_that_looks_straight_down_is_cut_along_its_pictures_height(turned: float) -> None:
    side, _ = side_of(tilt=90, shape="dome", across=80, down=45, turned=turned)
    half = 22.5
    assert side.plane.heading @ side.sight.eye.up[:2] == pytest.approx(1.0)
    assert (side.upper.down, side.lower.down) == pytest.approx((90.0 - half, 90.0 + half), abs=1e-6)
    assert side.lower.along == pytest.approx(-side.height * math.tan(math.radians(half)), rel=1e-4)
    assert side.blind == 0.0
    ((near, far),) = side.stood
    wide = (side.height - PERSON) * math.tan(math.radians(half))
    assert (near, far) == pytest.approx((-wide, wide), abs=1e-3)


def test_a_lens_that_sees_half_of_all_there_is_has_a_night_and_no_blind_strip() -> None:
    side, _ = side_of(shape="turret", across=180, down=180, tilt=90, height=3.0)
    assert (side.upper.down, side.lower.down) == pytest.approx((0.0, 180.0), abs=1e-6)
    assert side.night is not None
    assert side.night.view(DARK).gain > 0.0
    assert side.brightest is not None
    assert side.brightest.along == pytest.approx(0.0, abs=0.05)
    assert side.blind == 0.0


# ---------------------------------------------------------------------------------- light


@pytest.mark.parametrize(("tilt", "height", "beam"), [(40, 5.0, 60), (15, 2.7, 80), (30, 8.0, 40)])
def test_the_light_is_most_where_cosine_power_over_distance_squared_is(tilt: float, height: float, beam: float) -> None:
    side, world = side_of(tilt=tilt, height=height, light=f"infrared: {{range: 20 m, beam: {beam}}}")
    along = np.arange(0.0, 30.0, 0.0005)
    rise = side.height - PERSON
    apart = np.hypot(along, rise)
    off = np.radians(tilt) - np.arctan2(rise, along)
    power = math.log(0.5) / math.log(math.cos(math.radians(beam / 2)))
    expected = 20.0**2 * np.maximum(np.cos(off), 0.0) ** power / apart**2
    most = side.brightest
    assert most is not None
    kept = world.of(NIGHT, world.get(Ref("camera", "eye"))).view(DARK).dimmed
    assert most.along == pytest.approx(float(along[expected.argmax()]), abs=0.01)
    assert most.light == pytest.approx(kept * float(expected.max()), rel=0.005)
    assert most.shown == any(near <= most.along <= far for near, far in side.stood)


def test_light_is_none_behind_what_stands_in_its_way() -> None:
    side, _ = side_of(objects=WALL.replace("1.2 m", "3 m"), tilt=20, height=2.5)
    behind = np.array([7.0, 8.0, 9.0])
    assert (side.lit(behind) == 0.0).all()
    assert (side.lit(np.array([3.0, 5.0])) > 0.0).all()


def test_who_is_usable_is_who_the_chart_says() -> None:
    side, world = side_of(tilt=20, light="infrared: {range: 9 m, beam: 60}", objects=WALL, height=2.5, down=30)
    chart = world.of(CHART, world.get(Ref("camera", "eye")))
    y = np.linspace(0.3, 30.0, 200)
    stood = chart.look(np.column_stack([np.zeros(200), y])).stood[:, None]
    one = replace(chart, x=np.zeros(1), y=y, stood=stood, pxm=np.ones((200, 1)), _told={})
    charted = np.nan_to_num(one.margins(DARK)[:, 0], nan=-1.0) > 0.0
    assert charted.any()
    assert not charted.all()
    off = float(side.plane.foot[1])
    assert (side.usable_at(y - off) == charted).all()
    col = int(np.abs(chart.x).argmin())
    rows = np.flatnonzero(np.nan_to_num(chart.margins(DARK)[:, col], nan=-1.0) > 0.0)
    step = float(chart.y[1] - chart.y[0])
    assert side.usable[0][0] == pytest.approx(float(chart.y[rows[0]]) - off, abs=step)
    assert side.usable[-1][1] == pytest.approx(float(chart.y[rows[-1]]) - off, abs=step)


@pytest.mark.parametrize("more", ["", "boundary: {outline: [[-6, -4], [6, -4], [6, 40], [-6, 40]]}"])
def test_the_night_reaches_along_the_axis_as_far_as_the_section_says(more: str) -> None:
    known = {"objects": POST, "shape": "box", "across": 40, "down": 23, "light": "infrared: {range: 12 m, beam: 60}"}
    text = FIELD.format(height=3, turned=0, tilt=5, **known).replace("cameras:", f"{more}\ncameras:")
    world = world_of(kit.look(text).loaded, kit.packs(), kit.DAY)
    eye = world.get(Ref("camera", "eye"))
    side, view = world.of(SIDE, eye), world.of(NIGHT, eye).view(DARK)
    assert side.usable[0][1] == pytest.approx(view.reach.value, rel=0.01)


def test_margins_along_the_axis_are_the_night_studys_own_where_the_light_is_dimmed() -> None:
    light = "infrared: {range: 40 m, beam: 60, dims: true}"
    near = WALL.replace("6]", "2]").replace("1.2 m", "2 m, surface: white plastic")
    side, _ = side_of(objects=near, tilt=25, height=2.2, light=light)
    night = side.night
    assert night is not None
    assert night.view(DARK).dimmed < 0.9
    span = night.found.lines[""].span
    points = night.found.points[span]
    found = margins(night, points, DARK, side.scale, side.prune)
    np.testing.assert_allclose(found, night.view(DARK).margins[span], atol=1e-6)


def test_what_the_plan_does_not_say_of_the_light_is_not_guessed() -> None:
    side, _ = side_of(light="name: mute")
    assert side.night is None
    assert "infrared" in side.unknown
    assert side.brightest is None
    assert side.usable == ()
    assert side.stood


# ------------------------------------------------------------------------- what is in the way


def test_the_cut_through_a_wall_is_its_footprints() -> None:
    side, world = side_of(objects=WALL, tilt=20, height=2.5)
    (cut,) = [one for one in side.cut if one.ref.id == "screen"]
    (wall,) = world.plan.objects
    line = shapely.LineString([side.plane.foot[:2], side.plane.foot[:2] + 60.0 * side.plane.heading])
    met = shapely.intersection(footprint(wall), line)
    along = [line.project(shapely.Point(one)) for one in shapely.get_coordinates(met)]
    assert cut.lines[..., 0].min() == pytest.approx(min(along), abs=0.002)
    assert cut.lines[..., 0].max() == pytest.approx(max(along), abs=0.002)
    assert cut.lines[..., 1].max() == pytest.approx(1.2, abs=0.002)
    (solid,) = shapely.get_parts(shapely.polygonize(shapely.linestrings(cut.lines)))
    assert solid.area == pytest.approx(1.2 * (max(along) - min(along)), rel=0.01)


def test_a_wall_hides_the_people_plane_geometry_says_it_hides() -> None:
    side, _ = side_of(objects=WALL.replace("1.2 m", "2 m"), tilt=15, height=2.6, down=40)
    (cut,) = [one for one in side.cut if one.ref.id == "screen"]
    wall = shapely.MultiLineString(list(cut.lines)).convex_hull
    free = [
        bool(side.sight.eye.project(side.plane.points(np.array([s]), PERSON))[2][0])
        and not shapely.LineString([(0.0, side.height), (s, PERSON)]).intersects(wall)
        for s in side.along.tolist()
    ]
    step = float(side.along[1] - side.along[0])
    flips = side.along[np.flatnonzero(np.diff(np.array(free, dtype=np.int8)))] + step / 2.0
    edges = [edge for stretch in side.stood for edge in stretch][: len(flips)]
    np.testing.assert_allclose(edges, flips, atol=step / 2.0 + 0.01)
    over = (side.height - PERSON) / (side.height - 2.0)
    back = float(cut.lines[..., 0].max())
    assert side.stood[1][0] == pytest.approx(back * over, abs=0.01)


def test_ground_behind_a_wall_is_not_the_first_that_shows() -> None:
    side, _ = side_of(objects=WALL.replace("[-4, 6], [4, 6]", "[-4, 3], [4, 3]"), tilt=15, height=2.6, down=40)
    (cut,) = side.cut
    back, top = float(cut.lines[..., 0].max()), 1.2
    assert side.lower.met == Ref("object", "screen")
    assert side.blind == pytest.approx(back * side.height / (side.height - top), abs=0.03)


# ------------------------------------------------------------------------ faces and what is wanted


@given(st.floats(1.7, 12.0), st.floats(5.0, 60.0))
@settings(deadline=None, max_examples=30)
def test_a_face_is_at_the_angle_where_it_is_said_to_turn_too_steep(height: float, angle: float) -> None:
    side, _ = side_of()
    one = replace(side, plane=replace(side.plane, foot=np.array([0.0, 0.0, height])))
    near = one.steep_within(angle)
    assert math.degrees(math.atan((height - 1.6) / near)) == pytest.approx(angle)
    assert one.steep_within(angle, base=height - 1.5) == 0.0


def test_what_is_watched_lies_where_the_line_crosses_it_and_what_is_beside_is_named() -> None:
    side, _ = side_of(tilt=20)
    (spot,) = side.watched
    off = float(side.plane.foot[1])
    assert spot.area.id == "spot"
    assert (spot.near, spot.far) == pytest.approx((5.0 - off, 8.0 - off))
    assert side.aside == ("aside",)


def test_a_spot_is_watched_where_the_line_passes_no_farther_than_half_a_metre_from_it() -> None:
    side, _ = side_of(tilt=20)
    spot = side.watched[0].area
    off = float(side.plane.foot[1])
    found = crossed(replace(spot, outline=((0.3, 6.0),)), side.plane, 0.0)
    assert found is not None
    half = math.sqrt(0.5**2 - 0.3**2)
    assert (found.near, found.far) == pytest.approx((6.0 - off - half, 6.0 - off + half), abs=0.01)
    assert crossed(replace(spot, outline=((0.6, 6.0),)), side.plane, 0.0) is None
    assert crossed(replace(spot, outline=((0.0, -6.0),)), side.plane, 0.0) is None


def test_no_more_is_looked_at_than_the_plan_has_something_to_say_of() -> None:
    whole, _ = side_of(tilt=20)
    reach = 2560 / (2 * math.tan(math.radians(20)) * 25)
    assert whole.along[-1] == pytest.approx(min(60.0, reach))
    text = FIELD.replace("cameras:", "boundary: {{outline: [[-6, -4], [6, -4], [6, 12], [-6, 12]]}}\ncameras:")
    known = {"objects": POST, "shape": "box", "across": 40, "down": 23, "light": LIGHT}
    review = kit.look(text.format(height=5, turned=0, tilt=20, **known))
    assert not review.loaded.faults, review.loaded.faults
    world = world_of(review.loaded, kit.packs(), kit.DAY)
    side = world.of(SIDE, world.get(Ref("camera", "eye")))
    assert side.along[-1] == pytest.approx(charted(world.plan)[3] - float(side.plane.foot[1]))
    assert side.along[0] == 0.0


@pytest.mark.parametrize("turn", [0.0, 30.0, 100.0, 225.0])
def test_how_far_a_line_stays_in_a_box_is_shapelys_answer(turn: float) -> None:
    way = np.array([math.cos(math.radians(turn)), math.sin(math.radians(turn))])
    foot, box = np.array([1.0, 2.0, 3.0]), (-4.0, -1.0, 9.0, 5.0)
    line = shapely.LineString([foot[:2] - 50 * way, foot[:2] + 50 * way])
    ends = (shapely.get_coordinates(line.intersection(shapely.box(*box))) - foot[:2]) @ way
    assert within(foot, way, box) == pytest.approx((ends.min(), ends.max()))


@given(st.lists(st.floats(0.1, 9.9), min_size=1, max_size=4, unique=True))
@settings(deadline=None, max_examples=50)
def test_stretches_begin_and_end_where_the_answer_changes(edges: list[float]) -> None:
    at = np.sort(np.array(edges))
    if len(at) > 1 and np.diff(at).min() < 0.03:
        return
    found = stretches(np.linspace(0.0, 10.0, 501), lambda along: np.searchsorted(at, along) % 2 == 1)
    ends = [*at.tolist(), 10.0] if len(at) % 2 else at.tolist()
    np.testing.assert_allclose(np.ravel(found), ends, atol=1e-6)
