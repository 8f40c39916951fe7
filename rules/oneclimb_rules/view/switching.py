"""VIEW-13: a lamp that holds the camera in colour with its own light out, or flips it at the very event."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
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
    setting,
)
from oneclimb.study import AFTER_DARK
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import LIGHT, SHOWN

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Lamp
    from oneclimb.study.after_dark import AfterDark

DOUBT = 2.0
"""the light on a frame is known to half or twice (estimate: surfaces, where the sensor sits, what it looks at)"""
STEADY = ("always", "dusk")
LEAST = 0.01
"""share of the night view under which nothing is said to be lost"""


class SwitchSettings(Settings, frozen=True):
    """How much of the night view may be lost while a lamp holds the camera in colour; when cameras switch."""

    limits: Limits = Limits(note=0.10, warning=0.30)
    dark: float = setting(
        1.0, "light under which a camera goes over to infrared, where the plan gives no switches-at", unit="lx",
        example=1.0, minimum=0.0,
    )  # fmt: skip
    light: float = setting(
        3.0, "light over which it goes back to colour, where the plan gives no switches-at", unit="lx",
        example=3.0, minimum=0.0,
    )  # fmt: skip


class Switching(Rule["Camera"]):
    """The share of wanted night ground that is lost while a lamp keeps a camera in colour, its infrared out."""

    info = Info(
        code="VIEW-13",
        title="day and night switching",
        sources=(
            "the light model of this program",
            "estimate (1 to 3 lx where the plan gives no switches-at; the light on the frame to half or twice)",
            "common practice (a lamp that lights at an event flips the picture at that moment)",
        ),
        page="switching.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = LIGHT | SHOWN
    settings = SwitchSettings

    def measure(self, subject: Camera, q: Query, settings: SwitchSettings) -> Iterable[Reading | Unknown]:
        """A reading for each lamp that gives light one can see, of a camera whose infrared serves it by night."""
        if subject.night not in {"infrared", "both"}:
            return
        after = q.of(AFTER_DARK, subject)
        lights = tuple(_lights(after, q))
        steady = sum(lux for lamp, lux in lights if lamp.lit in STEADY)
        for lamp, lux in lights:
            if lamp.lit is None:
                yield from _when(lamp, lux, after, q, settings)
            else:
                yield _reading(lamp, lux, steady, after, settings)

    def tell(self, reading: Reading, q: Trial, settings: SwitchSettings) -> Told:
        """What the lamp does to the camera, and the ways out of it."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        lamp, lux, level = (reading.facts[name] for name in ("lamp", "lux", "level"))
        lost = f"; {q.say.share(reading.figure.value)} of the night view is lost that its infrared would give"
        flips = (
            f"{lamp.id} lights the frame of {camera.id} to about {lux:.2g} lx, over the {level:g} lx at which it goes "
            "to colour: it flips at the very event, with a second or two of white or dark picture"
        )
        holds = (
            f"{lamp.id} lights the frame of {camera.id} to about {lux:.2g} lx, over the {level:g} lx at which it goes "
            "to infrared: it stays in colour all night, its own light out"
        )
        text = flips if reading.facts["flips"] else holds
        given = "the plan's switches-at" if camera.switches_at else "an estimate: the plan gives no switches-at"
        return Told(
            text + lost,
            (
                Remedy(f"set {camera.id} to stay in infrared after dark, by the clock, and look at the picture"),
                Remedy(f"let its level of switching lie well over {lux * DOUBT:.2g} lx"),
                Remedy(
                    f"shade {lamp.id} so that less of it falls on what the camera sees"
                    if lamp.lit in STEADY
                    else f"keep {lamp.id} lit from dusk and bright enough for colour, if those around don't mind"
                ),
            ),
            steps=(
                f"on average its frame sends back what a grey card in {lux:.2g} lx would ({lux / DOUBT:.2g} to "
                f"{lux * DOUBT:.2g} lx: estimate)",
                f"it switches at {level:g} lx ({given})",
            ),
        )

    def level(self, reading: Reading, value: float, settings: SwitchSettings) -> Level | None:
        """The limits; a flip at the very event is a note at least, where it loses anything."""
        flips = reading.facts["flips"] and value >= LEAST
        return settings.limits.level(value, "low") or ("note" if flips else None)


def _lights(after: AfterDark, q: Query) -> Iterator[tuple[Lamp, float]]:
    """Each lamp that gives light one can see, and how much of it a camera meters."""
    for lamp in q.all("lamp"):
        if lamp.kind is None or lamp.kind == "infrared":
            continue
        try:
            yield lamp, after.lux(lamp.id)
        except Unknown:
            continue  # its lumens are asked for where its glare is


def _when(lamp: Lamp, lux: float, after: AfterDark, q: Query, settings: SwitchSettings) -> Iterator[Unknown]:
    """The question when a lamp is lit, where it may be bright enough to switch the camera and the night loses by it."""
    dark, _ = after.night.camera.switches_at or (settings.dark, settings.light)
    if lux * DOUBT >= dark and after.lost(lamp.id) >= LEAST:
        yield from unsaid(q, lamp, "lit")


def _reading(lamp: Lamp, lux: float, all_night: float, after: AfterDark, settings: SwitchSettings) -> Reading:
    """What is lost while the lamp holds the camera in colour; nothing where it is too weak to, or where it comes on
    later and those lit ``all_night`` (lx) hold it in colour anyway.
    """
    camera = after.night.camera
    dark, bright = camera.switches_at or (settings.dark, settings.light)
    steady = lamp.lit in STEADY
    level = dark if steady else bright
    able = steady or all_night < dark
    lost = after.lost(lamp.id) if able and lux * DOUBT >= level else 0.0
    value = lost if lux >= level else 0.0
    return Reading(
        Figure("night view lost in colour", value, "", low=value if lux / DOUBT >= level else 0.0, high=lost),
        Ref("camera", camera.id, "night"),
        key=Ref("lamp", lamp.id).path,
        related=(Related(Ref("lamp", lamp.id), lamp.id),),
        facts={"lamp": lamp, "lux": lux, "level": level, "flips": lamp.lit == "motion"},
    )
