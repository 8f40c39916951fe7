"""RECORD-01 and RECORD-02: how long a recorder's disks last, and how many cameras it takes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb.trade import storage, streams
from oneclimb_rules.record.short_of_days import ShortOfDays
from oneclimb_rules.record.too_few_channels import TooFewChannels

RATE = "bitrate: 4 Mbit/s, night-bitrate: 4 Mbit/s"


def plan(
    *, disks: str = "[4 TB, 4 TB]", cameras: int = 4, keys: str = "records: continuous, " + RATE,
    recorder: str = "mirrored: false, wants: 30 days", named: str = ", recorder: nvr", more: str = "",
) -> str:  # fmt: skip
    """Cameras on a wall, and the recorder that keeps them."""
    listed = "".join(
        f"  - {{id: cam-{n}, mount: {{wall: front, along: {n + 1}, height: 3}}, night: none, {keys}{named}}}\n"
        for n in range(cameras)
    )
    held = f", disks: {disks}" if disks else ""
    return f"""
house: {{front: {{faces: 180, width: 20}}, depth: 7, height: 5}}
cameras:
{listed}{more}recorders: [{{id: nvr{held}, {recorder}}}]
"""


def days(text: str) -> tuple[float, float, float]:
    ((reading, _),) = kit.readings(text, "RECORD-01")
    return reading.figure.low, reading.figure.value, reading.figure.high


def told(text: str, code: str = "RECORD-01") -> list[str]:
    return [finding.level for finding in kit.look(text).findings if finding.code == code]


def asked(text: str, code: str = "RECORD-01") -> set[str]:
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


@pytest.mark.parametrize("rule", [ShortOfDays, TooFewChannels])
def test_the_page_holds(rule: type[ShortOfDays | TooFewChannels]) -> None:
    kit.hold_page(rule)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(ShortOfDays).read_text(encoding="utf-8").split())
    assert "send 16 Mbit/s, 172.8 GB a day, 5184 GB in 30 days" in page
    _, usual, _ = days(plan())
    assert f"Two disks of 4 TB keep {usual:.1f} days of it, mirrored {usual / 2:.1f}" in page
    assert days(plan(recorder="mirrored: true, wants: 30 days"))[1] == pytest.approx(usual / 2)


def test_days_are_the_disks_bits_over_the_streams_bits() -> None:
    """Counted in bits and seconds with exact fractions: 4 cameras of 4 Mbit/s write 5184 GB in 30 days."""
    bits = Fraction(4 * 4 * 10**6) * 30 * 24 * 3600
    assert bits / 8 == 5184 * 10**9
    _, usual, _ = days(plan(disks="[5184 GB]"))
    assert usual == pytest.approx(30 * storage.USABLE[1])


def test_more_terabytes_are_never_fewer_days() -> None:
    swept = kit.sweep("RECORD-01", lambda tera: plan(disks=f"[{tera} TB]"), [1, 2, 2.9, 3, 4, 5, 5.6, 6, 8, 20])
    levels = [level for _, level in swept]
    assert levels[0] == "error"
    assert "warning" in levels
    assert levels[-1] is None


def test_an_estimated_stream_gives_a_range_and_a_milder_word() -> None:
    text = plan(disks="[4 TB]", keys="records: continuous, pixels: 2560 x 1440")
    low, usual, high = days(text)
    assert low < usual < high
    assert high > 30 > usual
    assert told(text) == ["note"]


def test_the_night_counts_for_half_of_the_time() -> None:
    alike = days(plan())[1]
    noisy = days(plan(keys="records: continuous, bitrate: 4 Mbit/s, night-bitrate: 12 Mbit/s"))[1]
    assert noisy == pytest.approx(alike / 2)


def test_motion_stretches_the_days_by_its_share() -> None:
    assert days(plan(keys=f"records: motion, motion: 25 %, {RATE}"))[1] == pytest.approx(4 * days(plan())[1])


def test_unequal_disks_hold_twice_only_what_the_smaller_take() -> None:
    assert storage.together((8.0, 2.0), mirrored=True) == 2.0
    assert storage.together((4.0, 4.0), mirrored=True) == 4.0
    assert storage.together((4.0, 2.0), mirrored=False) == 6.0
    assert storage.together((), mirrored=True) == 0.0


def test_larger_disks_and_motion_are_tried() -> None:
    text = plan(disks="[2 TB]", recorder="wants: 30 days")
    assert kit.hold_remedies(text, "RECORD-01") == 2
    (finding,) = (f for f in kit.look(text).findings if f.code == "RECORD-01")
    assert [remedy.text.split()[0] for remedy in finding.remedies] == ["fit", "record"]
    assert "6 TB" in finding.remedies[0].text


def test_what_the_plan_does_not_say_is_asked_only_where_it_matters() -> None:
    assert asked(plan(recorder="mirrored: false")) == {"recorder/nvr/wants"}
    assert asked(plan(disks="")) == {"recorder/nvr/disks"}
    assert asked(plan(recorder="wants: 30 days")) == {"recorder/nvr/mirrored"}
    assert asked(plan(recorder="wants: 60 days")) == {"recorder/nvr/mirrored"}
    assert asked(plan(recorder="wants: 200 days")) == set()
    assert asked(plan(recorder="wants: 10 days")) == set()
    assert told(plan(recorder="wants: 30 days")) == []


def test_a_camera_that_does_not_say_when_it_records_is_left_out_and_asked_for() -> None:
    silent = "  - {id: late, mount: {wall: front, along: 9, height: 3}, night: none, recorder: nvr}\n"
    assert days(plan(more=silent)) == days(plan())
    assert asked(plan(more=silent)) == {"camera/late/records"}
    assert asked(plan(more=silent, recorder="mirrored: false, wants: 365 days")) == set()


def test_a_camera_that_names_no_recorder_is_asked_which() -> None:
    assert asked(plan(cameras=1, named="")) == {"camera/cam-0/recorder"}
    assert asked(plan(cameras=1, named="", keys="records: none")) == set()
    assert asked(plan(cameras=1, named=", card: {size: 64 GB}")) == set()


def test_without_a_recorder_nothing_is_said() -> None:
    text = plan(named="").split("recorders:")[0]
    assert not [item for item in kit.look(text).findings if item.code.startswith("RECORD-0")]
    assert asked(text) == {"site/site/recorders"}


def test_cameras_that_record_nothing_fill_no_disk() -> None:
    text = plan(keys="records: none")
    assert kit.readings(text, "RECORD-01") == []
    assert asked(text) == set()


def test_next_to_nothing_is_kept_for_long_not_for_ever() -> None:
    assert days(plan(keys=f"records: motion, motion: 0 %, {RATE}"))[1] == pytest.approx(
        storage.days_kept(8.0, storage.LEAST)
    )
    assert streams.total((), streams.sent) == (0.0, 0.0, 0.0)


def test_a_fifth_camera_on_four_channels_is_an_error() -> None:
    swept = kit.sweep(
        "RECORD-02", lambda n: plan(cameras=int(n), recorder="channels: 4, wants: 1 days"), [1, 2, 3, 4, 5, 6]
    )
    assert swept == [(0.25, None), (0.5, None), (0.75, None), (1.0, None), (1.25, "error"), (1.5, "error")]
    page = " ".join(page_path(TooFewChannels).read_text(encoding="utf-8").split())
    assert "five cameras on four channels are 125 %" in page


def test_the_least_recorder_with_enough_channels_is_tried() -> None:
    text = plan(cameras=9, recorder="channels: 8, wants: 1 days")
    assert kit.hold_remedies(text, "RECORD-02") == 1
    (finding,) = (f for f in kit.look(text).findings if f.code == "RECORD-02")
    assert finding.remedies[0].text == "take a recorder with 16 channels"
    assert "1 camera will not be recorded" in finding.text


def test_channels_are_asked_for_only_where_four_would_not_do() -> None:
    assert asked(plan(cameras=4, recorder="wants: 1 days"), "RECORD-02") == set()
    assert asked(plan(cameras=5, recorder="wants: 1 days"), "RECORD-02") == {"recorder/nvr/channels"}
