"""GLARE-06: number plates, road signs and reflective tape that the camera's own light turns white."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from oneclimb.api import (
    Figure,
    Info,
    Level,
    Limits,
    Query,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Trial,
    Unknown,
)
from oneclimb.plan.model import Camera
from oneclimb.study import RETRO
from oneclimb_rules import moves
from oneclimb_rules.heeds import LIGHT

if TYPE_CHECKING:
    from oneclimb.study.retro import Returned

ASIDE = 1.0
"""m from lens to lamp (common practice)"""
DOUBT = 1.5
"""stops either way: sheeting as new or aged, the exposure as the metering takes it (estimate)"""


class RetroSettings(Settings, frozen=True):
    """Stops above white at which a reflective thing is told, and those one wants to read."""

    limits: Limits = Limits(note=0.0, warning=1.0)


class Retroreflector(Rule[Camera]):
    """For each reflective thing that shows: how far above white the camera's own light takes it."""

    info = Info(
        code="GLARE-06",
        title="retroreflector in the beam",
        sources=(
            "luminance R_A × E of retroreflective sheeting: definition of R_A (CIE 54.2, ASTM D4956)",
            "R_A of plates and signs: from memory, check against the document",
            "common practice (identifying a person is not reading a number plate)",
        ),
        page="retroreflector.md",
    )
    subject = "camera"
    heeds = LIGHT
    settings = RetroSettings

    def measure(self, camera: Camera, q: Query, settings: RetroSettings) -> Iterable[Reading | Unknown]:
        """Stops above white of each thing of reflective sheeting, and of a plate where vehicles are wanted."""
        del settings
        for one in q.of(RETRO, camera):
            plate = one.ref.kind == "area" or q.get(one.ref).kind == "number-plate"
            wanted = one.ref.kind == "object" and (q.get(one.ref).wanted or one.ref.id in camera.watches)
            yield Reading(
                Figure("above white", one.over, "stops", one.over - DOUBT, one.over + DOUBT),
                Ref("camera", camera.id, "aim"),
                one.ref.path,
                (Related(one.ref, f"{one.ref.id}, {q.say.tape(one.distance)} from the lens"),),
                {"one": one, "plate": plate, "wanted": wanted},
            )

    def level(self, reading: Reading, value: float, settings: RetroSettings) -> Level | None:
        """The limits; never more than a note for what nobody wants to read."""
        found = settings.limits.level(value, "low")
        return found if reading.facts["wanted"] else found and "note"

    def tell(self, reading: Reading, q: Trial, settings: RetroSettings) -> Told:
        """How white, and what a person or a plate would need instead."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        one: Returned = reading.facts["one"]
        what = f"a number plate in {one.ref.id}" if one.ref.kind == "area" else one.ref.id
        so = "; enough pixels and light to identify a person do not make a number plate readable"
        text = (
            f"{what}, {q.say.tape(one.distance)} from {camera.id}, sends its own light straight back: at night it is "
            f"{one.over:.1f} stops above white, a blank patch{so if reading.facts['plate'] else ''}"
        )
        steps = (
            f"light on it {one.lit:.3g} times the threshold's, R_A {one.coefficient:g}: signal {one.signal:.3g}",
            f"exposure gain {one.gain:.3g}: {one.gain * one.signal:.3g} times white, {one.over:.1f} stops above it",
            f"from a lamp {q.say.tape(ASIDE)} beside the lens {one.aside:.1f} stops less come back to it",
        )
        plate, wanted = reading.facts["plate"], reading.facts["wanted"]
        return Told(text, tuple(_remedies(camera, one, q, plate=plate, wanted=wanted)), steps=steps)


def _remedies(camera: Camera, one: Returned, q: Trial, *, plate: bool, wanted: bool) -> Iterator[Remedy]:
    """Turned away from what nobody wants to read, tried; a lamp aside; a camera of its own for plates."""
    if one.ref.kind == "object" and not wanted and camera.shape != "doorbell":
        yield from moves.offered(q, (*moves.turn(camera), *moves.down(camera)), moves.StillSees(camera, q))
    left = one.over - one.aside
    comes = "it is no longer white" if left < 0 else f"still {left:.1f} stops above white"
    yield Remedy(
        f"light the ground from a separate infrared lamp {q.say.tape(ASIDE)} aside, its own infrared off: "
        f"{one.aside:.1f} stops less come back, {comes}"
    )
    if plate:
        yield Remedy("for plates a camera of its own: narrow view, short shutter (1/500 s), its gain held down")
