"""The ways to the access points: what they go through, at what angle, and how much of them is indoors."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from oneclimb import kit
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.study import PATH
from oneclimb.study.path import SLANTED, Path

HOUSE = "{front: {faces: 180, width: 10}, depth: 8, height: 5.2, storeys: 2, storey-height: 2.6, windows: [%s]}"


def ways(
    points: str, *, windows: str = "", mount: str = "wall: front, along: 5, height: 2.5", more: str = ""
) -> tuple[Path, ...]:
    """The paths of one camera on the front wall, which lies along y = 0 and faces -y."""
    review = kit.look(f"""
house: {HOUSE % windows}
access-points: [{points}]
cameras:
  - {{id: cam, mount: {{{mount}}}, night: none, link: wireless, {more}}}
""")
    assert review.loaded.plan, review.loaded.faults
    world = World(review.loaded, Shared(NOUNS, kit.DAY))
    return world.of(PATH, world.all("camera")[0])


def way(point: str, **keys: str) -> Path:
    (one,) = ways(point, **keys)
    return one


def crossed(path: Path) -> list[tuple[str, str]]:
    return [(one.what, one.at.field) for one in path.crossed]


def test_in_the_open_nothing_is_gone_through() -> None:
    path = way("{id: ap, at: [5, -10], height: 2.5}")
    assert crossed(path) == []
    assert path.length == pytest.approx(9.9)
    assert path.indoors == 0.0


def test_straight_through_the_wall_it_hangs_on() -> None:
    path = way("{id: ap, at: [5, 3], height: 2.5}")
    assert crossed(path) == [("wall", "walls.front")]
    assert path.crossed[0].angle == pytest.approx(0.0, abs=1e-6)
    assert path.length == pytest.approx(3.1)
    assert path.indoors == pytest.approx(3.0)


def test_right_through_the_house_both_walls_count_in_order() -> None:
    path = way("{id: ap, at: [9, 12], height: 2.5}")
    assert crossed(path) == [("wall", "walls.front"), ("wall", "walls.back")]
    angle = math.degrees(math.atan2(4.0, 12.1))
    assert [one.angle for one in path.crossed] == pytest.approx([angle, angle])
    assert path.indoors == pytest.approx(8.0 / math.cos(math.radians(angle)))


def test_a_way_that_also_sinks_meets_the_wall_at_the_angle_in_space() -> None:
    path = way("{id: ap, at: [8, 3], height: 0.5}")
    assert crossed(path) == [("wall", "walls.front")]
    assert path.length == pytest.approx(math.sqrt(3.0**2 + 3.1**2 + 2.0**2))
    assert path.crossed[0].angle == pytest.approx(math.degrees(math.acos(3.1 / path.length)))


def test_a_pane_on_the_way_stands_for_its_wall() -> None:
    pane = "{id: w, wall: front, along: 4 to 6, height: %s}"
    assert crossed(way("{id: ap, at: [5, 3], height: 2.5}", windows=pane % "2 to 3")) == [("window", "windows.w")]
    assert crossed(way("{id: ap, at: [5, 3], height: 2.5}", windows=pane % "0 to 2")) == [("wall", "walls.front")]


def test_upstairs_a_floor_is_between() -> None:
    assert crossed(way("{id: ap, at: [5, 3], height: 1}")) == [("wall", "walls.front")]
    assert crossed(way("{id: ap, at: [5, 3], height: 4}")) == [("wall", "walls.front"), ("floor", "storeys")]


def test_above_the_house_the_way_is_free_and_in_by_the_roof_it_is_not() -> None:
    high = "at: [5, -1], height: 8, to: pole"
    more = "aim: {bearing: 180, tilt: 10}"
    assert crossed(way("{id: ap, at: [5, 12], height: 8}", mount=high, more=more)) == []
    inside = way("{id: ap, at: [5, 6], height: 4}", mount=high, more=more)
    assert crossed(inside) == [("roof", "roof")]
    assert inside.crossed[0].angle == pytest.approx(math.degrees(math.acos(4.0 / inside.length)))


def test_an_access_point_on_a_face_is_outside_and_a_camera_indoors_is_inside() -> None:
    assert crossed(way("{id: ap, wall: front, along: 9, height: 2}")) == []
    assert crossed(way("{id: ap, at: [5, 3], height: 2.5}", more="sits: indoors")) == []


def test_a_flat_slant_counts_as_the_flattest_there_is() -> None:
    path = way("{id: ap, at: [9.9, 0.2], height: 2.5}")
    assert crossed(path) == [("wall", "walls.front")]
    assert path.crossed[0].angle == SLANTED


def test_a_camera_tied_to_one_has_one_way_else_one_to_each_that_has_a_place() -> None:
    two = "{id: near, at: [5, 3]}, {id: far, at: [5, 30]}, {id: lost}"
    assert [path.to.id for path in ways(two)] == ["near", "far"]
    assert [path.to.id for path in ways(two, more="wireless: {to: far}")] == ["far"]


def test_without_a_place_it_is_asked() -> None:
    review = kit.look("""
house: {front: {faces: 180, width: 10}, depth: 8}
access-points: [{id: ap}]
cameras: [{id: cam, mount: {wall: front, along: 5, height: 2.5}, night: none, link: wireless, wireless: {band: 5 GHz}}]
""")
    assert ("LINK-02", "access-point/ap/wall") in {(c.code, c.ref.path) for c in review.cannot_tell}


@given(st.floats(-20, 30), st.floats(-20, 30))
def test_walls_and_lengths_are_those_of_plane_geometry(x: float, y: float) -> None:
    """Against shapely's intersection of the line with the house's outline, at one height."""
    house = shapely.box(0, 0, 10, 8)
    line = shapely.LineString([(5, -0.1), (x, y)])
    if line.length < 0.01 or house.boundary.distance(shapely.Point(x, y)) < 1e-3:
        return
    path = way(f"{{id: ap, at: [{x:.9f}, {y:.9f}], height: 2.5}}")
    assert path.length == pytest.approx(line.length)
    assert path.indoors == pytest.approx(line.intersection(house).length, abs=1e-6)
    corners = [shapely.Point(c).distance(line) for c in house.exterior.coords]
    if min(corners) > 1e-3:
        met = line.intersection(house.boundary)
        assert len(path.crossed) == (0 if met.is_empty else len(shapely.get_parts(met)))
