"""POWER-03 and POWER-04: volts left at a camera, over its network cable and over a low-voltage line."""

import pytest

from oneclimb import kit
from oneclimb.api import Reading
from oneclimb.register import page_path
from oneclimb.trade.ethernet import JOINTS
from oneclimb_rules.power.low_voltage_drop import LowVoltageDrop
from oneclimb_rules.power.volts_over_poe import VoltsOverPoe

POE, LOW = "POWER-03", "POWER-04"
COOL = "site: {temperature: -5 to 20}"
COPPER = "length: 100, conductor: copper"


def poe(
    cable: str = COPPER, power: str = "watts: 25 W", *, port: str = "gives: 802.3at, volts: 50 V", site: str = COOL
) -> str:
    """A camera fed over its network cable."""
    return f"""
{site}
house: {{front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    power: {{source: poe, {power}}}
    cable: {{to: s, seal: gland, {cable}}}
switches: [{{id: s, budget: 200 W, {port}}}]
"""


def low(
    cable: str = "length: 20, gauge: 20 AWG, conductor: copper",
    power: str = "watts: 9 W, volts: 12 V",
    *,
    supply: str = "volts: 12 V, current: DC",
    site: str = COOL,
) -> str:
    """A camera fed over a low-voltage line."""
    return f"""
{site}
house: {{front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    link: wireless
    records: motion
    power: {{source: low-voltage, supply: hall, {power}}}
cables: [{{id: line, camera: cam, carries: power, {cable}}}]
supplies: [{{id: hall, sits: indoors, {supply}}}]
"""


def one(text: str, code: str) -> tuple[Reading, str | None]:
    """The one reading of a rule, and its level."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def volts(text: str, code: str = POE) -> float:
    """Volts at the camera."""
    reading, _ = one(text, code)
    return float(reading.facts["drop"].usual.arrives)


def asked(text: str, code: str) -> set[str]:
    """What a rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


@pytest.mark.parametrize("rule", [VoltsOverPoe, LowVoltageDrop])
def test_the_page_holds(rule: type[VoltsOverPoe | LowVoltageDrop]) -> None:
    kit.hold_page(rule)


# ------------------------------------------------------------------ over the network cable


def test_the_network_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(VoltsOverPoe).read_text(encoding="utf-8").split())
    clad, level = one(poe("length: 100, conductor: copper-clad aluminium"), POE)
    assert f"= {clad.facts['drop'].usual.arrives:.2f} V, {clad.figure.value * 100:.0f} % of 42.5 V: a warning" in page
    assert level == "warning"
    good, _ = one(poe(), POE)
    assert f"{good.facts['drop'].usual.arrives:.2f} V, {good.figure.value * 100:.0f} %." in page


@pytest.mark.parametrize(
    ("port", "power", "ohm", "pairs", "expected"),
    [
        ("gives: 802.3af, volts: 44 V", "watts: 12.95 W", 20.0, 2, 37.00),
        ("gives: 802.3at, volts: 50 V", "watts: 25.5 W", 12.5, 2, 42.50),
        ("gives: 802.3bt type 4, volts: 52 V", "watts: 71.3 W", 6.25, 4, 41.18),
    ],
)
def test_the_standards_own_worst_cases_close(port: str, power: str, ohm: float, pairs: int, expected: float) -> None:
    """IEEE 802.3, tables restated in print: least volts at the device from least at the port and the longest loop."""
    metres = (ohm * pairs / 2 - JOINTS * 0.2) / 93.8 * 1000
    reading, level = one(poe(f"length: {metres:.6f} m, conductor: copper", power, port=port), POE)
    assert reading.facts["drop"].usual.arrives == pytest.approx(expected, abs=0.005)
    assert reading.figure.value == pytest.approx(1.0, abs=0.002)
    assert level is None or reading.figure.value < 1


def test_a_longer_cable_is_never_better() -> None:
    swept = kit.sweep(
        POE, lambda m: poe(f"length: {m} m, conductor: copper-clad aluminium"), [20, 60, 85, 95, 140, 250]
    )
    assert swept[0][1] is None
    assert swept[-1][1] == "error"
    assert "warning" in [level for _, level in swept]


def test_a_hot_day_that_alone_makes_the_difference_is_a_note() -> None:
    reading, level = one(
        poe("length: 95, gauge: 26 AWG, conductor: copper", "watts: 24.1 W", site="site: {temperature: 0 to 30}"), POE
    )
    assert reading.figure.value < 1 < reading.figure.high
    assert level == "note"


