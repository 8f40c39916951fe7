"""The night study: sums, other worlds, states, doubt, glass, targets and what it says of itself."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from oneclimb.api import Change, Ref, Unknown
from oneclimb.plan.model import Area, Infrared, Lamp, Pane, Plan, Spot, White
from oneclimb.study import ALL, DARK, LIGHTS, NIGHT, RASTER
from oneclimb.study.night import Night
from oneclimb.study.night_build import compute
from oneclimb.study.night_glass import front
from oneclimb.study.night_view import ratio, reach, share_usable
from oneclimb.trade.housing import HOUSINGS
from oneclimb.trade.materials import BUILT_IN, Band, Material
from place import builders

HOUSE = builders.house()
YARD = builders.area((4.0, -1.0), (11.0, -1.0), (11.0, -10.0), (4.0, -10.0), name="yard")
PIPE = builders.pipe(10.6, -0.1)
CAMERA = builders.camera((11.2, 0.0, 2.4), bearing=225.0)
OTHER = builders.camera((3.0, -11.0, 3.0), bearing=45.0, tilt=20.0, name="other", normal=(0.0, 1.0, 0.0))
PORCH = builders.lamp((5.6, -0.1, 2.1), name="porch")
INFRARED = Ref("camera", "cam", "infrared")


class Asking(builders.FakeQuery):
    """A query that says what the plan does not."""

    def need(self, subject: Any, field: str) -> Any:
        value = super().need(subject, field)
        if value is None:
            raise Unknown(builders.ref_of(subject).at(field), f"what {field}?")
        return value


def _query(*things: Any, **more: Any) -> Asking:
    return Asking(builders.plan(*things, **more))


def _night(*things: Any, **more: Any) -> Night:
    q = _query(*things, **more)
    return q.of(NIGHT, q.plan.cameras[0])


FULL = (HOUSE, YARD, PIPE, CAMERA, OTHER, PORCH)


def _pixels(night: Night, ref: Ref) -> np.ndarray:
    """Which samples of the frame are a thing's."""
    return np.isin(night.frame.owners[night.frame.group], night.raster.scene.owned_by(frozenset({ref})))


# --------------------------------------------------------------------------- closed forms


def test_signal_of_a_wall_square_to_the_axis_is_the_closed_form() -> None:
    """S = ρ/0.2 · R² cosᵐθ cos i/(d² + a²) at every pixel."""
    screen = builders.box(10.0, -6.0, wide=60.0, deep=0.1, tall=60.0, z=-30.0, surface="concrete")
    camera = builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=0.0, shape="box", infrared=Infrared(20.0, beam=90.0))
    q = _query(camera, screen)
    night = compute(camera, q, step=1, block=1)
    cosine, apart = night.raster.cos, 5.95 - 0.18
    m = math.log(0.5) / math.log(math.cos(math.radians(45.0)))
    expected = 0.31 / 0.2 * 20.0**2 * cosine**m * cosine / ((apart / cosine) ** 2 + 0.03**2)
    wall = _pixels(night, Ref("object", "box"))
    assert wall.mean() > 0.6
    assert night.view().signals.ravel()[wall] == pytest.approx(expected[wall], rel=5e-4)


def test_light_on_the_glass_from_a_wall_is_the_integral() -> None:
    """A wall so wide that it fills the half space, lit by a lamp on the axis, against a fine integral over θ.

    L(θ) = ρ E(θ)/π with E = R² cosᵐθ cos³θ/h²; E on the glass = ∫ L cos θ dΩ.
    """
    screen = builders.box(10.0, -6.0, wide=800.0, deep=0.1, tall=800.0, surface="concrete")
    camera = builders.camera(
        (10.0, 0.0, 400.0), bearing=180.0, tilt=0.0, shape="box", infrared=Infrared(20.0, beam=90.0)
    )
    night = _night(camera, screen)
    sums = night.sums(night.lit(DARK), "usual")
    theta = np.linspace(0.0, np.pi / 2, 20_001)
    radiance = 0.31 / math.pi * 20.0**2 * np.cos(theta) ** (2.0 + 3.0) / (5.95 - 0.18) ** 2
    expected = np.trapezoid(radiance * np.cos(theta) * 2.0 * math.pi * np.sin(theta), theta)
    assert sums.own_inside + sums.own_outside == pytest.approx(expected, rel=0.01)


