"""CABLE-01: a stretch of bare cable within arm's reach of where someone can stand."""

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
    setting,
)
from oneclimb.study import RUN
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cable.raised import raised
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable, Leg
    from oneclimb.study.run import Run

CAUTION = (
    "Ask what runs in the wall before a clip or screw goes in; no conduit is shared with mains. "
    "Ladder on firm ground, someone at its foot."
)


class CableSettings(Settings, frozen=True):
    """How much bare cable within reach is worth a word; metres."""

    limits: Limits = Limits(note=0.0, warning=0.5)
    sun: float = setting(
        0.5, "how much more a metre counts where it faces the sun too", unit="share", minimum=0.0, maximum=5.0
    )


class ExposedLowCable(Rule["Cable"]):
    """Measures the bare cable that someone can reach, and its lowest point."""

    info = Info(
        code="CABLE-01",
        title="exposed low cable",
        sources=(
            "IEC 60364-4-41 Annex B, BS 7671 Figure 417 (arm's reach: 2.5 m up, 1.25 m sideways; as quoted in print; "
            "a use of our own)",
            "common practice (conduit where a cable can be reached; sunlight ages indoor jackets)",
        ),
        page="exposed_low_cable.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = SIGHT
    settings = CableSettings

    def measure(self, subject: Cable, q: Query, settings: CableSettings) -> Iterable[Reading | Unknown]:
        """Metres of bare cable within reach."""
        del settings
        run = q.of(RUN, subject)
        stands = dict.fromkeys(stretch.above for stretch in run.low if stretch.above.kind != "site")
        yield Reading(
            Figure("bare cable within reach", run.exposed, "m"),
            Ref("cable", subject.id, "route"),
            related=tuple(Related(ref, "can be stood on") for ref in stands),
            facts={"cable": subject, "run": run},
        )
        if run.low:
            for unknown in unsaid(q, q.plan.site, "place"):
                yield Unknown(unknown.ref, f"{unknown.asks} (the sun on the cable's jacket goes by it)")

    def tell(self, reading: Reading, q: Trial, settings: CableSettings) -> Told:
        """How much, how low, whose hand, and the conduit or the height that cures it."""
        del settings
        cable: Cable = reading.facts["cable"]
        run: Run = reading.facts["run"]
        lowest = min(run.low, key=lambda stretch: stretch.lowest)
        side = "above" if lowest.lowest >= 0 else "below"
        at = f"{q.say.tape(abs(lowest.lowest))} {side} {_named(lowest.above)}"
        sunny = run.sunny if cable.suits is None else 0.0  # else CABLE-02 tells it, or the jacket bears it
        sun = f"; {q.say.tape(sunny)} of it faces the sun, which ages a jacket not made for it" if sunny else ""
        bare = f"{q.say.tape(run.exposed)} of the cable {cable.id} can be reached by hand and nothing covers it"
        text = f"{bare}; at its lowest it is {at}{sun}"
        steps = tuple(
            f"{s.length:.1f} m in reach, least {s.lowest:.1f} m above {_named(s.above)}, {s.sunny:.1f} m in the sun"
            for s in run.low
        )
        return Told(text, tuple(_remedies(cable, run, q)), CAUTION, steps)

    def level(self, reading: Reading, value: float, settings: CableSettings) -> Level | None:
        """The limits, a sunny metre counting for more."""
        run: Run = reading.facts["run"]
        share = run.sunny / run.exposed if run.exposed else 0.0
        return settings.limits.level(value * (1 + settings.sun * share), reading.figure.good)


def _named(ref: Ref) -> str:
    """A surface someone stands on, in words."""
    return "the flat roof" if ref.kind == "building" else called(ref)


def _remedies(cable: Cable, run: Run, q: Trial) -> Iterator[Remedy]:
    """Conduit over the stretches, or the stretches raised out of reach."""
    low = sorted({leg for stretch in run.low for leg in stretch.legs})
    legs: tuple[Leg, ...] = cable.legs or ()
    at = Ref("cable", cable.id)
    conduit = tuple(Change("replace", at.at(f"route.{leg}.cover"), "conduit") for leg in low)
    long = sum(math.dist(legs[leg].a.xyz, legs[leg].b.xyz) for leg in low)
    covered = q.least(
        lambda _: f"put it in conduit ({q.say.tape(long)} with its ends), clamped so that it cannot be pulled off",
        [conduit],
    )
    raising = list(raised(cable, low, q))
    steps = [
        tuple(Change("replace", at.at(f"route.{point}.height"), up) for point, up in edits) for _, edits in raising
    ]
    higher = q.least(lambda i: f"run that stretch {q.say.tape(raising[i][0])} up, out of reach", steps, ladder=True)
    yield from (remedy for remedy in (covered, higher) if remedy)
