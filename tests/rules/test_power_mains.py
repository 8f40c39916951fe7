"""POWER-09: what stops when the mains stop."""

import pytest

from oneclimb import kit
from oneclimb.api import Reading
from oneclimb.register import page_path
from oneclimb_rules.power.mains_stop import MainsStop

CODE = "POWER-09"
POE = "power: {source: poe, watts: 7 W}, cable: {to: s, length: 20, seal: gland}"
BACKUP = "id: b, capacity: 200 Wh, feeds: [nvr, s]"


def plan(*cameras: str, ups: str | None = BACKUP, recorder: str = "id: nvr, watts: 15 W", more: str = "") -> str:
    """Cameras kept by one recorder, and a backup."""
    lines = "\n".join(
        f"  - {{id: cam{i}, mount: {{wall: front, along: {i + 1}, height: 3}}, night: none, recorder: nvr, {camera}}}"
        for i, camera in enumerate(cameras or (POE, POE))
    )
    return f"""
house: {{front: {{faces: 0, width: 30}}, depth: 7, height: 5}}
cameras:
{lines}
switches: [{{id: s, gives: 802.3af, budget: 120 W, sits: indoors}}]
recorders: [{{{recorder}}}]
{f"ups: [{{{ups}}}]" if ups else ""}
{more}
"""


def one(text: str, key: str = "nvr") -> tuple[Reading, str | None]:
    """A reading by its key, and its level."""
    return next((reading, level) for reading, level in kit.readings(text, CODE) if reading.key == key)


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def finding(text: str) -> str:
    """The words of the only finding."""
    (found,) = (f for f in kit.look(text).findings if f.code == CODE)
    return found.text


def test_the_page_holds() -> None:
    kit.hold_page(MainsStop)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(MainsStop).read_text(encoding="utf-8").split())
    reading, level = one(plan())
    figure = reading.figure
    assert f"200 × 0.75 × 60 / 35 = {figure.value:.0f} minutes, {figure.low:.0f} to {figure.high:.0f}" in page
    assert level is None
    alone, level = one(plan(ups="id: b, capacity: 200 Wh, feeds: [nvr]"))
    assert f"for {alone.facts['own']:.0f} minutes and records nothing" in page
    assert (alone.figure.value, level) == (0.0, "note")


def test_a_larger_battery_is_never_worse() -> None:
    swept = kit.sweep(CODE, lambda wh: plan(ups=f"id: b, capacity: {wh} Wh, feeds: [nvr, s]"), [2, 11, 12, 60, 400])
    assert [level for _, level in swept] == ["note", "note", None, None, None]


def test_energy_is_kept() -> None:
    """Conservation: minutes of the usual end times the watts drawn are three quarters of the energy."""
    for cameras in ((POE,), (POE,) * 4):
        reading, _ = one(plan(*cameras))
        assert reading.figure.value * (15 + 6 + 7 * len(cameras)) / 60 == pytest.approx(150)


def test_a_camera_is_carried_on_only_through_everything_it_hangs_on() -> None:
    adapter = "link: wireless, records: motion, power: {source: adapter, watts: 5 W, supply: a}"
    supply = "supplies: [{id: a, volts: 5 V, sits: indoors}]\naccess-points: [{id: ap}]"
    both = plan(POE, adapter, more=supply)
    assert one(both)[1] == "note"
    assert "cam1 stops at once" in finding(both)
    fed = plan(POE, adapter, ups="id: b, capacity: 200 Wh, feeds: [nvr, s, a, ap]", more=supply)
    assert one(fed)[1] is None
    no_radio = plan(POE, adapter, ups="id: b, capacity: 200 Wh, feeds: [nvr, s, a]", more=supply)
    assert one(no_radio)[1] == "note"
    battery = "link: wireless, records: motion, power: {source: battery}, wireless: {to: ap}"
    own = plan(POE, battery, ups="id: b, capacity: 200 Wh, feeds: [nvr, s, ap]", more=supply)
    assert one(own)[1] is None


def test_what_hangs_on_a_recorders_own_ports_goes_on_with_the_recorder() -> None:
    text = plan(ups="id: b, capacity: 200 Wh, feeds: [nvr]").replace("{id: s, ", "{id: s, within: nvr, ")
    reading, level = one(text.replace("to: s", "to: nvr"))
    held, apart = one(text.replace("to: s", "to: nvr"))[0], one(plan(ups="id: b, capacity: 200 Wh, feeds: [nvr]"))[0]
    assert held.figure.value == pytest.approx(0.75 * 200 * 60 / (15 + 2 * 7))
    assert reading.facts["stops"] == ()
    assert level != "warning"
    assert len(apart.facts["stops"]) == 2


