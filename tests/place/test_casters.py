"""The two casters against each other, and each against places worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oneclimb.place import lens
from oneclimb.place.embree import Embree
from oneclimb.place.plain import Plain
from oneclimb.place.scene import BEST, Caster, Scene, scene
from oneclimb.place.solids import solids
from oneclimb.plan.model import Plan
from place.builders import plan, yard

CASTERS = [Embree, Plain]
RNG = np.random.default_rng(20261124)


def soup(count: int, size: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
    """Triangles thrown about a cube of 20 m."""
    middle = RNG.uniform(-10, 10, (count, 1, 3))
    return (middle + RNG.normal(0, size, (count, 3, 3))).astype(np.float32)


def rays(count: int) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.float32]], ...]:
    """Rays from anywhere to anywhere."""
    way = RNG.normal(size=(count, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    return RNG.uniform(-12, 12, (count, 3)).astype(np.float32), way.astype(np.float32)


def test_embree_is_the_caster_where_it_is_installed() -> None:
    assert BEST is Embree


@pytest.mark.parametrize(("count", "size"), [(1, 5.0), (7, 2.0), (400, 1.0), (5000, 0.3)])
def test_both_casters_meet_the_same_triangles(count: int, size: float) -> None:
    triangles = soup(count, size)
    origins, way = rays(20_000)
    t, tri = Embree(triangles).nearest(origins, way)
    u, other = Plain(triangles).nearest(origins, way)
    assert (tri >= 0).mean() > 0.01
    assert (tri == other).mean() >= 0.999
    same = (tri == other) & (tri >= 0)
    assert np.abs(t[same] - u[same]).max() < 1e-3


def test_both_casters_find_the_same_rays_blocked() -> None:
    triangles = soup(600, 0.8)
    origins, way = rays(20_000)
    reach = RNG.uniform(0.5, 20, 20_000).astype(np.float32)
    blocked = Embree(triangles).blocked(origins, way, reach)
    assert 0.05 < blocked.mean() < 0.95
    assert (blocked == Plain(triangles).blocked(origins, way, reach)).mean() >= 0.999


def both(written: Plan) -> tuple[Scene, Scene]:
    made = solids(written)
    return scene(made, Embree), scene(made, Plain)


def test_both_casters_see_the_same_yard_through_every_camera() -> None:
    written = yard()
    one, two = both(written)
    for camera in written.cameras:
        eye = lens.eye(camera, written.site)
        way = eye.directions(160, 90)
        a, b = one.cast(eye.origin, way), two.cast(eye.origin, way)
        owners, others = one.owner_of(a), two.owner_of(b)
        assert (owners == others).mean() >= 0.999
        for number in np.unique(owners):
            assert (owners == number).mean() == pytest.approx((others == number).mean(), abs=5e-4)
        near = (a.t < 100) & (owners == others)
        assert np.abs(a.t[near] - b.t[near]).max() < 2e-3


def test_both_casters_agree_with_things_taken_away() -> None:
    written = yard()
    one, two = both(written)
    eye = lens.eye(written.cameras[0], written.site)
    way = eye.directions(96, 54)
    gone = frozenset(ref for ref in one.owners if ref.kind == "object")
    owners = one.owner_of(one.cast(eye.origin, way, gone))
    assert (owners == two.owner_of(two.cast(eye.origin, way, gone))).mean() >= 0.999
    assert not np.isin(owners, one.owned_by(gone)).any()


@pytest.mark.parametrize("make", CASTERS)
def test_a_ray_meets_the_nearer_of_two_squares(make: type[Caster]) -> None:
    square = np.array([[(-1, -1, 0), (1, -1, 0), (1, 1, 0)], [(-1, -1, 0), (1, 1, 0), (-1, 1, 0)]], dtype=np.float32)
    up = np.array([(0.0, 0.0, 1.0)] * 4, dtype=np.float32)
    caster = make(np.concatenate([square + 5 * up[0], square + 3 * up[0]]))
    origins = np.array([(0.3, 0.2, 0), (0.3, 0.2, 4), (0.3, 0.2, 6), (3, 0, 0)], dtype=np.float32)
    t, tri = caster.nearest(origins, up)
    assert t.tolist() == pytest.approx([3.0, 1.0, np.inf, np.inf])
    assert tri[2:].tolist() == [-1, -1]
    assert tri[0] in (2, 3)
    reach = np.array([2.9, 1.1, 9.0, 9.0], dtype=np.float32)
    assert caster.blocked(origins, up, reach).tolist() == [False, True, False, False]


@pytest.mark.parametrize("make", CASTERS)
def test_no_ray_slips_through_the_seam_of_two_triangles(make: type[Caster]) -> None:
    """A frame of rays that all lie in the plane of a square's diagonal."""
    square = np.array([[(-4, 2, -4), (4, 2, -4), (4, 2, 4)], [(-4, 2, -4), (4, 2, 4), (-4, 2, 4)]], dtype=np.float32)
    along = np.linspace(-3.9, 3.9, 4001)
    way = np.stack([along, np.full_like(along, 2.0), along], axis=1)
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    _, tri = make(square).nearest(np.zeros_like(way, dtype=np.float32), way.astype(np.float32))
    assert (tri >= 0).all()


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 60), st.integers(0, 2**32 - 1))
def test_the_tree_of_boxes_loses_nothing(count: int, seed: int) -> None:
    """Against every triangle tried for every ray, by the plane and three half planes."""
    rng = np.random.default_rng(seed)
    triangles = rng.uniform(-3, 3, (count, 3, 3)).astype(np.float32)
    way = rng.normal(size=(50, 3))
    way = (way / np.linalg.norm(way, axis=1, keepdims=True)).astype(np.float32)
    t, _ = Plain(triangles).nearest(np.zeros((50, 3), dtype=np.float32), way)
    a, b, c = triangles.astype(np.float64).swapaxes(0, 1)
    square = np.cross(b - a, c - a)
    with np.errstate(divide="ignore", invalid="ignore"):
        far = (a * square).sum(axis=1) / (way @ square.T)
    place = way[:, None, :] * far[..., None]
    inside = far > 0
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= (np.cross(q - p, place - p) * square).sum(axis=-1) >= 0
    expected = np.where(inside, far, np.inf).min(axis=1)
    assert t == pytest.approx(expected, rel=1e-4)


def test_more_than_a_thousand_scenes_may_live_at_once() -> None:
    triangles = soup(20, 1.0)
    origins, way = rays(10)
    alive = [Embree(triangles) for _ in range(1500)]
    first = alive[0].nearest(origins, way)[1].tolist()
    assert all(caster.nearest(origins, way)[1].tolist() == first for caster in alive)


def test_an_empty_plan_is_ground_and_sky() -> None:
    made = scene(solids(plan()))
    way = np.array([(0.0, 0.0, -1.0), (0.0, 0.0, 1.0)])
    assert made.cast((0.0, 0.0, 2.0), way).t.tolist() == [2.0, np.inf]