def test_lamp_beside_a_bubble_counts_by_its_projected_area() -> None:
    """E = I (1 + cos θ)/2 / d², θ from the dome's axis: half from the side, some from behind the mounting plane."""
    dome = builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=45.0, shape="dome")
    for out, share in ((0.08, 0.5), (-0.42, (1.0 - 0.5 / math.hypot(1.0, 0.5)) / 2.0)):
        night = _night(dome, builders.lamp((9.0, -out, 2.5), name="porch"))
        apart = math.hypot(1.0, out - 0.08)
        direct = next(d for d in night.others.direct if d.ref.id == "porch")
        expected = 800.0 / (4.0 * math.pi) / 0.2 * share / (apart**2 + 0.03**2)
        assert not direct.inside
        assert direct.received == pytest.approx(expected, rel=1e-6)


def test_flat_window_sees_nothing_from_the_side_or_behind() -> None:
    box = builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=0.0, shape="box")
    assert _night(box, builders.lamp((9.0, -0.17, 2.5))).others.direct == ()


def test_hood_keeps_off_what_lies_beyond_its_edge() -> None:
    lamp = builders.lamp((9.0, -0.7, 2.5))
    bare = builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=0.0, shape="bullet")
    hooded = replace(bare, hood=True)
    assert _night(bare, lamp).others.direct
    assert not _night(hooded, lamp).others.direct


def test_person_between_two_lamps_is_lit_by_the_phase_of_a_sphere() -> None:
    """Side light counts 1/π of what the same lamp gives beside the camera."""
    area = Area("spot", "detect", ((10.0, -8.0),), height=2.5)
    eye = builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=0.0)
    lamp = Lamp("flood", Spot(18.0, -8.0, 2.5), None, "infrared", 120.0, (10.0, -8.0, 2.5), "always", 20.0)
    night = _night(eye, area, lamp)
    given = night.others.on_targets[0][night.found.areas["spot"]]
    assert given == pytest.approx([20.0**2 / ((8.0 - 0.05) ** 2 + 0.03**2) / math.pi], rel=1e-4)


def test_shadow_falls_where_the_straight_way_to_the_lamp_meets_the_box() -> None:
    """By clipping each way against the box's six planes (slabs), one target at a time."""
    low, high = np.array([7.0, -4.5, 0.0]), np.array([8.0, -3.5, 2.0])
    box, lamp = builders.box(7.5, -4.0, tall=2.0), builders.lamp((9.03, -3.21, 1.97), lit="always")
    night, bare = _night(YARD, CAMERA, lamp, box), _night(YARD, CAMERA, lamp)
    shown = night.found.shown
    assert (shown <= bare.found.shown).all()
    way = night.found.points[shown] - np.array(lamp.spot.xyz)
    ends = np.stack([(low - np.array(lamp.spot.xyz)) / way, (high - np.array(lamp.spot.xyz)) / way])
    blocked = ends.min(axis=0).max(axis=1) < np.minimum(ends.max(axis=0).min(axis=1), 1.0)
    assert 5 < blocked.sum() < 0.5 * shown.sum()
    assert not night.others.on_targets[0, shown][blocked].any()
    assert np.allclose(night.others.on_targets[0, shown][~blocked], bare.others.on_targets[0, shown][~blocked])


def test_pane_that_faces_the_camera_squarely_mirrors_its_own_lamp() -> None:
    """E = R I/(2d)² with R = 8.17 % (Fresnel, n = 1.52), d the distance to the pane."""
    pane = builders.box(10.0, -3.05, wide=2.0, deep=0.1, tall=3.0, surface="window glass", name="pane")
    eye = builders.camera((10.0, 0.0, 2.0), bearing=180.0, tilt=0.0)
    night = _night(eye, pane)
    mirror = next(m for m in night.mirrors if m.ref == Ref("object", "pane"))
    apart = 3.0 - 0.09
    assert mirror.inside
    assert mirror.received == pytest.approx(0.08168 * 30.0**2 / (4.0 * apart**2 + 0.03**2), rel=1e-3)
    assert not _night(replace(eye, aim=replace(eye.aim, bearing=90.0)), pane).mirrors
    aslant = replace(pane, yaw=30.0)
    assert not _night(eye, aslant).mirrors


