"""The two figures of continuous recording: gigabytes a day over the air, charges a week of a battery."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import Figure, Reading, Ref
from oneclimb.trade import storage, streams

if TYPE_CHECKING:
    from oneclimb.plan.model import Camera

RADIO, BATTERY = "radio", "battery"
HOURS_A_WEEK = 168.0
ASLEEP = (0.0, 0.0, 0.0)


def radio(camera: Camera, *, over_air: bool, kept: bool) -> Reading:
    """Gigabytes a day, from the stream's rate or, where the plan is silent, from the pixels.

    ``kept``: a card in the camera keeps the pictures, and the link is good.
    """
    stream, shares = streams.stream(camera), _awake(camera, counts=over_air)
    low, usual, high = (storage.gigabytes_a_day(rate) * part for rate, part in zip(stream, shares, strict=True))
    return Reading(
        Figure(f"sent over the air to record {_when(camera)}", usual, "GB a day", low, high),
        Ref("camera", camera.id, "records"),
        RADIO,
        facts={
            "camera": camera,
            "kept": kept,
            "steps": (
                streams.said(camera),
                f"10.8 x {stream[1]:.2g} x {shares[1]:.2g} = {usual:.2g} GB a day",
            ),
        },
    )


def store(camera: Camera, source: str, *, stored: bool) -> Reading:
    """Charges a week, warm and new; usual figures where the plan is silent. Asleep it is taken to draw nothing."""
    watts = (camera.power.watts,) * 3 if camera.power.watts else storage.WATTS
    energy = (camera.power.capacity,) * 3 if camera.power.capacity else storage.WATT_HOURS
    taken, usually = _taken(camera), storage.hours(energy[1], watts[1])
    shares = _awake(camera, counts=stored)
    ends = zip(reversed(energy), watts, shares, strict=True)
    low, usual, high = (HOURS_A_WEEK / storage.hours(wh, w) * part for wh, w, part in ends)
    return Reading(
        Figure(f"needed to record {_when(camera)}", usual, "charges a week", low, high),
        Ref("camera", camera.id, "records"),
        BATTERY,
        facts={
            "camera": camera,
            "source": source,
            "taken": taken,
            "steps": (
                f"{energy[1]:.0f} Wh / {watts[1]:.1f} W = {usually:.0f} h, warm and new{taken}",
                f"168 h a week / that x {shares[1]:.2g} = {usual:.1f} charges a week",
            ),
        },
    )


def _awake(camera: Camera, *, counts: bool) -> streams.Range:
    """Share of the day that is recorded, low, usual and high; none of it where it does not count here."""
    return streams.awake(camera) if counts and camera.records else ASLEEP


def _taken(camera: Camera) -> str:
    """What stands in for a battery the plan does not describe, in words; empty where it says all."""
    least, energy, most = storage.WATT_HOURS
    low, watts, high = storage.WATTS
    unsaid = (f"{energy:g} Wh ({least:g} to {most:g})",) * (not camera.power.capacity)
    unsaid += (f"{watts:g} W ({low:g} to {high:g})",) * (not camera.power.watts)
    return f"; taken: {', '.join(unsaid)} (estimate)" if unsaid else ""


def _when(camera: Camera) -> str:
    return {"motion": "on motion (estimate)", "schedule": "by a schedule (estimate)"}.get(
        camera.records or "", "all day"
    )
