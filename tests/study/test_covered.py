"""The covered study: a changed world's short cut gives what looking at everything anew gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from msgspec import structs

from oneclimb import kit
from oneclimb.api import Change, Ref
from oneclimb.engine.world import Shared, World
from oneclimb.review import nouns
from oneclimb.study import COVERED
from oneclimb.study.covered import compute
from oneclimb.study.covered_ground import Ground

if TYPE_CHECKING:
    from oneclimb.study.covered import Covered

TEXT = """
house: {front: {faces: 180, width: 10}, depth: 7, height: 5}
objects:
  - {id: shed, kind: shed, wall: back, along: 3, out: 6, wide: 2, deep: 2, tall: 2.2}
  - {id: post, kind: post, wall: front, along: 5, out: 6}
areas:
  - {id: lawn, for: detect, wall: back, along: 0 to 10, out: 3 to 14}
  - {id: drive, for: observe, wall: front, along: 2 to 8, out: 3 to 9}
cameras:
  - {id: back-cam, mount: {wall: back, along: 5, height: 2.8}, aim: {bearing: 0, tilt: 18}, night: none}
  - {id: front-cam, mount: {wall: front, along: 5, height: 2.8}, aim: {bearing: 180, tilt: 18}, night: none}
"""
SHED, CAMERA = Ref("object", "shed"), Ref("camera", "back-cam")


def world() -> World:
    """The plan as written."""
    loaded = kit.look(TEXT).loaded
    return World(loaded, Shared(nouns(kit.packs(), loaded), kit.DAY))


def told(covered: Covered, q: World) -> dict[str, tuple[float, float, int]]:
    """Shares shown and finely enough shown, and how many places there are, by area."""
    grounds = {area.id: covered.ground(area) for area in q.plan.areas}
    return {name: (ground.share, ground.enough(125.0), ground.places) for name, ground in grounds.items()}


@pytest.mark.parametrize(
    "change",
    [
        Change("replace", CAMERA.at("aim"), {"bearing": "30 deg", "tilt": "20 deg"}),
        Change("replace", CAMERA.at("watches"), ["drive"]),
        Change("replace", SHED.at("tall"), "1.0 m"),
        Change("replace", SHED.at("along"), "8 m"),
        Change("replace", SHED.at("there"), "sometimes"),
        Change("absent", SHED),
        Change("absent", CAMERA),
        Change("dark", SHED),
        Change("replace", Ref("area", "lawn", "out"), "4 to 9 m"),
    ],
    ids=lambda change: f"{change.how} {change.at.path}",
)
def test_a_changed_world_is_what_looking_anew_gives(change: Change) -> None:
    base = world()
    before = base.of(COVERED, base.plan.site)
    varied = base.vary(change)
    quick, anew = varied.of(COVERED, varied.plan.site), compute(varied.plan.site, varied)
    assert told(quick, varied) == told(anew, varied)
    assert quick.looks.keys() == anew.looks.keys()
    if change.at.kind in {"object", "camera"} and change.how != "dark":
        assert told(quick, varied) != told(before, base)
        assert quick.looks["front-cam"] is before.looks["front-cam"]
    if change.how == "dark":
        assert quick is before


def test_a_wide_lens_loses_pixels_towards_the_corners_with_the_square() -> None:
    """One place 0.7 of the way to the corner: of 100 px/m a fifth of 0.49 is lost there, 90.2 are left."""
    q = world()
    seen = q.of(COVERED, q.plan.site).ground(q.plan.areas[0]).views["back-cam"]
    yes, one = np.ones(1, dtype=np.bool_), np.ones(1, dtype=np.float32)
    view = structs.replace(seen, across=100.0, seen=yes, pxm=100 * one, edge=0.7 * one)
    ground = Ground({"cam": view}, np.zeros((1, 3)), yes, ())
    assert [ground.enough(need, 0.2, 80.0) for need in (90.0, 90.4)] == [1.0, 0.0]
    assert ground.enough(100.0, 0.2, 120.0) == 1.0


def test_a_place_hidden_from_one_camera_is_a_gap_only_if_no_other_shows_it() -> None:
    q = world()
    (lawn, _) = q.plan.areas
    ground = q.of(COVERED, q.plan.site).ground(lawn)
    assert ground.chief == "back-cam"
    gap = max(ground.gaps, key=lambda each: each.hidden_by is not None)
    assert gap.hidden_by == SHED
    assert sum(each.share for each in ground.gaps) == pytest.approx(1.0 - ground.share)
    assert np.array_equal(ground.shown, ground.views["back-cam"].seen & ground.free)
