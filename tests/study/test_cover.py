"""World-fixed samples through a camera: the frame by plane geometry, hiding, px/m, land, windows, masks."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from oneclimb.api import Change, Ref
from oneclimb.place import lens
from oneclimb.plan.model import Area, Land, Mask, Plan, Vec2, Window
from oneclimb.study import COVER, SAMPLES
from oneclimb.study.cover import Cover
from oneclimb.study.samples import PERSON, sampled
from oneclimb.trade.pixels import CATEGORIES, focal_pixels
from place.builders import FakeQuery, area, box, camera, house, plan, rigid, yard

CAM = Ref("camera", "cam")
SQUARE = ((-20.0, -22.0), (20.0, -22.0), (20.0, -0.5), (-20.0, -0.5))


def cover(written: Plan, which: int = 0) -> Cover:
    return FakeQuery(written).of(COVER, written.cameras[which])


def ground_outline(eye: lens.Eye) -> shapely.Polygon:
    """The ground in a frame wholly below the horizon, by its four corners."""
    tan_x, tan_y = (math.tan(math.radians(a / 2)) for a in (eye.view.across, eye.view.down))
    corners = np.array([(-tan_x, tan_y, 1), (tan_x, tan_y, 1), (tan_x, -tan_y, 1), (-tan_x, -tan_y, 1)]) @ eye.axes
    foot = np.array(eye.origin) + corners * (-eye.origin[2] / corners[:, 2])[:, None]
    return shapely.Polygon(foot[:, :2])


# ---------------------------------------------------------------------------- samples


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(-30, 30), st.floats(-30, 30)), min_size=3, max_size=7))
def test_a_polygons_samples_lie_in_it_and_stand_for_its_area(points: list[Vec2]) -> None:
    hull = shapely.convex_hull(shapely.MultiPoint(points))
    if not isinstance(hull, shapely.Polygon) or hull.area < 1.0:
        return
    outline = list(hull.exterior.coords)[:-1]
    found = sampled(outline, 0.5, 1000)
    assert 1 <= len(found) <= 1000
    assert shapely.contains_xy(hull.buffer(1e-6), found[:, 0], found[:, 1]).all()
    if hull.area > 50:
        extent = max(np.ptp(np.array(outline), axis=0))
        assert found.mean(axis=0) == pytest.approx(np.array(hull.centroid.coords[0]), abs=0.03 * extent)


def test_a_spot_is_one_sample_and_a_line_is_the_middles_of_its_pieces() -> None:
    assert sampled([(3.0, 4.0)], 0.5, 1000).tolist() == [[3.0, 4.0]]
    assert sampled([(0.0, 0.0), (2.0, 0.0)], 0.5, 1000)[:, 0].tolist() == [0.25, 0.75, 1.25, 1.75]
    assert sampled([(0.0, 0.0), (0.2, 0.0)], 0.5, 1000)[:, 0].tolist() == [0.1]


def test_a_sliver_keeps_one_sample_and_a_field_no_more_than_the_most() -> None:
    sliver = [(0.0, 0.0), (10.0, 10.0), (10.0, 10.001)]
    assert len(sampled(sliver, 0.5, 1000)) >= 1
    assert 800 <= len(sampled([(0.0, 0.0), (100.0, 0.0), (100.0, 70.0), (0.0, 70.0)], 0.5, 1000)) <= 1000


def test_samples_stand_at_the_areas_height_above_its_ground() -> None:
    found = cover(plan(area((0, -5), name="spot", height=1.5, base=0.3), camera((0, 0, 2.6)))).areas["spot"]
    assert found.points.tolist() == [[0, -5, 1.8]]
    assert found.ground.tolist() == [[0, -5, 0.3]]


# --------------------------------------------------------------------- frame and hiding


@pytest.mark.parametrize("turned", [0.0, 20.0])
def test_ground_in_the_frame_is_the_frustums_trapezium(turned: float) -> None:
    written = plan(area(*SQUARE, height=0.0), camera((0, 0, 3), 190, 50, turned=turned, across=70))
    found = cover(written)
    seen = found.areas["yard"]
    inside = shapely.contains_xy(ground_outline(found.sight.eye), seen.points[:, 0], seen.points[:, 1])
    assert 0.01 < inside.mean() < 0.9
    assert (seen.in_frame == inside).all()
    assert (seen.seen == inside).all()
    assert np.isnan(seen.xy[~seen.in_frame]).all()
    assert ((seen.xy[seen.in_frame] >= 0) & (seen.xy[seen.in_frame] <= 1)).all()


def test_what_stands_before_a_sample_is_named_and_its_shadow_is_as_long_as_geometry_says() -> None:
    """A wide wall 1.5 m high, 4 m off: from a lens h up it hides ground to 4 h / (h - 1.5)."""
    wall = box(0, -4.0, name="wall", wide=80, deep=0.02, tall=1.5)
    written = plan(area((0, -0.5), (0, -30), height=0.0), wall, camera((0, 0, 3), 180, 15))
    found = cover(written)
    eye, seen = found.sight.eye, found.areas["yard"]
    near, h = 4.0 + eye.origin[1], eye.origin[2]
    away = eye.origin[1] - seen.points[:, 1]
    hidden = seen.hidden_by >= 0
    assert {found.sight.scene.owners[i] for i in seen.hidden_by[hidden]} == {Ref("object", "wall")}
    expected = (away > near) & (away < near * h / (h - 1.5)) & seen.in_frame
    edge = np.abs(away - near * h / (h - 1.5)) < 0.1
    assert (hidden == expected)[~edge].all()
    assert (seen.seen == (seen.in_frame & ~hidden)).all()


def test_a_standing_target_shows_over_a_wall_that_hides_its_feet() -> None:
    wall = box(0, -4.0, name="wall", wide=80, deep=0.02, tall=1.5)

    def seen(height: float) -> bool:
        written = plan(area((0, -6), height=height), wall, camera((0, 0, 3), 180, 15))
        return bool(cover(written).areas["yard"].seen[0])

    assert not seen(0.0)
    assert seen(1.6)


def test_pixels_distance_and_angle_as_worked_by_hand() -> None:
    # 3840 px over 90 degrees: 250 px/m at a depth of 7.68 m; 2.5 m camera over a 1.6 m face at 3 m: 16.7 degrees
    cam = camera((0, 0, 2.5), 180, 0, across=90, pixels=(3840, 2160))
    z = lens.glass(cam, plan(cam).site)[1]
    far = cover(plan(area((0, z - 7.68), height=2.5), cam)).areas["yard"]
    assert far.pxm[0] == pytest.approx(250.0)
    assert far.distance[0] == pytest.approx(7.68)
    assert far.down[0] == pytest.approx(0.0, abs=1e-9)
    face = cover(plan(area((0, z - 3.0), height=1.6), cam)).areas["yard"]
    assert face.down[0] == pytest.approx(16.7, abs=0.05)
    assert face.distance[0] == pytest.approx(math.hypot(3.0, 0.9))


def test_an_area_behind_or_far_off_is_still_told_when_asked_for() -> None:
    written = plan(area((0, 50), name="behind"), area((0, -500), name="far"), camera((0, 0, 3), 180, 10))
    found = cover(written)
    assert not found.areas["behind"].in_frame.any()
    assert found.areas["behind"].pxm[0] == 0.0
    assert found.areas["far"].in_frame.all()
    assert found.areas["far"].pxm[0] < CATEGORIES["monitor"]
    assert set(found.areas) == {"behind", "far"}
    assert found.watched == ()
    with pytest.raises(KeyError):
        found.areas["nowhere"]


def test_a_camera_watches_what_it_names_or_else_what_it_sees_of_wanted_ground() -> None:
    things = (area((0, -5), name="door"), area((0, 9), name="behind"), area((1, -6), name="bed", task="avoid"))
    assert cover(plan(*things, camera((0, 0, 3), 180, 15))).watched == ("door",)
    named = camera((0, 0, 3), 180, 15, watches=("behind", "front", "bed"))
    assert cover(plan(*things, named)).watched == ("behind",)


def test_naming_what_a_camera_is_for_changes_no_figure() -> None:
    written = yard()
    named = replace(written.cameras[0], watches=("door",))
    one, two = cover(written), cover(replace(written, cameras=(named,)))
    for name in ("gate", "drive", "door", "bed"):
        assert (one.areas[name].seen == two.areas[name].seen).all()
        assert one.areas[name].pxm == pytest.approx(two.areas[name].pxm)
    assert one.watched == ("gate", "drive")
    assert two.watched == ("door",)


def test_the_quick_look_over_all_areas_misses_none_that_is_in_the_frame() -> None:
    rng = np.random.default_rng(5)
    spots = [
        area((float(x), float(y)), name=f"s{i}", height=0.5) for i, (x, y) in enumerate(rng.uniform(-40, 40, (400, 2)))
    ]
    patches = [
        area((float(x), float(y)), (float(x) + 6, float(y)), (float(x), float(y) + 6), name=f"p{i}", height=0.5)
        for i, (x, y) in enumerate(rng.uniform(-40, 40, (60, 2)))
    ]
    for cam in (
        camera((0, 0, 3), 130, 20, turned=30),
        camera((0, 0, 3), 130, 40, across=175, projection="equidistant"),
    ):
        found = cover(plan(*spots, *patches, cam))
        met = set(found.areas.seen)
        for name, seen in found.areas.items():
            close = seen.pxm[seen.seen].max(initial=0.0) >= CATEGORIES["monitor"]
            assert (name in met) or not close


# ----------------------------------------------------------------------- land and windows

STREET = Land("street", "public-way", ((-60.0, -9.0), (-60.0, -39.0), (60.0, -39.0), (60.0, -9.0)))


def test_people_on_the_street_are_looked_for_to_where_monitor_ends_or_sixty_metres() -> None:
    for across, pixels in ((85.0, (1280, 720)), (85.0, (3840, 2160))):
        found = cover(plan(camera((0, 0, 3), 170, 10, across=across, pixels=pixels), land=(STREET,)))
        people = found.land["street"]
        assert people.in_frame.all()
        assert (people.points[:, 2] == PERSON).all()
        assert people.pxm.min() >= CATEGORIES["monitor"]
        assert people.distance.max() <= 60.0
        reach = min(60.0, focal_pixels(pixels[0], across) / CATEGORIES["monitor"])
        depth = (people.points - np.array(found.sight.eye.origin)) @ np.array(found.sight.eye.forward)
        assert depth.max() > min(reach, 38.0) - 4.0
        assert shapely.contains_xy(shapely.Polygon(STREET.outline).buffer(1e-9), *people.points[:, :2].T).all()


def test_the_most_detail_of_a_neighbour_is_that_of_the_nearest_standing_place() -> None:
    found = cover(plan(camera((0, 0, 3), 180, 20, across=90, pixels=(3840, 2160)), land=(STREET,))).land["street"]
    # the nearest row of people stands half a grid step beyond 9 m
    expected = 3840 / 2 / (9.0 - 0.09)
    assert found.pxm.max() == pytest.approx(expected, rel=0.15)


def test_a_camera_that_looks_away_shows_nobody() -> None:
    found = cover(plan(camera((0, 0, 3), 0, 10, normal=(0, 1, 0)), land=(STREET,)))
    assert found.land == {}
    assert found.panes == {}


def test_a_neighbours_window_shows_from_its_own_side_only() -> None:
    pane = {"left": Window("side", (2.0, 4.0), (0.9, 2.1))}
    next_door = house(8, 7, at=(18, 0), name="next-door", neighbour="next", windows=pane)
    own = house(windows={"right": Window("own", (2.0, 4.0), (0.9, 2.1))})
    facing = camera((11.4, 3.0, 2.6), 90, 10, normal=(1, 0, 0))
    found = cover(plan(own, next_door, facing)).panes
    assert list(found) == ["next-door/side"]
    assert found["next-door/side"].seen.all()
    beyond = camera((40.0, 3.0, 2.6), 270, 5, normal=(-1, 0, 0))
    assert cover(plan(own, next_door, beyond)).panes == {}


LEFT_HALF = ((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0))


@pytest.mark.parametrize(
    ("set_in", "moves", "counts"),
    [("in-camera", False, True), ("in-camera", True, False), ("in-recorder", False, False), ("planned", False, False)],
)
def test_a_mask_counts_when_it_is_set_in_a_camera_that_keeps_still(set_in: Any, moves: bool, counts: bool) -> None:
    mask = Mask("m", LEFT_HALF, set_in)
    people = cover(plan(camera((0, 0, 3), 180, 10, masks=(mask,), moves=moves), land=(STREET,))).land["street"]
    under = people.xy[:, 0] < 0.5
    assert 0.3 < under.mean() < 0.7
    assert (people.masked == (under if counts else False)).all()
    assert (people.covered_by_planned == (False if counts else under)).all()


def test_ground_under_two_masks_counts_as_masked_only() -> None:
    masks = (Mask("a", LEFT_HALF, "in-camera"), Mask("b", LEFT_HALF, "planned"))
    people = cover(plan(camera((0, 0, 3), 180, 10, masks=masks), land=(STREET,))).land["street"]
    assert people.masked.any()
    assert not people.covered_by_planned.any()


# --------------------------------------------------------------------------- other worlds


def test_taking_away_what_hides_shows_what_it_hid() -> None:
    wall = box(0, -4.0, name="wall", wide=80, deep=0.02, tall=1.5)
    q = FakeQuery(plan(area((0, -6), height=0.0), wall, camera((0, 0, 3), 180, 15)))
    gone = q.vary(Change("absent", Ref("object", "wall")))
    assert not q.of(COVER, q.get(CAM)).areas["yard"].seen.any()
    assert gone.of(COVER, gone.get(CAM)).areas["yard"].seen.all()
    dark = q.vary(Change("dark", Ref("object", "wall")))
    assert not dark.of(COVER, dark.get(CAM)).areas["yard"].seen.any()


def test_a_new_mask_needs_no_new_look_and_new_ground_to_watch_or_a_new_aim_does() -> None:
    q = FakeQuery(plan(area((0, -6)), camera((0, 0, 3), 180, 15, watches=("yard",)), land=(STREET,)))
    cam, before = q.get(CAM), q.of(COVER, q.get(CAM))
    masked = replace(cam, masks=(Mask("m", LEFT_HALF, "in-camera"),))
    one = q.vary(Change("replace", CAM, masked))
    after = one.of(COVER, one.get(CAM))
    assert after.areas is before.areas
    assert after.land["street"].masked.any()
    assert not before.land["street"].masked.any()
    named = q.vary(Change("replace", CAM, replace(cam, watches=("yard", "front"))))
    assert named.of(COVER, named.get(CAM)).areas is not before.areas
    two = q.vary(Change("replace", CAM, replace(cam, aim=replace(cam.aim, bearing=0.0))))
    assert not two.of(COVER, two.get(CAM)).areas["yard"].in_frame.any()
    assert two.of(SAMPLES, two.plan.site) is q.of(SAMPLES, q.plan.site)


def test_a_changed_area_is_sampled_anew() -> None:
    q = FakeQuery(plan(area((0, -6)), camera((0, 0, 3), 180, 15)))
    moved = q.vary(Change("replace", Ref("area", "yard"), Area("yard", "detect", ((0.0, 6.0),))))
    assert q.of(COVER, q.get(CAM)).watched == ("yard",)
    assert moved.of(COVER, moved.get(CAM)).watched == ()


def test_moving_the_site_or_turning_it_with_its_north_changes_no_figure() -> None:
    written = yard()
    for moved in (rigid(written, 300.0, -120.0), rigid(written, turn=75.0), rigid(written, -40.0, 300.0, 200.0)):
        for i in range(len(written.cameras)):
            one, two = cover(written, i), cover(moved, i)
            assert one.watched == two.watched
            for name in one.areas:
                a, b = one.areas[name], two.areas[name]
                assert (a.seen == b.seen).mean() > 0.995
                assert a.pxm == pytest.approx(b.pxm, rel=1e-6, abs=1e-9)
                assert a.down == pytest.approx(b.down, abs=1e-6)
            assert list(one.land) == list(two.land)
            for name, people in one.land.items():
                assert people.seen.sum() == pytest.approx(two.land[name].seen.sum(), abs=2)
