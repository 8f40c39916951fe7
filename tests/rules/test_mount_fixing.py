"""MOUNT-04 and MOUNT-07: what holds a camera, and how far its picture moves."""

import math

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.mount.sway import Sway
from oneclimb_rules.mount.weak_fixing import WeakFixing

WEAK, SWAY = "MOUNT-04", "MOUNT-07"
POLE = "objects: [{id: mast, kind: pole, at: [10, -6], diameter: 60 mm, tall: 4}]"
ON_POLE = "mount: {at: [10, -6.1], height: 4, to: pole}\n    aim: {bearing: 180, tilt: 15}"


def plan(
    fixing: str = "", *, mount: str = "mount: {wall: front, along: 6, height: 3}", view: float = 60, more: str = "",
    objects: str = "", stage: str = "design",
) -> str:  # fmt: skip
    """A camera and what it is fixed to."""
    return f"""
site: {{coast: 12 km, weather: [frost], stage: {stage}}}
house: {{front: {{faces: 180, width: 12}}, depth: 7, eave: {{height: 4.5, depth: 0.5}}}}
{objects}
cameras:
  - id: cam
    {mount}
    view: {view} deg
    pixels: 2560 x 1440
    night: none
    {fixing}
    {more}
"""


def level(text: str, code: str) -> str | None:
    """The level of the camera's finding."""
    found = [f for f in kit.look(text).findings if f.code == code]
    return found[0].level if found else None


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


def words(rule: type) -> str:
    """A rule's page in one line."""
    return " ".join(page_path(rule).read_text(encoding="utf-8").split())


def test_the_page_of_fixings_holds() -> None:
    kit.hold_page(WeakFixing)


def test_the_page_of_sway_holds() -> None:
    kit.hold_page(Sway)


def test_the_pages_example_of_fixings_is_what_the_rule_counts() -> None:
    readings = kit.readings(plan("fixing: {to: soffit board, backed: false}"), WEAK)
    assert [(r.key, r.figure.value, at) for r, at in readings] == [
        ("fixing.to", 0, None),
        ("fixing.backed", 2, "warning"),
    ]
    assert "counts 2 of 3, a warning; `backed: true` counts 0" in words(WeakFixing)
    assert level(plan("fixing: {to: soffit board, backed: true}"), WEAK) is None


@pytest.mark.parametrize("on", ["gutter", "fence panel", "tree"])
def test_what_moves_is_weak_backed_or_not(on: str) -> None:
    assert level(plan(f"fixing: {{to: {on}, backed: true}}"), WEAK) == "warning"


@pytest.mark.parametrize("on", ["brick", "block", "concrete", "stone", "timber", "steel", "post", "pole"])
def test_what_holds_is_silent(on: str) -> None:
    assert level(plan(f"fixing: {{to: {on}}}"), WEAK) is None
    assert asked(plan(f"fixing: {{to: {on}}}"), WEAK) == set()


@pytest.mark.parametrize("on", ["soffit board", "plasterboard", "render on insulation"])
def test_backing_is_asked_for_and_tried(on: str) -> None:
    assert asked(plan(f"fixing: {{to: {on}}}"), WEAK) == {"camera/cam/fixing/backed"}
    text = plan(f"fixing: {{to: {on}, backed: false}}")
    (finding,) = (f for f in kit.look(text).findings if f.code == WEAK)
    assert on in finding.text
    assert "asbestos" in finding.caution
    assert finding.remedies[0].ladder
    assert kit.hold_remedies(text, WEAK) == 1
    (built,) = (f for f in kit.look(text.replace("design", "as-built")).findings if f.code == WEAK)
    assert not any(remedy.edits for remedy in built.remedies)


def test_what_it_is_fixed_to_is_asked_only_where_the_mount_makes_one_wonder() -> None:
    assert asked(plan(), WEAK) == set()
    assert asked(plan(mount="mount: {wall: front, along: 6, to: soffit}"), WEAK) == {"camera/cam/fixing/to"}


# ------------------------------------------------------------------------ sway


def pixels(text: str) -> float:
    """Pixels of sway."""
    ((reading, _),) = kit.readings(text, SWAY)
    return reading.figure.value


