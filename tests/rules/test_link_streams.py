"""What a camera sends: declared rates outrank estimates, night counts, motion is one story for all rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from oneclimb import kit
from oneclimb.trade import storage, streams

if TYPE_CHECKING:
    from oneclimb.plan.model import Camera


def camera(keys: str = "") -> Camera:
    """One camera of 4 megapixels with these keys, through the real reader."""
    plan = kit.look(f"""
house: {{front: {{faces: 0, width: 12}}, depth: 7, height: 5}}
cameras:
  - {{id: cam, mount: {{wall: front, along: 6, height: 3}}, night: none, pixels: 2560 x 1600, {keys}}}
""").loaded.plan
    assert plan
    return plan.cameras[0]


MEGAPIXELS = 2560 * 1600 / 1e6


def test_a_declared_rate_outranks_the_pixels_and_grows_only_by_night() -> None:
    one = camera("bitrate: 4 Mbit/s")
    assert streams.by_day(one) == (4.0, 4.0, 4.0)
    assert streams.by_night(one) == (4.0, 4.0, 8.0)
    assert streams.stream(one) == (4.0, 4.0, 6.0)
    assert streams.peak(one) == (4.0, 4.0, 8.0)
    assert "as the plan declares; by night up to 8" in streams.said(one)


def test_a_declared_night_rate_leaves_no_doubt_of_the_night() -> None:
    one = camera("bitrate: 4 Mbit/s, night-bitrate: 2 Mbit/s")
    assert streams.by_night(one) == (2.0, 2.0, 2.0)
    assert streams.stream(one) == (3.0, 3.0, 3.0)
    assert streams.peak(one) == (4.0, 4.0, 4.0)
    assert "by night 2, as declared" in streams.said(one)


def test_without_a_rate_the_recorded_pixels_codec_and_pictures_a_second_count() -> None:
    plain = streams.by_day(camera())
    assert plain == pytest.approx([per * MEGAPIXELS for per in storage.MBITS_PER_MEGAPIXEL])
    assert streams.by_day(camera("recorded: 1280 x 800")) == pytest.approx([rate / 4 for rate in plain])
    assert streams.by_day(camera("codec: H.265"))[1] < plain[1] < streams.by_day(camera("codec: H.264"))[1]
    assert streams.by_day(camera("frames: 7.5"))[1] < plain[1] < streams.by_day(camera("frames: 30"))[1]
    assert "estimated from 1280 x 800 pixels, H.265, 10 a second" in streams.said(
        camera("recorded: 1280 x 800, codec: H.265, frames: 10")
    )


def test_the_mean_over_a_day_is_what_the_trade_reckons() -> None:
    one = camera()
    low, usual, high = streams.by_day(one)
    mean = [storage.mean_rates(rate)[i] for i, rate in enumerate((low, usual, high))]
    assert streams.stream(one) == pytest.approx(mean)
    assert streams.peak(one) == streams.by_night(one)


@pytest.mark.parametrize(
    ("keys", "share"),
    [
        ("records: continuous", (1.0, 1.0, 1.0)),
        ("records: none", (0.0, 0.0, 0.0)),
        ("records: schedule", streams.SCHEDULE),
        ("records: motion", storage.MOTION),
        ("records: motion, motion: 10 %", (0.1, 0.1, 0.1)),
        ("records: motion, power: battery", tuple(n * 20 / 86400 for n in (10, 30, 100))),
        ("records: motion, power: battery, clip: 10 s", tuple(n * 10 / 86400 for n in (10, 30, 100))),
        ("records: motion, events: 864", (0.2, 0.2, 0.2)),
        ("records: motion, events: 864, clip: 200 s", (1.0, 1.0, 1.0)),
    ],
)
def test_the_share_of_the_time_recorded(keys: str, share: tuple[float, ...]) -> None:
    one = camera(f"{keys}, bitrate: 4 Mbit/s")
    assert streams.awake(one) == pytest.approx(share)
    assert streams.sent(one) == pytest.approx([rate * part for rate, part in zip((4, 4, 6), share, strict=True)])


def test_nothing_is_said_of_a_camera_whose_recording_the_plan_does_not_tell() -> None:
    with pytest.raises(KeyError):
        streams.awake(camera())
