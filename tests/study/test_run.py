"""Cables in short stretches, and rain at a connector, through the real reader."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oneclimb import kit
from oneclimb.api import Ref, Unknown
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.study import RUN, SHELTER, WIRING
from oneclimb.study.rain import rain_directions
from oneclimb.study.run import Run

HOUSE = "house: {front: {faces: 180, width: 40}, depth: 8, height: 20}"
EAVE = "house: {front: {faces: 180, width: 60}, depth: 8, eave: {height: 5, depth: 0.6}}"
PLACE = "site: {place: [54.62, -3.55]}"


def world(route: str = "", *, sits: str = "open", at: str = "wall: front, along: 20, height: 2", **more: str) -> World:
    """A site with one camera, its cable and a plug; ``more`` are further lines at the top."""
    head = "\n".join({"site": PLACE, "house": HOUSE, **more}.values())
    text = f"""{head}
cameras:
  - {{id: cam, mount: {{wall: front, along: 20, height: 4}}, night: none}}
cables:
  - id: c
    camera: cam
    connectors: [{{id: plug, {at}, sits: {sits}, seal: none}}]
    {route}
"""
    loaded = kit.look(text).loaded
    assert not loaded.faults, loaded.faults
    return World(loaded, Shared(NOUNS, kit.DAY))


def run(route: str, **more: str) -> Run:
    """The run of the cable along a route."""
    q = world(f"route: [{route}]", **more)
    return q.of(RUN, q.get(Ref("cable", "c")))


def rain(**more: str) -> float:
    """Share of rain's directions at the plug."""
    q = world(**more)
    return q.of(SHELTER, q.get(Ref("connector", "plug"))).rain


def on_front(height: float, *, start: float = 10, end: float = 18, cover: str = "none") -> str:
    """A level stretch along the front wall."""
    first = f"{{wall: front, along: {start}, height: {height}, out: 0.02, cover: {cover}}}"
    return f"{first}, {{wall: front, along: {end}, height: {height}, out: 0.02}}"


# ------------------------------------------------------------------------ within reach


def test_a_drop_down_a_wall_counts_below_two_and_a_half_metres() -> None:
    low = run("{wall: front, along: 4, height: 2.6}, {wall: front, along: 4, height: 0.6}").low
    assert len(low) == 1
    assert low[0].length == pytest.approx(1.9)
    assert low[0].lowest == pytest.approx(0.6)
    assert low[0].above == Ref("site", "site", "ground")
    assert low[0].a[2] == pytest.approx(2.5)
    assert low[0].b[2] == pytest.approx(0.6)


@pytest.mark.parametrize(("height", "exposed"), [(0.1, 8.0), (2.5, 8.0), (2.55, 0.0), (3.0, 0.0)])
def test_a_level_stretch_is_in_reach_or_not_by_its_height(height: float, exposed: float) -> None:
    assert run(on_front(height)).exposed == pytest.approx(exposed)


@pytest.mark.parametrize("end", [1.0, 0.37, 2.44])
def test_the_lowest_point_is_the_routes_own_and_not_a_pieces_middle(end: float) -> None:
    down = f"{{wall: front, along: 4, height: 2.6}}, {{wall: front, along: 4, height: {end}}}"
    aslant = f"{{wall: front, along: 4, height: {end}}}, {{wall: front, along: 5, height: 2.6}}"
    for route in (down, aslant):
        assert run(route).low[0].lowest == pytest.approx(end)


def test_the_lowest_point_below_a_roof_is_no_farther_down_than_a_hand_reaches() -> None:
    roof = "house: {front: {faces: 180, width: 40}, depth: 8, height: 6, flat-roof: true}"
    (low,) = run("{wall: front, along: 4, height: 5.9}, {wall: front, along: 4, height: 3.0}", house=roof).low
    assert low.above == Ref("building", "house")
    assert low.lowest == pytest.approx(-1.25)


@pytest.mark.parametrize("cover", ["conduit", "wall", "buried", "indoors"])
def test_what_is_covered_is_out_of_reach(cover: str) -> None:
    assert run(on_front(1.0, cover=cover)).exposed == 0.0


