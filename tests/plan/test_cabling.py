"""Cables with all that is told of them, the conduits they run in and the boxes their joints sit in."""

from __future__ import annotations

import pytest

from oneclimb.plan.model import Cable, Conduit, Content, Gauge
from oneclimb.trade.wire_map import STANDARDS
from plan.written import CAMERA, faults, only, plan_of, site, under

B = ", ".join(STANDARDS["T568B"])


def cable(keys: str, extra: str = "") -> Cable:
    """One cable of the list, read."""
    return plan_of(site(f"{extra}\ncables: [{{id: run, {keys}}}]")).cables[0]


def conduit(keys: str) -> Conduit:
    """One conduit, read."""
    return plan_of(site(f"conduits: [{{id: pipe{keys}}}]")).conduits[0]


def with_own(keys: str) -> str:
    """A plan whose camera has its cable written with it."""
    return site("boxes: [{id: eave-box}]", CAMERA.replace("}}", f"}}, cable: {{{keys}}}}}"))


def test_a_gauge_is_read_as_written_with_its_conductors_section() -> None:
    """24 AWG is 0.2047 mm² (ASTM B258, as printed in makers' tables)."""
    gauge = cable("gauge: 24 AWG").gauge
    assert gauge is not None
    assert (gauge.text, gauge.awg) == ("24 AWG", 24.0)
    assert gauge.mm2 == pytest.approx(0.2047, abs=1e-4)
    assert cable("gauge: 0.5 mm2").gauge == Gauge("0.5 mm2", 0.5)
    assert cable("gauge: 1.5 mm²").gauge == Gauge("1.5 mm²", 1.5)


def test_what_a_cable_says_of_itself_is_read_in_si() -> None:
    one = cable(
        "kind: coax, category: cat6a, stranded: true, cords: 2 m, diameter: 6 mm, suits: [sun, air space], "
        "made: factory, tested: true, mains: 30 mm, surge: one, through: [fire wall], fire-stopped: false, bend: 3 cm"
    )
    assert (one.kind, one.category, one.stranded, one.cords, one.diameter) == ("coax", "cat6a", True, 2.0, 0.006)
    assert (one.suits, one.made, one.tested, one.mains) == (("sun", "air space"), "factory", True, 0.03)
    assert (one.surge, one.through, one.fire_stopped, one.bend) == ("one", ("fire wall",), False, 0.03)


def test_what_a_cable_does_not_say_is_unknown_but_it_is_copper() -> None:
    plan = plan_of(site("cables: [{id: run}]"))
    (bare,) = plan.cables
    assert bare == Cable("run", kind="copper")
    assert ("cable", "kind", "copper, not fibre or coax") in {(a.kind, a.field, a.taken) for a in plan.assumed}


def test_a_stretch_of_a_route_lies_as_deep_as_its_first_point_says() -> None:
    legs = cable("route: [{at: [0, -1], cover: buried, depth: 450 mm}, {at: [4, -1]}, {at: [8, -1]}]").legs
    assert legs is not None
    assert [(leg.cover, leg.depth) for leg in legs] == [("buried", 0.45), ("none", None)]


def test_a_cable_written_with_its_camera_says_the_same_as_one_of_the_list() -> None:
    plan = plan_of(with_own("gauge: 23 AWG, diameter: 7 mm, clamps: 5 to 8 mm, box: eave-box"))
    (own,) = plan.cables
    assert own.gauge is not None
    assert (own.gauge.awg, own.diameter) == (23.0, 0.007)
    assert (own.connectors[0].clamps, own.connectors[0].box) == ((0.005, 0.008), "eave-box")
    (listed,) = plan_of(
        site("boxes: [{id: eave-box}]\ncables: [{id: run, connectors: [{id: a, clamps: 5 to 8 mm, box: eave-box}]}]")
    ).cables
    assert (listed.connectors[0].clamps, listed.connectors[0].box) == ((0.005, 0.008), "eave-box")


def test_the_wires_of_both_ends_are_eight_colours_each_by_their_names() -> None:
    assert cable(f"wires: [[{B}], [{B}]]").wires == (STANDARDS["T568B"], STANDARDS["T568B"])

    def slip(one: str) -> set[tuple[str, str]]:
        found = faults(site(f"cables: [{{id: run, wires: [[{one}], [{B}]]}}]"))
        return {(fault.text, fault.hint) for fault in found}

    assert slip(B.replace("white/blue", "white/blu")) == {("`wires` is not `white/blu`", "did you mean `white/blue`?")}
    assert slip(B.removesuffix(", brown")) == {("`wires`: at least 8 entries", "")}
    assert ("`wires`: at most 8 entries", "") in slip(f"{B}, brown")
    assert slip(B.replace(" orange", " brown")) == {("`wires`: each entry once", "")}
    assert only(site(f"cables: [{{id: run, wires: [[{B}]]}}]")).text == "`wires`: at least 2 entries"


