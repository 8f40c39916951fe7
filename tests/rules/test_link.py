"""LINK-01: continuous recording over the air or off a battery."""

import pytest

from oneclimb import kit
from oneclimb.api import Remedy
from oneclimb.register import page_path
from oneclimb_rules.link.continuous_on_the_air import ContinuousOnTheAir
from oneclimb_rules.link.figures import BATTERY, RADIO

CODE = "LINK-01"
RADIO_ONLY = "link: wireless, bitrate: 4 Mbit/s, power: {source: adapter}, records: continuous"
BATTERY_ONLY = (
    "cable: {to: switch, carries: data}, power: {source: battery, watts: 4 W, capacity: 20 Wh}, records: continuous"
)


def plan(keys: str) -> str:
    """One camera with these keys."""
    return f"""
house: {{front: {{faces: 0, width: 12}}, depth: 7, height: 5}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none, pixels: 2560 x 1440, {keys}}}
"""


def figures(keys: str) -> dict[str, float]:
    """Each reading's figure by its key."""
    return {reading.key: reading.figure.value for reading, _ in kit.readings(plan(keys), CODE)}


def levels(keys: str) -> dict[str, str]:
    """Each finding's level by its key."""
    return {finding.key: finding.level for finding in kit.look(plan(keys)).findings if finding.code == CODE}


def asked(keys: str) -> list[str]:
    """What the rule could not tell."""
    return [item.ref.path for item in kit.look(plan(keys)).cannot_tell if item.code == CODE]


def test_the_page_holds() -> None:
    kit.hold_page(ContinuousOnTheAir)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(ContinuousOnTheAir).read_text(encoding="utf-8").split())
    air = figures(RADIO_ONLY)[RADIO]
    charges = figures(BATTERY_ONLY)[BATTERY]
    assert f"10.8 × 4 = {air:.1f} GB a day, a warning" in page
    assert f"20 / 4 = {168 / charges:.1f} hours, {charges:.1f} charges a week, an error" in page
    on_motion = kit.readings(plan(BATTERY_ONLY.replace("continuous", "motion")), CODE)
    (seldom,) = (reading.figure for reading, _ in on_motion if reading.key == BATTERY)
    assert f"{seldom.value:.2f} charges a week, {seldom.low:.2f} to {seldom.high:.2f}." in page
    assert levels(RADIO_ONLY) == {RADIO: "warning"}
    assert levels(BATTERY_ONLY) == {BATTERY: "error"}


def test_a_faster_stream_is_never_better() -> None:
    swept = kit.sweep(
        CODE, lambda rate: plan(RADIO_ONLY.replace("4 Mbit", f"{rate} Mbit")), [0.2, 0.5, 0.9, 1, 2, 8], key=RADIO
    )
    assert [at for _, at in swept] == ["note"] * 3 + ["warning"] * 3


def test_a_bigger_battery_is_never_worse() -> None:
    swept = kit.sweep(
        CODE,
        lambda wh: plan(BATTERY_ONLY.replace("20 Wh", f"{wh} Wh")),
        [10, 90, 100, 600, 700, 2000, 3000],
        key=BATTERY,
    )
    assert [at for _, at in swept] == ["error"] * 2 + ["warning"] * 2 + ["note"] * 2 + [None]


def test_the_sun_lowers_an_error_to_a_warning() -> None:
    assert levels(BATTERY_ONLY.replace("source: battery", "source: solar")) == {BATTERY: "warning"}


@pytest.mark.parametrize("records", ["motion", "schedule", "none"])
def test_what_does_not_record_all_the_time_is_silent(records: str) -> None:
    for keys in (RADIO_ONLY, BATTERY_ONLY):
        assert levels(keys.replace("records: continuous", f"records: {records}")) == {}


def test_a_cabled_camera_is_silent_and_is_asked_nothing() -> None:
    keys = "cable: {to: switch, carries: data+power}"
    assert levels(keys) == {}
    assert asked(keys) == []


def test_a_separate_cable_counts_as_its_link_and_feed() -> None:
    text = plan("records: continuous") + "cables: [{id: c, camera: cam, to: switch, carries: data+power}]\n"
    review = kit.look(text)
    assert [f for f in review.findings if f.code == CODE] == []
    assert [c for c in review.cannot_tell if c.code == CODE] == []


@pytest.mark.parametrize(
    ("keys", "asks"),
    [
        ("records: continuous", ["camera/cam/link"]),
        ("link: wireless, records: continuous", ["camera/cam/power/source"]),
        ("link: wireless, power: battery", ["camera/cam/records"]),
        ("link: cable, power: {source: poe}", ["camera/cam/cable"]),
    ],
)
def test_what_the_plan_does_not_say_is_asked_one_thing_at_a_time(keys: str, asks: list[str]) -> None:
    assert asked(keys) == asks
    assert levels(keys) == {}


