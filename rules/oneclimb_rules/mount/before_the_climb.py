"""MOUNT-05: what to look at before the drill and the ladder: height, the ladder's foot, what is near."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
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
from oneclimb.study import CLIMB
from oneclimb.trade import ladder
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.moves import StillSees, along, offered
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.climb import Climb

WHAT: Mapping[str, str] = MappingProxyType(
    {
        "service-drop": "the mains line",
        "lightning-conductor": "the lightning conductor",
        "meter": "the meter",
        "gas-pipe": "the gas pipe",
        "flue": "the flue",
        "vent": "the vent",
    }
)
CAUTION = (
    "Nothing here says the work is safe. Ask before the drill: what runs in the wall, and where the boards or "
    "coatings are old, whether they hold asbestos: stop, have them tested. Ladder on firm level ground, one at its "
    "foot, daylight. Lines, meters, gas and lightning protection: their owners' and licensed trades' word first."
)
ADVICE: Mapping[str, str] = MappingProxyType(
    {
        "service-drop": "keep ladder, tools and cable that far from the line, or have its owner make it safe first; "
        "never a metal ladder there",
        "lightning-conductor": "move the camera and its cable away from the conductor, or ask the lightning "
        "protection's designer; never bond to it yourself",
        "meter": "drill nowhere near the meter: its tails run in or on the wall; ask its owner",
        "gas-pipe": "drill nowhere near the pipe, and find where it goes in the wall first",
        "flue": "stay clear of the flue's hot, wet exhaust, for the camera's sake too; ask the heating engineer",
        "vent": "leave the vent free; what it airs, gas say, may make a spark there unwise",
    }
)


class ClimbSettings(Settings, frozen=True):
    """Margins kept, in metres; the limits are of the least margin as a share of what is kept."""

    limits: Limits = Limits(note=1.0, warning=1.0)
    line: float = setting(ladder.OVERHEAD_LINE, "kept from an overhead mains line", unit="m", minimum=0.0, maximum=20.0)
    lightning: float = setting(1.8, "kept from a lightning conductor", unit="m", minimum=0.0, maximum=20.0)
    drill: float = setting(
        0.5, "kept by a drill from meter, gas pipe, flue and vent", unit="m", minimum=0.0, maximum=20.0
    )
    height: float = setting(
        ladder.TRAINED, "work above this is for someone trained for it", unit="m", minimum=0.5, maximum=20.0
    )


class BeforeTheClimb(Rule["Camera"]):
    """The least margin of a camera's work: one reading a camera, the rest as related places."""

    info = Info(
        code="MOUNT-05",
        title="before the drill and the climb",
        sources=(
            "29 CFR 1926.1053(b)(5)(i) (ladder's foot: a quarter of the working length out)",
            "NEC 800.53, 830.44(G)(3) (1.8 m from lightning conductors, where practicable)",
            "OSHA, from memory (3.05 m from overhead lines); common practice (above 3 m a trained person)",
            "estimate (0.5 m from meters, gas, flues and vents)",
        ),
        page="before_the_climb.md",
        safety=True,
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = ClimbSettings

    def measure(self, subject: Camera, q: Query, settings: ClimbSettings) -> Iterable[Reading | Unknown]:
        """The least margin: of distances to what is near, of room for the ladder's foot, of the height itself."""
        climb = q.of(CLIMB, subject)
        margins = dict(_margins(climb, settings))
        high = settings.height / climb.work if climb.work > 0 else math.inf
        least = min([2.0, high, *margins.values()])
        tightest = next((ref for ref, margin in margins.items() if margin == least), None)
        close = {ref: margin for ref, margin in margins.items() if margin < 1.0}
        related = tuple(Related(ref, _why(ref, climb, q)) for ref in close)
        yield Reading(
            Figure(_against(tightest, climb), round(least, 9), "", good="high"),
            Ref("camera", subject.id, "mount"),
            related=related,
            facts={"camera": subject, "climb": climb, "close": close},
        )

    def level(self, reading: Reading, value: float, settings: ClimbSettings) -> Level | None:
        """A warning for what is near; height alone is a note."""
        found = settings.limits.level(value, "high")
        return found if reading.facts["close"] or not found else "note"

    def tell(self, reading: Reading, q: Trial, settings: ClimbSettings) -> Told:
        """The work in a sentence, what is near it, and whose word comes first."""
        camera: Camera = reading.facts["camera"]
        climb: Climb = reading.facts["climb"]
        close: Mapping[Ref, float] = reading.facts["close"]
        parts = [f"the work at {camera.id} is {q.say.tape(climb.work)} up"]
        if climb.work > settings.height:
            parts.append(f"above {q.say.tape(settings.height)} it is for someone trained for it")
        if climb.foot:
            parts.append(f"a leaning ladder's foot stands {q.say.tape(climb.out)} out")
        parts += [_why(ref, climb, q) for ref in close]
        kinds = {near.at: near.kind for near in climb.near}
        advice = [ADVICE[kinds[ref]] for ref in close if ref in kinds]
        if any(ref in climb.on for ref in close):
            advice.append("where a leaning ladder has no room, use a stepladder or a platform, or hold the way closed")
        if climb.work > settings.height:
            advice.append("leave it to someone trained and equipped for it, or fix it lower with a rated housing")
        steps = (
            f"support at {ladder.support_for(climb.work):.2f} m, foot a quarter of the rails out: {climb.out:.2f} m",
            *(f"{called(ref)}: {margin:.2f} of what is kept" for ref, margin in close.items()),
        )
        moved = tuple(_aside(camera, [ref for ref in close if ref in kinds], q))
        return Told("; ".join(parts), (*moved, *(Remedy(text) for text in advice)), CAUTION, steps)


def _aside(camera: Camera, close: list[Ref], q: Trial) -> Iterator[Remedy]:
    """Along the wall, away from what a drill keeps off, as far as the wanted ground is still seen."""
    if close and camera.mount.to == "wall":
        yield from offered(q, along(camera, q, away_from=close[0]), StillSees(camera, q))


def _margins(climb: Climb, settings: ClimbSettings) -> Iterable[tuple[Ref, float]]:
    """Each near thing's distance, and the foot's free room, as shares of what is kept."""
    kept = {"service-drop": settings.line, "lightning-conductor": settings.lightning}
    for near in climb.near:
        wanted = kept.get(near.kind, settings.drill)
        away = min(near.mount, near.ladder) if near.kind == "service-drop" else near.mount
        yield near.at, away / wanted if wanted else 2.0
    for ref in climb.on[:1]:
        yield ref, climb.clear / climb.room


def _against(ref: Ref | None, climb: Climb) -> str:
    """What the least margin is a share of; None: the height of the work."""
    if ref is None:
        return "height anyone may work at, of the height of this work"
    kind = next((WHAT[near.kind] for near in climb.near if near.at == ref), None)
    return f"of the distance to keep from {kind}" if kind else "of the room a ladder's foot needs"


def _why(ref: Ref, climb: Climb, q: Query) -> str:
    """What a near thing is, and how near."""
    for near in climb.near:
        if near.at == ref:
            away = min(near.mount, near.ladder) if near.kind == "service-drop" else near.mount
            whose = "the ladder or the work" if near.kind == "service-drop" else "the screw holes"
            return f"{WHAT[near.kind]} {called(ref)} is {q.say.tape(away)} from {whose}"
    if ref.kind == "land":
        land = q.get(ref)
        way = "a public way" if land.kind == "public-way" else "a neighbour's ground"
        return f"the ladder's foot comes to stand on or at {ref.id}, {way}"
    return f"{called(ref)} is where the ladder's foot would stand"
