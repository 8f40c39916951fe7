"""RECORD-07: a trigger that is blind, late, badly placed, or set off by the road."""

from __future__ import annotations

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.record.trigger_misses import TriggerMisses

CODE = "RECORD-07"


def plan(
    trigger: str = "by: heat, range: 6 m, lag: 1 s, before: 3 s", *, keys: str = "", source: str = "adapter",
    records: str = "motion", area: str = "along: 4 to 8, out: 3 to 4", pace: str = "", beyond: str = "",
) -> str:  # fmt: skip
    """A camera over a path."""
    street = "boundary: {front: 6, right: 9, back: 9, left: 9}\nbeyond: {front: public way, others: public way}"
    return f"""
house: {{front: {{faces: 200, width: 12}}, depth: 7, height: 5}}
{street if beyond else ""}
areas: [{{id: path, for: detect, wall: front, {area}{pace}}}]
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 2.6}}
    aim: path
    watches: [path]
    view: 80 deg
    night: none
    link: wireless
    {f"records: {records}" if records else ""}
    power: {{source: {source}}}
    trigger: {{{trigger}}}
    {keys}
"""


def figures(text: str) -> dict[str, float]:
    return {reading.key: reading.figure.value for reading, _ in kit.readings(text, CODE)}


def told(text: str) -> dict[str, str]:
    return {finding.key: finding.level for finding in kit.look(text).findings if finding.code == CODE}


def asked(text: str) -> set[str]:
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(TriggerMisses)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(TriggerMisses).read_text(encoding="utf-8").split())
    late = figures(plan("by: radar, lag: 3 s, before: 0 s"))["lag"]
    assert f"3 × 1.4 = {late:.1f} m, a warning; with 2 s kept from before {late / 3:.1f} m, a note" in page
    assert told(plan("by: radar, lag: 3 s, before: 0 s")) == {"lag": "warning"}
    assert told(plan("by: radar, lag: 3 s, before: 2 s")) == {"lag": "note"}
    assert told(plan("by: radar, lag: 3 s, before: 3 s")) == {}


def test_a_second_is_one_metre_forty_at_a_walk_and_five_metres_sixty_for_a_car() -> None:
    """20 km/h is 5.56 m/s: the trade's round figures."""
    assert figures(plan("by: radar, lag: 1 s, before: 0 s"))["lag"] == pytest.approx(1.4)
    car = figures(plan("by: radar, lag: 1 s, before: 0 s", pace=", pace: 20 km/h"))["lag"]
    assert car == pytest.approx(5.6, abs=0.05)


def test_a_longer_lag_is_never_milder() -> None:
    swept = kit.sweep(
        CODE, lambda lag: plan(f"by: radar, lag: {lag} s, before: 0 s"), [0, 0.7, 0.8, 2.1, 2.2, 7.1, 7.2]
    )
    assert [level for _, level in swept] == [None, None, "note", "note", "warning", "warning", "error"]


def test_recording_all_the_time_loses_nothing_to_the_lag() -> None:
    assert "lag" not in figures(plan("by: radar, lag: 9 s, before: 0 s", records="continuous"))
    assert "lag" in figures(plan("by: radar, lag: 9 s, before: 0 s", records="continuous", source="battery"))


def test_what_must_be_known_of_the_lag_is_asked() -> None:
    assert asked(plan("by: radar")) == {"camera/cam/trigger/lag"}
    assert asked(plan("by: radar, lag: 3 s")) == {"camera/cam/trigger/before"}
    assert asked(plan("by: radar, lag: 0.5 s")) == set()
    assert asked(plan("by: radar", records="")) == {"camera/cam/records"}


def test_seconds_kept_from_before_are_tried_where_there_is_power_to_keep_them() -> None:
    text = plan("by: radar, lag: 3 s, before: 0 s")
    assert kit.hold_remedies(text, CODE) == 1
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert finding.remedies[0].text == "keep 3 s from before the trigger"
    (sleeping,) = (
        f for f in kit.look(plan("by: radar, lag: 3 s, before: 0 s", source="battery")).findings if f.code == CODE
    )
    assert not any(remedy.edits for remedy in sleeping.remedies)


