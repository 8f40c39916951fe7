"""The language of places: walls, along, out and height, against arithmetic done by hand.

The house faces south, so that its front's outward direction is (0, -1), its left end seen from
outside lies at [0, 0], and x runs along the front.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from oneclimb.plan.model import Building, Plan, Spot
from oneclimb.plan.outline import anticlockwise, crosses, doubled_area, inside
from plan.written import CAMERA, near, plan_of, site


def lamp(place: str, extra: str = "") -> Spot:
    """Where a lamp at a place is."""
    return plan_of(site(f"lamps: [{{id: a, {place}}}]\n{extra}")).lamps[0].spot


def test_a_rectangle_house_lies_as_its_front_faces() -> None:
    house = plan_of(site()).buildings[0]
    assert [wall.id for wall in house.walls] == ["front", "right", "back", "left"]
    assert near(house.outline, [(0, 0), (10, 0), (10, 7), (0, 7)])
    assert near([wall.normal for wall in house.walls], [(0, -1), (1, 0), (0, 1), (-1, 0)])
    assert doubled_area(house.outline) == pytest.approx(2 * 70)


@pytest.mark.parametrize(
    ("faces", "normal"),
    [(0, (0, 1)), (90, (1, 0)), (180, (0, -1)), (270, (-1, 0)), (45, (math.sqrt(0.5), math.sqrt(0.5)))],
)
def test_a_bearing_is_clockwise_from_plus_y(faces: float, normal: tuple[float, float]) -> None:
    text = f"house: {{front: {{faces: {faces}, width: 10}}, depth: 7}}\ncameras: [{CAMERA}]\n"
    assert plan_of(text).buildings[0].walls[0].normal == pytest.approx(normal)


def test_turning_the_paper_with_the_compass_changes_nothing_but_bearings_on_it() -> None:
    turned = plan_of("site: {plus-y: 30}\n" + site().replace("faces: 180", "faces: 210"))
    plain = plan_of(site())
    assert near(turned.buildings[0].outline, plain.buildings[0].outline)
    assert turned.cameras[0].aim.bearing == pytest.approx(210.0)
    assert plain.cameras[0].aim.bearing == pytest.approx(180.0)


@pytest.mark.parametrize(
    ("place", "xyz"),
    [
        ("wall: front, along: 3, out: 2, height: 1", (3, -2, 1)),
        ("wall: right, along: 3, out: 2, height: 1", (12, 3, 1)),
        ("wall: back, along: 3, out: 2, height: 1", (7, 9, 1)),
        ("wall: left, along: 3, out: 2, height: 1", (-2, 4, 1)),
        ("wall: front, out: 0, height: 1", (5, 0, 1)),  # the middle
        ("at: [4, -6], height: 1.5 m", (4, -6, 1.5)),
    ],
)
def test_a_place_is_measured_as_you_stand_outside_facing_the_wall(place: str, xyz: tuple[float, float, float]) -> None:
    assert lamp(place).xyz == pytest.approx(xyz)


def test_a_storey_counts_from_its_own_floor_and_the_ground_from_its_base() -> None:
    house = "house: {front: {faces: 180, width: 10}, depth: 7, storeys: 2, storey-height: 3, base: 0.5}\n"
    text = house + f"lamps: [{{id: a, wall: front, storey: 2, height: 1, out: 0}}]\ncameras: [{CAMERA}]\n"
    assert plan_of(text).lamps[0].spot.z == pytest.approx(0.5 + 3 + 1)
    assert plan_of(text).buildings[0].height == pytest.approx(6)


@pytest.mark.parametrize(
    ("place", "outline"),
    [
        ("wall: front, along: 3, out: 2", [(3, -2)]),
        ("wall: front, along: 3 to 5, out: 2", [(3, -2), (5, -2)]),
        ("wall: front, along: 3, out: 1 to 2", [(3, -1), (3, -2)]),
        ("wall: front, along: 3 to 5, out: 1 to 2", [(3, -1), (3, -2), (5, -2), (5, -1)]),
        ("wall: front, along: 3", [(3, 0)]),
        ("wall: front, out: 2", [(5, -2)]),
        ("at: [1, -2]", [(1, -2)]),
        ("points: [[0, -1], [1, -2], [1, -1]]", [(0, -1), (1, -2), (1, -1)]),
        ("points: [[1, -1], [1, -2], [0, -1]]", [(0, -1), (1, -2), (1, -1)]),
    ],
)
def test_an_area_is_a_spot_a_line_or_a_box(place: str, outline: list[tuple[float, float]]) -> None:
    area = plan_of(site(f"areas: [{{id: a, for: detect, {place}}}]")).areas[0]
    assert near(area.outline, outline)
    if len(outline) > 2:
        assert doubled_area(area.outline) > 0


def walls_of(text: str) -> Building:
    """The one building of a plan with a camera far off."""
    return plan_of(text + "cameras: [{id: c, mount: {at: [50, 50], height: 2}, aim: {bearing: 0}}]\n").buildings[0]


def test_walls_in_order_go_round_any_outline() -> None:
    sides = [("a", 180, 6), ("b", 90, 3), ("c", 180, 4), ("d", 90, 3), ("e", 0, 10), ("f", 270, 6)]
    listed = ", ".join(f"{{id: {i}, faces: {f}, width: {w}}}" for i, f, w in sides)
    house = walls_of(f"house: {{walls: [{listed}]}}\n")
    assert near(house.outline, [(0, 0), (6, 0), (6, 3), (10, 3), (10, 6), (0, 6)])
    assert doubled_area(house.outline) == pytest.approx(2 * (6 * 6 + 4 * 3))


def test_a_small_gap_is_spread_over_the_corners() -> None:
    sides = [("a", 180, 8), ("b", 90, 6), ("c", 0, 8.2), ("d", 270, 6)]
    listed = ", ".join(f"{{id: {i}, faces: {f}, width: {w}}}" for i, f, w in sides)
    house = walls_of(f"house: {{walls: [{listed}]}}\n")
    girth = 28.2
    assert house.outline[0] == (0.0, 0.0)
    assert house.outline[1][0] == pytest.approx(8 + 0.2 * 8 / girth)
    assert house.outline[3][0] == pytest.approx(-0.2 + 0.2 * 22.2 / girth)


@pytest.mark.parametrize("corners", ["[0,0],[8,0],[8,6],[0,6]", "[0,0],[0,6],[8,6],[8,0]"])
def test_an_outline_may_be_drawn_either_way_round(corners: str) -> None:
    house = walls_of(f"house: {{outline: [{corners}]}}\n")
    assert doubled_area(house.outline) == pytest.approx(96)
    assert {wall.id for wall in house.walls} == {"wall-1", "wall-2", "wall-3", "wall-4"}
    first = next(wall for wall in house.walls if wall.id == "wall-1")
    assert (
        {first.a, first.b} == {(0.0, 0.0), (8.0, 0.0)} if corners.startswith("[0,0],[8") else {(0.0, 0.0), (0.0, 6.0)}
    )


def boundary(extra: str = "") -> Plan:
    """A house with a paced boundary."""
    return plan_of(site(f"boundary: {{front: 9, right: 3, back: 14, left: 1.5}}\n{extra}"))


def test_a_boundary_is_paced_out_from_each_wall() -> None:
    assert near(boundary().boundary, [(-1.5, -9), (13, -9), (13, 21), (-1.5, 21)])
    assert boundary().land == ()


def test_what_lies_beyond_is_a_mitred_strip_a_side() -> None:
    plan = boundary("beyond: {front: public way, others: neighbour}")
    land = {one.id: one for one in plan.land}
    assert [one.kind for one in plan.land] == ["public-way", "neighbour", "neighbour", "neighbour"]
    assert set(land["beyond-front"].outline) == {(13.0, -9.0), (-1.5, -9.0), (-31.5, -39.0), (43.0, -39.0)}
    assert all(doubled_area(one.outline) > 0 for one in plan.land)
    # the four strips together are the frame of 30 m round the plot, without overlap
    assert sum(doubled_area(one.outline) / 2 for one in plan.land) == pytest.approx(74.5 * 90 - 14.5 * 30)


def test_a_neighbour_with_a_name_takes_over_its_side() -> None:
    agrees = "{who: the owner, when: 2026-03-31, what: may see the fence}"
    plan = boundary(f"beyond: {{others: neighbour}}\nneighbours: [{{id: seven, side: right, agrees: {agrees}}}]")
    land = {one.id: one for one in plan.land}
    assert set(land) == {"beyond-front", "beyond-back", "beyond-left", "seven"}
    assert land["seven"].agrees is not None
    assert land["seven"].agrees.when == "2026-03-31"


def test_outlines_that_cross_are_found_whatever_their_shape() -> None:
    assert crosses(((0, 0), (2, 2), (2, 0), (0, 2)))
    assert crosses(((0, 0), (1, 0), (2, 0)))
    assert not crosses(((0, 0), (4, 0), (4, 4), (2, 1), (0, 4)))
    star = tuple((math.cos(4 * math.pi * i / 5), math.sin(4 * math.pi * i / 5)) for i in range(5))
    assert crosses(star)  # turns one way only, but twice round


def test_a_point_is_inside_by_the_even_odd_rule() -> None:
    ell = ((0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6))
    assert inside((1, 5), np.array(ell))
    assert not inside((5, 5), np.array(ell))
    assert anticlockwise(ell[::-1]) == ell
