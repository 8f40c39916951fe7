"""What stands on the site: sorted by what it does, found by where it is."""

import shapely

from oneclimb import kit
from oneclimb.api import Change, Ref
from oneclimb.engine.world import Shared, World
from oneclimb.kit import DAY, look
from oneclimb.review import nouns
from oneclimb.study import SCENE, THINGS
from oneclimb.study.run_footing import footprint

PLAN = """
house: {front: {faces: 180, width: 10}, depth: 7, height: 5}
boundary: {front: 9, right: 3, back: 14, left: 3}
beyond: {others: neighbour}
objects:
  - {id: car, kind: car, at: [5, -5]}
  - {id: shed, kind: shed, at: [12, 4], turned: 30}
  - {id: meter, kind: meter, wall: front, along: 2}
  - {id: sign, kind: road-sign, at: [1, -8]}
  - {id: tree, kind: tree, at: [5, 12]}
cameras: [{id: cam, mount: {wall: front, along: 5, height: 2.6}}]
"""


def world() -> World:
    loaded = look(PLAN).loaded
    assert loaded.plan is not None, loaded.faults
    return World(loaded, Shared(nouns(kit.packs(), loaded), DAY))


def test_things_are_sorted_by_what_they_do() -> None:
    q = world()
    things = q.of(THINGS, q.plan.site)
    assert things.sometimes == {Ref("object", "car")}
    assert [thing.id for thing in things.hazards] == ["meter"]
    assert [(thing.id, retro) for thing, retro in things.reflectors] == [("sign", 70.0)]


def test_what_lies_near_is_what_plane_geometry_says() -> None:
    q = world()
    things = q.of(THINGS, q.plan.site)
    house = shapely.box(0, 0, 10, 7)
    for x, y in ((5, -0.3), (-0.35, 3), (12, 6), (5, -3), (12.8, 3), (5, -5), (5, 12)):
        spot = shapely.Point(x, y)
        near = {thing.id: far for far, thing in things.about(x, y, 0.4)}
        assert ("house" in near) == (spot.distance(house) <= 0.4)
        assert not {"car", "tree"} & near.keys(), "what is moved first, and a trunk's crown, are not in the way"
        assert all(0 <= far <= 0.4 for far in near.values())
    assert {thing.id for _, thing in things.about(12, 4, 0.1)} == {"shed"}
    assert {thing.id for _, thing in things.about(14, 3, 0.1)} == {"beyond-right"}


def test_a_turned_things_outline_is_that_of_its_solid() -> None:
    q = world()
    scene, shed = q.of(SCENE, q.plan.site), Ref("object", "shed")
    corners = scene.triangles[scene.owner == scene.numbers[shed]].reshape(-1, 3)[:, :2]
    solid = shapely.MultiPoint(corners).convex_hull
    assert footprint(q.get(shed)).symmetric_difference(solid).area < 0.01 * solid.area


def test_the_same_things_are_not_sorted_again() -> None:
    q = world()
    base = q.of(THINGS, q.plan.site)
    aim = Change("replace", Ref("camera", "cam", "aim"), {"bearing": 200, "tilt": 10})
    turned, cleared = q.vary(aim), q.vary(Change("absent", Ref("object", "car")))
    assert turned.of(THINGS, turned.plan.site) is base
    assert cleared.of(THINGS, cleared.plan.site).sometimes == frozenset()
