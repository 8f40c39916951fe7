"""CABLE-10: a conduit that is too full, jams, or has too many bends to pull through."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.trade import conduit as trade
from oneclimb_rules.asks import unsaid

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Conduit

BORES = (0.016, 0.02, 0.025, 0.032, 0.04, 0.05, 0.063, 0.075, 0.1)
"""m: bores to ask a maker for, near the sizes conduits are sold in (common practice; the bore is less than the name)"""
WEDGED = 3
"""cables that jam side by side across a bore"""
WORST = (90.0, 90.0, 90.0, 90.0)
"""degrees: the most bends a conduit may have, where the plan doesn't say which it has"""


LAID = {
    "fill": "run a second conduit beside it for what is still to come",
    "jam": "put one cable fewer in it, or one more where there is room (two or four do not wedge), or lay another bore",
}
"""what is left to do once the conduit lies"""


class ConduitSettings(Settings, frozen=True):
    """Each figure as a share of its own limit: fill, bends, pull; three cables that may jam count one."""

    limits: Limits = Limits(note=0.95, warning=1.0)


class TightConduit(Rule["Conduit"]):
    """Fill, jam, bends and pull of one conduit, each against its own limit."""

    info = Info(
        code="CABLE-10",
        title="conduit too tight",
        sources=(
            "NEC chapter 9 table 1 with its notes: 53, 31 and 40 % full, 60 % in a nipple, jam ratio 2.8 to 3.2 "
            "(reproduced in print)",
            "TIA-568: at most 110 N on a four-pair cable (restated in print)",
            "NEC 352.26, 358.26: 360° of bends between pull points (from memory, check against the document)",
            "the capstan equation; friction 0.35 to 0.5 and 45 g a metre of cable (estimates)",
        ),
        page="tight_conduit.md",
    )
    subject: ClassVar[str] = "conduit"
    settings = ConduitSettings

    def measure(self, subject: Conduit, q: Query, settings: ConduitSettings) -> Iterable[Reading | Unknown]:
        """Fill and jam where sizes are told, bends and pull where bends are."""
        cables = [cable for cable in q.all("cable") if cable.conduit == subject.id]
        silent = [unknown for cable in cables for unknown in unsaid(q, cable, "diameter")]
        if cables or subject.contents:
            silent += unsaid(q, subject, "bore")
        yield from silent
        if (cables or subject.contents) and not silent and subject.bore is not None:
            sizes = [cable.diameter for cable in cables]
            sizes += [one.diameter for one in subject.contents for _ in range(one.count)]
            yield from _full(subject, [size * 1000 for size in sizes], subject.bore * 1000)
        yield from _pulled(subject, q, settings) if cables else ()

    def level(self, reading: Reading, value: float, settings: ConduitSettings) -> Level | None:
        """The limits; cables that may jam as a share of their three."""
        share = value / WEDGED if reading.key == "jam" else value
        return settings.limits.level(share, reading.figure.good)

    def tell(self, reading: Reading, q: Trial, settings: ConduitSettings) -> Told:
        """What is too much, and the bore or the pull point that serves."""
        del settings
        conduit: Conduit = reading.facts["conduit"]
        share = q.say.share(reading.figure.value)
        if reading.key in ("fill", "jam"):
            return Told(_crowded(reading, q), tuple(_wider(conduit, reading.key, q)), "", reading.facts["steps"])
        if reading.key == "bends":
            text = f"the bends of conduit {conduit.id} add up to {reading.facts['degrees']:.0f}°, 360° are the most"
        else:
            text = f"to pull a cable through conduit {conduit.id} takes {share} of the 110 N it may be pulled with"
        remedies = (
            Remedy("put a pull point (a box with room for the cable's bend) between the bends"),
            Remedy("pull from the end whose bends come first, with lubricant made for the jacket"),
        )
        return Told(text, remedies, "", reading.facts["steps"])


