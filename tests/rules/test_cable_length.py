"""CABLE-03 and CABLE-06: how long a channel may be, and what clad wire makes of it."""

import pytest

from oneclimb import kit
from oneclimb.api import Finding, Reading
from oneclimb.register import page_path
from oneclimb_rules.cable.channel_length import ChannelLength
from oneclimb_rules.cable.clad_conductor import CladConductor

LONG, CLAD = "CABLE-03", "CABLE-06"
CCA = "conductor: copper-clad aluminium"


def plan(cable: str, *, site: str = "name: Yard", watts: str = "6 W", more: str = "") -> str:
    """A camera fed over its cable."""
    return f"""
site: {{{site}}}
house: {{front: {{faces: 0, width: 12}}, depth: 7, height: 5}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none, power: {{source: poe, watts: {watts}}}}}
cables:
  - {{id: c, camera: cam, to: switch, {cable}}}
{more}
"""


def one(text: str, code: str = LONG) -> tuple[Reading, str | None]:
    """The one reading."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def finding(text: str, code: str = LONG) -> Finding:
    """The one finding."""
    (found,) = (f for f in kit.look(text).findings if f.code == code)
    return found


def asked(text: str, code: str = LONG) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


# ----------------------------------------------------------------------- channel length


def test_stranded_cable_is_counted_as_cord() -> None:
    """TIA-568's equation for long cords, at 24 AWG: 102 m of solid cable lose what 102 / 1.2 = 85 m of cord do."""
    soft, level = one(plan("length: 95, cords: 0, stranded: true"))
    assert (soft.facts["allowed"], level) == (pytest.approx(85.0), "warning")
    solid, level = one(plan("length: 95, cords: 0, stranded: false"))
    assert (solid.facts["allowed"], level) == (100.0, "note")


def test_the_page_of_lengths_holds() -> None:
    kit.hold_page(ChannelLength)


def test_the_worked_example_of_lengths_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(ChannelLength).read_text("utf-8").split())
    reading, level = one(plan("length: 104, cords: 1"))
    assert (reading.figure.value, level) == (105, "warning")
    assert "5.00 m outside it" in finding(plan("length: 104, cords: 1")).text
    hot = one(plan("length: 50, cords: 10", site="temperature: -5 to 40 C"))[0].facts["allowed"]
    assert f"no more than {hot - 10:.1f} m of cable is allowed (standards print 84), {hot:.1f} m together" in page
    assert hot - 10 == pytest.approx(84, abs=1)  # ISO/IEC 11801's and TIA-568's printed table


def test_longer_is_never_better() -> None:
    swept = kit.sweep(LONG, lambda m: plan(f"length: {m}, cords: 0"), [50, 90, 90.1, 100, 100.1, 105, 150, 150.1])
    assert [at for _, at in swept] == [None, None, "note", "note", "warning", "warning", "warning", "error"]


def test_a_hundred_metres_with_ninety_and_ten_of_cords_is_within_the_standard() -> None:
    """TIA-568's own channel: 90 m of fixed cable and 10 m of cords."""
    assert one(plan("length: 90, cords: 10", site="temperature: 0 to 20 C"))[1] == "note"
    assert one(plan("length: 90.2, cords: 10", site="temperature: 0 to 20 C"))[1] == "warning"


def test_heat_and_long_cords_shorten_what_is_allowed() -> None:
    assert one(plan("length: 88, cords: 2", site="temperature: 0 to 20 C"))[1] is None
    assert one(plan("length: 88, cords: 2", site="temperature: 0 to 55 C"))[1] == "warning"


def test_the_larger_of_length_and_route_counts() -> None:
    route = "route: [{at: [0, -5], height: 3}, {at: [0, -98], height: 3}]"
    assert one(plan(f"length: 60, cords: 0, {route}"))[0].figure.value == pytest.approx(93)
    assert one(plan(f"length: 99, cords: 0, {route}"))[0].figure.value == pytest.approx(99)
    drawn = one(plan(f"cords: 0, {route}"))[0].figure
    assert [drawn.value, drawn.high] == pytest.approx([93, 93 * 1.1])


def test_a_switch_midway_halves_it() -> None:
    texts = [remedy.text for remedy in finding(plan("length: 160, cords: 0")).remedies]
    assert texts[0].startswith("put a switch with power on the way")
    assert "2 channels of about 80 m" in texts[0]
    assert "fibre" in texts[1]
    assert "3 channels of about 83.35 m" in finding(plan("length: 250, cords: 0")).remedies[0].text
    assert "cords short" in finding(plan("length: 95, cords: 0")).remedies[0].text


