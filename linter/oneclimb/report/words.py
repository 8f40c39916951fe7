"""The sentences every text form shares: counts, what was not checked, the caution."""

from __future__ import annotations

from collections.abc import Sequence

from oneclimb.api import Figure, Finding, Remedy, as_written
from oneclimb.plan.model import Deviation
from oneclimb.plan.say import Tape
from oneclimb.plan.shown import asked
from oneclimb.report import facts
from oneclimb.report.quote import quote
from oneclimb.review import Review

CAUTION = (
    "Ladder: firm ground, a second person, three points of contact, daylight. Drill: find cables, pipes and "
    "asbestos first. Mains: a licensed electrician's work. Local codes come first."
)
LADDER = "ladder work: firm ground, a second person at its foot, daylight"
UNPROVED = "Computed from the plan as written; not yet tried on real installs."
AIR = "clear, dry air"
SOFTENED = "its doubt reaches across a limit, so this is told one level milder, or as a note"


def count(number: int, one: str, many: str = "") -> str:
    """``1 error``, ``2 errors``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def listed(parts: Sequence[str]) -> str:
    """``a, b and c``."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}" if parts else ""


def summary(review: Review) -> str:
    """One line of counts for one plan."""
    plan = review.loaded.plan
    if plan is None:
        return f"{count(len(review.loaded.faults), 'fault')}: this plan cannot be used yet"
    if not review.rules:
        return "no rule of those loaded speaks of such a plan, so nothing was checked"
    found = [count(n, level) for level, n in facts.counts([review]).items() if n]
    parts = [f"{listed(found) or 'nothing found'} in {count(len(plan.cameras), 'camera')}"]
    if review.crashes:
        parts.insert(0, f"incomplete, {count(len(review.crashes), 'internal fault')}")
    if review.cannot_tell:
        parts.append(f"{count(len(review.cannot_tell), 'check')} could not be made")
    if review.accepted:
        deviations = len(facts.by_deviation(review.accepted))
        parts.append(f"{count(len(review.accepted), 'finding')} accepted by {count(deviations, 'deviation')}")
    return "; ".join(parts)


def to_show(review: Review) -> str:
    """What is still to be tested and shown, at the stage of design: one line, for later; nothing at other stages."""
    plan = review.loaded.plan
    if plan is None or plan.site.stage != "design":
        return ""
    left = asked(plan)
    tests = (
        (left.bench, "a bench test of {}", "camera"),
        (left.cable, "a test of {}", "cable"),
        (left.day, "the day view of {}", "camera"),
        (left.night, f"the night view of {{}}{', each lamp near it lit and unlit' if plan.lamps else ''}", "camera"),
    )
    parts = [words.format(count(number, what)) for number, words, what in tests if number]
    return f"still to be tested and shown: {listed(parts)}" if parts else ""


def neutral(number: int) -> str:
    """What is said of the defaults that are not shown."""
    return f"and {count(number, 'neutral one')} (--steps shows {'it' if number == 1 else 'them'})"


def law(review: Review) -> str:
    """What a report must say of the law: what was looked at, as of when, that the rest was not, and that clean is not
    safe.
    """
    where, held = facts.country(review), [quote(one) for one in facts.instruments(review)]
    named = f"The law of {quote(where)}" if where else "No country is named; the law"
    if held:
        named = f"Checked against {listed(held)}, as far as the plan tells. The rest of the law of {quote(where)}"
    return (
        f"{named} on planning, privacy and electrical work was not checked. "
        "A clean report is neither a permission nor a promise of safety."
    )


def figure(item: Figure, tape: Tape) -> str:
    """``night view kept: 38 % (30 to 45 %)``."""
    return f"{quote(item.name)}: {quote(tape.figure(item))}"


def remedy(item: Remedy, before: Figure | None, tape: Tape) -> str:
    """A remedy, and what came of it in the model; advice that was not tried says so.

    ``before`` is the finding's own figure, whose name is not said again.
    """
    text = quote(item.text).rstrip(".")
    if not item.edits:
        return f"{text} (advice, not tried)"
    return f"{text} (tried in the model{', helps in part' if item.partial else ''}{_after(item, before, tape)})"


def _after(item: Remedy, before: Figure | None, tape: Tape) -> str:
    if item.after is None:
        return ""
    if before and item.after.name == before.name:
        return f": then {quote(tape.figure(item.after))}"
    return f": {figure(item.after, tape)}"


def best(remedies: Sequence[Remedy]) -> Remedy:
    """The one remedy to show where there is room for one: the first that was tried and does all, or else the first."""
    return next((one for one in remedies if one.edits and not one.partial), remedies[0])


def care(item: Finding) -> str:
    """The caution of one finding: its rule's own words, and the ladder where a remedy needs it."""
    parts = [quote(item.caution)] if item.caution else []
    if any(one.ladder for one in item.remedies) and "ladder" not in item.caution.lower():
        parts.append(LADDER)
    return "; ".join(part.rstrip(".") for part in parts)


def deviation(terms: Deviation) -> str:
    """Why a finding was accepted, by whom, until when."""
    until = f", until {quote(terms.until)}" if terms.until else ""
    return f"{quote(terms.reason).rstrip('.')} (agreed by {quote(terms.agreed)}{until})"


def thing(ref_kind: str, ref_id: str) -> str:
    """``camera drive-cam``; the site is just the site."""
    return ref_kind if ref_kind == ref_id else f"{ref_kind} {quote(as_written(ref_id))}"
