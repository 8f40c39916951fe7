"""GLARE-01: the camera's own infrared comes back off something near."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

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
    Trial,
    Unknown,
)
from oneclimb.plan.model import Camera
from oneclimb.study import NIGHT
from oneclimb_rules import moves
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.study.night_told import Contribution
    from oneclimb.study.night_view import NightView

BLACK = "matt black paint"
ASIDE = 1.0
"""m: a separate lamp this far from the lens lights the ground, and what is near the lens far less (common practice)"""


@dataclass(frozen=True, slots=True)
class BounceSettings(Settings):
    """Limits on the share of the night view lost to one thing."""

    limits: Limits = Limits(note=0.05, warning=0.20, error=0.50)


class InfraredBounce(Rule[Camera]):
    """For each thing the camera lights: the night view with it against without its light."""

    info = Info(
        code="GLARE-01",
        title="infrared bounce",
        sources=(
            "inverse square and Lambert's cosine law (photometry, textbook)",
            "veiling glare: ISO 9358:1994, definition",
            "loss limits 5, 20 and 50 %: common practice",
        ),
        page="infrared_bounce.md",
    )
    subject = "camera"
    settings = BounceSettings

    def measure(self, camera: Camera, q: Query, settings: BounceSettings) -> Iterable[Reading | Unknown]:
        """Share of the wanted night view or reach lost to each thing that sends light back."""
        del settings
        if camera.night not in ("infrared", "both"):
            return
        q.need(camera, "infrared.range")
        night = q.of(NIGHT, camera)
        now = night.view("dark")
        parts = [part for part in night.contributions("dark") if part.ref.kind not in ("lamp", "camera", "site")]
        everything = q.vary(*(Change("dark", part.ref) for part in parts)).of(NIGHT, camera).view("dark")
        harmless = now.kept(everything).value >= 1.0
        touching = night.touching if parts else ()
        for part in parts:
            dark = everything if harmless else q.vary(Change("dark", part.ref)).of(NIGHT, camera).view("dark")
            away = "touching the lamp" if part.ref in touching else f"{q.say.tape(part.nearest)} from the lens"
            yield bounced(camera, part, now, dark, away)

    def tell(self, reading: Reading, q: Trial, settings: BounceSettings) -> Told:
        """What comes back, how far one sees with and without, and the least that mends it."""
        del settings
        part, now, without, away = (reading.facts[name] for name in ("part", "now", "without", "away"))
        thing = part.ref
        place = f"filling {q.say.share(part.frame)} of the frame" if part.frame >= 0.01 else "just outside the frame"
        seldom = " when it is there" if thing.kind == "object" and q.get(thing).there == "sometimes" else ""
        with_it, without_it = (q.say.span(view.reach.low, view.reach.high) for view in (now, without))
        text = (
            f"{called(thing)}, {away} and {place}, throws this camera's own infrared back{seldom}: "
            f"{q.say.share(reading.figure.value)} of the night view is lost; "
            f"a person is usable as far as {with_it}, without that light {without_it}"
        )
        steps = (
            f"{called(thing)} gives {q.say.share(part.metered)} of the light the exposure sees "
            f"and {q.say.share(part.veil)} of the stray light on the front glass",
            f"exposure gain {now.gain:.3g} with it, {without.gain:.3g} without (per unit of threshold signal)",
        )
        camera = q.get(reading.at.thing)
        caution = "Work from a steady ladder by day; look at the night picture from the ground."
        return Told(text, tuple(remedies(camera, thing, q)), caution, steps)


def bounced(camera: Camera, part: Contribution, now: NightView, without: NightView, away: str) -> Reading:
    """The share of the night view lost to one thing; ``away`` is how far it is, in words."""
    kept = now.kept(without)
    return Reading(
        Figure("night view lost", lost(kept.value), ""),
        Ref("camera", camera.id, "mount"),
        key=part.ref.path,
        related=(Related(part.ref, f"{called(part.ref)}, {away}"),),
        facts={"part": part, "now": now, "without": without, "away": away},
        ends=lambda: (lost(kept.high), lost(kept.low)),
    )


def lost(kept: float) -> float:
    """What is lost of what there would be; nothing where there is a gain."""
    return max(0.0, 1.0 - kept)


def remedies(camera: Camera, thing: Ref, q: Trial) -> Iterator[Remedy]:
    """What people have: arm, turn, move, lower (first of all under a soffit), a separate lamp, matt paint."""
    lower = tuple(moves.lower(camera, q))
    others = (*moves.arm(camera, q), *moves.turn(camera), *moves.along(camera, q, away_from=thing))
    options = (*lower, *others) if thing.field == "eave" else (*others, *lower)
    yield from moves.offered(q, options, moves.StillSees(camera, q))
    yield Remedy(
        f"turn its own infrared off and light the ground from a separate infrared lamp {q.say.tape(ASIDE)} aside"
    )
    if paintable(thing, q):
        black = q.lessens(
            f"paint {called(thing)} matt black where the camera sees it: expect part of the view back",
            (Change("replace", thing.at("surface" if thing.kind == "object" else "eave.surface"), BLACK),),
            ladder=True,
        )
        if black:
            yield black


def paintable(thing: Ref, q: Query) -> bool:
    """Whether it is the owner's to paint: never a gas pipe, flue, vent, meter or lightning conductor."""
    if thing.kind == "object":
        owned = q.get(thing)
        return bool(owned.fixed_by == "own" and owned.there == "always")
    return thing.kind == "building" and thing.field == "eave" and not q.get(thing.thing).neighbour
