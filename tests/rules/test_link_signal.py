"""LINK-02: the level through the walls that are there, against what the stream needs."""

from __future__ import annotations

from typing import Any

import pytest

from oneclimb import kit
from oneclimb.api import Finding
from oneclimb.register import page_path
from oneclimb.trade import radio
from oneclimb_rules.link.weak_signal import WeakSignal

CODE = "LINK-02"


def plan(
    *, build: str = ", build: brick 102 mm", ap: str = "{id: ap, at: [5, 3], height: 2.5}",
    radio: str = "band: 2.4 GHz", mount: str = "wall: front, along: 5, height: 2.5",
    more: str = "bitrate: 4 Mbit/s", link: str = "wireless",
) -> str:  # fmt: skip
    """One wireless camera, 2.5 m up the middle of a front wall that lies along y = 0."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 8, height: 5.2{build}}}
access-points: [{ap}]
cameras:
  - {{id: cam, mount: {{{mount}}}, night: none, power: {{source: adapter}}, records: motion,
     link: {link}, wireless: {{{radio}}}, {more}}}
"""


def reading(text: str) -> tuple[Any, str | None]:
    ((one, level),) = kit.readings(text, CODE)
    return one, level


def found(text: str) -> Finding | None:
    return next((f for f in kit.look(text).findings if f.code == CODE), None)


def asked(text: str) -> list[str]:
    return [item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE]


def test_the_page_holds() -> None:
    kit.hold_page(WeakSignal)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    """Also against a worked link by hand: 20 + 2 - 63.57 - 14.57 - 2.14 = -58.3 dBm."""
    page = " ".join(page_path(WeakSignal).read_text(encoding="utf-8").split())
    text = plan(
        build=", build: concrete 200 mm + plasterboard + plasterboard",
        ap="{id: ap, at: [5, 0.9], height: 2.5, power: 20 dBm}",
        mount="at: [5, -14.2], height: 2.5, to: pole",
        more="bitrate: 4 Mbit/s, aim: {bearing: 0, tilt: 10}",
    )
    one, verdict = reading(text)
    assert verdict is None
    assert one.facts["link"].path.length == pytest.approx(15.0)
    low, level, high = one.facts["link"].level
    assert level == pytest.approx(20 + 2 - 63.57 - 14.57 - 2.14, abs=0.4)  # worked at 2400 MHz, here 2440
    assert f"the level is {level:.0f} dBm ({low:.0f} to {high:.0f})".replace("-", "−") in page
    assert one.facts["need"].level[1] == -79
    assert f"a margin of {one.figure.value:.0f} dB" in page


def test_a_louder_access_point_is_not_answered_louder_unless_it_hears_better() -> None:
    """By reciprocity a path loses the same both ways; what differs is who radiates, and the aerial that receives."""

    def at(ap: str, own: str = "") -> float:
        text = plan(ap=f"{{id: ap, at: [5, -10.1], height: 2.5{ap}}}", radio=own or "band: 2.4 GHz")
        return float(reading(text)[0].facts["link"].level[1])

    usual = at("")
    assert at(", power: 20 dBm, gain: 2 dBi") == usual
    assert at(", power: 30 dBm, gain: 2 dBi") == usual
    assert at(", power: 30 dBm, gain: 8 dBi") == pytest.approx(usual + 6.0)
    assert at(", power: 14 dBm, gain: 8 dBi") == pytest.approx(usual - 6.0)
    assert at(", gain: -3 dBi") == pytest.approx(usual - 5.0)


def test_in_the_open_the_level_is_that_of_free_space() -> None:
    """P.525: 60.0 dB over 10 m at 2400 MHz, so 0.1 dB more at 2440."""
    one, level = reading(plan(ap="{id: ap, at: [5, -10.1], height: 2.5}"))
    assert one.facts["link"].level[1] == pytest.approx(20 + 2 - 60.1, abs=0.1)
    assert level is None


def test_within_one_home_it_is_the_recommendations_own_sum() -> None:
    """Older P.1238: 20 log f + 28 log d - 28, for a camera indoors with nothing but the home's own between."""
    text = plan(ap="{id: ap, at: [5, 7.9], height: 2.5}", more="bitrate: 4 Mbit/s, sits: indoors")
    one, _ = reading(text)
    length = one.facts["link"].path.length
    home = radio.indoor_by_floors(2440, length, radio.HOME)
    assert one.facts["link"].level[1] == pytest.approx(22 - home, abs=0.5)


def test_farther_off_is_never_better() -> None:
    swept = kit.sweep(
        CODE, lambda m: plan(ap=f"{{id: ap, at: [5, {-m}], height: 2.5}}"), [5, 30, 80, 200, 400, 1500, 4000]
    )
    assert [at for _, at in swept] == [None, None, None, "note", "note", "warning", "warning"]


def test_more_to_go_through_is_never_better() -> None:
    builds = ["wood", "brick", "concrete", "concrete 200 mm + foil", "metal"]
    swept = kit.sweep(
        CODE, lambda i: plan(build=f", build: {builds[int(i)]}", ap="{id: ap, at: [5, 7], height: 2.5}"), range(5)
    )
    assert swept[0][1] is None
    assert swept[-1][1] == "error"