@pytest.mark.parametrize("more", ["kind: fibre", "kind: coax", "carries: power"])
def test_only_twisted_pairs_with_data_are_judged(more: str) -> None:
    assert not kit.readings(plan(f"length: 300, {more}"), LONG)
    assert asked(plan(more)) == set()


def test_length_cords_and_heat_are_asked_for_only_where_they_matter() -> None:
    assert asked(plan("conductor: copper")) == {"cable/c/length"}
    assert asked(plan("length: 30")) == set()
    assert asked(plan("length: 87")) == {"cable/c/cords", "site/site/temperature"}
    assert asked(plan("length: 84, cords: 2", site="temperature: 0 to 25 C")) == set()


# ----------------------------------------------------------------------- clad conductors


def test_the_page_of_clad_wire_holds() -> None:
    kit.hold_page(CladConductor)


def test_the_worked_example_of_clad_wire_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(CladConductor).read_text("utf-8").split())
    text = plan(f"length: 100, {CCA}", watts="25.5 W")
    reading, level = one(text, CLAD)
    assert level == "error"
    assert f"{reading.facts['loop']:.1f} ohm, {reading.figure.value:.0%} of 12.5".replace("%", " %") in page
    steps = " ".join(finding(text, CLAD).steps)
    assert "25.5 W at 50 V, over this cable: 40.6 V and 0.627 A at the camera (at least 42.5 V" in steps
    assert "40.6 V at 0.627 A from a port of 50 V" in page


def test_clad_wire_passes_the_limit_at_83_8_metres() -> None:
    """12.5 ohm over 9.38 ohm / 0.629 per 100 m: wire makers' 62.9 % IACS (ASTM B566), TIA-568's 9.38 ohm."""
    published = 12.5 / (9.38 / 0.629) * 100
    assert published == pytest.approx(83.8, abs=0.05)
    swept = kit.sweep(CLAD, lambda m: plan(f"length: {m}, {CCA}"), [1, 30, 62, 64, 83, 88, 120])
    assert [at for _, at in swept] == ["note", "note", "note", "note", "warning", "error", "error"]
    assert one(plan(f"length: 83.8, {CCA}"), CLAD)[0].figure.value == pytest.approx(1.0, abs=0.001)


def test_the_skins_share_of_copper_is_the_figures_doubt() -> None:
    figure = one(plan(f"length: 100, {CCA}"), CLAD)[0].figure
    assert figure.low / figure.value == pytest.approx(0.629 / 0.644)
    assert figure.high / figure.value == pytest.approx(0.629 / 0.61)


def test_the_ohms_of_a_gauge_are_the_tables() -> None:
    """24 AWG is 25.67 ohm over 1000 ft in copper (ASTM B258); clad wire conducts 62.9 % as well."""
    text = plan(f"length: 80, cords: 0, gauge: 24 AWG, {CCA}")
    loop = 80 * 25.67 / 304.8 / 0.629
    assert one(text, CLAD)[0].figure.value == pytest.approx(loop / 12.5, rel=0.005)


def test_a_thicker_gauge_has_less() -> None:
    assert (
        one(plan(f"length: 80, gauge: 22 AWG, {CCA}"), CLAD)[0].figure.value
        < one(plan(f"length: 80, gauge: 24 AWG, {CCA}"), CLAD)[0].figure.value
    )


def test_copper_is_never_a_finding_here() -> None:
    assert one(plan("length: 140, conductor: copper"), CLAD)[1] is None


@pytest.mark.parametrize("more", ["kind: fibre", "carries: data"])
def test_only_what_feeds_the_camera_is_judged(more: str) -> None:
    text = plan(f"length: 100, {CCA}, {more}").replace("source: poe", "source: adapter")
    assert not kit.readings(text, CLAD)


def test_the_metal_is_asked_for_only_where_clad_wire_would_be_a_warning() -> None:
    assert asked(plan("length: 30"), CLAD) == set()
    assert asked(plan("length: 70"), CLAD) == {"cable/c/conductor"}
    assert asked(plan("tested: true"), CLAD) == set()
    assert asked(plan(CCA), CLAD) == {"cable/c/length"}


def test_copper_clears_it_while_it_can_be_chosen() -> None:
    assert kit.hold_remedies(plan(f"length: 88, cords: 0, {CCA}"), CLAD) == 1
    built = finding(plan(f"length: 88, {CCA}", site="stage: as-built"), CLAD)
    assert not built.remedies[0].edits


def test_watts_that_cannot_be_carried_are_said() -> None:
    assert "cannot be carried" in " ".join(finding(plan(f"length: 900, {CCA}", watts="25.5 W"), CLAD).steps)
