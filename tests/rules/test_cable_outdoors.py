"""CABLE-07, CABLE-08 and CABLE-09: near mains, from building to building, and under the ground."""

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Reading
from oneclimb.register import page_path
from oneclimb_rules.cable.between_buildings import BetweenBuildings
from oneclimb_rules.cable.near_mains import NearMains
from oneclimb_rules.cable.shallow_burial import ShallowBurial

MAINS, APART, BURIED = "CABLE-07", "CABLE-08", "CABLE-09"
BARN = "{id: barn, outline: [[0, 20], [8, 20], [8, 26], [0, 26]], height: 4}"


def plan(cable: str, *, stage: str = "design", more: str = "") -> str:
    """A house, a barn 13 m behind it, and a cable."""
    return f"""
site: {{stage: {stage}}}
buildings:
  - {{id: house, front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
  - {BARN}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none}}
cables:
  - {{id: c, {cable}}}
{more}
"""


def one(text: str, code: str) -> tuple[Reading, str | None]:
    """The one reading."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def finding(text: str, code: str) -> Finding:
    """The one finding."""
    (found,) = (f for f in kit.look(text).findings if f.code == code)
    return found


def asked(text: str, code: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


# ------------------------------------------------------------------------------- mains


ALONG = "route: [{wall: front, along: 2, height: 1.5COVER}, {wall: front, along: 10, height: 1.5}]"


def passing(thing: str, more: str = "", cover: str = "", kind: str = "objects") -> str:
    """A cable along the front wall past a thing."""
    return plan(f"{ALONG.replace('COVER', cover)}{more}", more=f"{kind}: [{{id: thing, {thing}}}]")


def test_the_page_of_mains_holds() -> None:
    kit.hold_page(NearMains)


def test_the_worked_example_of_mains_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(NearMains).read_text("utf-8").split())
    reading, level = one(plan("length: 9, mains: 20 mm"), MAINS)
    assert level == "warning"
    assert f"is {(0.05 - reading.figure.value) * 1000:.0f} mm less than the 50 mm wanted, a warning" in page
    assert one(plan("length: 9, mains: 100 mm"), MAINS)[1] is None


def test_nearer_is_never_better() -> None:
    """NEC 800.133, 725.136: 2 in, 50 mm in metric codes."""
    swept = kit.sweep(MAINS, lambda mm: plan(f"length: 9, mains: {mm} mm"), [0, 10, 49, 50, 51, 300])
    assert [at for _, at in swept] == ["warning", "warning", "warning", None, None, None]


@pytest.mark.parametrize(("height", "metres"), [(0.85, 0.05), (1.0, 0.0), (0.3, 0.6)])
def test_the_distance_to_a_meter_is_measured_along_the_route(height: float, metres: float) -> None:
    text = passing(f"kind: meter, wall: front, along: 6, height: {height}")  # 0.6 m tall
    found = [r.figure.value for r, _ in kit.readings(text, MAINS)]
    assert found == ([pytest.approx(metres, abs=1e-6)] if metres <= 0.5 else [])
    assert asked(text, MAINS) == ({"cable/c/mains"} if metres <= 0.5 else set())


def test_the_distance_to_a_supply_line_is_to_the_line_itself() -> None:
    far = "{wall: front, along: 6, out: 9, height: 6}"
    line = f"kind: service-drop, wall: front, along: 6, out: 0.2, height: 1.7, to: {far}"
    value = one(passing(line), MAINS)[0].figure.value
    assert value == pytest.approx((0.2**2 + 0.2**2) ** 0.5 - 0.01, abs=0.002)


def test_the_nearer_of_what_is_declared_and_what_is_drawn_counts() -> None:
    meter = "kind: meter, wall: front, along: 6, height: 0.86"
    assert one(passing(meter, ", mains: 300 mm"), MAINS)[0].figure.value == pytest.approx(0.04, abs=1e-6)
    assert one(passing(meter, ", mains: 10 mm"), MAINS)[0].figure.value == 0.01
    assert asked(passing(meter, ", mains: 300 mm"), MAINS) == set()


def test_conduit_parts_it_from_what_is_drawn() -> None:
    meter = "kind: meter, wall: front, along: 6, height: 0.86"
    assert not kit.readings(passing(meter, cover=", cover: conduit"), MAINS)


@pytest.mark.parametrize(("out", "asks"), [(0.4, True), (0.6, False)])
def test_a_lamp_within_half_a_metre_is_asked_about(out: float, asks: bool) -> None:
    text = passing(f"wall: front, along: 6, out: {out}, height: 1.5, lumens: 800", kind="lamps")
    assert asked(text, MAINS) == ({"cable/c/mains"} if asks else set())
    if asks:
        (item,) = (c for c in kit.look(text).cannot_tell if c.code == MAINS)
        assert item.asks.endswith("(it passes thing at 0.4 m)")


def test_the_remedies_leave_the_mains_alone_and_the_plan_cannot_silence_it() -> None:
    text = plan("length: 9, mains: 20 mm")
    found = finding(text, MAINS)
    assert "licensed electrician" in found.caution
    assert not any(remedy.edits for remedy in found.remedies)
    assert NearMains.info.safety
    assert finding(text + "settings: {CABLE-07: {warning: 1 mm}}\n", MAINS)
    assert not kit.readings(plan("length: 9, mains: 20 mm, kind: fibre"), MAINS)


# --------------------------------------------------------------------------- buildings


OVER = "route: [{building: house, wall: back, along: 5, height: 3}, {at: [7, 20], height: 3}]"


def test_the_page_of_buildings_holds() -> None:
    kit.hold_page(BetweenBuildings)


def test_the_worked_example_of_buildings_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(BetweenBuildings).read_text("utf-8").split())
    reading, level = one(plan(f"{OVER}, surge: none"), APART)
    assert reading.figure.value == pytest.approx(13.0, abs=0.05)
    assert level == "warning"
    assert f"13.00 × 0.1 = {0.1 * 13:.2f} m, a note" in page
    assert one(plan(f"{OVER}, surge: both"), APART)[1] == "note"


def test_farther_is_never_better() -> None:
    def gap(metres: float) -> str:
        moved = plan("between: [house, barn], surge: one").replace("20]", f"{7 + metres}]")
        return moved.replace("26]", f"{13 + metres}]")

    swept = kit.sweep(APART, gap, [0.0, 0.4, 1.0, 2.9, 3.1, 40.0])
    assert [at for _, at in swept] == [None, None, "note", "note", "warning", "warning"]
    assert [value for value, _ in swept] == pytest.approx([0.0, 0.4, 1.0, 2.9, 3.1, 40.0])


@pytest.mark.parametrize(("surge", "level"), [("none", "warning"), ("one", "warning"), ("both", "note")])
def test_only_protection_at_both_ends_counts(surge: str, level: str) -> None:
    assert one(plan(f"{OVER}, surge: {surge}"), APART)[1] == level


def test_protection_is_asked_for_where_it_decides_and_nothing_is_found_until_then() -> None:
    assert asked(plan(OVER), APART) == {"cable/c/surge"}
    assert one(plan(OVER), APART)[1] is None
    assert asked(plan("length: 30"), APART) == set()


def test_so_long_a_way_that_protection_does_not_help_is_found_and_not_asked_about() -> None:
    far = plan("between: [house, barn]").replace("20]", "47]").replace("26]", "53]")
    assert one(far, APART)[1] == "warning"
    assert asked(far, APART) == set()
    assert "surge protection not told" in finding(far, APART).text


def test_a_short_way_that_protection_would_make_silent_is_asked_about() -> None:
    near = plan("between: [house, barn]").replace("20]", "11]").replace("26]", "17]")
    assert one(near, APART)[1] is None
    assert asked(near, APART) == {"cable/c/surge"}
    assert one(near.replace("barn]", "barn], surge: none"), APART)[1] == "warning"


def test_a_wire_for_power_alone_is_not_told_to_be_fibre() -> None:
    found = finding(plan(f"{OVER}, surge: none, carries: power"), APART)
    assert found.remedies[0].text == "give what it feeds a supply of its own at the far end, by a licensed electrician"
    assert not any("fibre" in remedy.text or "wireless" in remedy.text for remedy in found.remedies)


@pytest.mark.parametrize(("y", "metres"), [(8.65, 0.0), (11, 4.0)])
def test_a_post_close_by_its_house_is_no_building(y: float, metres: float) -> None:
    post = f"objects: [{{id: porch-post, kind: post, at: [7, {y}]}}]"
    reading, _ = one(plan(f"{OVER.replace('20', str(y))}, surge: none", more=post), APART)
    assert reading.figure.value == pytest.approx(metres, abs=0.11)


def test_a_pole_counts_for_less() -> None:
    pole = "objects: [{id: mast, kind: pole, at: [7, 16]}]"
    reading, level = one(plan(f"{OVER.replace('20', '16')}, surge: none", more=pole), APART)
    assert reading.figure.value == pytest.approx(9.0, abs=0.11)
    assert level == "note"
    assert "from house to mast" in finding(plan(f"{OVER.replace('20', '16')}, surge: none", more=pole), APART).text


def test_a_cable_that_stays_at_its_building_is_silent() -> None:
    back = "{building: house, wall: back, along: ALONG, height: 3}"
    text = plan(f"route: [{back.replace('ALONG', '1')}, {back.replace('ALONG', '9')}]")
    assert one(text, APART)[0].figure.value == 0
    assert asked(text, APART) == set()


def test_fibre_joins_nothing() -> None:
    assert not kit.readings(plan(f"{OVER}, kind: fibre"), APART)


def test_fibre_comes_first_and_bonding_is_an_electricians() -> None:
    found = finding(plan(f"{OVER}, surge: none"), APART)
    assert "fibre" in found.remedies[0].text
    assert "licensed electrician" in found.remedies[-1].text
    assert not any(remedy.edits for remedy in found.remedies)
    assert len(finding(plan(f"{OVER}, surge: both"), APART).remedies) == 2


# ------------------------------------------------------------------------------ burial


def buried(depth: str, *, more: str = "", conduit: str = "", stage: str = "design") -> str:
    """A cable under the lawn."""
    route = f"route: [{{at: [2, -1], cover: buried{depth}}}, {{at: [2, -9]}}]"
    pipe = f"conduits: [{{id: pipe, {conduit}}}]" if conduit else ""
    return plan(f"{route}{', conduit: pipe' if conduit else ''}{more}", stage=stage, more=pipe)


def test_the_page_of_burial_holds() -> None:
    kit.hold_page(ShallowBurial)


def test_the_worked_example_of_burial_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(ShallowBurial).read_text("utf-8").split())
    reading, level = one(buried(", depth: 150 mm"), BURIED)
    assert f"600 − 150 = {reading.figure.value * 1000:.0f} mm, a warning" in page
    assert level == "warning"
    assert "no more than 30 V" in finding(buried(", depth: 150 mm"), BURIED).text
    reading, level = one(buried(", depth: 450 mm"), BURIED)
    assert f"450 mm in earth lacks {reading.figure.value * 1000:.0f} mm, a note" in page
    assert level == "note"
    assert "30 V" not in finding(buried(", depth: 450 mm"), BURIED).text.replace("under 450", "")
    assert one(buried(", depth: 450 mm", conduit="runs: buried"), BURIED)[0].figure.value == 0


def test_deeper_is_never_worse() -> None:
    """NEC table 300.5, column 1: 600 mm (24 in)."""
    swept = kit.sweep(BURIED, lambda mm: buried(f", depth: {mm} mm"), [0, 150, 390, 410, 599, 600, 900])
    assert [at for _, at in swept] == ["warning", "warning", "warning", "note", "note", None, None]


def test_inches_of_the_table_are_not_called_short() -> None:
    assert one(buried(", depth: 24 in"), BURIED)[1] is None
    assert one(buried(", depth: 18 in", conduit="runs: buried"), BURIED)[1] is None


def test_the_shallowest_stretch_counts_and_each_unknown_depth_is_asked() -> None:
    route = "route: [{at: [2, -1], cover: buried, depth: 0.6}, {at: [2, -5], cover: buried, depth: 0.3}, {at: [2, -9]}]"
    assert one(plan(route), BURIED)[0].figure.value == pytest.approx(0.3)
    assert asked(buried(""), BURIED) == {"cable/c/route/0/depth"}
    assert asked(plan("conduit: pipe", more="conduits: [{id: pipe, runs: buried}]"), BURIED) == {"conduit/pipe/depth"}
    assert asked(plan(ALONG.replace("COVER", "")), BURIED) == set()


def test_a_conduits_own_depth_counts() -> None:
    assert one(buried("", conduit="runs: buried, depth: 300 mm"), BURIED)[0].figure.value == pytest.approx(0.15)
    text = plan("conduit: pipe", more="conduits: [{id: pipe, runs: buried, depth: 300 mm}]")
    assert one(text, BURIED)[0].figure.value == pytest.approx(0.15)
    assert kit.hold_remedies(text, BURIED) == 1


def test_depths_are_told_in_one_way() -> None:
    pipe = "conduits: [{id: pipe, runs: buried, depth: 200 mm}]"
    text = finding(plan("conduit: pipe", more=pipe), BURIED).text
    assert "under 0.20 m of cover, where the table for power wiring has 0.45 m" in text
    assert " mm" not in text


def test_where_a_conduit_runs_is_asked_where_it_would_lie_too_shallow() -> None:
    for depth, keys in (
        (", depth: 300 mm", {"conduit/pipe/runs"}),
        ("", {"conduit/pipe/runs"}),
        (", depth: 0.5", set()),
    ):
        assert asked(plan("conduit: pipe", more=f"conduits: [{{id: pipe{depth}}}]"), BURIED) == keys


def test_digging_deeper_clears_it_while_it_is_not_dug() -> None:
    text = buried(", depth: 150 mm")
    assert kit.hold_remedies(text, BURIED) == 1
    assert "plastic conduit" in finding(text, BURIED).remedies[1].text
    assert "buried services" in finding(text, BURIED).caution
    assert not any(remedy.edits for remedy in finding(buried(", depth: 150 mm", stage="ready"), BURIED).remedies)
