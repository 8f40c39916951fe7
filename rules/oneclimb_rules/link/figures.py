"""The two figures of continuous recording: gigabytes a day over the air, charges a week of a battery."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import Figure, Reading, Ref
from oneclimb.trade import storage

if TYPE_CHECKING:
    from oneclimb.plan.model import Camera

RADIO, BATTERY = "radio", "battery"
HOURS_A_WEEK = 168.0


def radio(camera: Camera, *, always: bool) -> Reading:
    """Gigabytes a day, from the stream's rate or, where the plan is silent, from the pixels."""
    stream = (camera.bitrate,) * 3 if camera.bitrate else storage.usual_stream(camera.pixels)
    low, usual, high = (storage.gigabytes_a_day(rate) * always for rate in stream)
    how = "as written" if camera.bitrate else f"estimated from {camera.pixels[0]} x {camera.pixels[1]} pixels"
    return Reading(
        Figure("sent over the air to record all day", usual, "GB a day", low, high),
        Ref("camera", camera.id, "records"),
        RADIO,
        facts={
            "camera": camera,
            "steps": (
                f"stream {stream[1]:.1f} Mbit/s, {how}",
                f"10.8 x {stream[1]:.1f} x {always:d} = {usual:.0f} GB a day",
            ),
        },
    )


def store(camera: Camera, source: str, *, always: bool) -> Reading:
    """Charges a week, warm and new; usual figures where the plan is silent."""
    watts = (camera.power.watts,) * 3 if camera.power.watts else storage.WATTS
    energy = (camera.power.capacity,) * 3 if camera.power.capacity else storage.WATT_HOURS
    pairs = zip(reversed(energy), watts, strict=True)
    low, usual, high = (HOURS_A_WEEK / storage.hours(wh, w) * always for wh, w in pairs)
    return Reading(
        Figure("needed to record all day", usual, "charges a week", low, high),
        Ref("camera", camera.id, "records"),
        BATTERY,
        facts={
            "camera": camera,
            "source": source,
            "steps": (
                f"{energy[1]:.0f} Wh / {watts[1]:.1f} W = {storage.hours(energy[1], watts[1]):.0f} h, warm and new",
                f"168 h a week / that x {always:d} = {usual:.1f} charges a week",
            ),
        },
    )