@pytest.mark.parametrize("wide", [0.02, 4.0])
def test_pane_outside_the_frame_mirrors_however_small_it_is(wide: float) -> None:
    """Its middle lies straight ahead of a dome that looks steeply down, above the frame, where few rays go."""
    pane = builders.box(10.0, -3.05, wide=wide, deep=0.1, tall=2.2, surface="window glass", name="pane")
    night = _night(builders.camera((10.0, 0.0, 2.0), bearing=180.0, tilt=45.0, shape="dome"), pane)
    (mirror,) = night.mirrors
    assert not mirror.inside
    assert mirror.distance == pytest.approx(3.0 - HOUSINGS["dome"].out, abs=1e-3)
    told = {c.ref: c for c in night.contributions()}
    assert told[mirror.ref].nearest <= mirror.distance


def test_pane_taken_away_mirrors_nothing() -> None:
    pane = builders.box(10.0, -3.05, wide=2.0, deep=0.1, tall=3.0, surface="window glass", name="pane")
    q = _query(builders.camera((10.0, 0.0, 2.0), bearing=180.0, tilt=0.0), pane)
    assert not q.vary(Change("absent", Ref("object", "pane"))).of(NIGHT, q.plan.cameras[0]).mirrors


# --------------------------------------------------------------------------- other worlds


def _same(a: Night, b: Night, state: str = DARK) -> None:
    one, two = a.view(state), b.view(state)
    assert one.veil == pytest.approx(two.veil, rel=1e-9)
    assert one.gain == pytest.approx(two.gain, rel=1e-9)
    assert np.allclose(one.margins, two.margins)
    assert np.allclose(one.signals, two.signals)


@pytest.mark.parametrize(
    "ref",
    [
        Ref("object", "pipe"),
        Ref("building", "house", "eave"),
        Ref("building", "house", "walls.front"),
        Ref("building", "house"),
        Ref("site", "site", "ground"),
        Ref("lamp", "porch"),
        Ref("camera", "other", "infrared"),
        INFRARED,
    ],
)
def test_dark_world_is_an_exact_sum_with_nothing_cast(ref: Ref, monkeypatch: pytest.MonkeyPatch) -> None:
    """The short cut from the base equals the sums of a world computed from nothing."""
    q = _query(*FULL)
    base = q.of(NIGHT, q.plan.cameras[0])
    fresh = Asking(q.plan, (Change("dark", ref),)).of(NIGHT, q.plan.cameras[0])
    monkeypatch.setattr(type(base.raster.scene), "cast", None)
    monkeypatch.setattr(type(base.raster.scene), "visible", None)
    short = q.vary(Change("dark", ref)).of(NIGHT, q.plan.cameras[0])
    for state in (DARK, "porch"):
        _same(short, fresh, state)
    assert short.view("porch").veil < base.view("porch").veil


def test_parts_add_up_to_the_whole() -> None:
    """The veil of everything is the sum of the veils of each surface and each source."""
    night = _night(*FULL)
    everything = frozenset(night.raster.scene.owners)
    bare = night.darkened(everything).view(ALL).veil
    surfaces = sum(night.darkened(everything - {o}).view(ALL).veil - bare for o in everything)
    assert bare + surfaces == pytest.approx(night.view(ALL).veil)


def test_contributions_are_shares_and_largest_first() -> None:
    told = _night(*FULL).contributions(ALL)
    assert {c.ref for c in told} >= {Ref("object", "pipe"), Ref("lamp", "porch"), Ref("site", "site", "ground")}
    worst = [max(c.metered, c.veil) for c in told]
    assert worst == sorted(worst, reverse=True)
    assert min(worst) >= 0.02
    surfaces = [c for c in told if c.ref.kind not in {"lamp", "camera"}]
    assert 0.9 < sum(c.metered for c in surfaces) <= 1.0 + 1e-9
    eave = next(c for c in told if c.ref == Ref("building", "house", "eave"))
    assert eave.outside > 0.9
    assert 0.2 < eave.nearest < 0.5


def test_absent_object_is_cast_again_where_it_stood() -> None:
    """A black pipe hides what is behind it; taken away, the ground there is lit."""
    pipe = replace(PIPE, surface="matt black paint")
    q = _query(HOUSE, YARD, pipe, CAMERA)
    gone = q.vary(Change("absent", Ref("object", "pipe"))).of(NIGHT, q.plan.cameras[0])
    _same(gone, _night(HOUSE, YARD, CAMERA))


def test_dirty_front_and_metering_are_taken_from_the_same_light() -> None:
    q = _query(*FULL)
    base = q.of(NIGHT, q.plan.cameras[0])
    for other in (replace(CAMERA, front="dirty"), replace(CAMERA, metering="centre")):
        varied = q.vary(Change("replace", Ref("camera", "cam"), other))
        got = varied.of(NIGHT, varied.plan.cameras[0])
        assert got.frame is base.frame
        _same(got, _night(HOUSE, YARD, PIPE, other, OTHER, PORCH), ALL)


