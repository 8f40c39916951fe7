"""POWER-08: a solar panel that gives less in its worst month than the camera takes."""

from __future__ import annotations

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
from oneclimb.study import SHADE, STORE
from oneclimb.trade import panel
from oneclimb.trade.months import MONTHS
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.shade import Shade
    from oneclimb.trade.battery import Range

USUAL = 1
"""of a range: low, usual, high"""
STEEPEST = 75.0
"""degrees: steeper than this the rest of the year suffers more than the winter gains (common practice)"""
LARGER = (1.5, 2.0, 3.0, 4.0, 6.0)
"""times the panel there is, tried in turn"""
SHADED = 0.9
"""of the open month's light: where less is left, what takes it is named"""


class PanelSettings(Settings, frozen=True):
    """How little of what the camera takes the panel may give in its worst month, as a share."""

    limits: Limits = Limits(note=1.3, warning=1.0, error=0.5)


class WinterPanel(Rule["Camera"]):
    """The panel's energy in its worst month over what the camera takes."""

    info = Info(
        code="POWER-08",
        title="solar panel gives too little in winter",
        sources=(
            "PVWatts version 5 (NREL/TP-6A20-62641): panel and losses",
            "Hay and Davies (1980), Ineichen and Perez (2002), FAO-56: light on a tilted face in a month",
            "estimates: sunshine by latitude, what comes out of the battery again, energy of an event",
        ),
        page="winter_panel.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = PanelSettings

    def measure(self, subject: Camera, q: Query, settings: PanelSettings) -> Iterable[Reading | Unknown]:
        """The worst month's share; asks for what is not said of the panel, the place and the day."""
        del settings
        power = subject.power
        if power.panel is None and power.source != "solar":
            return
        q.need(subject, "power.panel")
        watts: float = q.need(subject, "power.panel.watts")
        shade = q.of(SHADE, subject)
        store = q.of(STORE, subject)
        taken, given = store.day(), store.given(shade.months)
        worst = min(range(12), key=lambda month: given[month][1])
        low, usual, high = given[worst]
        yield Reading(
            Figure(
                "of what it takes in its worst month", usual / taken[1], "", low / taken[2], high / taken[0], "high"
            ),
            Ref("camera", subject.id, "power.panel"),
            "",
            _shaders(shade, worst),
            {
                "camera": subject,
                "worst": worst,
                "given": given,
                "taken": taken,
                "carried": bool(power.capacity) and min(store.year(given, taken)[USUAL]) > 0,
                "steps": (
                    _sun_step(shade, worst),
                    f"{watts:g} W x {shade.months[worst][1]:.2f} h x {1 - panel.lost():.3f} (losses) x "
                    f"{panel.CHARGING[1]:g} (charging) = {usual:.2f} Wh a day ({low:.2f} to {high:.2f})",
                    store.day_steps(taken),
                    f"{usual:.2f} / {taken[1]:.2f} = {usual / taken[1]:.0%}",
                ),
            },
        )

    def level(self, reading: Reading, value: float, settings: PanelSettings) -> Level | None:
        """By the limits; no more than a note where a full battery carries it through."""
        worst = settings.limits.level(value, reading.figure.good)
        return "note" if worst and reading.facts["carried"] else worst

    def tell(self, reading: Reading, q: Trial, settings: PanelSettings) -> Told:
        """The month, the share, who shades it, and what tilt, bearing or size would do."""
        del settings
        camera: Camera = reading.facts["camera"]
        worst: int = reading.facts["worst"]
        taken: Range = reading.facts["taken"]
        given: Range = reading.facts["given"][worst]
        shaded = f"; {called(reading.related[0].at)} shades it" if reading.related else ""
        text = (
            f"in {MONTHS[worst]} the panel of {camera.id} gives about {given[1]:.2g} Wh a day "
            f"({given[0]:.1g} to {given[2]:.1g}), and the camera takes about {taken[1]:.2g}{shaded}"
        )
        if reading.facts["carried"]:
            text += "; a battery that is full in autumn carries it through a usual winter"
        caution = "A panel up a ladder has to be cleaned of snow and leaves: fix it where that is safe."
        return Told(text, tuple(_more(camera, q)), caution, reading.facts["steps"])


def _shaders(shade: Shade, worst: int) -> tuple[Related, ...]:
    by = shade.by[worst]
    if by is None or shade.months[worst][1] >= SHADED * shade.bare[worst][1]:
        return ()
    left = shade.months[worst][1] / shade.bare[worst][1]
    return (Related(by, f"takes most of the sun that is lost; {left:.0%} is left"),)


def _sun_step(shade: Shade, worst: int) -> str:
    low, usual, high = shade.months[worst]
    bare = shade.bare[worst][1]
    return (
        f"{MONTHS[worst]}: {usual:.2f} peak sun hours a day ({low:.2f} to {high:.2f}, estimate); "
        f"{bare:.2f} with nothing about it; {shade.sky:.0%} of its sky is open"
    )


def _more(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """Turned to the noon sun, tilted steeper, larger: each tried, the first two kept where they help at all."""
    place = q.plan.site.place
    own = camera.power.panel
    if own is None or place is None or own.watts is None or own.tilt is None:
        return
    at = Ref("camera", camera.id, "power.panel")
    noon = 180.0 if place[0] >= 0 else 0.0
    side = "south" if noon else "north"
    steep = min(STEEPEST, abs(place[0]) + 20.0)
    turn = Change("replace", at.at("power.panel.faces"), f"{noon:.0f} deg")
    tilt = Change("replace", at.at("power.panel.tilt"), f"{steep:.0f} deg")
    ways = (
        (f"turn the panel to the {side}", (turn,)),
        (f"tilt the panel up to {steep:.0f}°", (tilt,)),
        (f"turn the panel to the {side} and tilt it up to {steep:.0f}°", (turn, tilt)),
    )
    yield from (remedy for text, changes in ways if (remedy := q.lessens(text, changes, ladder=True)))
    sizes = [f"{own.watts * times:g} W" for times in LARGER]
    steps = [(Change("replace", at.at("power.panel.watts"), size),) for size in sizes]
    remedy = q.least(lambda i: f"fit a panel of {sizes[i]}", steps, ladder=True)
    if remedy:
        yield remedy
    yield Remedy("fewer events: narrow the trigger; or feed it over a cable, where one can be run")