def test_the_pages_example_of_sway_is_what_the_rule_computes() -> None:
    narrow, wide = (pixels(plan("fixing: {to: brick, sway: 0.5 deg}", view=view)) for view in (30, 100))
    assert f"= {narrow:.1f} pixels, a warning. Over 100° it is {wide:.1f}, a note" in words(Sway)
    assert narrow == pytest.approx(2560 * math.tan(math.radians(0.5)) / (2 * math.tan(math.radians(15))))


def test_a_narrower_view_and_a_longer_swing_are_never_better() -> None:
    swept = kit.sweep(SWAY, lambda view: plan("fixing: {to: post, sway: 0.3 deg}", view=view), [110, 80, 50, 30, 20])
    assert [at for _, at in swept] == ["note", "note", "warning", "warning", "warning"]
    swept = kit.sweep(SWAY, lambda deg: plan(f"fixing: {{to: post, sway: {deg} deg}}"), [0, 0.05, 0.1, 0.2, 0.5, 1])
    assert [at for _, at in swept] == [None, None, "note", "note", "warning", "warning"]


def test_a_pole_is_a_cantilever_by_the_beam_tables() -> None:
    """Roark: slope F L²/2EI + w L³/6EI. 60 mm tube, 3 mm wall, 4 m, 10 m/s: 61.3 Pa; camera 0.012 m² at 1.2."""
    inertia = math.pi / 64 * (0.06**4 - 0.054**4)
    stiff = 205e9 * inertia
    force, along = 61.3 * 1.2 * 0.012, 61.3 * 1.2 * 0.06
    slope = force * 4**2 / (2 * stiff) + along * 4**3 / (6 * stiff)
    expected = 2560 * math.tan(slope) / (2 * math.tan(math.radians(30)))
    text = plan("fixing: {to: pole, held-by: mast}", mount=ON_POLE, objects=POLE)
    assert pixels(text) == pytest.approx(expected, rel=1e-3)


def test_a_thicker_pole_is_never_worse_and_is_tried() -> None:
    def pole(mm: float) -> str:
        return plan(
            "fixing: {to: pole, held-by: mast}", mount=ON_POLE, objects=POLE.replace("60 mm", f"{mm} mm"), view=20
        )

    swept = kit.sweep(SWAY, pole, [20, 25, 30, 40, 60, 90, 114])
    assert next(at for _, at in swept) == "warning"
    assert [at for _, at in swept][-1] is None
    assert kit.hold_remedies(pole(30), SWAY) == 1


def test_timber_bends_more_than_steel_of_one_wall_is_thick_for() -> None:
    wood = POLE.replace("tall: 4", "tall: 4, surface: weathered wood")
    fixing = "fixing: {to: pole, held-by: mast}"
    assert pixels(plan(fixing, mount=ON_POLE, objects=wood)) > pixels(plan(fixing, mount=ON_POLE, objects=POLE))


def test_more_wind_moves_it_by_the_square() -> None:
    fixing = "fixing: {to: pole, held-by: mast}"
    calm, storm = (
        pixels(plan(fixing, mount=ON_POLE, objects=POLE, more=f"\nsettings: {{MOUNT-07: {{wind: {v}}}}}"))
        for v in (10, 20)
    )
    assert storm == pytest.approx(4 * calm, rel=1e-3)


def test_a_measured_sway_outranks_the_reckoned_one() -> None:
    fixing = "fixing: {to: pole, held-by: mast, sway: 1 deg}"
    assert pixels(plan(fixing, mount=ON_POLE, objects=POLE)) == pytest.approx(
        2560 * math.tan(math.radians(1)) / 2 * 3**0.5
    )


def test_what_holds_it_is_asked_for_on_a_pole_and_the_swing_in_a_tree() -> None:
    assert asked(plan(mount=ON_POLE), SWAY) == {"camera/cam/fixing/held-by"}
    assert asked(plan("fixing: {to: tree}"), SWAY) == {"camera/cam/fixing/sway"}
    assert asked(plan(), SWAY) == set()
    assert kit.readings(plan(), SWAY) == []