def test_heat_thin_wire_and_cords_cost_volts_and_four_pairs_save_them() -> None:
    assert volts(poe(site="site: {temperature: 0 to 45}")) < volts(poe())
    assert volts(poe(f"{COPPER}, gauge: 26 AWG")) < volts(poe()) < volts(poe(f"{COPPER}, gauge: 23 AWG"))
    assert volts(poe(f"{COPPER}, cords: 10")) < volts(poe())
    bt = "gives: 802.3bt type 3, volts: 50 V"
    assert volts(poe(power="watts: 25.4 W, poe: 5", port=bt)) > volts(poe(power="watts: 25.4 W, poe: 4", port=bt))


def test_the_ports_volts_are_a_range_where_they_are_not_written() -> None:
    reading, level = one(poe(port="gives: 802.3at"), POE)
    assert reading.figure.low < one(poe(), POE)[0].figure.value < reading.figure.high
    assert level is None


def test_passive_power_is_held_against_the_cameras_own_volts() -> None:
    passive = "gives: passive, volts: 24 V"
    assert (
        one(poe("length: 20, conductor: copper", "standard: passive, volts: 24 V, watts: 5 W", port=passive), POE)[1]
        is None
    )
    long = poe("length: 150, conductor: copper", "standard: passive, volts: 24 V, watts: 8 W", port=passive)
    reading, level = one(long, POE)
    assert level == "error"
    assert reading.figure.value * 21.6 == pytest.approx(reading.facts["drop"].usual.arrives)
    assert asked(poe(power="standard: passive, watts: 8 W", port=passive), POE) == {"camera/cam/power/volts"}
    for unlike in ("standard: 802.3af, watts: 8 W", "watts: 8 W, poe: 3"):
        assert kit.readings(poe(power=unlike, port=passive), POE) == []
        assert asked(poe(power=unlike, port=passive), POE) == set()
    assert kit.readings(poe(power="standard: passive, volts: 24 V, watts: 8 W"), POE) == []


def test_power_that_no_volts_can_carry_is_said_to_be_so() -> None:
    too_long = poe("length: 400, conductor: copper", "watts: 25 W")
    (finding,) = (f for f in kit.look(too_long).findings if f.code == POE)
    ohm = 400 * 0.0938 + JOINTS * 0.2
    assert f"passes no more than {50**2 / 4 / ohm:.0f} W from 50 V" in finding.text
    assert finding.level == "error"
    line = low("length: 200, gauge: 24 AWG, conductor: copper")
    (found,) = (f for f in kit.look(line).findings if f.code == LOW)
    assert "cam needs 9 W, and this wire passes no more than 1 W from a supply of 12 V" in found.text
    for one_of in (finding, found):
        assert one_of.figure is not None
        assert one_of.figure.name == "of the least volts it needs, at the most power the wire passes"


def test_length_and_metal_are_asked_only_where_they_matter() -> None:
    assert asked(poe("conductor: copper"), POE) == {"cable/cam-cable/length"}
    assert asked(poe("length: 30"), POE) == set()
    assert asked(poe("length: 100"), POE) == {"cable/cam-cable/conductor"}
    assert asked(poe("length: 100, kind: fibre"), POE) == set()


def test_the_wire_that_is_offered_has_been_tried() -> None:
    assert kit.hold_remedies(poe("length: 95, conductor: copper-clad aluminium"), POE) >= 1
    assert (
        kit.hold_remedies(
            poe("length: 150, gauge: 24 AWG, conductor: copper", site="site: {temperature: 0 to 40}"), POE
        )
        >= 1
    )


# ------------------------------------------------------------------- over a low-voltage line


def test_the_low_voltage_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(LowVoltageDrop).read_text(encoding="utf-8").split())
    near, level = one(low(), LOW)
    assert f"= {volts(low(), LOW):.2f} V, 9 % lost, {near.figure.value * 100:.0f} % of 10.8 V" in page
    assert level is None
    far = low("length: 30, gauge: 20 AWG, conductor: copper")
    assert (
        f"At 30 m {volts(far, LOW):.2f} V are left, {one(far, LOW)[0].figure.value * 100:.0f} %, a {one(far, LOW)[1]}"
        in page
    )