def test_a_heat_sensor_behind_a_pane_is_an_error_and_the_picture_is_not() -> None:
    pane = "behind: {gap: 10 mm, sealed: true}"
    assert told(plan(keys=pane)) == {"pane": "error"}
    assert told(plan("by: picture, lag: 1 s, before: 3 s", keys=pane)) == {}
    assert asked(plan("lag: 1 s, before: 3 s", keys=pane)) == {"camera/cam/trigger/by"}
    assert kit.hold_remedies(plan(keys=pane), CODE) == 1


def test_a_way_towards_the_sensor_is_a_note_and_one_across_it_is_not() -> None:
    across, towards = "along: 3 to 9, out: 3 to 4", "along: 5.5 to 6.5, out: 1 to 5"
    assert figures(plan(area=across))["direction"] == pytest.approx(90, abs=1)
    assert figures(plan(area=towards))["direction"] == pytest.approx(0, abs=1)
    assert told(plan(area=towards)) == {"direction": "note"}
    assert told(plan(area=across)) == {}
    assert "direction" not in figures(plan("by: radar, range: 6 m, lag: 1 s, before: 3 s", area=towards))


def test_a_square_yard_and_a_way_out_of_reach_have_no_direction() -> None:
    assert "direction" not in figures(plan(area="along: 4 to 8, out: 1 to 5"))
    assert "direction" not in figures(
        plan("by: heat, range: 3 m, lag: 1 s, before: 3 s", area="along: 5.5 to 6.5, out: 6 to 12")
    )


def test_more_reach_is_never_less_road() -> None:
    def reach(metres: float) -> str:
        return plan(f"by: heat, range: {metres} m, lag: 1 s, before: 3 s", source="battery", beyond="road")

    swept = kit.sweep(CODE, reach, [5, 6, 6.3, 6.6, 7, 8, 10, 12], key="road")
    levels = [level for _, level in swept]
    assert levels[:2] == [None, None]
    assert "note" in levels
    assert levels[-1] == "warning"


def test_the_road_is_a_note_where_the_mains_pay_for_it() -> None:
    assert told(plan("by: heat, range: 12 m, lag: 1 s, before: 3 s", beyond="road")) == {"road": "note"}


def test_a_battery_camera_is_asked_for_its_reach_only_with_a_road_ahead() -> None:
    trigger = "by: heat, lag: 1 s, before: 3 s"
    assert asked(plan(trigger, source="battery", beyond="road")) == {"camera/cam/trigger/range"}
    assert asked(plan(trigger, source="battery")) == set()
    assert asked(plan(trigger, beyond="road")) == set()


def test_a_shorter_reach_that_keeps_the_wanted_way_is_tried() -> None:
    text = plan("by: heat, range: 8 m, lag: 1 s, before: 3 s", source="battery", beyond="road")
    assert kit.hold_remedies(text, CODE) >= 1
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert finding.remedies[0].text.startswith("set the trigger's reach to 6.")


def test_where_the_wanted_ground_lies_on_the_road_a_mask_is_advised() -> None:
    """No reach and no turn that keeps the way by the kerb leaves the road out."""
    text = plan(
        "by: radar, range: 14 m, lag: 1 s, before: 3 s",
        source="battery",
        beyond="road",
        area="along: 2 to 10, out: 6 to 13",
    )
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    assert not any(remedy.edits for remedy in finding.remedies)
    assert "mask the road out of the trigger's own zone" in finding.remedies[-1].text
    assert "shorten its reach or turn it" in finding.remedies[-1].text


def test_without_a_trigger_nothing_is_said() -> None:
    text = plan().replace("    trigger: {by: heat, range: 6 m, lag: 1 s, before: 3 s}\n", "")
    assert kit.readings(text, CODE) == []