def test_dirty_front_makes_as_many_times_the_veil() -> None:
    """The veil is linear in the stray light, and the constant of a dirty front is 3."""
    clean, dirty = (_night(*FULL[:3], replace(CAMERA, front=front)).view() for front in ("clean", "dirty"))
    assert clean.dimmed == dirty.dimmed == 1.0
    assert dirty.veil == pytest.approx(3.0 * clean.veil, rel=1e-9)
    assert dirty.reach.value < clean.reach.value


def test_matt_black_pipe_is_another_light() -> None:
    q = _query(*FULL)
    black = replace(PIPE, surface="matt black paint")
    varied = q.vary(Change("replace", Ref("object", "pipe"), black))
    assert varied.of(NIGHT, CAMERA).view().veil < q.of(NIGHT, CAMERA).view().veil


# ---------------------------------------------------------------------------------- states


def test_states_are_dark_each_switched_lamp_and_all() -> None:
    dusk = builders.lamp((2.0, -0.1, 2.1), name="dusk", lit="dusk")
    night = _night(*FULL, dusk)
    assert night.states == (DARK, "porch", ALL)
    sources = {s: {night.lights.lights[night.others.which[i]].ref.id for i in night.lit(s)} for s in night.states}
    assert sources[DARK] == {"other"}
    assert sources["porch"] == {"other", "porch", "dusk"} == sources[ALL]
    with pytest.raises(KeyError):
        night.view("attic")


def test_a_lamp_may_be_called_what_it_likes() -> None:
    night = _night(*FULL, *(builders.lamp((x, -0.1, 2.1), name=name) for x, name in ((2.0, "all"), (3.0, "dark"))))
    assert night.states == (DARK, "porch", "all", "dark", ALL)
    lit = {s: {night.lights.lights[night.others.which[i]].ref.id for i in night.lit(s)} for s in night.states}
    assert lit[DARK] == {"other"}
    assert [lit[name] - {"other"} for name in ("all", "dark")] == [{"all"}, {"dark"}]
    assert lit[ALL] == {"other", "porch", "all", "dark"}


def test_a_lamp_lit_all_night_that_is_not_described_leaves_other_lamps_states_alone() -> None:
    unsaid = builders.lamp((2.0, -0.1, 2.1), name="dusk", lit="dusk")
    night = _night(*FULL, replace(unsaid, kind=None))
    _same(night, _night(*FULL), "porch")
    for state in ("dusk", ALL):
        with pytest.raises(Unknown, match="kind"):
            night.view(state)


@pytest.mark.parametrize("shape", sorted(HOUSINGS))
def test_the_front_glass_is_as_the_table_of_housings_has_it(shape: Any) -> None:
    camera = replace(CAMERA, shape=shape)
    glazed = front(camera, builders.plan(camera))
    assert (glazed.dome_axis is not None) == HOUSINGS[shape].bubble == (shape == "dome")
    assert glazed.recessed == HOUSINGS[shape].window == (shape in {"turret", "doorbell"})


def test_lamp_without_a_kind_cannot_be_judged_lit_but_leaves_the_dark_alone() -> None:
    unsaid = replace(PORCH, kind=None)
    night = _night(HOUSE, YARD, CAMERA, unsaid)
    assert night.view().reach.value > 0.0
    for state in ("porch", ALL):
        with pytest.raises(Unknown, match="kind"):
            night.view(state)


def test_camera_without_a_rated_range_cannot_be_judged() -> None:
    with pytest.raises(Unknown, match=r"infrared\.range"):
        _night(HOUSE, replace(CAMERA, infrared=Infrared(None)))


def test_other_camera_without_a_rated_range_is_left_out_and_named() -> None:
    night = _night(HOUSE, YARD, CAMERA, replace(OTHER, infrared=Infrared(None)))
    assert [why.ref for why in night.untold] == [Ref("camera", "other", "infrared.range")]
    assert len(night.others.which) == 0


def test_camera_without_light_of_its_own_sees_by_the_lamp_alone() -> None:
    blind = replace(CAMERA, night="none", infrared=None)
    night = _night(HOUSE, YARD, blind, PORCH)
    assert night.view().reach.value == 0.0
    assert night.view().wanted.value == 0.0
    assert night.view("porch").usable["yard"].value > 0.2


