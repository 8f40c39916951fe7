"""The plan as triangles: sizes and volumes against closed forms, faults named, nothing coincident."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from oneclimb.api import Ref
from oneclimb.place import mesh, shapes
from oneclimb.place.buildings import triangulated
from oneclimb.place.mesh import PlaceError
from oneclimb.place.objects import SHY
from oneclimb.place.solids import GROUND, solids
from oneclimb.plan.limits import Limits
from oneclimb.plan.model import Building, Eave, Object, Plan, Spot, Vec2, Wall, Window
from place.builders import box, camera, house, pipe, plan, yard


def of(made: mesh.Solids, ref: Ref) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """The triangles of one owner."""
    return np.asarray(made.triangles[made.owner == made.owners.index(ref)])


def volume(triangles: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """Of a closed mesh, by the divergence theorem; positive when its faces look outward."""
    return float(np.linalg.det(triangles).sum() / 6)


def walls_round(outline: list[Vec2]) -> tuple[Wall, ...]:
    """Walls in order round an anticlockwise outline."""
    made = []
    for i, (a, b) in enumerate(zip(outline, outline[1:] + outline[:1], strict=True)):
        length = math.dist(a, b)
        normal = ((b[1] - a[1]) / length, -(b[0] - a[0]) / length)
        made.append(Wall(f"wall-{i + 1}", a, b, normal, "red brick"))
    return tuple(made)


ELL: list[Vec2] = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (5.0, 4.0), (5.0, 9.0), (0.0, 9.0)]


def test_a_box_has_its_volume_and_faces_outward() -> None:
    triangles = of(solids(plan(box(3, 4, wide=2, deep=1, tall=1.5, yaw=30))), Ref("object", "box"))
    assert volume(triangles) == pytest.approx((2 - 2 * SHY) * (1 - 2 * SHY) * (1.5 - 2 * SHY), rel=1e-9)
    assert triangles.reshape(-1, 3).mean(axis=0) == pytest.approx((3, 4, 0.75), abs=1e-9)


def test_a_box_turned_thirty_degrees_lies_along_that_direction() -> None:
    corners = of(solids(plan(box(0, 0, wide=4, deep=0.1, yaw=30))), Ref("object", "box")).reshape(-1, 3)
    far = corners[np.argmax(corners[:, 0])]
    assert math.degrees(math.atan2(far[1], far[0])) == pytest.approx(30, abs=2)


def test_a_pipe_has_its_diameter_from_wherever_it_is_seen() -> None:
    """Mean width over all sides is the circle's, each within about 1 %."""
    ring = of(solids(plan(pipe(0, 0, diameter=0.08))), Ref("object", "pipe")).reshape(-1, 3)[:, :2]
    turns = np.radians(np.arange(0, 180, 0.5))
    across = np.ptp(ring @ np.array([np.cos(turns), np.sin(turns)]), axis=0)
    assert across.mean() == pytest.approx(0.08, rel=1e-3)
    assert np.abs(across / 0.08 - 1).max() < 0.011


def test_a_pipe_from_spot_to_spot_lies_between_them() -> None:
    run = Object("run", "pipe", "cylinder", Spot(1, -0.1, 2.2), "white plastic", 1, diameter=0.1, to=Spot(4, -0.1, 2.0))
    triangles = of(solids(plan(run)), Ref("object", "run"))
    ends = triangles.reshape(-1, 3)
    assert (ends.min(axis=0)[0], ends.max(axis=0)[0]) == pytest.approx((1, 4), abs=0.01)
    # the polygon's area times the length: girth pi d, so a little under the circle's
    sides = shapes.SIDES
    area = (math.pi * 0.1) ** 2 / (4 * sides * math.tan(math.pi / sides))
    assert volume(triangles) == pytest.approx(area * (math.dist((1, 2.2), (4, 2.0)) - 2 * SHY), rel=1e-6)


def test_a_crown_is_as_large_as_its_ellipsoid() -> None:
    """Mean shadow of a sphere's mesh, a quarter of its surface (Cauchy), is the sphere's."""
    ball = Object("ball", "bush", "crown", Spot(0, 0, 1), "green leaves", 2, diameter=2)
    triangles = of(solids(plan(ball)), Ref("object", "ball"))
    area = (
        np.linalg.norm(np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=1).sum() / 2
    )
    assert area / 4 == pytest.approx(math.pi, rel=1e-9)
    assert volume(triangles) == pytest.approx(4 / 3 * math.pi, rel=0.12)
    assert triangles.reshape(-1, 3).mean(axis=0) == pytest.approx((0, 0, 2), abs=1e-9)


