"""What a trigger's zone, a recorder's place and others in the picture amount to, against plane geometry."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
import shapely

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.world import Shared, World
from oneclimb.review import nouns
from oneclimb.study import FILMED, OTHERS, TRIGGERED

if TYPE_CHECKING:
    from oneclimb.study.triggered import Triggered


def world(text: str) -> World:
    """The plan as a world to ask studies of."""
    loaded = kit.look(text).loaded
    assert not loaded.faults, loaded.faults
    return World(loaded, Shared(nouns(kit.packs(), loaded), kit.DAY))


def zone(reach: float, *, across: int = 100, hedge: str = "") -> Triggered:
    """A camera at the wall's middle, 5 m from the road that runs along the front."""
    asked = world(f"""
house: {{front: {{faces: 180, width: 40}}, depth: 7, height: 5}}
boundary: {{front: 5, right: 40, back: 9, left: 40}}
beyond: {{front: public way, others: neighbour}}
{hedge}
cameras:
  - id: cam
    mount: {{at: [20, 0], height: 2.6, to: pole}}
    aim: {{bearing: 180, tilt: 10}}
    view: {across} deg
    night: none
    trigger: {{range: {reach} m}}
""")
    return asked.of(TRIGGERED, asked.plan.cameras[0])


@pytest.mark.parametrize("reach", [4.0, 6.0, 7.0, 7.5, 10.0])
def test_the_roads_share_of_the_zone_is_a_segment_of_a_circle(reach: float) -> None:
    """Of a sector of half angle a and radius r the part beyond d: r² acos(d/r) - d sqrt(r² - d²), while acos(d/r) <= a;
    past that r² a - d² tan(a).
    """
    half, d = math.radians(50), 5.0
    turn = math.acos(min(1.0, d / reach))
    beyond = (
        reach**2 * turn - d * math.sqrt(max(0.0, reach**2 - d**2))
        if turn <= half
        else reach**2 * half - d**2 * math.tan(half)
    )
    assert zone(reach).road == pytest.approx(beyond / (reach**2 * half), abs=0.03)


def test_a_wall_before_the_road_hides_it() -> None:
    hedge = "objects: [{id: wall, kind: box, at: [20, -4], wide: 60 m, deep: 0.2 m, tall: 4 m, surface: red brick}]"
    assert zone(10).road > 0.3
    assert zone(10, hedge=hedge).road == 0.0


def test_without_wanted_ground_there_is_no_way_and_no_pace() -> None:
    bare = zone(6)
    assert bare.ways == ()
    assert bare.reached == ()
    assert bare.pace is None


def test_a_slanting_way_lies_at_the_angle_plane_geometry_gives() -> None:
    asked = world("""
house: {front: {faces: 180, width: 40}, depth: 7, height: 5}
areas:
  - {id: way, for: detect, points: [[18, -6], [24, -10]], pace: 2 m/s}
cameras:
  - id: cam
    mount: {at: [20, 0], height: 2.6, to: pole}
    aim: way
    night: none
    trigger: {range: 20 m}
""")
    found = asked.of(TRIGGERED, asked.plan.cameras[0])
    (way,) = found.ways
    eye_to_middle = (21 - 20, -8 - 0)
    between = abs(math.degrees(math.atan2(-4, 6) - math.atan2(eye_to_middle[1], eye_to_middle[0]))) % 180
    assert way.angle == pytest.approx(min(between, 180 - between), abs=2)
    assert way.distance == pytest.approx(math.hypot(*eye_to_middle), abs=0.2)
    assert found.pace == 2.0
    assert found.reached == ("way",)


@pytest.mark.parametrize(
    "where", ["at: [3, -2]", "points: [[3, -2], [6, -2]]", "points: [[3, -2], [6, -2], [6, -4], [3, -4]]"]
)
def test_a_recorders_distance_to_what_it_films_is_shapelys(where: str) -> None:
    asked = world(f"""
house: {{front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
areas:
  - {{id: far, for: detect, at: [3, -20]}}
  - {{id: near, for: detect, {where}}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 4, height: 3}}, aim: near, watches: [near, far], recorder: nvr}}
recorders: [{{id: nvr, at: [8, 3], height: 1}}]
""")
    filmed = asked.of(FILMED, asked.plan.recorders[0])
    points = asked.plan.areas[1].outline
    shape = shapely.MultiPoint(points).convex_hull
    assert filmed
    assert filmed.area == "near"
    assert filmed.distance == pytest.approx(shapely.distance(shape, shapely.Point(8, 3)))


def test_a_recorder_of_unknown_place_or_without_cameras_is_near_nothing() -> None:
    asked = world("""
house: {front: {faces: 180, width: 12}, depth: 7, height: 5}
cameras: [{id: cam, mount: {wall: front, along: 4, height: 3}, night: none}]
recorders: [{id: lost}, {id: idle, at: [8, 3], height: 1}]
""")
    assert [asked.of(FILMED, recorder) for recorder in asked.plan.recorders] == [None, None]


def test_others_are_those_that_show_and_no_more() -> None:
    asked = world("""
house: {front: {faces: 180, width: 12}, depth: 7, height: 5}
boundary: {front: 5, right: 6, back: 14, left: 6}
beyond: {front: public way, others: neighbour}
cameras:
  - {id: out, mount: {wall: front, along: 6, height: 2.6}, aim: {bearing: 180, tilt: 10}, view: 40 deg, night: none}
  - {id: down, mount: {wall: front, along: 6, height: 2.6}, aim: {bearing: 180, tilt: 85}, view: 40 deg, night: none}
  - {id: side, mount: {wall: right, along: 3, height: 2.6}, aim: {bearing: 90, tilt: 10}, view: 40 deg, night: none}
""")
    found = asked.of(OTHERS, asked.plan.site).shown
    assert set(found) == {"out", "side"}

    assert {one.ref for one in found["out"]} == {Ref("land", "beyond-front")}
    assert {one.ref for one in found["side"]} == {Ref("land", "beyond-right")}
    assert all(one.detail >= 12.5 for shown in found.values() for one in shown)


def test_what_a_mask_covers_of_others_does_not_show() -> None:
    asked = world("""
house: {front: {faces: 180, width: 12}, depth: 7, height: 5}
boundary: {front: 5, right: 6, back: 14, left: 6}
beyond: {front: public way, others: neighbour}
cameras:
  - id: out
    mount: {wall: front, along: 6, height: 2.6}
    aim: {bearing: 180, tilt: 10}
    view: 40 deg
    night: none
    masks: [{id: m, outline: [[0, 0], [1, 0], [1, 1], [0, 1]], set: in-camera}]
""")
    assert asked.of(OTHERS, asked.plan.site).shown == {}
