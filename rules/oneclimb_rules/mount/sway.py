"""MOUNT-07: a picture that moves when what holds the camera sways."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
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
from oneclimb.trade import sway
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Object

BEAUFORT_5 = 10.0
WALL = (0.002, 0.003, 0.004)
"""m: thin, usual and thick wall of a steel or aluminium pole (estimate)"""
FRONT = 0.012
"""m²: a camera's front where the plan doesn't give its size (estimate: 11 cm square)"""
THICKER = (0.06, 0.076, 0.09, 0.1, 0.114, 0.14, 0.168)
"""m: outer diameters poles are sold in (common practice)"""


class SwaySettings(Settings, frozen=True):
    """How many pixels of sway are worth a word, and in what wind a pole is reckoned."""

    limits: Limits = Limits(note=sway.PIXELS, warning=10.0)
    wind: float = setting(
        BEAUFORT_5, "steady wind a pole is reckoned in (10: a fresh breeze)", unit="m/s", minimum=0.0, maximum=60.0
    )


class Sway(Rule["Camera"]):
    """Turns the sway of a pole, measured or reckoned, into pixels of the picture."""

    info = Info(
        code="MOUNT-07",
        title="sway in pixels",
        sources=(
            "beam tables (Roark; Gere: bending of a cantilever)",
            "ASCE 7 (wind pressure 0.613 V2), handbook drag and moduli, from memory",
            "estimate (3 pixels are where motion detection begins to mind)",
        ),
        page="sway.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = SwaySettings

    def measure(self, subject: Camera, q: Query, settings: SwaySettings) -> Iterable[Reading | Unknown]:
        """Pixels the picture moves either way."""
        fixing = subject.fixing
        held = fixing.held_by if fixing else ""
        if fixing and fixing.sway is not None:
            low = usual = high = fixing.sway
        elif held and (thing := q.get(Ref("object", held))).shape in ("cylinder", "box"):
            low, usual, high = _reckoned(subject, thing, settings.wind)
        elif fixing and fixing.to in ("tree", "fence panel"):
            yield from unsaid(q, subject, "fixing.sway")
            return
        elif subject.mount.to == "pole" or (fixing and fixing.to in ("pole", "post")):
            yield Unknown(
                Ref("camera", subject.id, "fixing.held-by"), "which pole or post of the plan holds the camera?"
            )
            return
        else:
            return
        across = (subject.recorded or subject.pixels)[0]
        told = Figure("sway", _pixels(subject, across, usual), "px",
                      _pixels(subject, across, low), _pixels(subject, across, high))  # fmt: skip
        related = (Related(Ref("object", held), "holds it"),) if held else ()
        facts = {
            "camera": subject,
            "degrees": usual,
            "measured": bool(fixing and fixing.sway is not None),
            "held": held,
        }
        yield Reading(told, Ref("camera", subject.id, "fixing"), related=related, facts=facts)

    def tell(self, reading: Reading, q: Trial, settings: SwaySettings) -> Told:
        """How far, in what wind, and a stiffer pole."""
        camera: Camera = reading.facts["camera"]
        degrees, held = reading.facts["degrees"], reading.facts["held"]
        how = (
            "as measured"
            if reading.facts["measured"]
            else f"reckoned for {held} in a steady wind of {settings.wind:g} m/s; gusts move it further"
        )
        text = (
            f"the picture of {camera.id} moves {reading.figure.value:.0f} pixels either way when what holds it sways "
            f"({how}): motion alarms and blur, most in a view as narrow as {camera.view.across:.0f}°"
        )
        across = (camera.recorded or camera.pixels)[0]
        steps = (f"{degrees:.2f}° of {across} pixels over {camera.view.across:.0f}°: {reading.figure.value:.1f} px",)
        return Told(text, tuple(_remedies(camera, held, q, reading.facts["measured"])), steps=steps)


def _pixels(camera: Camera, across: int, degrees: float) -> float:
    if camera.view.projection == "equidistant":
        return across * degrees / camera.view.across
    return sway.pixels(degrees, across, camera.view.across)


def _reckoned(camera: Camera, thing: Object, wind: float) -> tuple[float, float, float]:
    """Low, usual and high sway, degrees, of a pole or post as long as the camera is above its foot."""
    metal = _metal(thing.surface)
    moduli = sway.MODULUS[metal or "timber"]
    area = camera.size[0] * camera.size[1] if camera.size else FRONT
    long = max(camera.mount.spot.z - thing.spot.z, 0.0)

    def at(modulus: float, wall: float) -> float:
        side = min(thing.wide, thing.deep)
        if thing.shape == "box":
            return sway.tip(sway.post(long, side), modulus, wind, area)
        solid = thing.diameter / 2
        return sway.tip(sway.tube(long, thing.diameter, min(wall, solid) if metal else solid), modulus, wind, area)

    return at(moduli[2], WALL[2]), at(moduli[1], WALL[1]), at(moduli[0], WALL[0])


def _metal(surface: str) -> str | None:
    """Of what a pole is made by its surface: steel unless it says wood (None) or aluminium."""
    if "wood" in surface or surface == "bark":
        return None
    return "aluminium" if surface == "aluminium" else "steel"


def _remedies(camera: Camera, held: str, q: Trial, measured: bool) -> Iterator[Remedy]:
    """A thicker pole, tried; a wall, a brace, a wider view."""
    thing = q.get(Ref("object", held)) if held else None
    if thing is not None and thing.shape == "cylinder" and not measured:
        sizes = [size for size in THICKER if size > thing.diameter]
        at = Ref("object", held, "diameter")
        steps = [(Change("replace", at, f"{size:.3f} m"),) for size in sizes]
        thicker = q.least(lambda i: f"make {held} {sizes[i] * 1000:.0f} mm thick", steps)
        if thicker:
            yield thicker
    yield Remedy(f"brace or guy what holds {camera.id}, fix it lower on it, or fix it to a wall")
    yield Remedy("a wider view shows the same sway as fewer pixels; masks and trip lines want room for it")
