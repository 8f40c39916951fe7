"""Objects, lamps, cameras and cables: usual sizes, short and long forms, angles by hand."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from oneclimb.plan.kinds import KINDS
from oneclimb.plan.model import Camera, Object, Power
from oneclimb.trade.housing import HOUSINGS
from oneclimb.trade.materials import BUILT_IN
from plan.written import CAMERA, DATA, only, plan_of, read, site


def thing(entry: str) -> Object:
    """One object, read."""
    return plan_of(site(f"objects: [{{id: o, {entry}}}]")).objects[0]


def camera(keys: str = "", extra: str = "", mount: str = "wall: front, along: 5, height: 2.6") -> Camera:
    """One camera, read."""
    return plan_of(site(extra, f"{{id: cam, mount: {{{mount}}}{', ' + keys if keys else ''}}}")).cameras[0]


def test_every_kind_of_object_is_of_a_known_material_and_can_be_placed_short() -> None:
    for kind, usual in KINDS.items():
        assert usual.surface in BUILT_IN
        if kind in ("box", "cylinder", "panel", "crown"):
            continue
        where = "along: 1 to 3, out: 4" if usual.drawn else "along: 2"
        runs = ", to: {at: [5, -12]}" if kind == "service-drop" else ""
        solid = thing(f"kind: {kind}, wall: front, {where}{runs}")
        assert (solid.tall > 0) == (not runs)
        assert (solid.diameter > 0) == (usual.shape in ("cylinder", "crown"))
        assert (solid.wide > 0) == (usual.shape in ("box", "panel"))
        assert solid.fixed_by == usual.fixed_by


def test_a_downpipe_runs_from_the_ground_to_the_eave_just_off_the_wall() -> None:
    pipe = thing("kind: downpipe, wall: front, along: 9")
    assert (pipe.shape, pipe.diameter, pipe.spot.z) == ("cylinder", 0.08, 0.0)
    assert pipe.tall == pytest.approx(2.7)
    assert pipe.spot.out == pytest.approx(0.06)


def test_what_touches_a_wall_stands_off_by_half_its_size_in_feet_as_in_metres() -> None:
    listed = "{id: pipe, kind: downpipe, wall: left}, {id: bush, kind: bush, wall: back, diameter: 2 m}"
    metres, feet = (plan_of(site(f"units: {units}\nobjects: [{listed}]")).objects for units in ("metres", "feet"))
    assert [one.spot.out for one in metres] == [one.spot.out for one in feet] == [0.08 / 2 + 0.02, 1.0]


def test_what_must_not_be_touched_is_marked() -> None:
    never = {kind for kind, usual in KINDS.items() if usual.fixed_by == "never"}
    assert never == {"gas-pipe", "flue", "vent", "meter", "lightning-conductor", "service-drop"}


def test_a_gutter_hangs_at_the_edge_of_the_eave_it_is_drawn_along() -> None:
    gutter = thing("kind: gutter, wall: front, along: 0 to 10")
    assert (gutter.spot.x, gutter.spot.z, gutter.wide) == (5.0, 2.7, 10.0)
    assert gutter.spot.out == pytest.approx(0.4 + 0.12 / 2)
    assert thing("kind: gutter, points: [[0, -1], [4, -1]]").spot.z == 2.5


def test_a_service_drop_runs_overhead_to_where_it_ends_and_is_nobodys_to_touch() -> None:
    drop = thing("kind: service-drop, wall: front, along: 2, height: 5, to: {at: [2, -15], height: 6 m}")
    assert drop.to is not None
    assert (drop.spot.z, drop.to.xyz, drop.fixed_by) == (5.0, (2.0, -15.0, 6.0), "never")
    short = thing("kind: service-drop, wall: front, to: {at: [2, -15]}")
    assert short.to is not None
    assert short.spot.z == short.to.z == 4.5
    fault = only(site("objects: [{id: o, kind: service-drop, wall: front}]"))
    assert (fault.code, fault.text) == ("PLAN-12", "`to` is missing")


def test_plates_and_road_signs_throw_light_straight_back_and_so_may_a_plans_own_material() -> None:
    for kind in ("number-plate", "road-sign"):
        assert BUILT_IN[thing(f"kind: {kind}, at: [5, -9]").surface].retro > 0
    own = "materials: {tape: {reflectance: {850: 0.3}, retro: 250}, felt: {reflectance: {850: 0.3}}}"
    materials = plan_of(site(own)).materials
    assert (materials["tape"].retro, materials["felt"].retro) == (250.0, 0.0)


def test_a_tree_is_a_crown_on_its_trunk() -> None:
    tree = thing("kind: tree, at: [5, -9], tall: 6, trunk: {height: 2}, grows: 30 cm")
    assert (tree.spot.z, tree.trunk, tree.grows) == (0.0, (2.0, 0.3), 0.3)
    assert tree.tall == pytest.approx(4.0)


def test_a_thing_drawn_as_a_line_is_a_box_a_stretch() -> None:
    plan = plan_of(site("objects: [{id: f, kind: fence, points: [[0, -5], [3, -5], [3, -9]]}]"))
    assert [o.id for o in plan.objects] == ["f", "f~2"]
    assert [(o.wide, o.yaw) for o in plan.objects] == [(3.0, 0.0), (4.0, 270.0)]
    assert [(o.spot.x, o.spot.y) for o in plan.objects] == [(1.5, -5.0), (3.0, -7.0)]
    one = thing("kind: hedge, wall: front, along: 0 to 6, out: 4")
    assert (one.wide, one.deep, one.tall, one.spot.x, one.spot.y) == (6.0, 0.6, 1.8, 3.0, -4.0)


def test_a_thing_by_a_wall_stands_along_it_and_is_turned_from_it() -> None:
    assert thing("kind: car, wall: front, along: 5, out: 4").yaw == pytest.approx(0.0)
    assert thing("kind: car, wall: right, along: 3, out: 4").yaw == pytest.approx(90.0)
    assert thing("kind: car, wall: front, along: 5, out: 4, turned: 30").yaw == pytest.approx(30.0)
    # in coordinates `turned` is the bearing of its wide side: east is along +x
    assert thing("kind: car, at: [5, -9], turned: 90").yaw == pytest.approx(0.0)
    assert thing("kind: car, at: [5, -9], turned: 0").yaw == pytest.approx(90.0)


def test_a_camera_aimed_at_an_area_looks_at_its_middle_at_half_the_height_that_matters() -> None:
    areas = "areas: [{id: gate, for: detect, wall: front, along: 4 to 6, out: 8}]"
    cam = camera("aim: gate", areas)
    out = HOUSINGS["turret"].out
    assert cam.aim.at == "gate"
    assert cam.aim.bearing == pytest.approx(180.0)
    assert cam.aim.tilt == pytest.approx(math.degrees(math.atan2(2.6 - 0.75, 8 - out)))


def test_a_camera_aimed_at_an_object_or_a_place_looks_at_its_middle() -> None:
    cam = camera("aim: bin", "objects: [{id: bin, kind: bin, wall: front, along: 5, out: 5}]")
    assert cam.aim.tilt == pytest.approx(math.degrees(math.atan2(2.6 - 0.55, 5 - 0.09)))
    cam = camera("aim: {wall: front, along: 8, out: 3, height: 1}")
    assert cam.aim.bearing == pytest.approx(180 - math.degrees(math.atan2(3, 3 - 0.09)))


def test_a_camera_without_an_aim_looks_straight_out_and_down() -> None:
    assert camera().aim.bearing == pytest.approx(180.0)
    assert camera().aim.tilt == 15.0
    assert camera("shape: doorbell").aim.tilt == 0.0
    assert camera("aim: {tilt: 30}").aim.bearing == pytest.approx(180.0)


def test_a_camera_under_the_soffit_hangs_in_the_middle_of_the_eave() -> None:
    cam = camera("", "", "wall: front, along: 5, to: soffit")
    assert cam.mount.spot.xyz == pytest.approx((5, -0.2, 2.7))
    assert cam.mount.normal == (0.0, 0.0, -1.0)
    assert cam.aim.bearing == pytest.approx(180.0)


def test_an_arm_reaches_straight_out() -> None:
    cam = camera("", "", "wall: front, along: 5, height: 2.6, arm: 30 cm")
    assert cam.mount.spot.xyz == pytest.approx((5, -0.3, 2.6))
    assert cam.mount.spot.out == pytest.approx(0.3)


def test_a_view_is_an_angle_or_a_lens_with_its_sensor() -> None:
    """A 2.8 mm lens on a sensor 5.6 mm wide sees exactly 90 degrees: w / 2f = 1 (pinhole)."""
    view = camera("lens: {focal: 2.8 mm, sensor: 5.6 mm wide}, pixels: 3840 x 2160").view
    assert view.across == pytest.approx(90.0, abs=1e-9)
    assert view.down == pytest.approx(58.72, abs=0.01)
    # 1/2.8 in: diagonal 18 / 2.8 = 6.43 mm, 16:9 -> 5.60 mm wide (the 18 mm rule)
    assert camera("lens: {focal: 2.8, sensor: 1/2.8 in}, pixels: 1920 x 1080").view.across == pytest.approx(
        90.0, abs=0.1
    )
    # 4 mm on 5.6 mm: 69.98 degrees (worked with the pinhole formula)
    assert camera("lens: {focal: 4 mm, sensor: 5.6 mm wide}").view.across == pytest.approx(69.98, abs=0.01)
    assert camera("view: 100 deg").view.projection == "rectilinear"
    wide = camera("view: 110 deg, pixels: 1600 x 800").view
    assert wide.projection == "equidistant"
    assert wide.down == pytest.approx(55.0)
    assert camera("view: {across: 103, down: 58 deg}").view.down == 58.0


def test_short_and_long_forms_say_the_same() -> None:
    assert camera("infrared: 30 m") == camera("infrared: {range: 30 m}")
    assert camera("view: 90") == camera("view: {across: 90 deg}")
    assert camera("power: 7 W").power == Power(None, 7.0)
    assert camera("power: battery").power == Power("battery")
    assert camera("power: {source: solar, watts: 5, capacity: 1 kWh}").power == Power("solar", 5.0, 1000.0)
    assert camera().power == Power(None)


def test_night_follows_from_what_lamps_it_has() -> None:
    assert camera().night == "infrared"
    assert camera("white: {lumens: 300}").night == "white"
    assert camera("white: {lumens: 300}, infrared: 20 m").night == "both"
    assert camera("night: none").infrared is None


def test_a_cameras_own_keys_win_over_its_types_and_mappings_merge() -> None:
    types = "types: {t: {shape: dome, infrared: {range: 30, wavelength: 940}, view: 80, power: 7 W}}"
    cam = camera(
        "type: t, infrared: {range: 20}, lens: {focal: 2.8 mm, sensor: 5.6 mm wide}, power: {source: poe}", types
    )
    assert cam.infrared is not None
    assert (cam.shape, cam.infrared.range, cam.infrared.wavelength) == ("dome", 20.0, 940)
    assert cam.view.across == pytest.approx(90.0)  # a lens of its own replaces the type's view
    assert cam.power == Power("poe", 7.0)
    short = camera("type: t, infrared: 20 m", types)
    assert short.infrared is not None
    assert short.infrared.wavelength == 850  # written short it is written whole


def test_a_mask_is_an_outline_or_a_box_of_the_picture() -> None:
    cam = camera(
        "masks: [{id: a, box: {x: 0 to 30 %, y: 0.4 to 1}, set: in-camera}, {id: b, outline: [[0,0],[1,0],[1,0.5]]}]"
    )
    assert cam.masks[0].outline == ((0.0, 0.4), (0.3, 0.4), (0.3, 1.0), (0.0, 1.0))
    assert [mask.set for mask in cam.masks] == ["in-camera", "planned"]


def test_a_cable_written_with_its_camera_has_a_plug_at_the_mount() -> None:
    plan = plan_of(site("", CAMERA.replace("}}", "}, cable: {to: switch, length: 22, seal: gland, sits: box}}")))
    (cable,) = plan.cables
    (plug,) = cable.connectors
    assert (cable.id, cable.camera, cable.length, cable.carries) == ("cam-cable", "cam", 22.0, "data+power")
    assert (plug.id, plug.seal, plug.sits, plug.carries) == ("cam-plug", "gland", "box", "data+power")
    assert plug.spot == plan.cameras[0].mount.spot
    assert plan.cameras[0].link == "cable"


def test_a_cable_to_a_camera_has_a_plug_there_even_if_none_is_written() -> None:
    (cable,) = plan_of(site("cables: [{id: run, camera: cam}]")).cables
    assert [(c.id, c.seal, c.camera) for c in cable.connectors] == [("run-plug", None, "cam")]
    assert cable.legs is None


def test_a_route_is_legs_with_what_covers_each() -> None:
    route = "[{wall: front, along: 5, height: 2.5, cover: conduit}, {wall: front, along: 5, height: 0}, {at: [5, -9]}]"
    (cable,) = plan_of(site(f"cables: [{{id: run, route: {route}}}]")).cables
    assert cable.legs is not None
    assert [(leg.a.z, leg.b.z, leg.cover) for leg in cable.legs] == [(2.5, 0.0, "conduit"), (0.0, 0.0, "none")]


def test_a_plan_in_feet_reads_as_the_same_plan_in_metres() -> None:
    house = "house: {{front: {{faces: 180, width: {}}}, depth: {}, eave: {{height: 8 ft, depth: 1 ft}}}}\n"
    feet, metres = "units: feet\n" + house.format(32.8084, 22.96588), house.format(10, 7)
    a = plan_of(feet + "cameras: [{id: c, mount: {wall: front, along: 16.4042, height: 8}}]\n")
    b = plan_of(metres + "cameras: [{id: c, mount: {wall: front, along: 5, height: 8 ft}}]\n")
    assert a.cameras[0].mount.spot.xyz == pytest.approx(b.cameras[0].mount.spot.xyz, abs=1e-6)
    assert replace(a.cameras[0], mount=b.cameras[0].mount, aim=b.cameras[0].aim) == b.cameras[0]


def test_the_two_camera_plan_and_the_odd_site_load() -> None:
    counts = {}
    for file in sorted(DATA.glob("*.plan.yaml")):
        loaded = read(file.read_text(encoding="utf-8"))
        assert loaded.plan is not None, loaded.faults
        counts[file.name] = (len(loaded.plan.cameras), len(loaded.plan.objects), len(loaded.plan.cables))
    assert counts == {"two-cameras.plan.yaml": (2, 2, 2), "odd-site.plan.yaml": (3, 6, 1)}
