"""GLARE-03: a lamp that lights the dome or window in front of the lens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

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
from oneclimb.study import NIGHT
from oneclimb_rules import moves


@dataclass(frozen=True, slots=True)
class LampSettings(Settings):
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
    settings = LampSettings

    def measure(self, camera: Camera, q: Query, settings: LampSettings) -> Iterable[Reading | Unknown]:
        """Net loss of the night view by each lamp, in the worse of its night states."""
        del settings
        for lamp in q.all("lamp"):
            if lamp.kind == "infrared" and lamp.range is not None and camera.night == "none":
                continue
            try:
                yield lit(camera, lamp, q)
            except Unknown as silent:
                yield silent

    def tell(self, reading: Reading, q: Trial, settings: LampSettings) -> Told:
        """How far one sees lit and unlit, and the least move that cures it."""
        del settings
        lamp, away, state, now, without = (reading.facts[name] for name in ("lamp", "away", "state", "now", "without"))
        alone = "" if state == lamp.id else " with the other lamps lit too"
        lit, unlit = (q.say.span(view.reach.low, view.reach.high) for view in (now, without))
        text = (
            f"{lamp.id}, {q.say.tape(away)} away, lights the front of this camera: lit{alone} it costs "
            f"{q.say.share(reading.figure.value)} of the night view; a person is usable as far as {lit}, unlit {unlit}"
        )
        steps = (
            f"exposure gain {now.gain:.3g} with {lamp.id} lit, {without.gain:.3g} unlit (per unit of threshold signal)",
            f"stray light {now.veil:.3g} lit, {without.veil:.3g} unlit (units of threshold signal)",
        )
        caution = "Moving a lamp on the mains is a licensed electrician's work; moving the camera is not."
        return Told(text, tuple(remedies(q.get(reading.at.thing), lamp, q)), caution, steps)


def lit(camera: Camera, lamp: Lamp, q: Query) -> Reading:
    """The reading of one lamp, in the worse of two states: alone, and with all the others."""
    ref = Ref("lamp", lamp.id)
    night = q.of(NIGHT, camera)
    unlit = q.vary(Change("dark", ref)).of(NIGHT, camera)
    states = [(state, night.view(state), unlit.view(state)) for state in (lamp.id, "all")]
    state, now, without = min(states, key=lambda each: each[1].kept(each[2]).value)
    kept = now.kept(without)
    away = night.distance(ref)
    return Reading(
        Figure("night view lost", max(0.0, 1 - kept.value), ""),
        Ref("camera", camera.id, "mount"),
        key=ref.path,
        related=(Related(ref, f"{lamp.id}, {q.say.tape(away)} from the lens"),),
        facts={"lamp": lamp, "away": away, "state": state, "now": now, "without": without},
        ends=lambda: (max(0.0, 1 - kept.high), max(0.0, 1 - kept.low)),
    )


def remedies(camera: Camera, lamp: Lamp, q: Trial) -> Iterator[Remedy]:
    """Sideways first, shade second."""
    sideways = (*moves.along(camera, q, 2.0), *moves.along(lamp, q, 2.0))
    yield from moves.offered(q, sideways, moves.StillSees(camera, q))
    up = (Change("replace", Ref("lamp", lamp.id, "shade"), by=True),)
    shade = q.lessens(f"shade {lamp.id} so that nothing shines above the horizontal", up)
    if shade:
        yield shade
    yield Remedy("record which lamps were lit when you prove the picture at night")
