"""Seven demonstrations every installer knows, and the model's orders of magnitude. Common practice, no source.

Sign and rough size only: each number is a wide band about what the trade sees.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from oneclimb.api import Change, Ref
from oneclimb.plan.model import Area, Camera, Infrared, Lamp, Object, Plan
from oneclimb.study import NIGHT, RASTER
from oneclimb.study.night import Night
from oneclimb.study.raster import SKY
from oneclimb.trade.housing import HOUSINGS
from place import builders

WALL = builders.house(width=60.0, height=4.0, eave=0.0, surface="red brick")
YARD = builders.area((8.0, -1.0), (12.0, -1.0), (12.0, -12.0), (8.0, -12.0), name="yard")
PIPE = Ref("object", "pipe")


def _night(camera: Camera, *things: Any, **more: Any) -> Night:
    q = builders.FakeQuery(builders.plan(camera, *things, **more))
    return q.of(NIGHT, q.plan.cameras[0])


def _along_wall(shape: str = "box") -> Camera:
    """A camera 2.7 m up whose glass is 0.25 m off the wall it looks along, at x = 55."""
    housing = HOUSINGS[shape]
    return builders.camera((55.0 + housing.nose, -0.25 + housing.out, 2.7), bearing=270.0, tilt=15.0, shape=shape)


def _pipe(away: float, surface: str = "white plastic") -> Object:
    return builders.pipe(55.0 - away, -0.1, tall=4.0, surface=surface)


def _beside(shape: str = "box", **more: Any) -> Camera:
    return builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=15.0, shape=shape, **more)


def _opposite(apart: float, tilt: float = 0.0, **more: Any) -> tuple[Camera, Camera]:
    """Two cameras whose glasses face each other ``apart`` m."""
    out = HOUSINGS["box"].out + HOUSINGS["box"].nose * math.cos(math.radians(tilt))
    one = builders.camera((10.0, out, 2.7), bearing=180.0, tilt=tilt, shape="box", **more)
    two = builders.camera(
        (10.0, -apart - out, 2.7), bearing=0.0, tilt=tilt, name="other", shape="box", normal=(0.0, 1.0, 0.0)
    )
    return one, two


# ------------------------------------------------------------------ 1 and 2: the white pipe


def test_white_pipe_at_the_edge_blows_out_and_darkens_the_rest() -> None:
    view = _night(_along_wall(), WALL, _pipe(0.5)).view()
    without = _night(_along_wall(), WALL).view()
    picture = view.picture
    assert view.white > 0.03
    assert picture[:, 40:].max() == 1.0, "the pipe stands in the right half"
    assert picture[:, :40].max() < 0.5
    assert view.gain < 0.75 * without.gain
    assert np.median(picture[60 // 2 :, :40]) < np.median(without.picture[60 // 2 :, :40])
    assert 0.5 <= view.reach.value / without.reach.value <= 0.8


def test_by_day_nothing_is_wrong_with_the_pipe() -> None:
    """Daylight comes from the sky, not from the camera: the pipe is a small share of the frame."""
    q = builders.FakeQuery(builders.plan(_along_wall(), WALL, _pipe(0.5)))
    assert q.of(RASTER, q.plan.cameras[0]).shares().get(PIPE, 0.0) < 0.12


def test_pipe_covered_in_matt_black_is_better_not_cured() -> None:
    white = _night(_along_wall(), WALL, _pipe(0.5)).view().reach.value
    black = _night(_along_wall(), WALL, _pipe(0.5, "matt black paint")).view().reach.value
    gone = _night(_along_wall(), WALL).view().reach.value
    assert white < 0.85 * black
    assert black < gone


def test_pipe_two_metres_away_does_no_harm() -> None:
    night = _night(_along_wall(), WALL, _pipe(2.0))
    assert night.view().kept(night.darkened(frozenset({PIPE})).view()).value > 0.95


def test_wall_and_pipe_reach_as_far_as_the_plain_trial_of_the_model_had_it() -> None:
    """Along a brick wall 24 to 12 m, with a white pipe 15 to 8 m (glare 1 to 4 %); here within a factor of 1.5."""
    plain, piped = (_night(_along_wall(), WALL, *things).view().reach for things in ((), (_pipe(0.5),)))
    assert 17 / 1.5 < plain.value < 17 * 1.5
    assert 11 / 1.5 < piped.value < 11 * 1.5
    assert piped.low < 8.5 < piped.value < 15 < piped.high * 1.2


# ------------------------------------------------------------------- 3 and 4: two cameras


def test_two_cameras_across_a_patio_lose_nothing_and_gain_light() -> None:
    one, two = _opposite(10.0, tilt=35.0)
    night = _night(one, two, YARD)
    alone = night.darkened(frozenset({Ref("camera", "other", "infrared")})).view()
    assert not [d for d in night.others.direct if d.inside], "each is out of the other's frame"
    assert night.view().kept(alone).value >= 0.99
    assert night.view().headroom.value > alone.headroom.value


def test_weak_infrared_gains_most_from_shared_light() -> None:
    def gain(reach: float) -> float:
        one, two = _opposite(10.0, tilt=35.0)
        night = _night(replace(one, infrared=Infrared(reach)), two, YARD)
        alone = night.darkened(frozenset({Ref("camera", "other", "infrared")})).view()
        return night.view().headroom.value - alone.headroom.value

    assert gain(15.0) > gain(30.0) > 0.0


def test_camera_a_metre_away_pointing_straight_in_is_a_veil() -> None:
    one, two = _opposite(1.0)
    night = _night(one, two, YARD)
    alone = night.darkened(frozenset({Ref("camera", "other", "infrared")})).view()
    assert 2.5 < night.view().reach.value < 7.0
    assert alone.reach.value > 25.0
    assert night.view().kept(alone).high < 0.6


def test_dirty_front_is_far_worse_and_cleaned_much_better() -> None:
    for apart in (1.0, 2.0):
        one, two = _opposite(apart)
        dirty, clean = (_night(replace(one, front=front), two, YARD).view() for front in ("dirty", "clean"))
        assert dirty.veil == pytest.approx(3.0 * clean.veil)
        assert dirty.reach.value < 0.65 * clean.reach.value


def test_facing_cameras_lose_less_the_farther_they_are_apart() -> None:
    """4 m of reach a metre apart, 9 m at two; 6 m apart and 25° down nothing is lost within 12 m."""
    reach = {apart: _night(*_opposite(apart), YARD).view().reach.value for apart in (1.0, 2.0)}
    assert reach[1.0] == pytest.approx(4.0, rel=0.4)
    assert reach[2.0] == pytest.approx(9.0, rel=0.3)
    one, two = _opposite(6.0, tilt=25.0)
    night = _night(one, two, YARD)
    assert night.view().usable["yard"].value == pytest.approx(1.0)


# ------------------------------------------------------------------------------ 5: the lamp


def _lamp(aside: float) -> Lamp:
    return builders.lamp((10.0 - aside, -0.08, 2.5), 800.0, name="porch")


def test_lamp_beside_a_dome_ruins_the_picture_until_it_is_off_or_moved_aside() -> None:
    house = builders.house(width=20.0, height=4.0, eave=0.0)
    night = {aside: _night(_beside("dome"), house, _lamp(aside), YARD) for aside in (0.3, 1.0, 2.0)}
    unlit = night[0.3].view()
    assert unlit.reach.value > 25.0
    assert unlit.usable["yard"].value == pytest.approx(1.0)
    assert night[0.3].view("porch").reach.value < 0.3 * unlit.reach.value
    assert night[0.3].view("porch").kept(unlit).high < 0.8
    assert night[1.0].view("porch").kept(night[1.0].view()).value > 0.85
    assert night[2.0].view("porch").kept(night[2.0].view()).value >= 1.0


def test_lamp_two_metres_from_a_flat_front_helps() -> None:
    """A porch light often improves the picture: no veil from the side through a flat window, and more light."""
    night = _night(_beside("box"), builders.house(width=20.0, height=4.0, eave=0.0), _lamp(2.0), YARD)
    assert night.view("porch").headroom.value > night.view().headroom.value
    assert night.view("porch").reach.value >= night.view().reach.value


# --------------------------------------------------------------------------- 6: tilt up, down


def test_tilting_down_lights_the_near_ground_and_loses_the_far_patio() -> None:
    far = Area("far", "detect", ((8.0, -14.0), (12.0, -14.0), (12.0, -18.0), (8.0, -18.0)))

    def at(tilt: float) -> tuple[Night, float]:
        camera = builders.camera((10.0, 0.0, 2.7), bearing=180.0, tilt=tilt, across=60.0, shape="box")
        q = builders.FakeQuery(builders.plan(camera, far, builders.house(width=20.0, height=4.0, eave=0.0)))
        night = q.of(NIGHT, camera)
        return night, q.of(RASTER, camera).shares().get(SKY, 0.0)

    (up, sky_up), (down, sky_down) = at(5.0), at(45.0)
    assert sky_up > 0.25 > sky_down
    assert up.view().usable["far"].value == pytest.approx(1.0)
    assert "far" not in down.view().usable
    assert np.median(down.view().signals) > 10 * np.median(up.view().signals)


def test_light_is_strongest_in_the_middle_and_follows_the_lens() -> None:
    """On a wall square to the axis: half at the edge of the beam, and cos³ for distance and incidence."""
    screen = builders.box(10.0, -6.0, wide=40.0, deep=0.1, tall=40.0, z=-20.0, name="screen")
    for across in (40.0, 100.0):
        camera = builders.camera((10.0, 0.0, 2.7), bearing=180.0, tilt=0.0, across=across, shape="box")
        signals = _night(camera, screen).view().signals
        rows, cols = signals.shape
        peak = np.unravel_index(int(signals.argmax()), signals.shape)
        assert abs(peak[0] - rows / 2) < 3
        assert abs(peak[1] - cols / 2) < 3
        edge = signals[rows // 2, 0] / signals.max()
        half = math.radians(across / 2)
        assert edge == pytest.approx(0.5 * math.cos(half) ** 3, rel=0.05), (
            "half at the edge of the beam, 1/d² and cos i"
        )


# ------------------------------------------------------------------------------- 7: the sun


def test_source_out_of_the_frame_lets_everything_else_brighten() -> None:
    """A strong lamp in the frame, then just out of it on a hooded camera: the gain and the reach come back."""
    lamp = builders.lamp((10.0, -3.0, 2.4), 8000.0, name="flood")

    def view(bearing: float) -> Any:
        camera = _beside("bullet", hood=True)
        turned = replace(camera, aim=replace(camera.aim, bearing=bearing))
        return _night(turned, lamp).view("flood")

    into, beside = view(180.0), view(120.0)
    assert beside.veil < 0.2 * into.veil
    assert beside.reach.value > 2 * into.reach.value


# ----------------------------------------------------------------------- the classic soffit


@pytest.mark.parametrize(("above", "low", "high"), [(0.15, 6.0, 14.0), (0.3, 18.0, 29.0), (0.7, 27.0, 31.0)])
def test_white_soffit_above_the_frame_takes_the_reach(above: float, low: float, high: float) -> None:
    """9, 24 and 29 m in the plain trial."""
    soffit = builders.box(10.0, -0.3, name="soffit", wide=8.0, deep=0.6, tall=0.1, z=2.5 + above)
    night = _night(_beside(), soffit, builders.house(width=20.0, height=4.0, eave=0.0))
    share = {c.ref: c for c in night.contributions()}
    assert low < night.view().reach.value < high
    if above < 0.5:
        assert share[Ref("object", "soffit")].frame == 0.0
        assert share[Ref("object", "soffit")].outside == pytest.approx(1.0)


def test_camera_alone_in_the_open_reaches_its_rated_range_on_a_person_and_half_of_it_on_the_ground() -> None:
    """A 30 m camera: 28 m on a person, 14 m on bare ground."""
    person = _night(_beside()).view().reach.value
    ground = Area("line", "detect", ((10.0, -1.0), (10.0, -35.0)), height=0.0)
    open_ground = builders.house(width=20.0, height=4.0, eave=0.0)
    reach = _night(_beside(), ground, open_ground).view().reach_to["line"].value
    assert person == pytest.approx(29.0, abs=1.5)
    assert reach == pytest.approx(14.0, abs=3.0)


def test_dark_world_equals_a_world_with_a_black_pipe() -> None:
    """An exact sum: the pipe painted perfectly black (0.0001) gives the same picture as the pipe left out."""
    from oneclimb.trade.materials import BUILT_IN, Band, Material

    void = Material("void", {nm: Band(1e-4, 1e-4, 1e-4) for nm in (550, 850, 940)})
    plan: Plan = builders.plan(_along_wall(), WALL, _pipe(0.5, "void"))
    plan = replace(plan, materials={**BUILT_IN, "void": void})
    black = builders.FakeQuery(plan).of(NIGHT, plan.cameras[0]).view()
    q = builders.FakeQuery(builders.plan(_along_wall(), WALL, _pipe(0.5)))
    dark = q.vary(Change("dark", PIPE)).of(NIGHT, q.plan.cameras[0]).view()
    assert dark.reach.value == pytest.approx(black.reach.value, rel=0.01)
    assert dark.veil == pytest.approx(black.veil, rel=0.01)