def test_without_a_rate_the_pixels_give_a_range_and_the_level_is_lowered_by_doubt() -> None:
    keys = RADIO_ONLY.replace("bitrate: 4 Mbit/s, ", "").replace("records", "view: 90 deg, records")
    ((reading, level),) = ((r, at) for r, at in kit.readings(plan(keys), CODE) if r.key == RADIO)
    megapixels = 2560 * 1440 / 1e6
    assert reading.figure.low == pytest.approx(10.8 * 0.4 * megapixels)
    assert reading.figure.high == pytest.approx(10.8 * 1.9 * megapixels * (1 + 2) / 2)  # twice by night
    assert level == "warning"
    small = keys.replace("power", "shape: turret, power")
    assert kit.readings(plan(small).replace("2560 x 1440", "1280 x 720"), CODE)[0][1] == "note"


def test_a_battery_of_unknown_size_is_a_finding_and_a_question() -> None:
    keys = "link: wireless, bitrate: 1 Mbit/s, power: battery, records: continuous"
    assert levels(keys)[BATTERY] == "error"  # 40 Wh under 2 W, the kindest of it, last less than a day
    assert asked(keys) == ["camera/cam/power/capacity", "camera/cam/power/watts"]


@pytest.mark.parametrize(
    ("power", "taken"),
    [
        ("{source: battery}", "; taken: 20 Wh (10 to 40), 4 W (2 to 7) (estimate)"),
        ("{source: battery, watts: 3 W}", "; taken: 20 Wh (10 to 40) (estimate)"),
        ("{source: battery, capacity: 30 Wh}", "; taken: 4 W (2 to 7) (estimate)"),
        ("{source: battery, watts: 3 W, capacity: 30 Wh}", ""),
    ],
)
def test_what_was_taken_for_a_battery_is_said(power: str, taken: str) -> None:
    keys = f"link: cable, power: {power}, records: continuous"
    (finding,) = (f for f in kit.look(plan(keys)).findings if f.code == CODE)
    assert finding.text.partition(" hours")[2] == taken
    assert finding.steps[0].partition("warm and new")[2] == taken


def test_remedies_clear_the_finding_as_printed() -> None:
    assert kit.hold_remedies(plan(RADIO_ONLY), CODE) == 2
    assert kit.hold_remedies(plan(BATTERY_ONLY), CODE) == 2


WIRELESS_BATTERY = BATTERY_ONLY.replace("cable: {to: switch, carries: data}", "link: wireless, bitrate: 4 Mbit/s")


def remedies(keys: str, key: str) -> list[Remedy]:
    """What is said to do about one finding."""
    (finding,) = (f for f in kit.look(plan(keys)).findings if (f.code, f.key) == (CODE, key))
    return list(finding.remedies)


def test_only_a_camera_with_a_data_cable_is_to_be_fed_through_it() -> None:
    (_, fed) = remedies(BATTERY_ONLY, BATTERY)
    assert fed.text == "feed it through its data cable"
    (_, run, supply) = remedies(WIRELESS_BATTERY, BATTERY)
    assert run.text == "run a cable to it, and feed it through that"
    assert [change.at.field for change in run.edits] == ["link", "power"]
    assert "licensed electrician" in supply.text
    assert supply.edits == ()
    assert kit.hold_remedies(plan(WIRELESS_BATTERY), CODE) == 4


def test_recording_on_motion_is_told_as_a_range_over_ten_times_the_events() -> None:
    """Against the arithmetic: 10, 30 or 100 events of 20 s in a day of 86,400 s; a stream of half as much again."""
    for keys, key, all_day, most in ((BATTERY_ONLY, BATTERY, 168 / 5, 1.0), (WIRELESS_BATTERY, RADIO, 43.2, 1.5)):
        (after,) = (remedy.after for remedy in remedies(keys, key) if "only when something moves" in remedy.text)
        assert after
        assert after.name.endswith("on motion (estimate)")
        ends = [all_day * events * 20 / 86400 for events in (10, 30, 100)]
        assert [after.low, after.value, after.high] == pytest.approx([*ends[:2], ends[2] * most])


def test_the_figure_is_what_recording_all_day_needs() -> None:
    """Recording on motion still wants charging now and then: nothing says that it does not."""
    (reading,) = (r for r, _ in kit.readings(plan(BATTERY_ONLY), CODE) if r.key == BATTERY)
    assert (reading.figure.name, reading.figure.unit) == ("needed to record all day", "charges a week")


def test_a_card_of_its_own_with_a_good_link_is_a_note() -> None:
    card = f"{RADIO_ONLY}, card: {{size: 128 GB}}"
    assert levels(card) == {RADIO: "warning"}
    assert levels(f"{card}, wireless: {{measured: -80 dBm}}") == {RADIO: "warning"}
    assert levels(f"{card}, wireless: {{measured: -55 dBm}}") == {RADIO: "note"}
    assert levels(f"{RADIO_ONLY}, wireless: {{measured: -55 dBm}}") == {RADIO: "warning"}
    review = kit.look(plan(f"{card}, wireless: {{measured: -55 dBm}}"))
    (told,) = (f for f in review.findings if f.code == CODE)
    assert "its card keeps what is lost" in told.text
