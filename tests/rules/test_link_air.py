"""LINK-03 and LINK-04: what cameras take of a channel's time, and what a weak link costs."""

from __future__ import annotations

from typing import Any

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb.trade import airtime
from oneclimb_rules.link.busy_channel import BusyChannel
from oneclimb_rules.link.lost_live_view import LostLiveView

AIR, VIEW = "LINK-03", "LINK-04"
CAM = "measured: -60 dBm, band: 2.4 GHz"


def plan(
    *radios: str, more: str = "bitrate: 4 Mbit/s, records: continuous", points: str = "{id: ap, at: [5, 3]}"
) -> str:
    """Cameras in a row with these radios."""
    lines = "\n".join(
        f"  - {{id: cam{i}, mount: {{wall: front, along: {2 + i}, height: 2.5}}, night: none, link: wireless, "
        f"power: {{source: adapter}}, wireless: {{{radio}}}, {more}}}"
        for i, radio in enumerate(radios)
    )
    return f"""
house: {{front: {{faces: 180, width: 20}}, depth: 8, build: brick 102 mm}}
access-points: [{points}]
cameras:
{lines}
"""


def share(text: str) -> tuple[float, str | None]:
    ((reading, level),) = kit.readings(text, AIR)
    return reading.figure.value, level


def figure(text: str, code: str) -> Any:
    ((reading, _),) = kit.readings(text, code)
    return reading.figure


def finding(text: str, code: str) -> Any:
    return next(f for f in kit.look(text).findings if f.code == code)


def asked(text: str, code: str) -> list[str]:
    return [item.ref.path for item in kit.look(text).cannot_tell if item.code == code]


@pytest.mark.parametrize("rule", [BusyChannel, LostLiveView])
def test_the_pages_hold(rule: type[Any]) -> None:
    kit.hold_page(rule)


def test_the_channels_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(BusyChannel).read_text(encoding="utf-8").split())
    weak = CAM.replace("-60", "-80")
    tries = airtime.tries_at_most(airtime.error_at(2.0))
    assert f"sends a packet {tries:.2f} times" in page
    each = 4 * tries / (6.5 * 0.6)
    assert f"(6.5 × 0.6) = {each:.0%}".replace("%", " %") in page
    two = share(plan(weak, weak))[0]
    assert two == pytest.approx(2 * each, rel=0.01)
    assert f"together {two:.0%}".replace("%", " %") in page
    strong, level = share(plan(CAM, CAM))
    assert "10 % each: 21 %" in page
    assert strong == pytest.approx(0.21, abs=0.005)
    assert level is None


def test_the_live_views_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(LostLiveView).read_text(encoding="utf-8").split())
    text = plan("measured: -79 dBm")
    got = figure(text, VIEW)
    assert f"{got.value:.0%} of the time without pictures".replace("%", " %") in page
    assert f"make that {100 * got.low:.0f} to {100 * got.high:.0f} %" in page
    assert f"{airtime.over_time(0.0)[0]:.1f} tries a packet" in page
    assert figure(plan("measured: -69 dBm"), VIEW).value < 0.01


def test_a_channel_is_full_when_the_streams_fill_what_the_rate_carries() -> None:
    """By hand: 65 Mbit/s on the air carry 39 at 60 %, which ten streams of 3.9 fill, with next to no retries."""
    ten, _ = share(plan(*[CAM] * 10, more="bitrate: 3.9 Mbit/s, night-bitrate: 3.9 Mbit/s, records: continuous"))
    assert ten == pytest.approx(1.0, rel=0.01)


def test_more_cameras_never_take_less() -> None:
    swept = kit.sweep(AIR, lambda n: plan(*[CAM] * int(n)), [2, 3, 5, 7, 10, 14])
    assert swept[0][1] is None
    assert swept[-1][1] == "error"


def test_a_weaker_link_never_takes_less() -> None:
    swept = kit.sweep(AIR, lambda dbm: plan(*[f"measured: {dbm} dBm, band: 5 GHz"] * 2), [-50, -65, -70, -76, -80, -90])
    assert next(at for _, at in swept) is None


def test_one_camera_alone_is_told_by_its_link_only() -> None:
    taken, level = share(plan("measured: -85 dBm"))
    assert taken > 1.0
    assert level is None


def test_bands_are_channels_of_their_own_and_so_are_access_points() -> None:
    one, two = (share(plan(CAM, CAM, CAM.replace("2.4", band)))[0] for band in ("2.4", "5"))
    assert two == pytest.approx(one * 2 / 3)
    points = "{id: ap, at: [5, 3]}, {id: other, at: [15, 3]}"
    apart = kit.readings(plan(f"to: ap, {CAM}", f"to: other, {CAM}", points=points), AIR)
    assert [(r.at.id, len(r.related)) for r, _ in apart] == [("ap", 1), ("other", 1)]


