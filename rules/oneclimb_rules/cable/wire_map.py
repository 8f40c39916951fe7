"""CABLE-04: wires on the wrong pins."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.trade import wire_map
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Cable
    from oneclimb.trade.wire_map import Swap, Verdict

HARMLESS = ("mixed standards", "crossover")
"""ports of a gigabit, and most others, cross over by themselves"""
WHAT = {
    "short": "has two wires that touch",
    "open": "has a wire that does not arrive",
    "crossed wires": "has single wires on each other's pins",
    "split pair": "has split pairs: each wire arrives, but not twisted with its own mate",
    "crossed pair": "has pairs on each other's pins",
    "reversed pair": "has a pair the wrong way round",
    "mixed standards": "is T568A at one end and T568B at the other, a crossover",
    "crossover": "is a crossover",
}
ENDS = {"a": "the first end", "b": "the second end"}


class WireMapSettings(Settings, frozen=True):
    """How many of the four pairs may be wrong."""

    limits: Limits = Limits(note=0.0, warning=0.5, error=1.5)


class WireMap(Rule["Cable"]):
    """Judges the colours on both ends, or a tester's reading, against T568A and T568B."""

    info = Info(
        code="CABLE-04",
        title="wires on the wrong pins",
        sources=(
            "ANSI/TIA-568: T568A and T568B (three independent reproduced tables)",
            "IEEE 802.3: crossovers of two and four pairs (from memory, check against the document)",
        ),
        page="wire_map.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = WireMapSettings

    def measure(self, subject: Cable, q: Query, settings: WireMapSettings) -> Iterable[Reading]:
        """Pairs that are wrong, of four; the tester's reading outranks the colours written down."""
        del q, settings
        verdict = _verdict(subject)
        if verdict is None:
            return
        pins = {pin for fault in verdict.faults for pin in fault.pins}
        wrong = sum(bool(pins & set(pair)) for pair in wire_map.PIN_PAIRS)
        yield Reading(
            Figure("pairs wrong", float(wrong), "of 4"),
            Ref("cable", subject.id, "pins" if subject.pins else "wires"),
            facts={"cable": subject, "verdict": verdict},
        )

    def level(self, reading: Reading, value: float, settings: WireMapSettings) -> Level | None:
        """The limits; a whole crossover, which ports make good by themselves, is no more than a note."""
        level = settings.limits.level(value, reading.figure.good)
        verdict: Verdict = reading.facts["verdict"]
        return "note" if level and verdict.kind in HARMLESS else level

    def tell(self, reading: Reading, q: Trial, settings: WireMapSettings) -> Told:
        """What it is, on which pins, and the wires to change over."""
        del settings, q
        cable: Cable = reading.facts["cable"]
        verdict: Verdict = reading.facts["verdict"]
        text = f"{cable.id} {WHAT[verdict.kind]} ({_pins(verdict)})"
        steps = [f"{fault.kind}: pins {', '.join(map(str, fault.pins))}" for fault in verdict.faults]
        steps += [f"{ENDS[end]}: {name or 'no standard'}" for end, name in zip("ab", verdict.standards, strict=True)]
        if not verdict.splits_seen:
            steps.append("a test of continuity cannot show split pairs: compare the colours too")
        return Told(
            text,
            tuple(_remedies(verdict)),
            "Switch the port's power off before the plug is cut off.",
            tuple(steps),
        )


def _verdict(cable: Cable) -> Verdict | None:
    """The verdict on the tester's reading, else on the colours."""
    if cable.pins is not None:
        goes, shorts = wire_map.read_pins(cable.pins)
        return wire_map.judge_pins(goes, shorts, cable.wires[0] if cable.wires else None)
    return wire_map.judge(*cable.wires) if cable.wires else None


def _pins(verdict: Verdict) -> str:
    """The pins that the worst fault is on."""
    worst = next((fault for fault in verdict.faults if fault.kind == verdict.kind), verdict.faults[0])
    return f"pin{'s' if len(worst.pins) > 1 else ''} {', '.join(map(str, worst.pins))} of the first end"


def _remedies(verdict: Verdict) -> Iterable[Remedy]:
    """The fewest wires to change over; only advice, since a test is what a person reads off a tester."""
    if verdict.kind in ("open", "short"):
        yield Remedy("make the plugs again, test, and write the new reading")
        return
    for swap in verdict.swaps:
        yield Remedy(_swap(swap))
    yield Remedy("then test the whole cable again, and write the new reading")


def _swap(swap: Swap) -> str:
    one, other = swap.pins
    if swap.colours is None:
        return f"at {ENDS[swap.end]} change over the wires on pins {one} and {other}"
    a, b = swap.colours
    return f"at {ENDS[swap.end]} change over {a} (pin {one}) and {b} (pin {other})"
