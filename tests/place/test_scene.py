"""What is met, what is seen, what a thing taken away uncovers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.place.embree import Embree
from oneclimb.place.plain import Plain
from oneclimb.place.scene import Caster, Scene, scene
from oneclimb.place.solids import GROUND, solids
from oneclimb.plan.model import Object, Plan
from place.builders import box, house, pipe, plan, rigid

MAKES = [Embree, Plain]
BOX = Ref("object", "box")
FRONT = Ref("building", "house", "walls.front")


def built(*things: object, make: type[Caster] = Embree) -> Scene:
    return scene(solids(plan(*things)), make)  # type: ignore[arg-type]


def name_of(
    place: Scene, origin: tuple[float, float, float], way: tuple[float, float, float], *gone: Ref
) -> Ref | None:
    ray = np.array([way]) / np.linalg.norm(way)
    number = int(place.owner_of(place.cast(origin, ray, frozenset(gone)))[0])
    return None if number < 0 else place.owners[number]


@pytest.mark.parametrize("make", MAKES)
def test_a_ray_finds_wall_box_ground_and_sky(make: type[Caster]) -> None:
    place = built(house(), box(5, -4), make=make)
    assert name_of(place, (5.2, -10, 0.5), (0, 1, 0)) == BOX
    assert name_of(place, (8, -10, 0.5), (0, 1, 0)) == FRONT
    assert name_of(place, (8, -10, 0.5), (0, 1, -1)) == GROUND
    assert name_of(place, (8, -10, 0.5), (0, 0, 1)) is None
    assert float(place.cast((5.2, -10, 0.5), np.array([(0.0, 1.0, 0.0)])).t[0]) == pytest.approx(5.5, abs=1e-3)


@pytest.mark.parametrize("make", MAKES)
def test_behind_a_thing_taken_away_stands_what_it_touched(make: type[Caster]) -> None:
    """A box against the wall, on the ground: rays that leave it by its back or bottom meet wall and ground."""
    place = built(house(), box(5, -0.5), make=make)
    assert name_of(place, (5.2, -10, 0.5), (0, 1, 0)) == BOX
    assert name_of(place, (5.2, -10, 0.5), (0, 1, 0), BOX) == FRONT
    assert name_of(place, (5.2, -2, 1.5), (0, 1, -1)) == BOX
    assert name_of(place, (5.2, -2, 1.5), (0, 1, -1), BOX) == GROUND


@pytest.mark.parametrize("make", MAKES)
def test_a_thing_taken_away_is_the_same_as_one_never_there(make: type[Caster]) -> None:
    tree = Object(
        "tree", "tree", "crown", plan(pipe(3, -3)).objects[0].spot, "green leaves", 3, diameter=3, trunk=(1, 0.3)
    )
    things = (box(5, -0.5), pipe(6, -0.06), tree, box(4, -6, name="fence", wide=6, deep=0.05))
    rng = np.random.default_rng(3)
    way = rng.normal(size=(4000, 3))
    way[:, 1] = np.abs(way[:, 1])
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    with_all, without = built(house(), *things, make=make), built(house(), make=make)
    gone = frozenset(Ref("object", thing.id) for thing in things)
    one, two = with_all.cast((5.0, -9.0, 1.7), way, gone), without.cast((5.0, -9.0, 1.7), way)
    met = [
        [place.owners[i] if i >= 0 else None for i in place.owner_of(h)]
        for place, h in ((with_all, one), (without, two))
    ]
    assert np.mean([a == b for a, b in zip(*met, strict=True)]) > 0.9995
    close = np.isfinite(one.t) & np.isfinite(two.t) & (one.t < 100)
    assert np.quantile(np.abs(one.t[close] - two.t[close]), 0.999) < 2e-3


@pytest.mark.parametrize("make", MAKES)
def test_two_points_see_each_other_unless_something_stands_between(make: type[Caster]) -> None:
    place = built(house(), box(5, -4), make=make)
    lamp = (5.2, -8.0, 0.6)
    ends = np.array([(5.2, -4.5, 0.6), (5.2, -3.0, 0.6), (8.0, 0.0, 1.0), (8.0, 1.0, 1.0), (5.2, -6.0, 0.0)])
    assert place.visible(lamp, ends).tolist() == [True, False, True, False, True]
    assert place.visible(lamp, ends, frozenset({BOX})).tolist() == [True, True, True, False, True]


def test_a_point_on_a_surface_does_not_shade_itself_even_at_a_grazing_angle() -> None:
    place = built(house())
    lamp = (0.5, -0.05, 2.0)
    along = np.linspace(0.7, 11.3, 400)
    wall = np.stack([along, np.zeros(400), np.full(400, 1.0)], axis=1)
    assert place.visible(lamp, wall).all()
    far = np.stack([np.full(400, 5.0), -np.linspace(2, 60, 400), np.zeros(400)], axis=1)
    assert place.visible((5.0, -1.0, 0.3), far).all()


def test_a_sign_hides_the_wall_it_hangs_on() -> None:
    sign = Object(
        "sign",
        "sign",
        "panel",
        replace(plan(pipe(5, 0)).objects[0].spot, z=1.0, normal=(0, -1)),
        "white plastic",
        0.4,
        wide=0.6,
    )
    place = built(house(), sign)
    assert name_of(place, (5.0, -3, 1.2), (0, 1, 0)) == Ref("object", "sign")
    assert name_of(place, (5.0, -3, 1.2), (0, 1, 0), Ref("object", "sign")) == FRONT


def test_a_thing_named_whole_means_all_its_parts() -> None:
    place = built(house())
    parts = {place.owners[i].field for i in place.owned_by(frozenset({Ref("building", "house")}))}
    assert {"walls.front", "eave", "roof"} <= parts
    assert not len(place.owned_by(frozenset({Ref("object", "nobody")})))


@settings(max_examples=15, deadline=None)
@given(st.floats(-300, 300), st.floats(-300, 300), st.floats(0, 360))
def test_moving_or_turning_the_whole_place_moves_what_is_met_with_it(dx: float, dy: float, turn: float) -> None:
    written = plan(house(), box(5, -4, yaw=20), pipe(7, -3))
    moved: Plan = rigid(written, dx, dy, turn)
    one, two = scene(solids(written)), scene(solids(moved))
    way = np.random.default_rng(1).normal(size=(500, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    spin = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])
    start = np.array([6.0, -7.0, 1.7])
    a, b = one.cast(start, way), two.cast(start @ spin + (dx, dy, 0), way @ spin)
    assert (one.owner_of(a) == two.owner_of(b)).mean() >= 0.998
    close = (a.t < 50) & (one.owner_of(a) == two.owner_of(b))
    assert np.abs(a.t[close] - b.t[close]).max() < 2e-2


@pytest.mark.parametrize("make", MAKES)
def test_what_stands_a_hand_before_a_far_end_hides_it(make: type[Caster]) -> None:
    """Only what is within a millimetre, or a fifty-thousandth of the way, does not count."""
    place = built(box(0, -60, wide=2, deep=0.2, tall=2), make=make)
    ends = np.array([(0.0, y, 1.0) for y in (-59.8, -59.9, -59.95, -60.3)])
    assert place.visible((0.0, 0.0, 1.0), ends).tolist() == [True, True, False, False]