def test_an_untied_camera_is_on_the_access_point_it_receives_best() -> None:
    points = "{id: far, at: [5, 60]}, {id: near, at: [5, 3]}"
    ((reading, _),) = kit.readings(plan("band: 2.4 GHz", points=points), AIR)
    assert reading.at.id == "near"


def test_motion_takes_its_share_and_at_worst_all_at_once() -> None:
    always, now = (figure(plan(CAM, more=f"bitrate: 4 Mbit/s, records: {r}"), AIR) for r in ("continuous", "motion"))
    assert now.value == pytest.approx(always.value * 0.2)
    assert now.high == pytest.approx(always.high)
    assert figure(plan(CAM, more="bitrate: 4 Mbit/s, records: none"), AIR).high == 0.0


def test_what_is_not_said_is_asked_and_left_out_of_the_sum() -> None:
    text = plan(CAM, "gain: 2 dBi")
    assert asked(text, AIR) == ["camera/cam1/wireless/band"]
    assert share(text) == share(plan(CAM))
    assert asked(plan(CAM, more="bitrate: 4 Mbit/s"), AIR) == ["camera/cam0/records"]


def test_where_a_reckoned_share_may_be_anything_the_signal_is_to_be_measured() -> None:
    """Levels good to 10 dB each way: the ends of the sum lie more than ten times apart, on both sides of a limit."""
    text = plan("band: 2.4 GHz", "band: 2.4 GHz", CAM, points="{id: ap, at: [5, 60]}")
    assert kit.readings(text, AIR) == []
    assert asked(text, AIR) == [f"camera/cam{i}/wireless/measured" for i in (0, 1)]
    measured = plan(*[CAM.replace("-60", "-75")] * 3, points="{id: ap, at: [5, 60]}")
    assert asked(measured, AIR) == []
    assert len(kit.readings(measured, AIR)) == 1


def test_a_doubt_that_changes_no_verdict_asks_nothing() -> None:
    near, far = (plan("band: 2.4 GHz", "band: 2.4 GHz", points=f"{{id: ap, at: [5, {y}]}}") for y in (3, 3000))
    assert asked(near, AIR) == asked(far, AIR) == []
    assert share(near)[1] is None
    assert share(far)[1] == "error"
    assert asked(plan("band: 2.4 GHz", points="{id: ap, at: [5, 60]}"), AIR) == []


def test_the_channels_remedies_help() -> None:
    text = plan(*[CAM] * 12)
    assert "take" in finding(text, AIR).text
    assert "router" not in finding(text, AIR).text
    assert kit.hold_remedies(plan(*[CAM.replace("-60", "-76")] * 3), AIR) >= 2


def test_a_weaker_link_never_shows_more() -> None:
    swept = kit.sweep(VIEW, lambda dbm: plan(f"measured: {dbm} dBm"), [-60, -70, -74, -77, -80, -84, -95])
    assert next(at for _, at in swept) is None
    assert [at for _, at in swept][-1] == "error"


@pytest.mark.parametrize("radio", ["band: 6 GHz", "measured: -84 dBm"])
def test_mending_the_link_is_left_to_the_rule_on_it_and_not_told_twice(radio: str) -> None:
    text = plan(radio, points="{id: ap, at: [5, 160], power: 10 dBm}")
    cost, link = finding(text, VIEW), finding(text, "LINK-02")
    assert not {remedy.text for remedy in cost.remedies} & {remedy.text for remedy in link.remedies}
    assert not any("cable" in remedy.text or "band" in remedy.text for remedy in cost.remedies)
    assert "until its link is mended (LINK-02)" in cost.text
    assert "dBm" not in cost.text


def test_it_says_that_it_is_an_estimate_and_that_a_card_keeps_the_recording() -> None:
    text = plan("measured: -84 dBm", more="bitrate: 4 Mbit/s, records: motion, card: {size: 64 GB}")
    told = finding(text, VIEW)
    assert "(an estimate)" in told.text
    assert "its card keeps the recording" in told.text
    assert not any("card" in remedy.text for remedy in told.remedies)
    assert any("card" in remedy.text for remedy in finding(plan("measured: -84 dBm"), VIEW).remedies)


def test_a_cabled_camera_is_silent() -> None:
    text = plan(CAM).replace("link: wireless", "link: cable")
    assert kit.readings(text, VIEW) == []
    assert kit.readings(text, AIR) == []