def test_colour_camera_does_not_see_infrared() -> None:
    white = replace(CAMERA, night="white", infrared=None, white=White(800.0))
    night = _night(HOUSE, YARD, white, OTHER, PORCH)
    assert {night.lights.lights[i].ref.id for i in night.others.which} == {"porch"}
    assert night.view().usable["yard"].value > 0.5
    assert night.own_column == 550


def test_camera_of_another_wavelength_shares_light_in_part() -> None:
    """0.4 to 0.5 (common practice, from memory)."""
    far = replace(OTHER, infrared=Infrared(30.0, wavelength=940))
    same, other = (_night(HOUSE, YARD, CAMERA, o).others.on_targets.max() for o in (OTHER, far))
    assert other / same == pytest.approx(0.45)


def test_pane_before_the_camera_blinds_it_unless_sealed() -> None:
    def view(**more: Any) -> Any:
        return _night(YARD, replace(CAMERA, behind=Pane(**more)))

    assert view(gap=0.02, sealed=False).view().usable["yard"].value == 0.0
    assert view(gap=0.02, sealed=True).view().usable["yard"].value > 0.9
    told = view(gap=0.3, sealed=False).contributions()
    assert told[0].ref == Ref("camera", "cam", "behind")
    with pytest.raises(Unknown, match="sealed"):
        view(gap=0.02, sealed=None)
    with pytest.raises(Unknown, match="gap"):
        view(gap=None, sealed=False)


def test_pane_before_the_camera_shows_its_lamp_at_twice_the_gap() -> None:
    """E = R I/(2g)² with R = 8.17 % (Fresnel, n = 1.52) and the lamp's light once through the pane and back."""
    (mirror,) = _night(YARD, replace(CAMERA, behind=Pane(gap=0.3, sealed=False))).mirrors
    assert mirror.inside
    assert mirror.received == pytest.approx(0.08168 * 30.0**2 / (4.0 * 0.3**2 + 0.03**2), rel=1e-3)


def test_pane_takes_its_share_twice_from_own_light_and_once_from_a_lamps() -> None:
    """T = 91.83 % each way (Fresnel, n = 1.52)."""
    bare = _night(HOUSE, CAMERA, PORCH)
    night = _night(HOUSE, replace(CAMERA, behind=Pane(gap=0.0, sealed=True)), PORCH)
    assert night.own.peak / bare.own.peak == pytest.approx(0.9183**2, rel=1e-3)
    both = (night.others.on_frame > 0.0) & (bare.others.on_frame > 0.0)
    assert both.any()
    assert night.others.on_frame[both] / bare.others.on_frame[both] == pytest.approx(0.9183, rel=1e-3)


def test_lamp_with_a_beam_sends_nothing_behind_it() -> None:
    eye = builders.camera((10.0, 0.0, 2.5), bearing=180.0, tilt=0.0)
    away, toward = (builders.lamp((10.0, -3.0, 2.5), beam=150.0, aim=(10.0, y, 2.5), name="flood") for y in (-9.0, 0.0))
    assert [d.ref.id for d in _night(eye, toward).others.direct] == ["flood"]
    assert _night(eye, away).others.direct == ()


def test_reflective_sheeting_shines_back_at_its_own_lamp_only() -> None:
    sign = builders.box(7.0, -5.0, wide=0.6, deep=0.02, tall=0.6, z=1.5, yaw=15.0, surface="reflective sheeting")
    bare = replace(sign, surface="white paint")
    bright, plain = (_night(HOUSE, CAMERA, s, PORCH) for s in (sign, bare))
    seen = _pixels(bright, Ref("object", "box"))
    assert seen.any()
    ratio_lit = bright.view().signals.ravel()[seen] / plain.view().signals.ravel()[seen]
    assert np.median(ratio_lit) > 20
    bright, plain = (n.darkened(frozenset({INFRARED})) for n in (bright, plain))
    unlit = [n.view("porch").signals.ravel()[seen].sum() for n in (bright, plain)]
    assert 0.0 < unlit[0] < unlit[1]


def test_dimming_camera_saves_the_near_object_and_loses_the_far_field() -> None:
    camera = replace(CAMERA, infrared=Infrared(30.0, dims=True))
    night = _night(camera, PIPE, HOUSE)
    dims, steady = night.view(), night.view(dims=False)
    assert dims.dimmed < 0.5 < steady.dimmed == 1.0
    assert dims.white <= 0.02 < steady.white
    assert dims.reach.value < steady.reach.value