def _full(conduit: Conduit, sizes: Sequence[float], bore: float) -> Iterator[Reading]:
    """Fill over its limit, and whether three cables may wedge."""
    limit = trade.fill_limit(len(sizes), conduit.length)
    share = trade.fill(sizes, bore)
    at = Ref("conduit", conduit.id, "bore")
    step = f"{len(sizes)} cables in {bore:g} mm: {share:.1%} of the bore, {limit:.0%} allowed"
    facts = {"conduit": conduit, "share": share, "limit": limit, "steps": (step,)}
    yield Reading(Figure("of the fill that is allowed", share / limit, ""), at, key="fill", facts=facts)
    jam = trade.may_jam(sizes, bore)
    ratio = bore / (sum(sizes) / len(sizes))
    steps = (f"bore over the cables' mean diameter: {ratio:.2f}; 2.8 to 3.2 may jam",)
    yield Reading(
        Figure("cables that may wedge side by side", float(WEDGED * jam), f"of {WEDGED}"),
        at,
        key="jam",
        facts={"conduit": conduit, "ratio": ratio, "steps": steps},
    )


def _pulled(conduit: Conduit, q: Query, settings: ConduitSettings) -> Iterator[Reading | Unknown]:
    """Bends against 360°, and newtons against 110; bends and length are asked for where they could matter."""
    at = Ref("conduit", conduit.id, "bends")
    bends = conduit.bends
    if bends is not None:
        degrees = sum(abs(bend) for bend in bends)
        step = f"{len(bends)} bends: {degrees:.0f}° of {trade.BENDS:.0f}°"
        facts = {"conduit": conduit, "degrees": degrees, "steps": (step,)}
        yield Reading(Figure("of the bends that are allowed", degrees / trade.BENDS, ""), at, key="bends", facts=facts)
    if conduit.length is None:
        yield from unsaid(q, conduit, "length") if bends else ()
    elif bends is None:
        worst = _force(conduit.length, WORST)[2] / trade.PULL
        yield from unsaid(q, conduit, "bends") if settings.limits.level(worst, "low") == "warning" else ()
    else:
        low, usual, high = (force / trade.PULL for force in _force(conduit.length, bends))
        step = f"{conduit.length:g} m, {len(bends)} bends: {usual * trade.PULL:.0f} N, {low * trade.PULL:.0f} to "
        steps = (f"{step}{high * trade.PULL:.0f} N by friction and which end is pulled; a cable may take 110 N",)
        yield Reading(
            Figure("of the pull a cable may take", usual, "", low=low, high=high),
            at,
            key="pull",
            facts={"conduit": conduit, "steps": steps},
        )


def _force(length: float, bends: Sequence[float]) -> tuple[float, float, float]:
    """N, low, usual, high: bends first with little friction, evenly spread, bends last with much."""
    turns = [trade.Bend(bend) for bend in bends]
    piece = trade.Straight(length / (len(turns) + 1))
    evenly = [part for turn in turns for part in (piece, turn)] + [piece]
    slick, rough = trade.FRICTION
    return (
        trade.pull([*turns, trade.Straight(length)], slick),
        trade.pull(evenly, (slick + rough) / 2),
        trade.pull([trade.Straight(length), *turns], rough),
    )


def _crowded(reading: Reading, q: Trial) -> str:
    conduit: Conduit = reading.facts["conduit"]
    bore = q.say.fine(conduit.bore or 0.0)
    if reading.key == "jam":
        return (
            f"the three cables in conduit {conduit.id} ({bore} inside) may wedge side by side in a bend: its bore is "
            f"{reading.facts['ratio']:.1f} times their diameter"
        )
    return (
        f"conduit {conduit.id} ({bore} inside) is {q.say.share(reading.facts['share'])} full, where "
        f"{q.say.share(reading.facts['limit'])} is the most: nothing more goes in, or comes out"
    )


def _wider(conduit: Conduit, key: str, q: Trial) -> Iterator[Remedy]:
    """The next bore that serves, while the conduit is not laid."""
    wider = [bore for bore in BORES if bore > (conduit.bore or 0.0) + 1e-6]
    if q.plan.site.stage != "design":
        yield Remedy(LAID[key])
        return
    steps = [[Change("replace", Ref("conduit", conduit.id, "bore"), f"{bore * 1000:g} mm")] for bore in wider]
    found = q.least(lambda i: f"take a conduit at least {q.say.fine(wider[i])} inside", steps)
    if found:
        yield found
