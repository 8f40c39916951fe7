"""GLARE-01: the camera's own infrared comes back off something near."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
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
from oneclimb_rules.glare.partly import in_part, turned_away
from oneclimb_rules.glare.shares import gives, lost
from oneclimb_rules.heeds import LIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.study.night_told import Contribution
    from oneclimb.study.night_view import NightView

BLACK = "matt black paint"
LIGHTS = ("lamp", "camera", "site")
"""kinds of things that are no business of this rule: other lights, a pane before the camera, and the ground one wants
to see"""
ASIDE = 1.0
"""m: a separate lamp this far from the lens lights the ground, and what is near the lens far less (common practice)"""


class BounceSettings(Settings, frozen=True):
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
    heeds = LIGHT
    settings = BounceSettings

    def measure(self, camera: Camera, q: Query, settings: BounceSettings) -> Iterable[Reading | Unknown]:
        """Share of the wanted night view or reach lost to each thing that sends light back."""
        del settings
        if camera.night not in ("infrared", "both"):
            return
        q.need(camera, "infrared.range")
        night = q.of(NIGHT, camera)
        now = night.view()
        parts = [part for part in night.contributions() if part.ref.kind not in LIGHTS]
        everything = q.vary(*(Change("dark", part.ref) for part in parts)).of(NIGHT, camera).view()
        harmless = now.kept(everything).value >= 1.0
        touching = night.touching if parts else ()
        for part in parts:
            dark = everything if harmless else q.vary(Change("dark", part.ref)).of(NIGHT, camera).view()
            yield bounced(camera, part, now, dark, apart(part, touching, q))

    def tell(self, reading: Reading, q: Trial, settings: BounceSettings) -> Told:
        """What comes back, how far one sees with and without, and the least that mends it."""
        del settings
        part, now, without, away = (reading.facts[name] for name in ("part", "now", "without", "away"))
        thing = part.ref
        seldom = " when it is there" if thing.kind == "object" and q.get(thing).there == "sometimes" else ""
        with_it, without_it = (q.say.reach(view.reach.low, view.reach.high) for view in (now, without))
        text = (
            f"{called(thing)}, {away}{place(part, q)}, throws this camera's own infrared back{seldom}: "
            f"{q.say.share(reading.figure.value)} of the night view is lost; "
            f"a person is usable as far as {with_it}; without that light {without_it}"
        )
        steps = (
            gives(part, q),
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


def apart(part: Contribution, touching: tuple[Ref, ...], q: Query) -> str:
    """How far a thing is, in words."""
    return "touching the lamp" if part.ref in touching else f"{q.say.tape(part.nearest)} from the lens"


def place(part: Contribution, q: Query) -> str:
    """Where a thing lies in the frame, in words."""
    return (
        f" and filling {q.say.share(part.frame)} of the frame" if part.frame >= 0.01 else " and just outside the frame"
    )


def remedies(camera: Camera, thing: Ref, q: Trial) -> Iterator[Remedy]:
    """What people have: arm, turn, move, lower (first of all under a soffit), a separate lamp, matt paint; where no
    move cures it a turn that helps in part.
    """
    lower = tuple(moves.lower(camera, q))
    others = (*moves.arm(camera, q), *moves.turn(camera), *moves.along(camera, q, away_from=thing))
    options = (*lower, *others) if thing.field == "eave" else (*others, *lower)
    sees = moves.StillSees(camera, q)
    cures = tuple(moves.offered(q, options, sees))
    away = None if cures else turned_away(camera, thing, q, sees)
    yield from (away,) if away else cures
    yield Remedy(
        f"turn its own infrared off and light the ground from a separate infrared lamp {q.say.tape(ASIDE)} aside"
    )
    if paintable(thing, q):
        black = q.lessens(
            f"paint {called(thing)} matt black where the camera sees it",
            (Change("replace", thing.at("surface" if thing.kind == "object" else "eave.surface"), BLACK),),
            ladder=True,
        )
        if black:
            yield in_part(black)


def paintable(thing: Ref, q: Query) -> bool:
    """Whether it is the owner's to paint: never a gas pipe, flue, vent, meter or lightning conductor."""
    if thing.kind == "object":
        owned = q.get(thing)
        return bool(owned.fixed_by == "own" and owned.there == "always")
    return thing.kind == "building" and thing.field == "eave" and not q.get(thing.thing).neighbour
