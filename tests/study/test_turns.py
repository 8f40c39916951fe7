"""Turned frames read off one cast, against casting each of them."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from oneclimb.api import Change, Ref
from oneclimb.place.solids import GROUND
from oneclimb.plan.model import Camera, Plan
from oneclimb.study import COVER, TURNS
from oneclimb.study import raster as frames
from oneclimb.study.raster import SKY
from oneclimb.study.turns import PANS, TILTS, Turns
from place.builders import FakeQuery, area, box, camera, house, plan, rigid, yard


def turns(written: Plan, which: int = 0) -> Turns:
    return FakeQuery(written).of(TURNS, written.cameras[which])


def aimed(cam: Camera, pan: float, tilt: float) -> Camera:
    aim = replace(cam.aim, bearing=cam.aim.bearing + pan, tilt=cam.aim.tilt + tilt)
    return replace(cam, aim=aim)


@pytest.mark.parametrize("which", [0, 1, 2])
def test_each_turn_is_what_casting_it_gives(which: int) -> None:
    written = yard()
    cam = replace(written.cameras[which], shape="turret")  # a nose would move with the aim
    written = replace(written, cameras=(cam,))
    found, q = turns(written), FakeQuery(written)
    for row in (0, 3, 5):
        for col in (0, 4, 6, 12):
            met = frames.compute(aimed(cam, PANS[col], TILTS[row]), q)
            assert found.sky[row, col] == pytest.approx(met.shares().get(SKY, 0.0), abs=0.03)
            assert found.foliage[row, col] == pytest.approx(met.foliage, abs=0.03)
            assert found.ground[row, col] + found.avoid[row, col] == pytest.approx(
                met.shares().get(GROUND, 0.0), abs=0.04
            )


def test_what_is_seen_of_an_area_at_each_turn_is_what_looking_gives() -> None:
    written = yard()
    found = turns(written)
    cam = written.cameras[0]
    for row, col in ((3, 6), (3, 0), (6, 9), (0, 12)):
        turned = FakeQuery(replace(written, cameras=(aimed(cam, PANS[col], TILTS[row]),)))
        looked = turned.of(COVER, turned.plan.cameras[0])
        for name in ("gate", "drive", "bed"):
            assert found.seen[name][row, col] == pytest.approx(looked.areas[name].seen.mean(), abs=0.06)


def test_tilting_down_loses_sky() -> None:
    found = turns(plan(camera((0, 0, 3), 180, 10), area((0, -5))))
    assert (np.diff(found.sky[:, 6]) < 0.01).all()
    assert found.sky[0, 6] > found.sky[-1, 6]
    assert found.waste == pytest.approx(found.sky)
    assert found.pans[6] == found.tilts[3] == 0.0


def test_turning_away_from_a_near_wall_frees_the_frame() -> None:
    """A camera on the front wall near its left end that looks along it."""
    found = turns(plan(house(), camera((0.5, 0, 2.4), 100, 15, across=85), area((6, -6))))
    assert found.walls[3, 0] > found.walls[3, 6] > found.walls[3, 12] + 0.02


def test_a_wanted_wall_and_a_wanted_tree_are_not_in_the_way() -> None:
    written = yard()
    cam = written.cameras[1]
    leafy = turns(written, 1)
    kept = replace(
        written,
        objects=tuple(replace(o, wanted=True) if o.id == "tree" else o for o in written.objects),
        cameras=(written.cameras[0], replace(cam, watches=("front", "gate")), written.cameras[2]),
    )
    found = turns(kept, 1)
    assert leafy.foliage[3, 6] > 0.05
    assert found.foliage[3, 6] == 0.0
    assert found.walls[3, 0] < leafy.walls[3, 0]


def test_a_wall_that_is_named_is_ones_own_and_not_the_neighbours() -> None:
    def near_walls(watches: tuple[str, ...], *, neighbour: str | None = None) -> float:
        standing = replace(house(), neighbour=neighbour)
        one = replace(camera((6, -4, 2.4), 0, 5, across=85), watches=watches)
        return float(turns(plan(standing, one)).walls[3, 6])

    unnamed = near_walls(())
    assert near_walls(("front",)) < unnamed - 0.2
    assert near_walls(("front",), neighbour="next-door") == unnamed


def test_avoided_ground_is_told_from_other_ground() -> None:
    lawn = ((-5.0, -6.0), (5.0, -6.0), (5.0, -0.2), (-5.0, -0.2))
    found = turns(plan(camera((0, 0, 3), 180, 50, across=60), area(*lawn, name="lawn", task="avoid", height=0.0)))
    assert found.avoid[3, 6] == pytest.approx(1.0)
    assert found.ground[3, 6] == 0.0
    assert found.ground[0, 6] > 0.1
    assert found.seen["lawn"][0, 6] > found.seen["lawn"][6, 6] > 0.0


def test_a_far_wall_is_no_near_wall() -> None:
    near, far = (turns(plan(box(0, -d, wide=30, tall=3, kind="fence"), camera((0, 0, 2), 180, 5))) for d in (3.0, 9.0))
    assert near.walls[3, 6] > 0.5
    assert far.walls[3, 6] == 0.0


def test_turns_are_looked_at_anew_only_where_the_view_changes() -> None:
    q = FakeQuery(yard())
    cam = q.plan.cameras[0]
    ref = Ref("camera", cam.id)
    before = q.of(TURNS, cam)
    same = q.vary(Change("replace", ref, replace(cam, night="none")))
    assert same.of(TURNS, same.get(ref)) is before
    other = q.vary(Change("replace", ref, aimed(cam, 20, 0)))
    assert other.of(TURNS, other.get(ref)) is not before


def test_moving_the_site_or_turning_it_with_its_north_changes_no_share() -> None:
    written = yard()
    for moved in (rigid(written, 300.0, -120.0), rigid(written, turn=75.0)):
        one, two = turns(written), turns(moved)
        assert one.waste == pytest.approx(two.waste, abs=0.01)
        assert one.seen["drive"] == pytest.approx(two.seen["drive"], abs=0.03)


def test_a_wall_right_behind_watched_ground_is_not_in_the_way_unless_one_looks_along_it() -> None:
    """From 3 m in front of a wall, and from its end along it, with ground to watch at its foot or elsewhere."""
    facing = camera((5.0, -3.0, 2.0), 0, 10, normal=(0.0, 1.0, 0.0))
    passing = camera((0.5, -0.6, 2.4), 90, 15)
    at_foot, elsewhere = area((4.0, -0.5), (6.0, -0.5)), area((4.0, -2.4), (6.0, -2.4))
    behind, before = (turns(plan(house(), facing, ground)).walls[3, 6] for ground in (at_foot, elsewhere))
    assert before > 0.5
    assert behind < before - 0.25
    along = [turns(plan(house(), passing, ground)).walls[3, 6] for ground in (at_foot, elsewhere)]
    assert along[0] == along[1] > 0.1


@pytest.mark.parametrize(
    "outline", [((5.0, -0.5),), ((4.0, -0.5), (6.0, -0.5)), ((4.0, -0.5), (6.0, -0.5), (5.0, -1.0))]
)
def test_spots_lines_and_patches_of_watched_ground_have_walls_behind_them(
    outline: tuple[tuple[float, float], ...],
) -> None:
    facing = camera((5.0, -3.0, 2.0), 0, 10, normal=(0.0, 1.0, 0.0))
    bare = turns(plan(house(), facing)).walls[3, 6]
    assert turns(plan(house(), facing, area(*outline))).walls[3, 6] < bare - 0.1
