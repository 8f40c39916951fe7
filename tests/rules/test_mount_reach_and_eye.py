"""MOUNT-01 and MOUNT-06: a camera that a hand, or an eye, comes near."""

import math

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.mount.infrared_at_the_eye import InfraredAtTheEye
from oneclimb_rules.mount.within_reach import WithinReach

REACH, EYE = "MOUNT-01", "MOUNT-06"


def plan(
    height: float = 2.2, *, rated: str = "rated: [IP66]", night: str = "night: none", more: str = "", shape: str = "",
    tilt: float = 15, out: float = 0, stage: str = "design",
) -> str:  # fmt: skip
    """A camera on a wide wall."""
    return f"""
site: {{coast: 12 km, weather: [frost], stage: {stage}}}
house: {{front: {{faces: 180, width: 40}}, depth: 7, height: 8}}
{more}
cameras:
  - id: cam
    mount: {{wall: front, along: 20, height: {height}, out: {out}}}
    aim: {{bearing: 180, tilt: {tilt}}}
    view: 60 deg
    {night}
    {rated}
    {shape}
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


def test_the_page_of_reach_holds() -> None:
    kit.hold_page(WithinReach)


def test_the_page_of_the_eye_holds() -> None:
    kit.hold_page(InfraredAtTheEye)


def test_steps_bring_a_camera_into_reach_as_the_page_says() -> None:
    steps = "objects: [{id: steps, kind: steps, wall: front, along: 20}]"
    assert level(plan(2.6), REACH) is None
    ((reading, at),) = kit.readings(plan(2.6, more=steps), REACH)
    assert f"2.60 − 0.50 = {reading.figure.value:.2f} m above them" in words(WithinReach)
    assert at == "warning"
    assert [related.at.path for related in reading.related] == ["object/steps"]
    assert level(plan(2.6, more=steps, rated="rated: [IK08]"), REACH) == "note"


def test_higher_is_never_worse_and_the_limit_is_arms_reach() -> None:
    """2.5 m: BS 7671 Figure 417, as quoted in print."""
    swept = kit.sweep(REACH, plan, [0.5, 1.2, 2.0, 2.45, 2.5, 2.55, 3.0, 5.0])
    assert [at for _, at in swept] == ["warning"] * 4 + [None] * 4


@pytest.mark.parametrize(
    ("rated", "found"),
    [("IK07", "warning"), ("IK08", "note"), ("IK09", "note"), ("IK10", None), ("IK10+", None), ("IP67", "warning")],
)
def test_the_housings_rating_decides_the_level(rated: str, found: str | None) -> None:
    assert level(plan(rated=f"rated: [{rated}]"), REACH) == found


def test_ratings_are_asked_for_only_within_reach() -> None:
    assert asked(plan(2.2, rated=""), REACH) == {"camera/cam/rated"}
    assert level(plan(2.2, rated=""), REACH) is None
    assert asked(plan(2.6, rated=""), REACH) == set()


def test_a_doorbell_hangs_low_by_design_and_indoors_is_nobodys_reach() -> None:
    for text in (plan(1.2, shape="shape: doorbell"), plan(2.0, shape="sits: indoors")):
        assert level(text, REACH) is None
        assert level(text.replace("rated: [IP66]", ""), REACH) is None
    assert asked(plan(1.2, shape="shape: doorbell", rated=""), REACH) == set()


def test_a_camera_just_under_a_flat_roofs_edge_is_reached_from_the_roof() -> None:
    roof = "buildings: [{id: shop, front: {faces: 180, width: 40}, depth: 7, height: 5, flat-roof: true}]"
    house = "house: {front: {faces: 180, width: 40}, depth: 7, height: 8}"
    ((reading, at),) = kit.readings(plan(4.2).replace(house, roof), REACH)
    assert reading.figure.value == pytest.approx(-0.8)
    assert at == "warning"
    ((reading, at),) = kit.readings(plan(3.6).replace(house, roof), REACH)
    assert reading.figure.value == pytest.approx(3.6)
    assert at is None


def test_a_stouter_housing_comes_before_a_longer_ladder() -> None:
    (finding,) = (f for f in kit.look(plan(2.2)).findings if f.code == REACH)
    assert "IK10" in finding.remedies[0].text
    assert [remedy.ladder for remedy in finding.remedies[:2]] == [False, True]
    assert kit.hold_remedies(plan(2.2), REACH) == 2
    rating, higher = finding.remedies[:2]
    assert rating.after is None, "the height is as it was"
    assert higher.text == "fix cam 0.30 m higher"
    assert higher.after is not None
    assert higher.after.value == pytest.approx(2.50), "out of reach, and no higher"


def test_a_rating_that_comes_from_the_type_is_mended_on_the_camera() -> None:
    text = plan(2.2, rated="type: t", more="types: {t: {rated: [IP66, IK07]}}")
    assert level(text, REACH) == "warning"
    assert kit.hold_remedies(text, REACH) == 2


def test_once_built_no_remedy_writes_a_rating() -> None:
    (finding,) = (f for f in kit.look(plan(2.2, stage="as-built")).findings if f.code == REACH)
    assert not any(change.at.field == "rated" for remedy in finding.remedies for change in remedy.edits)


# ------------------------------------------------------------------------ infrared at the eye


def share(text: str) -> float:
    """The share of the eye's limit."""
    ((reading, _),) = kit.readings(text, EYE)
    return reading.figure.value


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    ((reading, at),) = kit.readings(plan(1.6, night="infrared: 30 m"), EYE)
    low, usual, high = (round(100 * end, 6) for end in (reading.figure.low, reading.figure.value, reading.figure.high))
    assert f"1.5 / 0.2² = {usual:.1f} W/m², {usual + 0.1:.0f} % of the limit" in words(InfraredAtTheEye)
    assert f"({low:.0f} to {high:.0f} %), a note" in words(InfraredAtTheEye)
    assert at == "note"


