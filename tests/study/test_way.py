"""Where a cable's route leads, through the real reader."""

import numpy as np
import pytest

from oneclimb import kit
from oneclimb.api import Ref, Unknown
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.study import CROSSING, SUNLIT, WAY
from oneclimb.study.way import ASK, Crossing, Way


def world(cable: str, more: str = "") -> World:
    """Two buildings 13 m apart, a camera and a cable."""
    text = f"""
site: {{place: [54.62, -3.55]}}
buildings:
  - {{id: house, front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
  - {{id: barn, outline: [[0, 20], [8, 20], [8, 26], [0, 26]], height: 4}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none}}
cables:
  - {{id: c, {cable}}}
{more}
"""
    loaded = kit.look(text).loaded
    assert not loaded.faults, loaded.faults
    return World(loaded, Shared(NOUNS, kit.DAY))


def way(route: str, more: str = "") -> Way:
    """Where a route leads."""
    q = world(f"route: [{route}]", more)
    return q.of(WAY, q.get(Ref("cable", "c")))


def crossing(cable: str, more: str = "") -> Crossing:
    """What a cable joins."""
    q = world(cable, more)
    return q.of(CROSSING, q.get(Ref("cable", "c")))


def test_each_legs_length_is_told_in_doors_and_out() -> None:
    found = way("{at: [3, -4], height: 1, cover: conduit}, {at: [3, 5], height: 1}, {at: [3, 5], height: 3}")
    assert [leg.length for leg in found.stretches] == pytest.approx([9.0, 2.0])
    assert [leg.inside for leg in found.stretches] == pytest.approx([5.0, 2.0], abs=0.11)
    assert [leg.cover for leg in found.stretches] == ["conduit", "none"]
    assert found.length == pytest.approx(11.0)


def test_on_a_walls_face_is_out_of_doors_and_what_is_said_to_be_indoors_is_in() -> None:
    on_wall = "{wall: front, along: 2, height: 2COVER}, {wall: front, along: 9, height: 2}"
    assert way(on_wall.replace("COVER", "")).stretches[0].inside == 0
    assert way(on_wall.replace("COVER", ", cover: indoors")).stretches[0].outside == 0


def test_from_wall_to_wall_is_the_gap_between_them() -> None:
    found = way("{building: house, wall: back, along: 5, height: 2}, {at: [7, 20], height: 2}")
    assert found.joins == ("house", "barn")
    assert found.between == pytest.approx(13.0, abs=0.06)


@pytest.mark.parametrize("off", [0.0, 0.05, 0.15])
def test_a_cable_off_its_wall_is_at_its_building(off: float) -> None:
    ends = f"{{building: house, wall: back, along: 5, out: {off}, height: 2}}, {{at: [7, {20 - off}], height: 2}}"
    found = way(ends)
    assert found.joins == ("house", "barn")
    assert found.between == pytest.approx(13.0 - 2 * off, abs=0.06)


def test_the_way_along_the_walls_does_not_count_as_between() -> None:
    route = "{building: house, wall: back, along: 1, height: 3}, {building: house, wall: back, along: 5, height: 0}"
    found = way(f"{route}, {{at: [7, 20]}}, {{at: [7, 24]}}")
    assert found.between == pytest.approx(13.0, abs=0.15)


def test_a_route_by_a_pole_joins_all_three() -> None:
    mast = "objects: [{id: mast, kind: pole, at: [7, 14]}]"
    found = way("{building: house, wall: back, along: 5, height: 3}, {at: [7, 20], height: 3}", mast)
    assert found.joins == ("house", "mast", "barn")
    assert found.between == pytest.approx(13.0, abs=0.25)


def test_a_route_into_the_garden_joins_nothing() -> None:
    found = way("{building: house, wall: back, along: 5, height: 3}, {at: [7, 15], height: 3}")
    assert (found.joins, found.between) == (("house",), 0.0)


def test_there_and_back_again_joins_nothing() -> None:
    back = "{building: house, wall: back, along: 2, height: 3}"
    found = way(f"{{building: house, wall: back, along: 5, height: 3}}, {{at: [7, 12]}}, {back}")
    assert (found.joins, found.between) == (("house",), 0.0)


def test_without_a_route_buildings_that_are_named_are_as_far_as_the_crow_flies() -> None:
    assert crossing("between: [house, barn]") == Crossing(("house", "barn"), 13.0, known=False)
    assert crossing("length: 9").joins == ()
    garden = "route: [{building: house, wall: back, along: 5, height: 3}, {at: [7, 15], height: 3}]"
    assert crossing(f"{garden}, between: [house, barn]").metres == 13.0
    assert crossing(garden).known


def test_what_is_on_the_mains_is_told_nearest_first_and_only_near() -> None:
    more = """objects:
  - {id: far, kind: meter, wall: front, along: 10, height: 0.2}
  - {id: near, kind: meter, wall: front, along: 4, height: 0.8}
lamps: [{id: porch, wall: front, along: 7, out: 0.3, height: 1.5, lumens: 800}]"""
    found = way("{wall: front, along: 2, height: 1.5}, {wall: front, along: 11, height: 1.5}", more).near
    assert [(one.at.id, round(one.metres, 3)) for one in found] == [("near", 0.1), ("porch", 0.3)]
    assert all(one.metres <= ASK for one in found)


def test_a_corner_of_a_meter_is_as_far_as_pythagoras_has_it() -> None:
    """The box is 0.4 m wide, 0.2 m deep and 0.6 m tall, on the wall about 6 m along: its corner (6.2, 0.2, 1.6)."""
    more = "objects: [{id: m, kind: meter, wall: front, along: 6, height: 1}]"
    (near,) = way("{at: [6.5, -0.6], height: 2.1}, {at: [6.5, -0.4], height: 1.7}", more).near
    assert near.metres == pytest.approx(np.sqrt(0.3**2 + 0.2**2 + 0.1**2), abs=0.005)


def test_a_mains_line_is_as_far_as_its_side() -> None:
    """Round, 0.1 m thick, its middle 0.3 m off the route."""
    drop = "{id: drop, kind: service-drop, at: [2, -3], height: 2, to: {at: [9, -3], height: 2}, diameter: 0.1}"
    (near,) = way("{at: [4, -2.7], height: 2}, {at: [7, -2.7], height: 2}", f"objects: [{drop}]").near
    assert near.metres == pytest.approx(0.25)


def test_where_no_route_is_written_it_is_asked_for() -> None:
    q = world("length: 9")
    cable = q.get(Ref("cable", "c"))
    with pytest.raises(Unknown, match="which way does the cable run"):
        q.of(WAY, cable)
    with pytest.raises(Unknown, match="which way does the cable run"):
        q.of(SUNLIT, cable)
