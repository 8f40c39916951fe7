"""LINK-05 and LINK-06: what the wires carry, and who can get at them."""

from __future__ import annotations

from typing import Any

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.link.full_uplink import FullUplink
from oneclimb_rules.link.network_exposure import NetworkExposure

LOAD, OPEN = "LINK-05", "LINK-06"
RATE = "bitrate: 8 Mbit/s, night-bitrate: 8 Mbit/s, records: continuous"


def plan(cameras: int, gear: str, *, keys: str = RATE, to: str = "sw", site: str = "") -> str:
    """Cameras in a row, cabled to one thing; ``gear`` are further lists."""
    lines = "\n".join(
        f"  - {{id: cam{i}, mount: {{wall: front, along: {1 + i}, height: 2.5}}, night: none, {keys}, "
        f"cable: {{to: {to}, carries: data}}}}"
        for i in range(cameras)
    )
    return f"""
site: {{place: [54, -3]{site}}}
house: {{front: {{faces: 180, width: 30}}, depth: 8}}
{gear}
cameras:
{lines}
"""


SWITCH = "switches: [{id: sw, uplink: 100 Mbit/s}]"


def figures(text: str, code: str = LOAD) -> dict[str, float]:
    return {f"{r.at.id} {r.key}": r.figure.value for r, _ in kit.readings(text, code)}


def levels(text: str, code: str) -> dict[str, str]:
    return {f.at.path: f.level for f in kit.look(text).findings if f.code == code}


def asked(text: str, code: str) -> list[str]:
    return [item.ref.path for item in kit.look(text).cannot_tell if item.code == code]


@pytest.mark.parametrize("rule", [FullUplink, NetworkExposure])
def test_the_pages_hold(rule: type[Any]) -> None:
    kit.hold_page(rule)


def test_the_uplinks_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(FullUplink).read_text(encoding="utf-8").split())
    text = plan(12, SWITCH)
    assert figures(text) == {"sw uplink": pytest.approx(0.96)}
    assert "12 × 8 = 96 Mbit/s, 96 % of it, a warning" in page
    assert levels(text, LOAD) == {"switch/sw/uplink": "warning"}


def test_more_cameras_never_leave_more_room() -> None:
    swept = kit.sweep(LOAD, lambda n: plan(int(n), SWITCH), [2, 8, 9, 12, 13, 20])
    assert [at for _, at in swept] == [None, None, "note", "warning", "error", "error"]


def test_switches_behind_switches_add_up() -> None:
    gear = "switches: [{id: sw, uplink: 1 Gbit/s, to: root}, {id: root, uplink: 100 Mbit/s}]"
    assert figures(plan(6, gear)) == {"sw uplink": pytest.approx(0.048), "root uplink": pytest.approx(0.48)}


def test_a_port_is_held_against_its_largest_stream() -> None:
    gear = "switches: [{id: sw, uplink: 1 Gbit/s, speed: 10 Mbit/s}]"
    assert figures(plan(3, gear)) == {"sw speed": pytest.approx(0.8), "sw uplink": pytest.approx(0.024)}


def test_an_uplink_is_asked_for_only_where_the_streams_could_fill_the_slowest() -> None:
    gear = "switches: [{id: sw}]"
    assert asked(plan(8, gear), LOAD) == []
    assert asked(plan(9, gear), LOAD) == ["switch/sw/uplink"]


def test_a_recorder_is_held_against_what_it_takes_in() -> None:
    gear = "recorders: [{id: nvr, most: 40 Mbit/s}]"
    assert figures(plan(4, gear, to="nvr")) == {"nvr most": pytest.approx(0.8)}
    assert levels(plan(6, gear, to="nvr"), LOAD) == {"recorder/nvr/most": "error"}


def test_what_a_recorder_takes_in_is_asked_only_where_the_streams_could_fill_the_smallest() -> None:
    """Eight Mbit/s each, declared by night too: 70 % of 40 Mbit/s is 28."""
    gear = "recorders: [{id: nvr}]"
    assert asked(plan(3, gear, to="nvr"), LOAD) == []
    assert asked(plan(4, gear, to="nvr"), LOAD) == ["recorder/nvr/most"]
    assert asked(plan(4, "recorders: [{id: nvr, most: 80 Mbit/s}]", to="nvr"), LOAD) == []


