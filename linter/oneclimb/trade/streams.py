"""What a camera sends to be recorded: Mbit/s by day and by night, and the share of the time it is recorded.

A rate the plan declares outranks the estimate. By night, where the plan gives no rate apart, an estimate takes
``storage.NIGHT_FACTOR`` times the day's; a declared rate is taken as kept (most cameras are set to a ceiling), and
may grow by the same factor at its high end. Every range is (low, usual, high).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.trade import storage

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from oneclimb.plan.model import Camera, Recorder

Range = tuple[float, float, float]

STORED = ("battery", "solar")
"""sources of power that a camera saves by sleeping"""
EVENTS = (10.0, 30.0, 100.0)
"""few, usual, many events a day that wake a battery camera (estimate: they vary tenfold)"""
EVENT = 20.0
"""s recorded for each (estimate)"""
SCHEDULE = (0.2, 0.5, 1.0)
"""low, usual, high share of the time that a schedule records: the plan does not say its hours (estimate)"""
DAY = 86400.0


def by_day(camera: Camera) -> Range:
    """Mbit/s of the recorded stream by day while it is sent: as declared, else estimated from its pixels,
    codec and pictures a second.
    """
    if camera.bitrate:
        return (camera.bitrate,) * 3
    return storage.usual_stream(camera.recorded or camera.pixels, camera.codec, camera.frames)


def by_night(camera: Camera) -> Range:
    """Mbit/s by night: as declared, else the day's and up to twice that, for the noise of a dark picture."""
    if camera.night_bitrate:
        return (camera.night_bitrate,) * 3
    if camera.bitrate:
        return camera.bitrate, camera.bitrate, camera.bitrate * storage.NIGHT_FACTOR[2]
    return _each(by_day(camera), storage.NIGHT_FACTOR)


def stream(camera: Camera) -> Range:
    """Mean Mbit/s over day and night, half of the time each, while it is sent."""
    low, usual, high = ((day + night) / 2 for day, night in zip(by_day(camera), by_night(camera), strict=True))
    return low, usual, high


def peak(camera: Camera) -> Range:
    """Mbit/s of the worse of day and night: what a link, a port or a recorder must carry."""
    low, usual, high = (max(ends) for ends in zip(by_day(camera), by_night(camera), strict=True))
    return low, usual, high


def awake(camera: Camera) -> Range:
    """Share of the time, 0 to 1, that is recorded: all of it, by motion, by a schedule, or none.

    By motion: as declared (``motion``); else a camera with events declared, or one that lives off a battery, by
    its events a day and the seconds of each; any other by ``storage.MOTION``. Raises ``KeyError`` where the plan
    does not say when it records: ask for ``records`` first.
    """
    return {
        "continuous": (1.0, 1.0, 1.0),
        "schedule": SCHEDULE,
        "motion": _moving(camera),
        "none": (0.0, 0.0, 0.0),
    }[camera.records or ""]


def _moving(camera: Camera) -> Range:
    if camera.motion is not None:
        return (camera.motion,) * 3
    if camera.events is None and camera.power.source not in STORED:
        return storage.MOTION
    events = EVENTS if camera.events is None else (camera.events,) * 3
    seconds = EVENT if camera.clip is None else camera.clip
    low, usual, high = (min(1.0, one * seconds / DAY) for one in events)
    return low, usual, high


def sent(camera: Camera) -> Range:
    """Mean Mbit/s over all of the time: ``stream`` times ``awake``."""
    return _each(stream(camera), awake(camera))


def sends(cameras: Iterable[Camera]) -> tuple[Camera, ...]:
    """Those of the cameras that the plan says record something."""
    return tuple(camera for camera in cameras if camera.records and camera.records != "none")


def total(cameras: Iterable[Camera], rate: Callable[[Camera], Range]) -> Range:
    """The cameras' rates together, Mbit/s, each end of the doubt for itself."""
    low = usual = high = 0.0
    for camera in cameras:
        one = rate(camera)
        low, usual, high = low + one[0], usual + one[1], high + one[2]
    return low, usual, high


def days_kept(recorder: Recorder, cameras: Iterable[Camera]) -> Range | None:
    """Days that a recorder's disks keep of what these cameras send; None where it has none that are told, or nothing
    is known to be sent.
    """
    recorded = sends(cameras)
    if not recorder.disks or not recorded:
        return None
    held = storage.together(recorder.disks, mirrored=bool(recorder.mirrored))
    return storage.lasts(held, total(recorded, sent))


def said(camera: Camera) -> str:
    """Where the rate comes from, a line of a calculation: ``stream 4.2 Mbit/s (1.6 to 7.9) by day, estimated …``."""
    low, usual, high = by_day(camera)
    _, _, most = by_night(camera)
    if camera.bitrate:
        day = f"stream {usual:.3g} Mbit/s, as the plan declares"
    else:
        wide, high_px = camera.recorded or camera.pixels
        known = "".join(f", {word}" for word in (camera.codec, camera.frames and f"{camera.frames:g} a second") if word)
        day = f"stream {usual:.2g} Mbit/s ({low:.2g} to {high:.2g}), estimated from {wide} x {high_px} pixels{known}"
    night = f"by night {most:.3g}, as declared" if camera.night_bitrate else f"by night up to {most:.2g} (estimate)"
    return f"{day}; {night}"


def _each(one: Range, other: Range) -> Range:
    low, usual, high = (a * b for a, b in zip(one, other, strict=True))
    return low, usual, high
