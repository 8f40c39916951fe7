"""VIEW-09: what moves smears while the shutter is open by night."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Limits,
    Query,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
    setting,
)
from oneclimb.study import COVER, COVERED, NIGHT
from oneclimb.trade import blur
from oneclimb.trade.pixels import CATEGORIES
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SHOWN, VIEWS

if TYPE_CHECKING:
    from oneclimb.api import Trial
    from oneclimb.plan.model import Area, Camera

STROLL = (0.5, 1.4, 2.0)
"""m/s across the view where the plan gives no pace: somebody who slows down at a door, walks, or hurries (estimate)"""
SHUTTERS = (25, 30, 50, 60, 100, 120, 125, 200, 250, 500, 1000)
"""the shutter times cameras can be set to, parts of a second (common practice)"""
KEPT = 0.9
"""share of the usable night ground that a shorter shutter must leave to be offered as tried (estimate)"""
FACES = CATEGORIES["recognise"]
"""px/m: from this task on the shutter is asked for"""


class BlurSettings(Settings, frozen=True):
    """Pixels of blur, at the density the task asks for."""

    limits: Limits = Limits(note=2.0, warning=6.0)
    walking: float = setting(STROLL[1], "pace where an area gives none, m/s", unit="m/s", minimum=0.1, maximum=20.0)


class Smear(Struct, frozen=True):
    """Blur in one area: the pace and its ends, m/s, the pixels per metre that count, and the pixels of blur."""

    area: Area
    pace: tuple[float, float, float]
    density: float
    pixels: float


class MotionBlur(Rule["Camera"]):
    """The most pixels of blur in any night-wanted area that the camera is to show."""

    info = Info(
        code="VIEW-09",
        title="motion blur by night",
        sources=(
            "blur = speed × shutter × px/m (kinematics)",
            "1.4 m/s walking, 5.6 m/s a car in a drive: common practice",
            "2 px of blur leave a task possible: estimate",
            "IEC 62676-4:2014 (px/m of the tasks: from memory, check against the document)",
        ),
        page="motion_blur.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = VIEWS | SHOWN
    settings = BlurSettings

    def measure(self, subject: Camera, q: Query, settings: BlurSettings) -> Iterable[Reading | Unknown]:
        """The worst of the areas; a question where the shutter matters and is not given."""
        wanted = [area for area in _areas(subject, q) if area.when != "day"]
        if subject.shutter is None:
            if any(CATEGORIES[area.task] >= FACES for area in wanted):
                yield from unsaid(q, subject, "shutter")
            return
        smears = sorted(_smears(wanted, subject, q, settings), key=lambda one: -one.pixels)
        if not smears:
            return
        worst = smears[0]
        low, _, high = (blur.pixels(pace, subject.shutter, worst.density) for pace in worst.pace)
        yield Reading(
            Figure("motion blur", worst.pixels, "px", low, high),
            Ref("camera", subject.id, "shutter"),
            related=(Related(Ref("area", worst.area.id), f"{worst.area.id}: {worst.area.task}"),),
            facts={"smears": smears, "shutter": subject.shutter},
        )

    def tell(self, reading: Reading, q: Trial, settings: BlurSettings) -> Told:
        """How far a walker smears, and what a shorter shutter would cost in light."""
        camera: Camera = q.get(reading.at.thing)
        smears: list[Smear] = reading.facts["smears"]
        shutter: float = reading.facts["shutter"]
        worst = smears[0]
        text = (
            f"at {_part(shutter)} s what moves at {worst.pace[1]:.1f} m/s across {worst.area.id} smears over "
            f"{worst.pixels:.1f} pixels of {camera.id}'s picture: too much to "
            f"{worst.area.task} anybody who does not stand still"
        )
        steps = [
            f"{one.area.id}: {one.pace[1]:.2f} m/s × {_part(shutter)} s × {one.density:.0f} px/m = {one.pixels:.1f} px"
            for one in smears
        ]
        return Told(text, tuple(_remedies(camera, worst, shutter, settings, q)), steps=tuple(steps))


def _areas(camera: Camera, q: Query) -> Iterator[Area]:
    """The areas the camera names, or, where it names none, those it shows best of all cameras."""
    covered = q.of(COVERED, q.plan.site)
    for name in q.of(COVER, camera).watched:
        area: Area = q.get(Ref("area", name))
        if name in camera.watches or covered.ground(area).chief == camera.id:
            yield area


def _smears(areas: Iterable[Area], camera: Camera, q: Query, settings: BlurSettings) -> Iterator[Smear]:
    """Blur in each area of which something shows, at the task's density or, where coarser, at the camera's own."""
    cover = q.of(COVER, camera)
    shutter = camera.shutter or 0.0
    for area in areas:
        found = cover.areas[area.id]
        if not found.seen.any():
            continue
        density = min(CATEGORIES[area.task], float(found.pxm[found.seen].max()))
        slow, _, fast = STROLL
        walking = (min(slow, settings.walking), settings.walking, max(fast, settings.walking))
        pace = walking if area.pace is None else (area.pace, area.pace, area.pace)
        yield Smear(area, pace, density, blur.pixels(pace[1], shutter, density))


def _part(seconds: float) -> str:
    return f"1/{1 / seconds:.0f}" if seconds < 1.0 else f"{seconds:g}"


def _remedies(camera: Camera, worst: Smear, shutter: float, settings: BlurSettings, q: Trial) -> Iterator[Remedy]:
    """The longest shutter that serves, tried where the night bears it; else the light it would take."""
    allowed = settings.limits.note or blur.PIXELS
    longest = blur.longest_shutter(worst.pace[1], worst.density, allowed)
    part = next((one for one in SHUTTERS if 1 / one < longest), None)
    if part is None:
        yield Remedy("let people come to a stand where they are to be made out: at a gate, a bell, a step")
        return
    stops = blur.stops_lost(1 / part, shutter)
    shares = _shares(camera, worst.area, stops, q)
    cost = f"it costs {stops:.1f} stops of light"
    if shares is not None:
        now, after = shares
        cost += f": {q.say.share(after)} of what shows of {worst.area.id} stays usable, {q.say.share(now)} now"
    said = f"set the longest shutter of {camera.id} to 1/{part} s; {cost}"
    change = Change("replace", Ref("camera", camera.id, "shutter"), f"1/{part} s")
    tried = None
    if shares is not None and shares[1] >= KEPT * shares[0] > 0.0:
        tried = q.least(partial(_said, said), [(change,)])
    yield tried or Remedy(f"{said}; add {2**stops:.1f} times the light there first")
    yield Remedy("let people come to a stand where they are to be made out: at a gate, a bell, a step")


def _said(text: str, step: int) -> str:
    del step  # there is only one
    return text


def _shares(camera: Camera, area: Area, stops: float, q: Query) -> tuple[float, float] | None:
    """Share of an area's places in sight usable by night, now and with so many stops less; None where it isn't told."""
    try:
        view = q.of(NIGHT, camera).view()
    except Unknown:
        return None
    return view.usable_after(area.id, 0.0), view.usable_after(area.id, stops)