# ----------------------------------------------------------------------------------- doubt


def test_value_lies_within_its_doubt_and_the_ends_come_lazily() -> None:
    night = _night(*FULL)
    view = night.view("porch")
    wanted = view.wanted
    assert len(view._solved) == 1
    for figure in (wanted, view.reach, view.headroom, *view.usable.values(), *view.reach_to.values()):
        assert figure.low <= figure.value <= figure.high
    assert len(view._solved) == 5


def test_ratio_is_firmer_than_what_it_is_made_of() -> None:
    camera = builders.camera((55.0, -0.16, 2.7), bearing=270.0, tilt=15.0)
    wall = builders.house(width=60.0, height=4.0, eave=0.0, surface="red brick")
    night = _night(wall, camera, builders.pipe(54.5, -0.1, tall=4.0))
    without = night.darkened(frozenset({Ref("object", "pipe")})).view()
    kept, far = night.view().kept(without), night.view().reach
    assert kept.high / kept.low < 0.75 * far.high / far.low
    assert kept.high < 0.85


def test_nothing_lost_is_one() -> None:
    view = _night(*FULL).view()
    assert view.kept(view).low == view.kept(view).high == 1.0


@pytest.mark.parametrize(("with_it", "without", "expected"), [(0.0, 0.0, 1.0), (1.0, 0.0, 10.0), (1.0, 2.0, 0.5)])
def test_ratio_of_nothing_is_no_loss(with_it: float, without: float, expected: float) -> None:
    assert ratio(with_it, without) == expected


def test_place_at_the_very_limit_counts_half() -> None:
    assert share_usable(np.array([0.0, 5.0, -5.0])) == pytest.approx(0.5)
    assert share_usable(np.array([0.25])) == pytest.approx(0.75)
    assert share_usable(np.zeros(0)) == 0.0


def test_reach_is_where_a_target_stops_being_usable() -> None:
    """Blown out close by, good, then lost between 4 and 6 m where the margin crosses zero; good again is too late."""
    along = np.array([1.0, 2.0, 4.0, 6.0, 9.0])
    assert reach(along, np.array([-1.0, 1.0, 1.0, -1.0, 2.0])) == pytest.approx(5.0)
    assert reach(along, np.array([1.0, 1.0, 3.0, -1.0, -2.0])) == pytest.approx(5.5)
    assert reach(along, np.ones(5)) == 9.0
    assert reach(along, -np.ones(5)) == 0.0
    assert reach(along[:0], along[:0]) == 0.0


def test_light_left_out_is_carried_as_doubt_that_lifts() -> None:
    """With pairs under nine tenths of the own light left out, the high end rises and the low end stays."""
    far = replace(OTHER, infrared=Infrared(8.0))
    alone = _night(HOUSE, YARD, CAMERA).view()
    night = _night(HOUSE, YARD, CAMERA, far, constants={"prune": 0.9})
    assert night.others.pruned.max() > 0.0
    assert night.view().headroom.low == pytest.approx(alone.headroom.low, abs=0.05)
    assert night.view().headroom.high > alone.headroom.high


def test_of_many_sources_those_that_matter_most_are_followed() -> None:
    """Twelve lamps in a row and as many cameras: the eight of each that matter most, the rest as doubt."""
    row = [builders.lamp((11.0 - 0.8 * i, -0.1, 2.1), name=f"lamp-{i}", lit="always") for i in range(12)]
    eyes = [replace(OTHER, id=f"other-{i}", infrared=Infrared(5.0 + i)) for i in range(12)]
    night = _night(HOUSE, YARD, CAMERA, *row, *eyes)
    kept = [night.lights.lights[i].ref for i in night.others.which]
    assert sum(ref.kind == "lamp" for ref in kept) == 8
    assert {ref.id for ref in kept if ref.kind == "camera"} == {f"other-{i}" for i in range(4, 12)}


