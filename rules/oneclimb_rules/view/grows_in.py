"""VIEW-07: what grows in front of wanted ground: now, in some years, in leaf and bare."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import (
    STRETCH,
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
from oneclimb.study import COVERED
from oneclimb_rules import moves
from oneclimb_rules.heeds import VIEWS

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Object

LEAST = 0.3
"""m: nothing is offered to be cut smaller than this"""
SAW = 0.1
"""m: the least cut worth telling"""
DOUBT = (0.75, 1.25)
"""growth over what the plan says, slower and faster (estimate: one summer is not like another)"""
MORE = 0.005
"""share of an area: growth that hides no more than this hides nothing"""


class GrowthSettings(Settings, frozen=True):
    """How much of a wanted area growth may hide, and how far ahead is looked."""

    limits: Limits = Limits(note=0.05, warning=0.20)
    years: float = setting(3.0, "how far ahead is looked, years", unit="years", example=3.0, minimum=0.0, maximum=30.0)


class Hides(Struct, frozen=True):
    """What a growing thing does to one area: the share of it that is shown without it, now and later."""

    area: str
    without: float
    now: float
    later: float

    @property
    def hidden(self) -> float:
        """Share that it will hide; nothing where it hides no more than it does now."""
        return max(0.0, self.without - self.later) if self.now - self.later > MORE else 0.0


class GrowsIn(Rule["Object"]):
    """The most of a wanted area that a growing thing will hide from every camera."""

    info = Info(
        code="VIEW-07",
        title="foliage that grows in",
        sources=(
            "geometry: the same place with the thing as large as it will be, and without it",
            "estimate (as much in width as in height, half of it on either side)",
            "common practice (the limits)",
        ),
        page="grows_in.md",
    )
    subject: ClassVar[str] = "object"
    heeds = VIEWS
    settings = GrowthSettings

    def measure(self, subject: Object, q: Query, settings: GrowthSettings) -> Iterable[Reading | Unknown]:
        """The area it hides most of; a hedge drawn as a line counts whole."""
        if subject.grows <= 0.0 or STRETCH in subject.id or not q.all("camera"):
            return
        gone = tuple(Change("absent", Ref("object", each.id)) for each in _parts(subject, q))
        grown = subject.grows * settings.years
        without, later = q.vary(*gone), q.vary(*_sized(subject, grown))
        hides = tuple(_hides(without, q, later))
        if not hides:
            return
        worst = max(hides, key=lambda each: each.hidden)
        yield Reading(
            Figure("wanted area that it will hide", worst.hidden, ""),
            Ref("object", subject.id, "grows"),
            related=(Related(Ref("area", worst.area), f"{worst.area}, which it grows in front of"),),
            facts={"hides": worst},
            ends=partial(_ends, worst, without, q, [q.vary(*_sized(subject, grown * part)) for part in DOUBT]),
        )

    def tell(self, reading: Reading, q: Trial, settings: GrowthSettings) -> Told:
        """How much is hidden now and then, in leaf and bare; how far to cut it back."""
        thing: Object = q.get(reading.at.thing)
        hides: Hides = reading.facts["hides"]
        share, years = q.say.share, f"{settings.years:g}"
        return Told(
            f"{thing.id} grows {q.say.tape(thing.grows)} a year: in {years} years it hides {share(hides.hidden)} of "
            f"{hides.area} from every camera, now {share(max(0.0, hides.without - hides.now))}; bare of leaves, or "
            f"gone, {share(hides.without)} of {hides.area} would be shown",
            tuple(_remedies(thing, settings, q)),
            "Look for nests first; ask whether a tree is protected; sawing on a ladder is work for a trained person.",
            steps=(
                f"now {_size(thing, 0.0, q)}, in {years} years {_size(thing, thing.grows * settings.years, q)}",
                f"{hides.area} shown without it {share(hides.without)}, now {share(hides.now)}, then "
                f"{share(hides.later)}",
            ),
        )


def _hides(without: Query, now: Query, later: Query) -> Iterator[Hides]:
    """Every wanted area in three worlds: without the thing, as it is, and as it will be."""
    covered = [world.of(COVERED, world.plan.site) for world in (without, now, later)]
    for area in now.all("area"):
        if area.task != "avoid":
            yield Hides(area.id, *(each.ground(area).share for each in covered))


def _ends(worst: Hides, without: Query, now: Query, growths: Sequence[Query]) -> tuple[float, float]:
    """What of the same area is hidden were growth slower and faster."""
    ends = [each.hidden for later in growths for each in _hides(without, now, later) if each.area == worst.area]
    return min(*ends, worst.hidden), max(*ends, worst.hidden)


def _parts(thing: Object, q: Query) -> list[Object]:
    """The thing, and where it is drawn as a line all its stretches."""
    return [each for each in q.all("object") if each.id == thing.id or each.id.startswith(f"{thing.id}{STRETCH}")]


def _width(thing: Object) -> tuple[str, float]:
    """The plan's key of how far it reaches across, and that."""
    return ("deep", thing.deep) if thing.shape in {"box", "panel"} else ("diameter", thing.diameter)


def _tall(thing: Object) -> float:
    """Its whole height, a tree's trunk included, m."""
    return thing.tall + (thing.trunk[0] if thing.trunk else 0.0)


def _sizes(thing: Object, more: float) -> tuple[float, float]:
    """Height and width when it is ``more`` metres larger, or less where it is negative; never under ``LEAST``."""
    return max(_tall(thing) + more, LEAST), max(_width(thing)[1] + more, min(LEAST, _width(thing)[1]))


def _sized(thing: Object, more: float) -> tuple[Change, ...]:
    """The edits that make it so."""
    ref, (tall, across) = Ref("object", thing.id), _sizes(thing, more)
    return (
        Change("replace", ref.at("tall"), moves.metres(tall)),
        Change("replace", ref.at(_width(thing)[0]), moves.metres(across)),
    )


def _size(thing: Object, more: float, q: Query) -> str:
    tall, across = _sizes(thing, more)
    return f"{q.say.tape(tall)} tall and {q.say.tape(across)} across"


def _remedies(thing: Object, settings: GrowthSettings, q: Trial) -> Iterator[Remedy]:
    """Cut back, a tree's crown lifted; nothing that is not the owner's."""
    if thing.fixed_by != "own":
        yield Remedy(f"{thing.id} is not yours to cut: agree with its owner how far it may grow, and write it down")
        return
    yield from (remedy for remedy in (_cut(thing, settings, q), _lifted(thing, q)) if remedy)
    yield Remedy(f"look again every spring, and write the size of {thing.id} in the plan anew")


def _cut(thing: Object, settings: GrowthSettings, q: Trial) -> Remedy | None:
    cuts = [SAW * i for i in range(1, int((_tall(thing) - LEAST) / SAW + 1e-6) + 1)]
    years = f"{settings.years:g}"
    return q.least(
        lambda i: f"cut {thing.id} back to {_size(thing, -cuts[i], q)}, and again at the latest every {years} years",
        [_sized(thing, -by) for by in cuts],
    )


def _lifted(thing: Object, q: Trial) -> Remedy | None:
    """A tree's crown lifted, so that one sees below it."""
    if not thing.trunk:
        return None
    foot, top = thing.trunk[0], _tall(thing)
    lifts = [foot + SAW * i for i in range(1, int((top - LEAST - foot) / SAW + 1e-6) + 1)]
    at = Ref("object", thing.id, "trunk.height")
    return q.least(
        lambda i: f"lift the crown of {thing.id}: no branches below {q.say.tape(lifts[i])}",
        [(Change("replace", at, moves.metres(height)),) for height in lifts],
    )