@pytest.mark.parametrize(
    ("gauge", "per_kft"), [("10 AWG", 1.24), ("12 AWG", 1.98), ("14 AWG", 3.14), ("16 AWG", 4.99), ("18 AWG", 7.95)]
)
def test_ohms_are_those_of_the_nec_table(gauge: str, per_kft: float) -> None:
    """NEC chapter 9 table 8, stranded, 75 °C, as reproduced in print (16 and 18 AWG from memory); within 1 %."""
    reading, _ = one(low(f"length: 304.8, gauge: {gauge}, conductor: copper", site="site: {temperature: 0 to 75}"), LOW)
    assert reading.facts["drop"].usual.ohm / 2 == pytest.approx(per_kft, rel=0.01)


def test_a_published_drop_is_met_where_the_current_is_the_same() -> None:
    """The trade's rule VD = 2 K I L / CM, K = 12.9 ohm-cmil/ft at 75 °C (NEC handbook): 12 AWG, 6530 cmil, 100 ft."""
    reading, _ = one(
        low(
            "length: 100 ft, gauge: 12 AWG, conductor: copper",
            "watts: 48 W, volts: 24 V",
            supply="volts: 24 V, current: DC",
            site="site: {temperature: 0 to 75}",
        ),
        LOW,
    )
    there = reading.figure.value * reading.facts["drop"].least
    amps = 48 / there
    assert 24 - there == pytest.approx(2 * 12.9 * amps * 100 / 6530, rel=0.02)


def test_a_longer_line_and_more_watts_are_never_better() -> None:
    by_length = kit.sweep(
        LOW, lambda m: low(f"length: {m} m, gauge: 20 AWG, conductor: copper"), [5, 20, 22, 30, 60, 90]
    )
    assert [level for _, level in by_length][:2] == [None, None]
    assert by_length[-1][1] == "error"
    by_watts = kit.sweep(LOW, lambda w: low(power=f"watts: {w} W, volts: 12 V"), [1, 9, 12, 15, 40])
    assert "warning" in [level for _, level in by_watts]


def test_alternating_current_counts_volt_amperes() -> None:
    ac = low(power="watts: 9 W, volts: 24 V, current: AC", supply="volts: 24 V, current: AC")
    dc = low(power="watts: 9 W, volts: 24 V", supply="volts: 24 V, current: DC")
    assert one(ac, LOW)[0].figure.value < one(dc, LOW)[0].figure.value
    assert one(ac, LOW)[0].figure.low < one(ac, LOW)[0].figure.value


def test_the_tolerance_written_outranks_the_usual_tenth() -> None:
    assert one(low(power="watts: 9 W, volts: 12 V, tolerance: 5 %"), LOW)[1] is not None
    assert one(low(power="watts: 9 W, volts: 12 V, tolerance: 25 %"), LOW)[1] is None


def test_what_a_line_does_not_say_is_asked() -> None:
    assert asked(low("length: 20, conductor: copper"), LOW) == {"cable/line/gauge"}
    assert asked(low("gauge: 20 AWG, conductor: copper"), LOW) == {"cable/line/length"}
    assert asked(low(power="volts: 12 V"), LOW) == {"camera/cam/power/watts"}
    assert asked(low(supply="current: DC"), LOW) == {"supply/hall/volts"}
    assert asked(low().replace("supply: hall, ", ""), LOW) == {"camera/cam/power/supply"}
    assert asked(low("length: 20, gauge: 20 AWG"), LOW) == {"cable/line/conductor"}
    assert asked(low("length: 2, gauge: 20 AWG"), LOW) == set()


def test_an_adapters_camera_without_a_line_of_its_own_has_nothing_to_answer() -> None:
    text = low().replace("cables: [{id: line, camera: cam, carries: power, ", "cables: [{id: line, ")
    assert kit.readings(text, LOW) == []
    assert asked(text, LOW) == set()


@pytest.mark.parametrize(("gauge", "larger"), [("20 AWG", "AWG"), ("0.5 mm2", "mm2")])
def test_the_thinnest_wire_that_serves_is_offered_in_the_plans_own_sizes(gauge: str, larger: str) -> None:
    text = low(f"length: 40, gauge: {gauge}, conductor: copper")
    assert kit.hold_remedies(text, LOW) == 1
    (finding,) = (f for f in kit.look(text).findings if f.code == LOW)
    assert larger in finding.remedies[0].text
    assert finding.remedies[0].after is not None
    assert finding.remedies[0].after.low >= 1.0
    assert finding.remedies[0].after.value < 1.06
