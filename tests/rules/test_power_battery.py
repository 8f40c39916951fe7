"""POWER-06 and POWER-07: how long a battery lasts in the cold, and whether it may be charged in it."""

import pytest

from oneclimb import kit
from oneclimb.api import Reading
from oneclimb.register import page_path
from oneclimb_rules.power.battery_days import BatteryDays, words
from oneclimb_rules.power.frozen_charging import FrozenCharging

DAYS, FROZEN = "POWER-06", "POWER-07"
COLD = "site: {temperature: -5 to 30}"
BATTERY = "source: battery, capacity: 20 Wh, chemistry: lithium"
SOLAR = "source: solar, capacity: 20 Wh, chemistry: lithium, daily: 0.5 Wh"
BUSY = "events: 40, clip: 20 s"


def plan(power: str = BATTERY, more: str = BUSY, *, site: str = COLD, records: str = "motion") -> str:
    """One camera on its own battery."""
    return f"""
{site}
house: {{front: {{faces: 180, width: 12}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    link: wireless
    records: {records}
    power: {{{power}}}
{f"    {more.replace(', ', chr(10) + '    ')}" if more else ""}
"""


def one(text: str, code: str = DAYS) -> tuple[Reading, str | None]:
    """The one reading of a rule, and its level."""
    ((reading, level),) = kit.readings(text, code)
    return reading, level


