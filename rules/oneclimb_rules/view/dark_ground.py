"""VIEW-05: wanted ground that is dark, or drowned in light, when it matters."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
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
)
from oneclimb.study import AFTER_DARK, ALL, DARK, NIGHT
from oneclimb.trade.lamps import refocused_range
from oneclimb_rules import moves
from oneclimb_rules.heeds import LIGHT, SHOWN
from oneclimb_rules.view import aims
from oneclimb_rules.view.overlap import Stays
from oneclimb_rules.view.told_there import Cause, cause

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.after_dark import AfterDark
    from oneclimb.study.doubt import Doubt


class DarkSettings(Settings, frozen=True):
    """Least share of wanted night ground, of what shows of it, that is usable."""

    limits: Limits = Limits(note=0.80, warning=0.50, error=0.05)


class DarkGround(Rule["Camera"]):
    """The usable share of each area wanted by night, in the worst state of the lights."""

    info = Info(
        code="VIEW-05",
        title="dark where it matters",
        sources=(
            "the light model of this program: single bounce, checked against a path tracer",
            "estimates (thresholds, stray light, metering: each with its range)",
            "common practice (the limits)",
        ),
        page="dark_ground.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = LIGHT | SHOWN
    settings = DarkSettings

    def measure(self, subject: Camera, q: Query, settings: DarkSettings) -> Iterable[Reading | Unknown]:
        """A reading for each area that is judged at this camera: with the lamps out, each lit, all lit."""
        dark = q.of(AFTER_DARK, subject)
        silent: dict[Ref, Unknown] = {}
        for area in dark.areas:
            state, share, others = _worst(dark, area, settings, silent)
            severe = settings.limits.level(share.value, "high") not in {None, "note"}
            yield Reading(
                Figure("wanted night ground that is usable", share.value, "", good="high"),
                Ref("area", area),
                related=(Related(Ref("camera", subject.id, "night"), "the camera that shows most of it"),),
                facts={
                    "state": state,
                    "usual": dark.alone(area, DARK),
                    "camera": subject.id,
                    "others": others,
                    "cause": _cause(dark, area, state, q, settings) if severe else None,
                },
                ends=partial(_ends, share),
            )
        yield from silent.values()

    def level(self, reading: Reading, value: float, settings: DarkSettings) -> Level | None:
        """The limits; at most a note where another rule tells what takes it."""
        level = settings.limits.level(value, "high")
        return "note" if level and reading.facts["cause"] else level

    def tell(self, reading: Reading, q: Trial, settings: DarkSettings) -> Told:
        """In which state, how far it serves; aim, a lens whose beam fits, a lamp."""
        del settings
        camera: Camera = q.get(Ref("camera", reading.facts["camera"]))
        state: str = reading.facts["state"]
        view = q.of(NIGHT, camera).view(state)
        to = view.reach_to[reading.at.id]
        share = q.say.share(reading.figure.value)
        far = f"a person is usable that way as far as {q.say.reach(to.low, to.high)}" if to.high else "nobody is usable"
        why: Cause | None = reading.facts["cause"]
        but = f"; {why.words} it would be {q.say.share(why.without)}: see {why.rule}" if why else ""
        first = (Remedy(f"put right first what {why.rule} tells of {camera.id}"),) if why else ()
        own = " by its own light" if camera.night != "none" else ", which has no light of its own,"
        who = f"by night {camera.id}{own}{_beside(reading.facts['others'])}"
        return Told(
            f"{who} can use {share} of what shows of {reading.at.id} {_lights(state)}: {far}{but}",
            (*first, *_remedies(camera, reading.at.id, q)),
            "Look at a night picture from the ground, never from a ladder; don't stare into an infrared lamp near by.",
            steps=(
                f"exposure gain {view.gain:.3g}, stray light {view.veil:.3g} (per unit of threshold signal)",
                *_beam(camera, q),
            ),
        )


def _worst(
    dark: AfterDark, area: str, settings: DarkSettings, silent: dict[Ref, Unknown]
) -> tuple[str, Doubt, tuple[Ref, ...]]:
    """The state in which least of an area is usable, and the other cameras that count in it: they are asked only where
    this one is past a limit.
    """
    told: list[tuple[str, Doubt, tuple[Ref, ...]]] = []
    for state in dark.states:
        try:
            share = dark.alone(area, state)
            others = dark.others[area] if settings.limits.level(share.value, "high") else ()
            told.append((state, dark.together(area, state) if others else share, others))
        except Unknown as why:
            silent[why.ref] = why
    return min(told, key=lambda each: each[1].value)


def _cause(dark: AfterDark, area: str, state: str, q: Query, settings: DarkSettings) -> Cause | None:
    """What takes it that another rule tells of."""
    return cause(dark, area, state, q, lambda usable: settings.limits.level(usable, "high") is None)


def _ends(share: Doubt) -> tuple[float, float]:
    return share.ends


def _beside(others: Sequence[Ref]) -> str:
    """The other cameras whose use of it counts too: `` and gate-cam together``."""
    return "".join(f" and {ref.id}" for ref in others) + " together" * bool(others)


def _lights(state: str) -> str:
    return {DARK: "with every lamp out", ALL: "with all lamps lit"}.get(state, f"with {state} lit")


def _beam(camera: Camera, q: Query) -> Iterator[str]:
    """How its own light falls off towards the edges."""
    exponent = q.of(NIGHT, camera).own.exponent
    if camera.night != "none":
        half = math.degrees(math.acos(0.5 ** (1.0 / exponent)))
        edge = math.cos(math.radians(min(camera.view.across / 2.0, 89.0))) ** exponent
        yield (
            f"its own light is strongest in the middle of the picture, half as strong {half:.0f}° off it, and "
            f"{q.say.share(edge)} at the left and right edges"
        )


def _remedies(camera: Camera, area: str, q: Trial) -> Iterator[Remedy]:
    """Turned or tilted, a lens whose beam fits, its infrared tamed; a lamp."""
    ways = [*aims.aims(camera), _lens(camera)]
    yield from moves.offered(q, (way for way in ways if way.steps), Stays(camera, q))
    if camera.infrared and not camera.infrared.dims:
        tamed = q.lessens(
            f"let {camera.id} dim its own infrared where something near is too bright",
            (Change("replace", Ref("camera", camera.id, "infrared.dims"), by=True),),
        )
        if tamed:
            yield tamed
    yield Remedy(
        f"light {area} from a lamp of its own: an infrared one {q.say.tape(1.0)} or more from the camera and out of "
        "its frame, on low voltage or put in by a licensed electrician; then write it in the plan and look again"
    )


def _lens(camera: Camera) -> moves.Move:
    """A narrower lens whose infrared follows it: the same light in a smaller angle."""
    infrared = camera.infrared
    beam = camera.view.across if infrared is None or infrared.beam is None else infrared.beam
    if infrared is None or infrared.range is None or beam >= 160.0:
        return moves.Move(lambda _: "", ())
    angles = [a for a in range(aims.WIDEST, aims.NARROWEST - 1, -aims.STEP) if a < camera.view.across]
    ranges = [refocused_range(infrared.range, beam, min(beam, angle)) for angle in angles]
    at = Ref("camera", camera.id)
    steps = tuple(
        (
            Change("replace", at.at("view"), f"{angle} deg"),
            Change("replace", at.at("infrared.range"), moves.metres(reach)),
        )
        for angle, reach in zip(angles, ranges, strict=True)
    )
    return moves.Move(lambda i: f"a lens of {angles[i]}° for {camera.id}, with infrared that follows it", steps)
