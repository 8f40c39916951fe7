"""GLARE-03: a lamp that lights the dome or window in front of the lens."""

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
from oneclimb.plan.model import Camera, Lamp
from oneclimb.study import ALL, NIGHT
from oneclimb_rules import moves
from oneclimb_rules.glare.shares import lost
from oneclimb_rules.heeds import LIGHT

if TYPE_CHECKING:
    from oneclimb.study.night_view import NightView


class LampSettings(Settings, frozen=True):
    """Limits on the share of the night view lost when the lamp is lit."""

    limits: Limits = Limits(note=0.05, warning=0.20, error=0.50)


class LampNearLens(Rule[Camera]):
    """For each lamp: the night view lit against unlit, alone and with all the others lit."""

    info = Info(
        code="GLARE-03",
        title="lamp near the dome",
        sources=(
            "inverse square (photometry, textbook)",
            "veiling glare: ISO 9358:1994, definition",
            "a finding only where lit is worse than unlit; 5, 20 and 50 %: common practice",
        ),
        page="lamp_near_lens.md",
    )
    subject = "camera"
    heeds = LIGHT
    settings = LampSettings

    def measure(self, camera: Camera, q: Query, settings: LampSettings) -> Iterable[Reading | Unknown]:
        """Net loss of the night view by each lamp, in the worse of its night states."""
        del settings
        silent: dict[Ref, Unknown] = {}
        for lamp in q.all("lamp"):
            if lamp.kind != "infrared" or camera.night != "none":
                yield from lit(camera, lamp, q, silent)
        yield from silent.values()

    def tell(self, reading: Reading, q: Trial, settings: LampSettings) -> Told:
        """How far one sees lit and unlit, and the least move that cures it."""
        del settings
        lamp, away, state, now, without = (reading.facts[name] for name in ("lamp", "away", "state", "now", "without"))
        alone = "" if state != ALL else " with the other lamps lit too"
        lit, unlit = (q.say.reach(view.reach.low, view.reach.high) for view in (now, without))
        text = (
            f"{lamp.id}, {q.say.tape(away)} away, lights the front of this camera: lit{alone} it costs "
            f"{q.say.share(reading.figure.value)} of the night view; a person is usable as far as {lit}; unlit {unlit}"
        )
        steps = (
            f"exposure gain {now.gain:.3g} with {lamp.id} lit, {without.gain:.3g} unlit (per unit of threshold signal)",
            f"stray light {now.veil:.3g} lit, {without.veil:.3g} unlit (units of threshold signal)",
        )
        caution = "Moving a lamp on the mains is a licensed electrician's work; moving the camera is not."
        return Told(text, tuple(remedies(q.get(reading.at.thing), lamp, q)), caution, steps)


def lit(camera: Camera, lamp: Lamp, q: Query, silent: dict[Ref, Unknown]) -> Iterator[Reading]:
    """The reading of one lamp, in the worse of two states: alone, and with all the others; of those that can be told.

    What the plan does not say goes to ``silent``, by what is asked about.
    """
    ref = Ref("lamp", lamp.id)
    states = []
    for state in (lamp.id, ALL):
        try:
            states.append((state, *views(camera, ref, state, q)))
        except Unknown as why:
            silent[why.ref] = why
    if not states:
        return
    state, now, without = min(states, key=lambda each: each[1].kept(each[2]).value)
    kept = now.kept(without)
    away = q.of(NIGHT, camera).distance(ref)
    yield Reading(
        Figure("night view lost", lost(kept.value), ""),
        Ref("camera", camera.id, "mount"),
        key=ref.path,
        related=(Related(ref, f"{lamp.id}, {q.say.tape(away)} from the lens"),),
        facts={"lamp": lamp, "away": away, "state": state, "now": now, "without": without},
        ends=lambda: (lost(kept.high), lost(kept.low)),
    )


def views(camera: Camera, lamp: Ref, state: str, q: Query) -> tuple[NightView, NightView]:
    """The picture in one state, with a lamp and without its light. ``Unknown`` where a lamp it takes is not told."""
    now = q.of(NIGHT, camera).view(state)
    return now, q.vary(Change("dark", lamp)).of(NIGHT, camera).view(state)


def remedies(camera: Camera, lamp: Lamp, q: Trial) -> Iterator[Remedy]:
    """Sideways first, shade second."""
    sideways = (*moves.along(camera, q, 2.0), *moves.along(lamp, q, 2.0))
    yield from moves.offered(q, sideways, moves.StillSees(camera, q))
    up = (Change("replace", Ref("lamp", lamp.id, "shade"), by=True),)
    shade = q.lessens(f"shade {lamp.id} so that nothing shines above the horizontal", up)
    if shade:
        yield shade
    yield Remedy("record which lamps were lit when you prove the picture at night")
