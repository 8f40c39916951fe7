"""RECORD-09: built, and not yet handed over: account, labels, drawing, a clip that plays elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import LEVELS, Figure, Info, Limits, Reading, Ref, Remedy, Settings, Told
from oneclimb.trade import streams
from oneclimb_rules.asks import unsaid
from oneclimb_rules.checklist import COUNTED, Checklist, Item

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Proof, Site

EXPORT = "export"
CLIP = (
    "take a clip from the recorded stream by day and by night, play it on a machine that has none of the maker's "
    "software, hold its time against a right clock, and write a proof of kind export"
)
UNTRIED = Item("", bool, "nobody has taken out a clip and played it elsewhere", CLIP)
FAILED = Item("", bool, "a clip was taken out and failed to play, or its time was wrong", CLIP, "error")


class HandedSettings(Settings, frozen=True):
    """1 to be noted, 2 to be mended, 3 it failed."""

    limits: Limits = COUNTED


def _built(_site: Site, q: Query) -> bool:
    return bool(q.plan.site.stage == "as-built")


class HandedOver(Checklist):
    """The lines of a handover, as the plan declares them, once it is built."""

    info = Info(
        code="RECORD-09",
        title="not handed over",
        sources=(
            "common practice (the owner holds the account; labels on both ends; the plan as built; a clip tried)",
        ),
        page="handed_over.md",
    )
    subject: ClassVar[str] = "site"
    settings = HandedSettings
    items = (
        Item(
            "handling.account",
            lambda value: value != "owner",
            "the {value}, not the owner, holds the main account",
            "give the owner the main account with a password of its own, and take the installer's away",
            applies=_built,
        ),
        Item(
            "handling.labels",
            lambda value: not value,
            "the cables are not labelled at both ends",
            "label both ends of every cable with its id in the plan",
            "note",
            _built,
        ),
        Item(
            "handling.drawing",
            lambda value: not value,
            "the plan as built has not been handed over",
            "hand over this plan as built, with the passwords in a sealed envelope apart",
            "note",
            _built,
        ),
    )

    def measure(self, subject: Site, q: Query, settings: Settings) -> Iterable[Reading | Unknown]:
        """The lines, and whether the last clip taken out was good."""
        yield from super().measure(subject, q, settings)
        if not _built(subject, q) or not streams.sends(q.all("camera")):
            return
        last = max(_clips(q), key=lambda proof: proof.when or "", default=None)
        if last is not None and last.passed is None:
            yield from unsaid(q, last, "passed")
            return
        bad = UNTRIED if last is None else FAILED
        weight = 0.0 if last is not None and last.passed else 1.0 + LEVELS.index(bad.level)
        yield Reading(
            Figure("against the checklist", weight, "of 3"),
            Ref("site", "site", "handling"),
            EXPORT,
            facts={"item": bad, "subject": subject, "value": ""},
        )

    def tell(self, reading: Reading, q: Trial, settings: Settings) -> Told:
        """A line's words; of a clip what the proofs say."""
        if reading.key != EXPORT:
            return super().tell(reading, q, settings)
        item: Item = reading.facts["item"]
        return Told(f"{item.text} (by the plan's proofs)", (Remedy(item.remedy),), bare=True)


def _clips(q: Query) -> tuple[Proof, ...]:
    """The exports that were tried, of any camera."""
    found: tuple[Proof, ...] = tuple(proof for proof in q.plan.proofs if proof.kind == EXPORT)
    return found
