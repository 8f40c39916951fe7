"""A card a camera: what it is, what was found of it, its frames to switch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.plan.model import Camera, Plan
from oneclimb.plan.say import Tape
from oneclimb.report import words
from oneclimb.report.quote import quote
from oneclimb.web.plate import Plate
from oneclimb.web.told import Told, anchors

NIGHTS = {
    "infrared": "its own infrared",
    "white": "its own white light",
    "both": "its own infrared and white light",
    "none": "no light of its own",
}
LABELS = {"day": "by day", "night": "by night", "ground": "its ground", "side": "from the side", "sun": "the sun"}
"""by kind of picture: what it is called among a camera's pictures"""


class Card(Struct, frozen=True):
    """One camera's card."""

    anchor: str
    id: str
    name: str
    facts: tuple[tuple[str, str], ...]
    told: tuple[Told, ...]
    shown: tuple[tuple[str, Plate], ...]


def cards(plan: Plan, told: Sequence[Told], plates: Sequence[Plate]) -> list[Card]:
    """Every camera's, in the plan's order."""
    tape, at = Tape(plan.units), anchors(plan)
    return [_card(camera, at[Ref("camera", camera.id)], tape, told, plates) for camera in plan.cameras]


def _card(camera: Camera, anchor: str, tape: Tape, told: Sequence[Told], plates: Sequence[Plate]) -> Card:
    mine = Ref("camera", camera.id)
    shown = _named(camera.id, [one for one in plates if one.about.thing == mine])
    found = tuple(one for one in told if one.place.anchor == anchor)
    return Card(anchor, camera.id, camera.name, tuple(_facts(camera, tape)), found, shown)


def _facts(camera: Camera, tape: Tape) -> Iterator[tuple[str, str]]:
    across, down = camera.pixels
    sits = camera.mount.spot
    shape = f"{camera.shape} ({camera.type})" if camera.type else camera.shape
    yield "housing", shape
    wall = f"{tape.tape(sits.along)} along the {sits.wall} wall of {sits.building}" if sits.wall else camera.mount.to
    yield "fixed", f"{tape.tape(sits.z)} up, {wall}"
    yield "aimed", f"{camera.aim.bearing % 360:.0f}° by the compass, {_tilt(camera.aim.tilt)}{_at(camera.aim.at)}"
    yield "lens", f"{camera.view.across:.0f}° across, {camera.view.down:.0f}° down"
    yield "picture", f"{across} x {down} pixels"
    yield "by night", NIGHTS[camera.night]
    if camera.watches:
        yield "watches", words.listed(camera.watches)


def _tilt(degrees: float) -> str:
    whole = round(degrees)
    return f"{abs(whole)}° {'down' if whole > 0 else 'up'}" if whole else "level"


def _at(name: str) -> str:
    return f", at {name}" if name else ""


def _named(camera: str, plates: Sequence[Plate]) -> tuple[tuple[str, Plate], ...]:
    """Pictures, each with its name where one is chosen of several: its kind's, or its title where there are more of the
    kind.
    """
    kinds = [one.kind for one in plates]
    return tuple((_name(camera, one, alone=kinds.count(one.kind) == 1), one) for one in plates)


def _name(camera: str, one: Plate, *, alone: bool) -> str:
    return LABELS.get(one.kind, one.kind) if alone else one.title.removeprefix(f"{quote(camera)} ")