def test_sources_past_the_eight_lift_the_high_end_by_their_whole_light() -> None:
    """Nine bare lamps and nothing else left out: the ninth's I/d² over the own light, or over the threshold."""
    row = [builders.lamp((10.0 - 0.9 * i, -3.0, 2.1), 100.0 + i, name=f"lamp-{i}", lit="always") for i in range(9)]
    night = _night(YARD, CAMERA, *row, constants={"prune": 1e-12})
    (left,) = {f"lamp-{i}" for i in range(9)} - {night.lights.lights[i].ref.id for i in night.others.which}
    lamp = night.lights.lights[night.lights.index[Ref("lamp", left)]]
    found = night.found
    square = ((found.points - np.array(lamp.spot)) ** 2).sum(axis=1) + night.own.radius**2
    lift = np.log2(1.0 + lamp.peak / square / np.maximum(1.0, found.own))
    assert night.others.pruned[found.shown] == pytest.approx(lift[found.shown], rel=1e-6)


@pytest.mark.parametrize("first", [True, False])
def test_narrow_beam_on_one_small_spot_is_followed_wherever_the_spot_is_listed(first: bool) -> None:
    """A lamp that lights a letter box and nothing else, one of some hundred places that are asked about."""
    spot = builders.area((6.3, -4.1), name="letter-box", height=1.0)
    beam = builders.lamp((6.3, -4.1, 2.2), name="beam", kind="infrared", range=4.0, beam=10.0, lit="always")
    night = _night(HOUSE, *((spot, YARD) if first else (YARD, spot)), CAMERA, beam)
    assert night.found.shown[night.found.areas["letter-box"]].all()
    assert [night.lights.lights[i].ref.id for i in night.others.which] == ["beam"]
    assert night.others.on_targets[0, night.found.areas["letter-box"]].item() > 1.0


def test_source_farther_than_twice_its_reach_is_left_out() -> None:
    near, far = (builders.camera((3.0, -y, 3.0), bearing=0.0, tilt=5.0, name="other") for y in (55.0, 65.0))
    assert [len(_night(YARD, CAMERA, other).others.which) for other in (near, far)] == [1, 0]


def test_overridden_constants_are_used() -> None:
    plain, doubled = _night(*FULL), _night(*FULL, constants={"glare-inside": 0.04, "glare-outside-hooded": 0.008})
    assert doubled.view().veil == pytest.approx(2.0 * plain.view().veil)


# ------------------------------------------------------------------------- trends and turns