def test_a_measured_level_outranks_the_model() -> None:
    poor = plan(build=", build: metal", ap="{id: ap, at: [5, 40], height: 2.5}", radio="band: 5 GHz")
    assert found(poor)
    good = plan(build=", build: metal", ap="{id: ap, at: [5, 40], height: 2.5}", radio="band: 5 GHz, measured: -55 dBm")
    one, level = reading(good)
    assert level is None
    assert one.facts["link"].level == (-58.0, -55.0, -52.0)


def test_a_measured_level_needs_no_place_and_no_band() -> None:
    text = plan(radio="measured: -85 dBm").replace("access-points: [{id: ap, at: [5, 3], height: 2.5}]", "")
    finding = found(text)
    assert finding
    assert finding.level == "warning"
    assert "as measured" in finding.text
    assert asked(text) == []


def test_a_faster_stream_asks_for_more_level() -> None:
    margins = [reading(plan(more=f"bitrate: {rate} Mbit/s"))[0].figure.value for rate in (1, 4, 8, 16, 39, 80)]
    assert margins == sorted(margins, reverse=True)
    assert len(set(margins)) == len(margins)


def test_a_stream_faster_than_the_radios_fastest_is_no_good_link() -> None:
    """802.11n at 20 MHz carries 65 Mbit/s on the air, 39 of data."""
    at = reading(plan(more="bitrate: 39 Mbit/s, night-bitrate: 39 Mbit/s"))[0].facts["need"].level
    over = reading(plan(more="bitrate: 78 Mbit/s, night-bitrate: 78 Mbit/s"))[0].facts["need"].level
    assert at[1] == radio.SENSITIVITY[20][7]
    assert over[1] == pytest.approx(at[1] + 10 * 0.30103, abs=0.01)


@pytest.mark.parametrize(
    ("radio_keys", "kind"),
    [("width: 80", "802.11ac at 80"), ("standard: n, width: 80", "802.11n at 40"), ("standard: ax", "802.11ax at 20")],
)
def test_the_channel_is_as_written_or_the_least_there_is(radio_keys: str, kind: str) -> None:
    one, _ = reading(plan(radio=f"band: 5 GHz, {radio_keys}"))
    assert any(kind in line for line in one.facts["steps"])


def test_a_wall_of_unknown_build_widens_the_range_and_is_asked_only_where_it_matters() -> None:
    far = "{id: ap, at: [5, 60], height: 2.5}"
    known, unknown = (reading(plan(build=build, ap=far))[0].figure for build in (", build: cavity wall", ""))
    assert unknown.low < known.low <= known.high < unknown.high
    assert unknown.value == pytest.approx(known.value)
    assert asked(plan(build="", ap=far)) == ["building/house/build"]
    assert asked(plan(build="")) == []


def test_a_build_that_is_no_wall_is_asked_about_with_the_words_there_are() -> None:
    text = plan(build=", build: gingerbread", ap="{id: ap, at: [5, 60], height: 2.5}")
    (item,) = (c for c in kit.look(text).cannot_tell if c.code == CODE)
    assert "gingerbread" in item.asks
    assert "cavity wall" in item.asks


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        (plan(radio="gain: 2 dBi"), ["camera/cam/wireless/band"]),
        (plan(ap="{id: ap}"), ["access-point/ap/wall"]),
        (plan().replace("access-points: [{id: ap, at: [5, 3], height: 2.5}]", ""), ["camera/cam/wireless/measured"]),
        (plan(link="cable"), []),
    ],
)
def test_what_the_plan_does_not_say_is_asked_one_thing_at_a_time(text: str, asks: list[str]) -> None:
    assert asked(text) == asks
    assert found(text) is None


def test_a_card_makes_an_error_a_warning() -> None:
    bare, kept = (
        found(plan(build=", build: metal", ap="{id: ap, at: [5, 60], height: 2.5}", more=f"bitrate: 4 Mbit/s{more}"))
        for more in ("", ", card: {size: 128 GB}")
    )
    assert bare
    assert kept
    assert (bare.level, kept.level) == ("error", "warning")
    assert "its card keeps" in kept.text


def test_the_words_name_what_is_in_the_way() -> None:
    finding = found(plan(build=", build: concrete", ap="{id: ap, at: [5, 60], height: 2.5}", radio="band: 5 GHz"))
    assert finding
    assert "through the front wall and the back wall" in finding.text
    assert "poor" in finding.text
    assert finding.steps[-1].endswith(f"= {finding.figure.value:.0f} dB" if finding.figure else "")


def test_every_remedy_tried_helps() -> None:
    text = plan(build=", build: concrete + block", ap="{id: ap, at: [5, 7], height: 2.5}", radio="band: 5 GHz")
    finding = found(text)
    assert finding
    words = [remedy.text for remedy in finding.remedies]
    assert words[:2] == ["use the 2.4 GHz band", "bring it a data cable"]
    assert not finding.remedies[-1].edits
    assert kit.hold_remedies(text, CODE) == 2


def test_an_access_point_on_the_same_wall_is_moved_along_it() -> None:
    wide = plan(ap="{id: ap, wall: front, along: 4, out: -0.5, height: 2}", build=", build: metal").replace(
        "width: 10", "width: 90"
    )
    text = wide.replace("along: 5, height: 2.5", "along: 85, height: 2.5").replace(
        "build: metal", "build: concrete 300 mm"
    )
    finding = found(text)
    assert finding
    moved = [r for r in finding.remedies if "along its wall" in r.text]
    assert len(moved) == 1
    assert moved[0].edits[0].at.path == "access-point/ap/along"
    assert kit.hold_remedies(text, CODE) >= 2