def test_an_armoured_cable_is_not_exposed() -> None:
    q = world(f"route: [{on_front(1.0)}]\n    armoured: true")
    assert q.of(RUN, q.get(Ref("cable", "c"))).exposed == 0.0


def test_steps_bring_a_hand_nearer_within_a_metre_and_a_quarter() -> None:
    # steps 1.2 m wide, 0.5 m up, against the wall: 1.2 m and 1.25 m to either side, cut in pieces of 0.1 m
    steps = "objects: [{id: steps, kind: steps, wall: front, along: 14, out: 0.45}]"
    found = run(on_front(2.9), objects=steps)
    assert found.exposed == pytest.approx(1.2 + 2 * 1.25, abs=0.11)
    assert {stretch.above for stretch in found.low} == {Ref("object", "steps")}
    assert found.low[0].lowest == pytest.approx(2.4)


def test_a_low_wall_can_be_stood_on_and_a_fence_cannot() -> None:
    def along(kind: str) -> float:
        return run(
            on_front(3.5), objects=f"objects: [{{id: it, kind: {kind}, wall: front, along: 0 to 40, out: 1}}]"
        ).exposed

    assert along("garden-wall") == pytest.approx(8.0)
    assert along("fence") == 0.0


def test_a_flat_roof_is_reached_down_from_and_up_from() -> None:
    low = "house: {front: {faces: 180, width: 40}, depth: 8, height: 5, flat-roof: true}"
    assert run(on_front(4.0), house=low).low[0].lowest == pytest.approx(-1.0)
    assert run(on_front(3.7), house=low).exposed == 0.0
    assert run("{at: [10, 4], height: 7}, {at: [18, 4], height: 7}", house=low).exposed == pytest.approx(8.0)
    assert run("{at: [10, 4], height: 7.6}, {at: [18, 4], height: 7.6}", house=low).exposed == 0.0


def test_a_cable_inside_the_house_is_not_in_reach_from_the_ground_outside() -> None:
    assert run("{at: [10, 4], height: 1}, {at: [18, 4], height: 1}").exposed == 0.0


@settings(max_examples=25, deadline=None)
@given(x=st.floats(-3, 3), y=st.floats(-3, 3), turned=st.floats(0, 180), z=st.floats(2.6, 3.4), up=st.floats(0.3, 1.0))
def test_reach_sideways_agrees_with_the_distance_to_a_rectangle(
    x: float, y: float, turned: float, z: float, up: float
) -> None:
    """Against the closed form of a point's distance to a rectangle, in the rectangle's own axes."""
    step = f"objects: [{{id: s, kind: steps, at: [{5 + x:.3f}, {-20 + y:.3f}], turned: {turned:.2f}, tall: {up:.3f}}}]"
    found = run(f"{{at: [0, -20], height: {z:.3f}}}, {{at: [10, -20], height: {z:.3f}}}", objects=step)
    along = (np.arange(100) + 0.5) * 0.1
    bearing = math.radians(round(turned, 2))
    across = np.stack([along - (5 + round(x, 3)), np.full(100, -round(y, 3))])
    u = across.T @ np.array([math.sin(bearing), math.cos(bearing)])
    v = across.T @ np.array([math.cos(bearing), -math.sin(bearing)])
    away = np.hypot(np.maximum(abs(u) - 0.6, 0), np.maximum(abs(v) - 0.45, 0))
    near = (away <= 1.25 + 1e-6) & (round(z, 3) - round(up, 3) <= 2.5 + 1e-6)
    assert found.exposed == pytest.approx(0.1 * near.sum(), abs=0.11)


def test_where_the_route_is_not_written_it_is_unknown() -> None:
    q = world()
    with pytest.raises(Unknown) as asked:
        q.of(RUN, q.get(Ref("cable", "c")))
    assert asked.value.ref == Ref("cable", "c", "route")


@pytest.mark.parametrize(("wall", "sunny"), [("front", 1.0), ("right", 0.0), ("back", 0.0), ("left", 0.0)])
def test_only_the_wall_towards_the_equator_faces_the_sun(wall: str, sunny: float) -> None:
    found = run(f"{{wall: {wall}, along: 2, height: 2}}, {{wall: {wall}, along: 3, height: 2}}")
    assert found.sunny == pytest.approx(sunny)


