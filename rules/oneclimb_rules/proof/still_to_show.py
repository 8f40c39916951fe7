"""PROOF-02: what has been built and not yet been shown: the day view, the night view in each state of its lamps."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.plan.shown import nights_missing, proofs_of, sees_by_night, shown
from oneclimb.study import NIGHT
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import LIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class ShowSettings(Settings, frozen=True):
    """Views still to be shown, or shown and failed."""

    limits: Limits = Limits(note=0.5, warning=1.5)


class StillToShow(Rule["Camera"]):
    """Counts the views of a camera as built that nobody has shown to be good."""

    info = Info(
        code="PROOF-02",
        title="views still to be shown",
        sources=(
            "common practice (a day view; a night view with each lamp lit and unlit; four states of a facing pair)",
        ),
        page="still_to_show.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = LIGHT
    settings = ShowSettings

    def measure(self, subject: Camera, q: Query, settings: ShowSettings) -> Iterable[Reading | Unknown]:
        """How many views have not been shown, once the plan is as built."""
        del settings
        plan = q.plan
        if plan.site.stage != "as-built":
            return
        views = [proof for kind in ("day", "night") for proof in proofs_of(plan, subject.id, kind)]
        for proof in views:
            yield from unsaid(q, proof, "passed", *(("lamps",) if proof.kind == "night" and plan.lamps else ()))
        missing = [] if shown(plan, subject.id, "day") else ["the day view"]
        if sees_by_night(plan, subject):
            missing += [f"the night view, {state}" for state in nights_missing(plan, subject, _facing(subject, q))]
        failed = sorted({proof.kind for proof in views if proof.passed is False})
        yield Reading(
            Figure("still to be shown", float(len(missing)), "views"),
            Ref("camera", subject.id),
            facts={"missing": missing, "failed": failed},
        )

    def tell(self, reading: Reading, q: Trial, settings: ShowSettings) -> Told:
        """Which views, and how to show them."""
        del settings, q
        missing, failed = reading.facts["missing"], reading.facts["failed"]
        text = f"{reading.at.id} hangs, and has not been shown to see well: {'; '.join(missing)}"
        text += f"; its {' and '.join(failed)} view was shown and failed" if failed else ""
        remedy = Remedy(
            "look at each picture as it is recorded, with a person standing where it matters, and write a proof of "
            "kind day or night: which lamps were lit, whose infrared, whether it passed"
        )
        return Told(text, (remedy,), "Night tests are made from the ground, never from a ladder.")


def _facing(camera: Camera, q: Query) -> tuple[str, ...]:
    """The cameras whose infrared reaches its picture."""
    if camera.night not in ("infrared", "both") or camera.infrared is None or camera.infrared.range is None:
        return ()
    parts = q.of(NIGHT, camera).contributions()
    return tuple(dict.fromkeys(part.ref.id for part in parts if part.ref.kind == "camera" and part.ref.id != camera.id))