def test_a_tree_stands_on_its_trunk_and_is_of_bark_below() -> None:
    tree = Object("tree", "tree", "crown", Spot(0, 0, 0), "green leaves", 3, diameter=3, trunk=(2, 0.3))
    made = solids(plan(tree))
    triangles, leaves = of(made, Ref("object", "tree")), made.materials[int(made.material[2])]
    assert leaves.foliage
    low = triangles[..., 2].max(axis=1) <= 2.0 + 1e-9
    names = {made.materials[i].id for i in made.material[made.owner == 1][low]}
    assert names == {"bark"}
    assert triangles[..., 2].max() == pytest.approx(5.0, abs=0.15)


def test_a_sign_on_the_wall_is_lifted_off_it_and_a_thick_one_is_a_box() -> None:
    flat = Object("flat", "sign", "panel", Spot(2, 0, 1, normal=(0, -1)), "white plastic", 0.3, wide=0.4)
    thick = replace(flat, id="thick", deep=0.01)
    made = solids(plan(flat, thick))
    assert of(made, Ref("object", "flat"))[..., 1].ravel() == pytest.approx(-0.002)
    assert len(of(made, Ref("object", "flat"))) == 2
    assert len(of(made, Ref("object", "thick"))) == 12


def test_a_house_has_walls_windows_eaves_and_a_lid_under_their_own_names() -> None:
    made = solids(plan(house(windows={"front": Window("bay", (2, 4), (0.9, 2.1))})))
    fields = {ref.field for ref in made.owners if ref.kind == "building"}
    assert fields == {"walls.front", "walls.right", "walls.back", "walls.left", "windows.bay", "eave", "roof"}
    pane = of(made, Ref("building", "house", "windows.bay")).reshape(-1, 3)
    assert pane[:, 1] == pytest.approx(-0.002)
    assert (pane[:, 0].min(), pane[:, 0].max()) == pytest.approx((2, 4))
    assert (pane[:, 2].min(), pane[:, 2].max()) == pytest.approx((0.9, 2.1))


def test_the_soffit_lies_at_the_eaves_height_and_depth() -> None:
    made = solids(plan(house(width=10, depth=6, height=2.7, eave=0.45)))
    eave = of(made, Ref("building", "house", "eave"))
    soffit = eave[(np.abs(eave[..., 2] - 2.7) < 1e-9).all(axis=1)]
    shape = shapely.union_all([shapely.Polygon(t[:, :2]) for t in soffit])
    assert shape.area == pytest.approx(2 * 10 * 0.45)
    assert shape.bounds == pytest.approx((0, -0.45, 10, 6.45))
    assert (made.normals[made.owner == made.owners.index(Ref("building", "house", "eave"))][:2, 2] < 0).all()


def test_eaves_on_all_sides_meet_in_mitres_round_any_corner() -> None:
    walls = walls_round(ELL)
    building = Building("ell", walls, 2.7, Eave(2.7, 0.5, tuple(w.id for w in walls)))
    eave = of(solids(plan(building)), Ref("building", "ell", "eave"))
    soffit = eave[(np.abs(eave[..., 2] - 2.7) < 1e-9).all(axis=1)]
    shape = shapely.union_all([shapely.Polygon(t[:, :2]) for t in soffit])
    outline = shapely.Polygon(ELL)
    expected = outline.buffer(0.5, join_style="mitre").difference(outline)
    assert shapely.symmetric_difference(shape, expected).area < 1e-9


def test_a_house_is_closed_all_round_but_for_its_floor() -> None:
    """Its normals times its areas, floor added, come to nothing: no gap, all faces outward."""
    walls = walls_round(ELL)
    made = solids(plan(Building("ell", walls, 2.7)))
    own = made.owner > 0
    t = made.triangles[own]
    area = np.linalg.norm(np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0]), axis=1) / 2
    total = (made.normals[own] * area[:, None]).sum(axis=0)
    assert total == pytest.approx((0, 0, shapely.Polygon(ELL).area), abs=1e-9)


