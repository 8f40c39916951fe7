"""GLARE-05: the sun in the frame, and behind what is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import TYPE_CHECKING

from oneclimb.api import (
    Figure,
    Info,
    Level,
    Limits,
    Query,
    Reading,
    Ref,
    Remedy,
    Rule,
    Settings,
    Told,
    Trial,
    Unknown,
    setting,
)
from oneclimb.plan.model import Camera
from oneclimb.study import SUN
from oneclimb.trade.months import MONTHS
from oneclimb_rules import moves
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.study.doubt import Doubt
    from oneclimb.study.sun import Sun

FRAME, SUBJECT = "frame", "subject"
NAMED = 3
"""spells, and things that hide the sun, that are named"""
ROOM = 0.03
"""share of the frame a visor's edge must stay clear of wanted ground (estimate)"""


class SunSettings(Settings, frozen=True):
    """Limits on the hours of a year the sun stands near wanted ground in the frame."""

    limits: Limits = Limits(note=20.0, warning=100.0)
    frame: float = setting(250.0, "hours of a year in the frame above which a note is given", unit="h", minimum=0.0)


class SunInFrame(Rule[Camera]):
    """Possible hours of the year with the sun in the frame, and of those near wanted ground."""

    info = Info(
        code="GLARE-05",
        title="sun in the frame",
        sources=(
            "sun's position: Meeus, Astronomical Algorithms, chapters 12 to 25; held against NREL SPA (TP-560-34302)",
            "hours, and 10° from what is wanted: estimate",
            "a compass is 10° out, 15° near steel: common practice",
        ),
        page="sun_in_frame.md",
    )
    subject = "camera"
    heeds = SIGHT
    settings = SunSettings

    def measure(self, camera: Camera, q: Query, settings: SunSettings) -> Iterable[Reading | Unknown]:
        """Two figures: hours near wanted ground, and hours in the frame at all."""
        del settings
        if camera.sits == "indoors" and camera.behind is None:
            return
        q.need(q.plan.site, "place")
        sun = q.of(SUN, camera)
        for key, name, hours in (
            (SUBJECT, "sun near what is wanted", sun.near),
            (FRAME, "sun in the frame", sun.in_frame),
        ):
            yield Reading(
                Figure(name, round(hours.value), "h a year"),
                Ref("camera", camera.id, "aim"),
                key,
                facts={"sun": sun, "near": round(sun.near.value)},
                ends=partial(_ends, hours),
            )

    def level(self, reading: Reading, value: float, settings: SunSettings) -> Level | None:
        """The limits for hours near wanted ground; a note for hours in the frame where those are not told already."""
        if reading.key == SUBJECT:
            return settings.limits.level(value, "low")
        told = settings.limits.level(reading.facts["near"], "low")
        return "note" if value > settings.frame and not told else None

    def tell(self, reading: Reading, q: Trial, settings: SunSettings) -> Told:
        """When, how long, what hides it the rest of the time, and what ends it."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        sun: Sun = reading.facts["sun"]
        named = "; ".join(spell.words for spell in sun.spells[:NAMED])
        near = f", {sun.near.value:.0f} of them within 10° of what is wanted" if reading.key == SUBJECT else ""
        text = (
            f"the sun stands in the frame of {camera.id} for up to {sun.in_frame.value:.0f} hours of the year under a "
            f"clear sky{near}: {named} (clock without summer time)"
        )
        return Told(
            text,
            tuple(_remedies(reading, camera, sun, q)),
            "Look at the camera's picture to check this, never at the sun.",
            tuple(_steps(sun)),
        )


def _ends(hours: Doubt) -> tuple[float, float]:
    """The ends of the doubt, whole hours as the figure is."""
    low, high = hours.ends
    return round(low), round(high)


def _steps(sun: Sun) -> Iterator[str]:
    """Hours by month, and by what hides it."""
    by_month = [f"{name} {hours:.0f} h" for name, hours in zip(MONTHS, sun.months, strict=True) if hours >= 0.5]
    yield f"in the frame with nothing before it: {', '.join(by_month)}"
    hidden = sorted(sun.hidden.items(), key=lambda one: -one[1])[:NAMED]
    for ref, hours in hidden:
        who = "the hills keep" if ref.field == "hills" else f"{called(ref)} keeps"
        yield f"{who} it off for {hours:.0f} h more"
    if sun.on_glass >= 1.0:
        yield f"it shines on the front glass from outside the frame, within 20° of the axis, for {sun.on_glass:.0f} h"


def _remedies(reading: Reading, camera: Camera, sun: Sun, q: Trial) -> Iterator[Remedy]:
    """Down or turned, tried where the sun comes near what is wanted; a visor where it would hide no wanted ground."""
    if reading.key == SUBJECT and camera.shape != "doorbell":
        ways = (*moves.down(camera), *moves.turn(camera))
        yield from moves.offered(q, ways, moves.StillSees(camera, q))
    if sun.lowest + ROOM < sun.highest_wanted:
        yield Remedy(
            f"a visor or hood over the lens that covers the top {q.say.share(sun.lowest)} of the frame would hide the "
            "sun and no wanted ground"
        )
    else:
        yield Remedy("cover the same ground from the other side, with the sun behind the camera")