def asked(text: str, code: str = DAYS) -> set[str]:
    """What a rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


def air(coldest: float) -> str:
    """A site that gets this cold."""
    return f"site: {{temperature: {coldest} to 30}}"


@pytest.mark.parametrize("rule", [BatteryDays, FrozenCharging])
def test_the_page_holds(rule: type[BatteryDays | FrozenCharging]) -> None:
    kit.hold_page(rule)


# ------------------------------------------------------------------------ days


def test_the_days_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(BatteryDays).read_text(encoding="utf-8").split())
    reading, level = one(plan())
    figure = reading.figure
    assert f"13.4 / 0.70 = {figure.value:.0f} days, {figure.low:.0f} to {figure.high:.0f}: a {level}" in page
    assert "A day takes 0.70 Wh (0.24 to 2.42)" in page
    assert "0.70 Wh (0.24 to 2.42" in reading.facts["steps"][0]


def test_a_declared_day_meets_the_worked_size_of_a_battery() -> None:
    """A worked sizing: 96 Wh a day, 514 Wh, four fifths taken, 0.7 left by the cold: three days.

    Here lithium at -15 °C is left 0.70 of its capacity (the mean of its values at -10 and -20 °C).
    """
    reading, _ = one(plan("source: battery, capacity: 514 Wh, daily: 96 Wh, chemistry: lithium", site=air(-15)))
    assert reading.figure.value == pytest.approx(3.0, abs=0.01)


def test_more_events_and_more_cold_are_never_better() -> None:
    swept = kit.sweep(DAYS, lambda n: plan(more=f"events: {n}, clip: 20 s"), [0, 5, 10, 30, 100, 1000])
    assert swept[0][1] is None
    assert swept[-1][1] == "warning"
    kit.sweep(DAYS, lambda c: plan(site=air(c)), [20, 10, 0, -10, -20, -40])


def test_a_declared_day_is_firm_and_passes_every_level() -> None:
    swept = kit.sweep(
        DAYS, lambda wh: plan(f"{BATTERY}, daily: {wh} Wh"), [0.2, 0.4, 0.44, 0.46, 0.9, 1.0, 1.4, 3, 5, 7]
    )
    assert swept[0][1] is None
    assert swept[-1][1] == "error"
    assert [level for _, level in swept] == [
        None,
        None,
        None,
        "note",
        "note",
        "note",
        "warning",
        "warning",
        "warning",
        "error",
    ]


def test_with_a_panel_days_without_sun_have_limits_of_their_own() -> None:
    assert one(plan("source: battery, capacity: 20 Wh, chemistry: lithium, daily: 0.8 Wh"))[1] == "note"
    assert one(plan("source: solar, capacity: 20 Wh, chemistry: lithium, daily: 0.8 Wh"))[1] is None
    assert one(plan("source: solar, capacity: 20 Wh, chemistry: lithium, daily: 2 Wh"))[1] == "note"
    assert one(plan("source: solar, capacity: 20 Wh, chemistry: lithium, daily: 9 Wh"))[1] == "error"


def test_the_kind_is_asked_where_it_would_change_the_verdict() -> None:
    unsaid = "source: battery, capacity: 20 Wh, daily: "
    assert asked(plan(f"{unsaid}0.3 Wh")) == {"camera/cam/power/chemistry"}
    assert asked(plan(f"{unsaid}0.02 Wh")) == set()
    reading, _ = one(plan(f"{unsaid}0.3 Wh"))
    assert reading.figure.low < one(plan(f"{BATTERY}, daily: 0.3 Wh"))[0].figure.low


def test_what_it_draws_while_it_waits_is_asked_where_it_would_change_the_verdict() -> None:
    """A camera said to draw 0.02 W has a finding; leaving that out asks for it."""
    few = "events: 5, clip: 10 s"
    assert one(plan(f"{BATTERY}, standby: 0.02 W", few))[1] == "note"
    assert one(plan(BATTERY, few))[1] is None
    assert asked(plan(BATTERY, few)) == {"camera/cam/power/standby"}
    assert asked(plan(f"{BATTERY}, standby: 0.006 W", few)) == set()
    assert asked(plan(f"{BATTERY}, daily: 0.3 Wh", few)) == set()


def test_one_question_at_a_time() -> None:
    assert asked(plan("source: battery", "")) == {"camera/cam/power/capacity"}
    assert asked(plan(BATTERY, "")) == {"camera/cam/events"}
    assert asked(plan(BATTERY, "events: 5")) == {"camera/cam/clip"}
    assert asked(plan(site="site: {stage: design}")) == {"site/site/temperature"}
    assert asked(plan(more=f"{BUSY}, sits: indoors", site="site: {stage: design}")) == set()


def test_what_records_all_day_or_has_no_battery_is_not_this_rules() -> None:
    assert kit.readings(plan(records="continuous"), DAYS) == []
    assert kit.readings(plan("source: adapter"), DAYS) == []


def test_the_range_is_never_finer_than_it_deserves() -> None:
    assert words(0.2, 0.8) == "less than a day"
    assert words(0.2, 8.4) == "less than a day to 8 days"
    assert words(5.3, 63) == "5 to 60 days"
    assert words(40, 900) == "40 days to half a year or more"
    assert words(200, 900) == "half a year or more"
    assert words(7, 7) == "7 days"


def test_the_larger_battery_that_is_offered_has_been_tried() -> None:
    assert kit.hold_remedies(plan(), DAYS) == 1
    (finding,) = (f for f in kit.look(plan()).findings if f.code == DAYS)
    assert "40 Wh" in finding.remedies[0].text


# ---------------------------------------------------------------------- charging


def test_the_charging_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(FrozenCharging).read_text(encoding="utf-8").split())
    cold, level = one(plan(SOLAR, "", site=air(-15)), FROZEN)
    assert f"{cold.figure.value:.0f} K too cold, {cold.figure.low:.0f} to {cold.figure.high:.0f}: a {level}" in page
    cool, level = one(plan(SOLAR, "", site=air(-5)), FROZEN)
    assert f"At −5 °C: {cool.figure.value:.0f} K, a {level}" in page


def test_more_frost_is_never_better() -> None:
    swept = kit.sweep(FROZEN, lambda c: plan(SOLAR, "", site=air(c)), [10, 0, -0.5, -4, -9, -14, -30])
    assert [level for _, level in swept] == [None, None, "note", "note", "note", "warning", "warning"]


def test_lead_bears_more_and_the_kind_is_asked_where_it_freezes() -> None:
    lead = SOLAR.replace("lithium", "lead")
    assert one(plan(lead, "", site=air(-15)), FROZEN)[1] is None
    assert one(plan(lead, "", site=air(-21)), FROZEN)[1] == "note"
    unsaid = SOLAR.replace(", chemistry: lithium", "")
    assert asked(plan(unsaid, "", site=air(-5)), FROZEN) == {"camera/cam/power/chemistry"}
    assert asked(plan(unsaid, "", site=air(5)), FROZEN) == set()


def test_a_battery_that_is_carried_indoors_to_be_charged_is_not_this_rules() -> None:
    assert kit.readings(plan(site=air(-15)), FROZEN) == []


def test_lead_is_offered_where_it_serves_and_the_fire_is_warned_of() -> None:
    text = plan("source: solar, capacity: 200 Wh, chemistry: lithium, daily: 0.5 Wh", "", site=air(-15))
    assert kit.hold_remedies(text, FROZEN) == 1
    (finding,) = (f for f in kit.look(text).findings if f.code == FROZEN)
    assert "fire" in finding.caution