def test_an_injectors_and_a_cameras_own_plug_count() -> None:
    shot = "power: {source: poe, watts: 7 W}, cable: {to: shot, length: 20, seal: gland}"
    gear = "injectors: [{id: shot, gives: 802.3af, to: s, sits: indoors}]"
    assert one(plan(shot, more=gear))[1] == "note"
    reading, level = one(plan(shot, ups="id: b, capacity: 200 Wh, feeds: [nvr, s, shot]", more=gear))
    assert reading.figure.value == pytest.approx(200 * 0.75 * 60 / 28)
    assert level is None
    plugged = "power: {source: poe, watts: 7 W}, cable: {to: nvr, length: 20, seal: gland}"
    assert one(plan(plugged))[1] is None


def test_no_backup_written_is_asked_not_taken_for_none() -> None:
    assert asked(plan(ups=None)) == {"site/site/ups"}
    assert kit.readings(plan(ups=None), CODE) == []


def test_a_camera_of_which_nothing_is_told_is_asked_about() -> None:
    loose = plan(POE, "power: {source: poe, watts: 7 W}, cable: {to: the loft, length: 20, seal: gland}")
    assert asked(loose) == {"camera/cam1/power"}
    assert one(loose)[1] is None
    radio = plan(POE, "link: wireless, records: motion, power: {source: battery}")
    assert asked(radio) == {"camera/cam1/power"}


def test_watts_and_energy_that_matter_are_asked() -> None:
    assert asked(plan(ups="id: b, feeds: [nvr, s]")) == {"ups/b/capacity"}
    assert asked(plan(recorder="id: nvr")) == {"recorder/nvr/watts"}
    assert asked(plan(POE.replace(", watts: 7 W", ""))) == {"camera/cam0/power/watts"}
    assert asked(plan(POE.replace("watts: 7 W", "poe: 2"))) == set()


def test_a_backup_asked_for_more_than_it_gives_carries_nothing() -> None:
    small = plan(ups="id: b, capacity: 200 Wh, watts: 30 W, feeds: [nvr, s]")
    assert one(small, "over b")[1] == "warning" or one(small, "over b")[0].figure.low < 1
    assert one(small)[0].figure.value == 0
    swept = kit.sweep(
        CODE,
        lambda w: plan(ups=f"id: b, capacity: 200 Wh, watts: {w} W, feeds: [nvr, s]"),
        [10, 31, 34, 36, 100],
        key="over b",
    )
    assert [level for _, level in swept] == ["warning", "warning", "note", None, None]


def test_what_is_missing_is_plugged_in_and_a_larger_battery_is_tried() -> None:
    left_out = plan(ups="id: b, capacity: 200 Wh, feeds: [nvr]")
    assert kit.hold_remedies(left_out, CODE) >= 1
    (found,) = (f for f in kit.look(left_out).findings if f.code == CODE)
    assert found.remedies[0].text == "feed s from b too"
    assert kit.hold_remedies(plan(ups="id: b, capacity: 8 Wh, feeds: [nvr, s]"), CODE) >= 1


def test_only_what_stands_beside_it_is_plugged_into_a_backup() -> None:
    radio = "link: wireless, records: motion, wireless: {to: ap}, power: {source: adapter, watts: 5 W, supply: "
    shot = "power: {source: poe, watts: 7 W}, cable: {to: shot, length: 20, seal: gland}"
    gear = """
supplies:
  - {id: byre-adapter, at: [1, 41], height: 1, volts: 5 V, sits: indoors}
  - {id: hall-adapter, wall: front, along: 4, out: -1, height: 1, volts: 5 V, sits: indoors}
access-points: [{id: ap, wall: front, along: 5, out: -1, height: 2}]
injectors: [{id: shot, gives: 802.3af, sits: indoors}]"""
    text = plan(
        *(f"{radio}byre-adapter}}", f"{radio}hall-adapter}}", shot, POE),
        ups="id: b, capacity: 200 Wh, feeds: [nvr]",
        recorder="id: nvr, watts: 15 W, wall: front, along: 3, out: -1, height: 1",
        more=gear,
    )
    (found,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert [remedy.text for remedy in found.remedies[:2]] == [
        "feed ap, hall-adapter, s from b too",
        "give byre-adapter, shot backups of their own, where they stand",
    ]
    assert kit.hold_remedies(text, CODE) == 1