def test_without_a_place_on_earth_no_stretch_is_said_to_face_the_sun() -> None:
    assert run(on_front(2.0), site="site: {name: Somewhere}").sunny == 0.0


def test_a_camera_finds_its_cables() -> None:
    q = world()
    assert [cable.id for cable in q.of(WIRING, q.plan.site)["cam"]] == ["c"]


# -------------------------------------------------------------------------------- rain


def test_rain_directions_fill_the_cone_of_sixty_degrees_evenly() -> None:
    rays = rain_directions(0.3, 4000)
    assert np.linalg.norm(rays, axis=1) == pytest.approx(1.0)
    assert rays[:, 2].min() >= 0.5  # cos 60 degrees: the spray of second characteristic numeral 3, IEC 60529
    # evenly in solid angle: the height is uniform (Archimedes), the azimuth too
    assert rays[:, 2].mean() == pytest.approx(0.75, abs=1e-3)
    assert np.abs(rays[:, :2].mean(axis=0)).max() < 2e-3


def test_in_the_middle_of_a_lawn_all_rain_arrives() -> None:
    assert rain(at="at: [20, -60], height: 1") == 1.0


def test_a_wall_keeps_half_of_the_rain_off() -> None:
    assert rain(at="wall: front, along: 20, height: 2") == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("below", [0.2, 0.5, 1.0, 3.0])
def test_under_an_eave_the_share_is_that_of_the_open_wedge(below: float) -> None:
    """Against the solid angle integrated on a grid: free where tan(theta) cos(phi) > overhang / drop."""
    got = rain(house=EAVE, sits="eave", at=f"wall: front, along: 30, height: {5 - below}, out: 0.05")
    theta = np.arccos(1 - (np.arange(600) + 0.5) / 600 * 0.5)[:, None]
    phi = ((np.arange(1200) + 0.5) / 1200 * 2 * np.pi)[None, :]
    free = np.tan(theta) * np.cos(phi) > (0.6 - 0.05) / (below + 0.03)
    assert got == pytest.approx(free.mean(), abs=0.012)


def test_the_deeper_under_the_eave_the_less_rain() -> None:
    shares = [rain(house=EAVE, sits="eave", at=f"wall: front, along: 30, height: {h}") for h in (1, 2, 3, 4, 4.5, 4.9)]
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] == 0.0


@pytest.mark.parametrize("sits", ["soffit", "cavity", "box", "housing", "indoors"])
def test_no_rain_falls_inside(sits: str) -> None:
    assert rain(sits=sits, at="at: [20, -30], height: 1") == 0.0


@pytest.mark.parametrize(("kind", "kept_off"), [("parasol", False), ("shed", True)])
def test_what_is_there_only_sometimes_keeps_no_rain_off(kind: str, kept_off: bool) -> None:
    objects = f"objects: [{{id: it, kind: {kind}, at: [20, -30], height: 2}}]"
    assert (rain(objects=objects, at="at: [20, -30], height: 1.5") < 0.9) == kept_off


@pytest.mark.parametrize("faces", [0, 33, 180, 271])
def test_a_house_turned_as_a_whole_is_as_wet(faces: int) -> None:
    house = EAVE.replace("180", str(faces))
    assert rain(house=house, sits="eave", at="wall: front, along: 30, height: 4") == rain(
        house=EAVE, sits="eave", at="wall: front, along: 30, height: 4"
    )


def test_a_connector_nowhere_is_unknown() -> None:
    text = f"{HOUSE}\ncameras: [{{id: cam, mount: {{wall: front, along: 20, height: 4}}}}]\n"
    text += "cables: [{id: c, connectors: [{id: plug, sits: open, seal: none}]}]\n"
    q = World(kit.look(text).loaded, Shared(NOUNS, kit.DAY))
    with pytest.raises(Unknown):
        q.of(SHELTER, q.get(Ref("connector", "plug")))