def test_a_testers_reading_is_held_against_its_form() -> None:
    whole = "1-1 2-2 3-6 4-4 5-5 6-3 7-open 8-8"
    assert cable(f"pins: {whole}").pins == whole
    text = site("cables: [{id: run, pins: 1-1 2-2 3-9}]")
    fault = only(text)
    assert (fault.code, under(fault, text)) == ("PLAN-15", "pins: 1-1 2-2 3-9")
    assert only(site("cables: [{id: run, pins: 1-1 2-2}]")).text.startswith("not all of pins 1 to 8")


def test_a_conduit_is_read_with_its_bends_and_what_else_lies_in_it() -> None:
    assert conduit("") == Conduit("pipe")
    assert conduit(
        ", bore: 20 mm, length: 12, bends: [90, 45 deg], runs: buried, depth: 450 mm, drained: true, sealed: false, "
        "joins: [room, outdoors], contents: [{diameter: 6 mm, count: 2, carries: mains}, {diameter: 0.01}]"
    ) == Conduit(
        "pipe",
        0.02,
        12.0,
        (90.0, 45.0),
        "buried",
        0.45,
        (Content(0.006, 2, "mains"), Content(0.01)),
        drained=True,
        sealed=False,
        joins=("room", "outdoors"),
    )
    assert conduit(", bends: []").bends == ()


def test_a_box_need_not_say_where_it_is() -> None:
    assert plan_of(site("boxes: [{id: box}]")).boxes[0].spot is None
    (box,) = plan_of(site("boxes: [{id: box, wall: front, along: 2, rated: [IP66], sits: eave, drains: true}]")).boxes
    assert box.spot is not None
    assert box.spot.xyz == pytest.approx((2, 0, 2.5))
    assert (box.rated, box.sits, box.drains) == (("IP66",), "eave", True)


@pytest.mark.parametrize(
    ("text", "code", "hint", "at"),
    [
        (
            site("conduits: [{id: pipe}]\ncables: [{id: run, conduit: pip}]"),
            "PLAN-19",
            "did you mean `pipe`?",
            "conduit: pip",
        ),
        (with_own("box: eave-bx"), "PLAN-19", "did you mean `eave-box`?", "box: eave-bx"),
        (site("cables: [{id: run, between: [house, barn]}]"), "PLAN-19", "known: `house`", "barn"),
        (site("cables: [{id: run, between: [house, house]}]"), "PLAN-16", "", "between: [house, house]"),
        (site("conduits: [{id: pipe}, {id: pipe}]"), "PLAN-18", "", "id: pipe"),
        (site("boxes: [{id: box}, {id: box}]"), "PLAN-18", "", "id: box"),
        (site("cables: [{id: run, gauge: 24}]"), "PLAN-13", "", "gauge: 24"),
        (site("cables: [{id: run, gauge: 99 AWG}]"), "PLAN-16", "", "gauge: 99 AWG"),
        (site("cables: [{id: run, gauge: 0 mm2}]"), "PLAN-26", "", "gauge: 0 mm2"),
        (with_own("clamps: 8 to 5 mm"), "PLAN-22", "", "clamps: 8 to 5 mm"),
        (site("conduits: [{id: pipe, bends: [90, 9000]}]"), "PLAN-16", "", "9000"),
        (site("conduits: [{id: pipe, bends: [90, 20 degrees]}]"), "PLAN-15", "", "20 degrees"),
        (site("cables: [{id: run, category: cat6e}]"), "PLAN-14", "did you mean `cat6`?", "category: cat6e"),
        (site("cables: [{id: run, suits: [sunn]}]"), "PLAN-14", "did you mean `sun`?", "sunn"),
    ],
)
def test_a_slip_is_told_at_its_place_with_the_nearest_word(text: str, code: str, hint: str, at: str) -> None:
    fault = only(text)
    assert (fault.code, fault.hint, under(fault, text)) == (code, hint, at)


def test_a_bend_too_large_to_read_is_told_at_its_own_place() -> None:
    text = site(f"conduits: [{{id: pipe, bends: [90, {'9' * 30}]}}]")
    fault = only(text)
    assert (fault.code, under(fault, text)) == ("PLAN-16", "9" * 30)