@given(st.floats(0.0, 360.0), st.floats(-300.0, 300.0), st.floats(-300.0, 300.0))
@settings(max_examples=12, deadline=None)
def test_moving_and_turning_the_site_with_its_north_changes_no_figure(turn: float, east: float, north: float) -> None:
    """A camera on a pole, a car, a lamp and another camera, set down elsewhere and turned about the origin."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def at(x: float, y: float) -> tuple[float, float]:
        return c * x - s * y + east, s * x + c * y + north

    def made(*, moved: bool) -> Plan:
        put = at if moved else (lambda x, y: (x, y))
        spin = turn if moved else 0.0
        normal = (-math.sin(math.radians(spin)) * -1.0, -math.cos(math.radians(spin)), 0.0)
        eye = builders.camera((*put(0.0, 0.0), 2.6), bearing=180.0 - spin, shape="dome", normal=normal)
        facing = builders.camera((*put(1.0, -9.0), 2.6), bearing=0.0 - spin, tilt=20.0, name="other", normal=normal)
        car = builders.box(*put(-1.0, -4.0), wide=4.0, deep=1.8, tall=1.5, yaw=20.0 + spin, surface="car paint")
        lamp = builders.lamp((*put(1.5, -0.5), 2.4), name="porch")
        yard = builders.area(put(-3.0, -2.0), put(3.0, -2.0), put(3.0, -12.0), put(-3.0, -12.0), name="yard")
        return builders.plan(eye, facing, car, lamp, yard)

    first, second = (made(moved=moved) for moved in (False, True))
    views = [builders.FakeQuery(p).of(NIGHT, p.cameras[0]).view("porch") for p in (first, second)]
    assert views[0].veil == pytest.approx(views[1].veil, rel=0.02)
    assert views[0].reach.value == pytest.approx(views[1].reach.value, rel=0.02)
    assert views[0].usable["yard"].value == pytest.approx(views[1].usable["yard"].value, abs=0.01)


def test_reach_falls_as_the_pipe_comes_nearer() -> None:
    wall = builders.house(width=60.0, height=4.0, eave=0.0, surface="red brick")
    camera = builders.camera((55.0, -0.16, 2.7), bearing=270.0, tilt=15.0)
    reaches = [
        _night(wall, camera, builders.pipe(55.0 - away, -0.1, tall=4.0)).view().reach.value
        for away in (0.4, 0.5, 0.7, 1.0, 1.5, 2.5)
    ]
    assert reaches == sorted(reaches)


def test_brighter_surface_makes_more_veil() -> None:
    def veil(share: float) -> float:
        made = Material("made", {nm: Band(share, share, share) for nm in (550, 850, 940)})
        p = builders.plan(HOUSE, CAMERA, replace(PIPE, surface="made"))
        p = replace(p, materials={**BUILT_IN, "made": made})
        return builders.FakeQuery(p).of(NIGHT, CAMERA).view().veil

    veils = [veil(share) for share in (0.05, 0.2, 0.4, 0.6, 0.9)]
    assert np.diff(veils) == pytest.approx(np.diff([0.05, 0.2, 0.4, 0.6, 0.9]) * (veils[-1] - veils[0]) / 0.85)


def test_two_cameras_in_one_place_light_it_twice() -> None:
    """The other's light, from the same glass and axis, equals the camera's own on targets and surfaces alike."""
    twin = replace(CAMERA, id="twin")
    night = _night(HOUSE, YARD, CAMERA, twin)
    shown = night.found.shown
    assert night.others.on_targets[0][shown] == pytest.approx(night.found.own[shown], rel=1e-3)
    lit = night.frame.own_at_places > 1.0
    assert np.median(night.others.on_frame[0][lit] / night.frame.own_at_places[lit]) == pytest.approx(1.0, rel=1e-3)


def test_lights_of_a_changed_camera_are_made_anew_and_the_rest_kept() -> None:
    q = _query(*FULL)
    before = q.of(LIGHTS, q.plan.site)
    changed = q.vary(Change("replace", Ref("camera", "other"), replace(OTHER, infrared=Infrared(10.0))))
    after = changed.of(LIGHTS, changed.plan.site)
    same = before.index[Ref("lamp", "porch")]
    assert after.lights[after.index[Ref("lamp", "porch")]] is before.lights[same]
    assert after.lights[after.index[Ref("camera", "other", "infrared")]].peak == 100.0
    assert q.vary(Change("absent", Ref("object", "pipe"))).of(LIGHTS, q.plan.site) is before
    gone = q.vary(Change("absent", Ref("lamp", "porch")))
    assert Ref("lamp", "porch") not in gone.of(LIGHTS, gone.plan.site).index


def test_shade_sends_nothing_above_the_horizontal() -> None:
    up = builders.camera((5.6, -4.0, 5.0), bearing=0.0, tilt=15.0)
    lit, shaded = (_night(HOUSE, up, replace(PORCH, shade=shade)) for shade in (False, True))
    assert [d.ref.id for d in lit.others.direct] == ["porch"]
    assert shaded.others.direct == ()


def test_raster_half_as_fine_gives_the_same_figures() -> None:
    """Every 2nd pixel, other light on every 4th, against every pixel: within one per cent."""
    q = _query(*FULL)
    coarse, fine = q.of(NIGHT, CAMERA), compute(CAMERA, q, step=1, block=1)
    assert len(fine.frame.t) == len(q.of(RASTER, CAMERA).t) == pytest.approx(4 * len(coarse.frame.t), rel=0.02)
    for state in (DARK, "porch"):
        a, b = coarse.view(state), fine.view(state)
        assert a.veil == pytest.approx(b.veil, rel=0.01)
        assert a.reach.value == pytest.approx(b.reach.value, rel=0.01)
        assert a.signals.mean() == pytest.approx(b.signals.mean(), rel=0.02)


def test_surface_nearer_than_touching_is_named() -> None:
    leaf = builders.box(11.2 - 0.05, -0.09 - 0.05, wide=0.02, deep=0.02, tall=0.3, z=2.2, name="leaf", yaw=45.0)
    assert _night(CAMERA, leaf, HOUSE).touching == (Ref("object", "leaf"),)
    assert _night(*FULL).touching == ()


def test_area_of_the_day_has_no_night() -> None:
    by_day = replace(YARD, id="lawn", when="day")
    avoid = replace(YARD, id="pond", task="avoid")
    night = _night(HOUSE, CAMERA, YARD, by_day, avoid)
    assert set(night.view().usable) == {"yard"} == set(night.watched)


def test_camera_that_watches_no_night_area_is_judged_by_its_reach() -> None:
    view = _night(HOUSE, CAMERA).view()
    assert view.wanted.value == pytest.approx(view.reach.value / view.clear_reach)
    assert 0.0 < view.wanted.value <= 1.0
    assert view.headroom.value > 0.0