def test_exposure_at_eye_height_is_the_inverse_square_of_iec_62471s_assessment_distance() -> None:
    """E = I / d² with d = 0.2 m, against 100 W/m² (IEC 62471, as quoted in print): I from 30 m is 1.5 W/sr."""
    assert share(plan(1.6, night="infrared: 30 m")) == pytest.approx(1.5 / 0.2**2 / 100)
    assert share(plan(1.6, night="infrared: 60 m")) == pytest.approx(4 * 1.5 / 0.2**2 / 100)


@pytest.mark.parametrize("drop", [0.1, 0.2, 0.3])
def test_above_eye_height_the_strongest_place_agrees_with_a_fine_search(drop: float) -> None:
    """A level beam of 60°, m = ln 2 / -ln cos 30°; eyes up to 1.9 m: the most of cosᵐ θ / d² over places ahead."""
    exponent = -math.log(2) / math.log(math.cos(math.radians(30)))
    best = max(
        (x / math.hypot(x, drop)) ** exponent / (x * x + drop * drop)
        for x in (0.001 * i for i in range(1, 1200))
        if 0.2 <= math.hypot(x, drop) <= 0.6
    )
    found = share(plan(1.9 + drop, night="infrared: 30 m", tilt=0)) * 100 / 1.5
    assert found == pytest.approx(best, rel=0.06)


def test_a_board_before_the_lens_leaves_only_what_passes_aslant() -> None:
    """No eye can be straight ahead; between lens and board it is 0.2 m off only far from the axis."""
    board = "objects: [{id: board, kind: box, wall: front, along: 20, out: 0.2, wide: 6, deep: 0.02, tall: 8}]"
    assert share(plan(1.6, night="infrared: 30 m", more=board)) < share(plan(1.6, night="infrared: 30 m")) / 4


def test_fixing_it_higher_is_never_worse_and_clears_it() -> None:
    swept = kit.sweep(EYE, lambda z: plan(z, night="infrared: 50 m"), [1.5, 1.9, 2.0, 2.1, 2.3, 2.6, 3.5])
    assert next(at for _, at in swept) == "note", "1.04 of the limit, within a factor of three"
    assert [at for _, at in swept][-1] is None
    text = plan(1.6, night="infrared: 50 m")
    assert kit.hold_remedies(text, EYE) == 1
    (finding,) = (f for f in kit.look(text).findings if f.code == EYE)
    assert not any(remedy.text.startswith("or ") for remedy in finding.remedies)
    mended = plan(float(str(finding.remedies[0].edits[0].by).removesuffix(" m")), night="infrared: 50 m")
    ((after, _),) = kit.readings(mended, EYE)
    assert InfraredAtTheEye().level(after, after.figure.high, InfraredAtTheEye.settings()) is None


def test_a_stronger_illuminator_is_never_better() -> None:
    swept = kit.sweep(EYE, lambda m: plan(1.6, night=f"infrared: {m} m"), [5, 20, 25, 30, 60, 90, 120])
    assert [at for _, at in swept] == [None, None, None, "note", "note", "warning", "warning"]


def test_no_infrared_no_reading_and_an_unknown_range_is_asked_only_where_an_eye_comes_near() -> None:
    assert kit.readings(plan(1.6, night="night: none"), EYE) == []
    assert asked(plan(1.6, night="night: infrared"), EYE) == {"camera/cam/infrared/range"}
    assert asked(plan(2.8, night="night: infrared"), EYE) == set()


def test_nothing_is_told_of_what_is_far_above_any_eye() -> None:
    assert share(plan(5.0, night="infrared: 60 m")) == 0.0
    assert level(plan(5.0, night="infrared: 60 m"), EYE) is None
