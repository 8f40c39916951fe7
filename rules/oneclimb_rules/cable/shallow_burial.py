"""CABLE-09: a buried cable with too little earth above it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.trade import burial
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable, Conduit

CAUTION = (
    "Before anyone digs, have the buried services marked; mains, gas and water in the trench are not yours to move. "
    "Local code decides the depth."
)
ASKS = "how deep is it buried there?"
EXACT = 1e-9
PIPED = burial.cover("plastic conduit") or 0.0
"""m, the least cover in plastic conduit: deeper than that nobody has misread the table"""


class BurialSettings(Settings, frozen=True):
    """How much less cover than the table's is worth a word; metres."""

    limits: Limits = Limits(note=0.0, warning=0.2)


class Laid(Struct, frozen=True):
    """One buried stretch: its depth, m, how it is laid, and the keys its depth is written at."""

    depth: float
    method: str
    keys: tuple[Ref, ...]

    @property
    def wanted(self) -> float:
        """The table's cover, m."""
        return burial.cover(self.method) or 0.0

    @property
    def short(self) -> float:
        """How much it lacks, m."""
        lacks = self.wanted - self.depth
        return lacks if lacks > EXACT else 0.0


class ShallowBurial(Rule["Cable"]):
    """Holds the depth of buried stretches against the table for power wiring, as a reference."""

    info = Info(
        code="CABLE-09",
        title="too little cover over a buried cable",
        sources=(
            "NEC (NFPA 70) table 300.5, columns 1 to 3 (as reproduced in print): a reference, a network cable is "
            "a Class 2 circuit to which it applies only in part",
        ),
        page="shallow_burial.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = BurialSettings

    def measure(self, subject: Cable, q: Query, settings: BurialSettings) -> Iterable[Reading | Unknown]:
        """What the shallowest stretch lacks; each depth the plan does not say is asked for."""
        del settings
        laid: list[Laid] = []
        for item in _laid(subject, q):
            if isinstance(item, Unknown):
                yield item
            else:
                laid.append(item)
        if laid:
            worst = max(laid, key=lambda one: (one.short, -one.depth))
            yield Reading(
                Figure("cover lacking", worst.short, "m"),
                worst.keys[0] if worst.keys[0].kind == "cable" else Ref("cable", subject.id, "conduit"),
                facts={"cable": subject, "laid": laid, "worst": worst},
            )

    def tell(self, reading: Reading, q: Trial, settings: BurialSettings) -> Told:
        """How deep it lies, how deep the table has it."""
        del settings
        cable: Cable = reading.facts["cable"]
        worst: Laid = reading.facts["worst"]
        how = "in earth" if worst.method == "direct" else "in plastic conduit"
        text = (
            f"{cable.id} lies {how} under {_deep(worst.depth, q)} of cover, where the table for power wiring has "
            f"{_deep(worst.wanted, q)}: a spade finds it"
        )
        if burial.misread(worst.depth, worst.method) and worst.depth < PIPED - EXACT:
            text += (
                f"; {_deep(0.15, q)} is the table's column for the control of irrigation and landscape lighting at "
                "no more than 30 V, which a network cable is not"
            )
        steps = tuple(
            f"{one.keys[0].path}: {one.depth * 1000:.0f} mm, wanted {one.wanted * 1000:.0f} mm ({one.method})"
            for one in reading.facts["laid"]
        )
        return Told(text, tuple(_remedies(reading.facts["laid"], q)), CAUTION, steps)


def _laid(cable: Cable, q: Query) -> Iterator[Laid | Unknown]:
    """Each buried stretch, or the question how deep it is."""
    conduit: Conduit | None = q.get(Ref("conduit", cable.conduit)) if cable.conduit else None
    buried = [i for i, leg in enumerate(cable.legs or ()) if leg.cover == "buried"]
    method = "plastic conduit" if conduit else "direct"
    for i in buried:
        depth = (cable.legs or ())[i].depth
        key = Ref("cable", cable.id, f"route.{i}.depth")
        if depth is None and conduit and conduit.depth is not None:
            depth, key = conduit.depth, Ref("conduit", conduit.id, "depth")
        yield Unknown(key, ASKS) if depth is None else Laid(depth, method, (key,))
    if conduit and conduit.runs == "buried" and not buried:
        key = Ref("conduit", conduit.id, "depth")
        yield Unknown(key, ASKS) if conduit.depth is None else Laid(conduit.depth, method, (key,))
    if conduit and conduit.runs is None and cable.legs is None:
        deep = conduit.depth is not None and conduit.depth >= PIPED - EXACT
        yield from () if deep else unsaid(q, conduit, "runs")


def _deep(metres: float, q: Query) -> str:
    """A depth, every one in the same way: ``0.20 m``, ``0.445 m``; or inches and feet."""
    return q.say.fine(metres) if q.plan.units == "feet" else f"{metres:.3f}".removesuffix("0") + " m"


def _remedies(laid: list[Laid], q: Trial) -> Iterator[Remedy]:
    """Deeper, while it isn't dug; conduit."""
    short = [one for one in laid if one.short > 0]
    wanted = _deep(max(one.wanted for one in short), q)
    if q.plan.site.stage == "design":
        edits = {key: f"{one.wanted:g} m" for one in short for key in one.keys}
        deeper = q.least(
            lambda _: f"dig to {wanted} of cover", [[Change("replace", key, by) for key, by in edits.items()]]
        )
        if deeper:
            yield deeper
    else:
        yield Remedy(f"lay it again under {wanted} of cover, and write the depth")
    if any(one.method == "direct" for one in short):
        yield Remedy(
            f"or in plastic conduit made for burial, under {_deep(PIPED, q)}; a warning tape above it in any case"
        )
