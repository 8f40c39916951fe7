"""POWER-09: what stops when the mains stop, and how long the rest goes on recording."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Level,
    Limits,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
)
from oneclimb_rules.power.beside import beside
from oneclimb_rules.power.holdover import GIVEN, NO_BACKUP, NONE, Held, Range, held, kept_by, lasts, things, untold

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Recorder, Site

LARGER = (1.5, 2.0, 3.0, 4.0)
"""times a backup's battery there is, tried in turn"""
OVER = "over "
LONGEST = 1e6
"""min: what draws next to nothing lasts no longer than this is told"""


class MainsSettings(Settings, frozen=True):
    """How few minutes may be recorded after the mains stop."""

    limits: Limits = Limits(note=15.0)


class MainsStop(Rule["Site"]):
    """Minutes that each recorder goes on keeping pictures, and what each backup has to carry."""

    info = Info(
        code="POWER-09",
        title="recording ends with the mains",
        sources=(
            "arithmetic: minutes = Wh x share given x 60 / W",
            "estimates: what comes out of a backup's battery as it ages, what a switch takes for itself",
        ),
        page="mains_stop.md",
    )
    subject: ClassVar[str] = "site"
    settings = MainsSettings

    def measure(self, subject: Site, q: Query, settings: MainsSettings) -> Iterable[Reading | Unknown]:
        """A reading a recorder, in minutes, and one a backup whose watts are told, as a share."""
        del subject, settings
        if not q.all("ups"):
            if q.all("recorder"):
                yield NO_BACKUP
            return
        backups: list[Held] = []
        for ups in q.all("ups"):
            try:
                backups.append(held(ups, q))
            except Unknown as unknown:
                yield unknown
        yield from (_burden(one) for one in backups if one.ups.watts)
        if len(backups) < len(q.all("ups")):
            return
        by_thing: dict[str, Range] = {}
        for one in backups:
            for fed in one.ups.feeds:
                by_thing[fed] = max(by_thing.get(fed, NONE), _within(one))
        for recorder in q.all("recorder"):
            yield _recorded(recorder, by_thing, q)
            if recorder.id in by_thing:
                yield from (untold(camera) for camera in kept_by(recorder, q) if things(camera, q) is None)

    def level(self, reading: Reading, value: float, settings: MainsSettings) -> Level | None:
        """A backup asked for more than it gives is a warning; cameras that stop at once while others go on, a note."""
        if reading.key.startswith(OVER):
            return "warning" if value > 1 else None
        return settings.limits.level(value, "high") or ("note" if reading.facts["stops"] else None)

    def tell(self, reading: Reading, q: Trial, settings: MainsSettings) -> Told:
        """What goes on, what stops, and what else to plug in."""
        del settings
        if reading.key.startswith(OVER):
            one: Held = reading.facts["held"]
            text = f"what hangs on {one.ups.id} draws about {one.watts[1]:.0f} W, and it gives {one.ups.watts:g} W"
            text += ": when the mains stop it may drop everything at once"
            return Told(text, (Remedy("take a larger backup, or leave on it only what must go on"),))
        recorder: Recorder = reading.facts["recorder"]
        stops: tuple[Camera, ...] = reading.facts["stops"]
        names = ", ".join(camera.id for camera in stops) + (" stops" if len(stops) == 1 else " stop")
        figure = reading.figure
        if figure.value < 1:
            text = f"when the mains stop nothing more is recorded on {recorder.id}"
            text += (
                ": no backup feeds it"
                if not reading.facts["own"]
                else f": {names if stops else 'the cameras stop'} at once"
            )
        else:
            text = f"when the mains stop {recorder.id} goes on recording for about {_minutes(figure)}"
            text += f"; {names} at once" if stops else ""
        return Told(text, tuple(_more(reading, q)), steps=reading.facts["steps"])


def _within(one: Held) -> Range:
    """A backup's minutes; none where more hangs on it than it gives."""
    return NONE if one.ups.watts and one.watts[1] > one.ups.watts else one.minutes


def _burden(one: Held) -> Reading:
    most, usual, least = one.watts
    given = one.ups.watts or math.inf
    return Reading(
        Figure("of what the backup gives is drawn", usual / given, "", least / given, most / given),
        Ref("ups", one.ups.id, "watts"),
        f"{OVER}{one.ups.id}",
        facts={"held": one},
    )


def _recorded(recorder: Recorder, by_thing: dict[str, Range], q: Query) -> Reading:
    """Minutes until the recorder, or the last camera it keeps, stops."""
    cameras = kept_by(recorder, q)
    needs = {camera.id: names for camera in cameras if (names := things(camera, q)) is not None}
    each = {name: lasts(names, by_thing) for name, names in needs.items()}
    own = by_thing.get(recorder.id, NONE)
    last = tuple(max((one[i] for one in each.values()), default=math.inf) for i in range(3))
    low, usual, high = (min(own[i], last[i], LONGEST) for i in range(3))
    low = low if each else 0.0
    stops = tuple(camera for camera in cameras if camera.id in each and each[camera.id][1] < 1) if own[1] else ()
    missing = {name for names in needs.values() for name in names if name not in by_thing}
    return Reading(
        Figure("recorded after the mains stop", usual, "min", low, high, "high"),
        Ref("recorder", recorder.id),
        recorder.id,
        tuple(Related(Ref("camera", camera.id), "stops at once") for camera in stops),
        {
            "recorder": recorder,
            "own": own[1],
            "stops": stops,
            "missing": tuple(sorted({recorder.id, *missing} - by_thing.keys())),
            "steps": (
                f"{recorder.id}: {own[1]:.0f} min (energy x {GIVEN[1]:g}, an ordinary battery, over the watts drawn)",
                *(f"{name}: {min(one[1], LONGEST):.0f} min" for name, one in each.items()),
            ),
        },
    )


def _minutes(figure: Figure) -> str:
    def said(minutes: float) -> str:
        return f"{minutes / 60:.0f} h" if minutes >= 120 else f"{minutes:.0f} min"

    return f"{said(figure.value)} ({said(figure.low)} to {said(figure.high)})"


def _more(reading: Reading, q: Trial) -> Iterator[Remedy]:
    """Plug in what is missing and stands beside it, or take a larger battery, each tried; a backup of its own for what
    stands elsewhere.
    """
    recorder: Recorder = reading.facts["recorder"]
    ups = next((one for one in q.all("ups") if recorder.id in one.feeds), q.all("ups")[0])
    at = Ref("ups", ups.id)
    missing, far = beside(reading.facts["missing"], ups, recorder, q)
    plugged = Change("replace", at.at("feeds"), [*ups.feeds, *missing])
    remedy = q.lessens(f"feed {', '.join(missing)} from {ups.id} too", (plugged,)) if missing else None
    if remedy:
        yield remedy
    if not remedy or (remedy.partial and not far):
        sizes = [f"{(ups.capacity or 0) * times:g} Wh" for times in LARGER]
        steps = [
            ((plugged,) if missing else ()) + (Change("replace", at.at("capacity"), size),)
            for size in sizes
            if ups.capacity
        ]
        and_feed = f", and feed {', '.join(missing)} from it too" if missing else ""
        larger = q.least(lambda i: f"take a backup of {sizes[i]}{and_feed}", steps) if steps else None
        if larger:
            yield larger
    if far:
        own = "a backup of its own, where it stands" if len(far) == 1 else "backups of their own, where they stand"
        yield Remedy(f"give {', '.join(far)} {own}")
    if not (remedy and not remedy.partial):
        yield Remedy("or let the cameras that matter most keep pictures on a card of their own as well")