def test_an_access_points_cable_carries_its_cameras() -> None:
    text = """
house: {front: {faces: 180, width: 30}, depth: 8}
access-points: [{id: ap, at: [5, 3], uplink: 10 Mbit/s}]
cameras:
  - {id: cam, mount: {wall: front, along: 5}, night: none, link: wireless, bitrate: 8 Mbit/s, night-bitrate: 8 Mbit/s}
  - {id: wired, mount: {wall: front, along: 6}, night: none, link: cable, bitrate: 8 Mbit/s}
"""
    assert figures(text) == {"ap uplink": pytest.approx(0.8)}


def test_a_copy_in_the_cloud_counts_the_mean_of_what_is_recorded() -> None:
    gear = "recorders: [{id: nvr, copy: cloud}]"
    site = ", network: {uplink: 20 Mbit/s}"
    assert figures(plan(2, gear, to="nvr", site=site)) == {"site network.uplink": pytest.approx(0.8)}
    on_motion = RATE.replace("continuous", "motion, motion: 25 %")
    assert figures(plan(2, gear, to="nvr", site=site, keys=on_motion)) == {"site network.uplink": pytest.approx(0.2)}
    assert asked(plan(2, gear, to="nvr"), LOAD) == ["site/site/network/uplink"]
    assert asked(plan(2, gear.replace("cloud", "none"), to="nvr"), LOAD) == []


def test_a_stream_that_is_not_declared_lowers_the_level_by_its_doubt() -> None:
    ((reading, level),) = kit.readings(plan(24, SWITCH, keys="pixels: 2560 x 1440, view: 90 deg"), LOAD)
    assert reading.figure.low < 1.0 < reading.figure.value
    assert level == "warning"


def test_a_faster_switch_is_tried_and_smaller_streams_are_said_in_numbers() -> None:
    text = plan(13, SWITCH)
    (finding,) = (f for f in kit.look(text).findings if f.code == LOAD)
    assert "13 cameras send about 104 Mbit/s through the uplink of sw, which carries 100" in finding.text
    assert any(f"{100 * 0.7 / 13:.2g} Mbit/s each" in remedy.text for remedy in finding.remedies)
    assert kit.hold_remedies(text, LOAD) == 1


# ------------------------------------------------------------------------ who can get at it

GOOD = "password: own, forwarded: false, separate: true, jacks: locked, updates: current"


def net(words: str, *, keys: str = "records: motion") -> str:
    return plan(1, "", keys=keys, site=f", network: {{{words}}}")


@pytest.mark.parametrize(
    ("good", "bad", "level"),
    [
        ("password: own", "password: default", "error"),
        ("password: own", "password: shared", "warning"),
        ("forwarded: false", "forwarded: true", "error"),
        ("updates: current", "updates: ended", "warning"),
        ("jacks: locked", "jacks: open", "warning"),
        ("separate: true", "separate: false", "note"),
    ],
)
def test_each_line_of_the_list(good: str, bad: str, level: str) -> None:
    assert levels(net(GOOD), OPEN) == {}
    assert levels(net(GOOD.replace(good, bad)), OPEN) == {f"site/site/network/{good.partition(':')[0]}": level}


def test_what_a_network_leaves_out_is_asked_and_a_plan_without_one_is_not() -> None:
    assert asked(net("password: own"), OPEN) == [
        f"site/site/network/{key}" for key in ("forwarded", "jacks", "separate", "updates")
    ]
    assert asked(plan(1, "", keys="password: own"), OPEN) == []


@pytest.mark.parametrize(
    ("keys", "level"), [("password: default", "error"), ("password: shared", "warning"), ("updates: ended", "warning")]
)
def test_a_camera_and_a_recorder_answer_for_themselves(keys: str, level: str) -> None:
    field = keys.partition(":")[0]
    assert levels(plan(1, "", keys=keys), OPEN) == {f"camera/cam0/{field}": level}
    assert levels(plan(1, f"recorders: [{{id: nvr, {keys}}}]"), OPEN) == {f"recorder/nvr/{field}": level}


def test_two_things_with_one_address_are_found_however_it_is_spelt() -> None:
    two = plan(1, "recorders: [{id: nvr, address: '2001:db8::1'}]", keys="address: '2001:0DB8:0:0::0001'")
    (finding,) = (f for f in kit.look(two).findings if f.code == OPEN)
    assert (finding.level, finding.key) == ("warning", "2001:db8::1")
    assert "cam0 and nvr have the same address" in finding.text
    assert levels(two.replace("db8::1", "db8::2"), OPEN) == {}


def test_what_is_told_is_said_to_be_declared() -> None:
    (finding,) = (f for f in kit.look(net(GOOD.replace("false", "true"))).findings if f.code == OPEN)
    assert finding.text.endswith("(declared by the plan)")
    assert finding.remedies