@pytest.mark.parametrize("outline", [ELL, [(0, 0), (4, 0), (4, 3), (0, 3)], [(0, 0), (2, 0), (4, 0), (4, 3), (0, 3)]])
def test_an_outline_in_triangles_has_its_own_area(outline: list[Vec2]) -> None:
    pieces = triangulated(tuple(outline))
    assert sum(shapely.Polygon(p).area for p in pieces) == pytest.approx(shapely.Polygon(outline).area)
    whole = shapely.union_all([shapely.Polygon(p) for p in pieces])
    assert shapely.symmetric_difference(whole, shapely.Polygon(outline)).area < 1e-9


def test_the_ground_is_owned_by_the_site_and_reaches_the_horizon() -> None:
    made = solids(plan(house()))
    ground = of(made, GROUND)
    assert len(ground) == 2
    assert (ground[..., 2] == 0).all()
    assert np.ptp(ground[..., 0]) > 10_000


def test_every_solid_of_a_pack_stands_under_its_own_reference() -> None:
    ref = Ref("scarecrow", "worzel")
    thing = replace(box(1, 1), id="ignored")
    made = solids(replace(plan(house()), added=((ref, thing),)))
    assert ref in made.owners


@pytest.mark.parametrize(
    ("thing", "word"),
    [
        (box(0, 0, wide=math.nan), "finite"),
        (box(math.inf, 0), "finite"),
        (box(0, 0, tall=0.0), "without area"),
        (pipe(0, 0, diameter=0.0), "without area"),
        (pipe(0, 0, tall=0.0), "without area"),
    ],
)
def test_a_solid_that_cannot_be_is_named_before_anything_is_cast(thing: Object, word: str) -> None:
    with pytest.raises(PlaceError, match=word) as fault:
        solids(plan(house(), thing))
    assert fault.value.ref == Ref("object", thing.id)


def test_an_unknown_surface_is_named() -> None:
    with pytest.raises(PlaceError, match="no material is called 'velvet'") as fault:
        solids(plan(box(0, 0, surface="velvet")))
    assert fault.value.ref == Ref("object", "box")


def test_too_many_triangles_are_refused_with_their_number_and_the_setting() -> None:
    three = plan(*(box(i, 0, name=f"box-{i}") for i in range(3)))
    with pytest.raises(PlaceError, match=r"38 triangles, at most 30 .*--limit triangles="):
        solids(replace(three, limits=Limits(triangles=30)))
    assert len(solids(replace(three, limits=Limits(triangles=38))).triangles) == 38


def test_a_site_wider_than_five_kilometres_is_refused() -> None:
    with pytest.raises(PlaceError, match=r"5,001 m wide, at most 5000 m .*--limit site-size="):
        solids(plan(box(0, 0), box(5001, 0, name="far")))


def crowd(count: int) -> Plan:
    """Houses, and five things about each of ``count`` cameras."""
    things: list[object] = [house(at=(30.0 * (i % 13), 30.0 * (i // 13)), name=f"h{i}") for i in range(count // 6)]
    for i in range(count):
        x, y = 5.0 * (i % 78), 30.0 * (i // 78)
        things += [pipe(x, y - 0.1, name=f"p{i}"), box(x, y - 4, name=f"b{i}"), box(x, y - 6, name=f"f{i}", deep=0.05)]
        things += [box(x, y - 7, name=f"w{i}"), pipe(x, y - 8, name=f"q{i}"), camera((x, y, 2.6), name=f"c{i}")]
    return plan(*things)  # type: ignore[arg-type]


def test_five_thousand_things_are_built_in_a_fraction_of_a_second() -> None:
    written = crowd(1000)
    assert len(written.objects) == 5000
    best = math.inf
    for _ in range(3):
        start = time.perf_counter()
        made = solids(written)
        best = min(best, time.perf_counter() - start)
    assert len(made.triangles) > 50_000
    assert best < 1.0  # 0.1 s on the machine it was written on; loops over triangles would take many


def test_the_yard_is_sound() -> None:
    made = solids(yard())
    assert np.isfinite(made.normals).all()
    assert np.linalg.norm(made.normals, axis=1) == pytest.approx(1.0)
