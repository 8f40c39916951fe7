"""The sentences every text form shares: counts, what was not checked, the caution."""

from __future__ import annotations

from collections.abc import Sequence

from oneclimb.api import Figure, Finding, Remedy
from oneclimb.plan.say import Tape
from oneclimb.policy import Accepted
from oneclimb.report import facts
from oneclimb.report.quote import quote
from oneclimb.review import Review

CAUTION = (
    "Ladder: firm ground, a second person, three points of contact, never in the dark. Drill: look for cables, pipes "
    "and old boards first. Mains: a licensed electrician's work. Where local codes say otherwise, they come first."
)
LADDER = "ladder work: firm ground, a second person at its foot, daylight"
UNPROVED = "Computed from the plan as written; not yet tested on real installs."
AIR = "clear, dry air"
SOFTENED = "the limit lies within the figure's doubt, so this is one level lower than its middle says"


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
        return "no rule is loaded, so nothing was checked"
    found = [count(n, level) for level, n in facts.counts([review]).items() if n]
    parts = [f"{listed(found) or 'nothing found'} in {count(len(plan.cameras), 'camera')}"]
    if review.crashes:
        parts.insert(0, f"incomplete, {count(len(review.crashes), 'internal fault')}")
    if review.cannot_tell:
        parts.append(f"{count(len(review.cannot_tell), 'check')} could not be made")
    if review.accepted:
        parts.append(count(len(review.accepted), "accepted deviation"))
    return "; ".join(parts)


def law(review: Review) -> str:
    """What a report must say of the law: it was not looked at, and clean is not safe."""
    where = facts.country(review)
    named = f"The law of {quote(where)}" if where else "No country is named; the law"
    return (
        f"{named} on planning, privacy and electrical work was not checked. "
        "A report without findings is neither a permission nor a promise of safety."
    )


def figure(item: Figure, tape: Tape) -> str:
    """``night view kept: 38 % (30 to 45 %)``."""
    return f"{quote(item.name)}: {quote(tape.figure(item))}"


def remedy(item: Remedy, tape: Tape) -> str:
    """A remedy, and what came of it in the model; advice that was not tried says so."""
    text = quote(item.text).rstrip(".")
    if not item.edits:
        return f"{text} (advice, not tried)"
    after = f": {figure(item.after, tape)}" if item.after else ""
    return f"{text} (tried in the model{', helps in part' if item.partial else ''}{after})"


def care(item: Finding) -> str:
    """The caution of one finding: its rule's own words, and the ladder where a remedy needs it."""
    parts = [quote(item.caution)] if item.caution else []
    if any(one.ladder for one in item.remedies) and "ladder" not in item.caution.lower():
        parts.append(LADDER)
    return "; ".join(part.rstrip(".") for part in parts)


def deviation(item: Accepted) -> str:
    """Why a finding was accepted, by whom, until when."""
    terms = item.deviation
    until = f", until {quote(terms.until)}" if terms.until else ""
    return f"{quote(terms.reason).rstrip('.')} (agreed by {quote(terms.agreed)}{until})"


def thing(ref_kind: str, ref_id: str) -> str:
    """``camera drive-cam``; the site is just the site."""
    return ref_kind if ref_kind == ref_id else f"{ref_kind} {quote(ref_id)}"
