"""PROOF-01: a camera about to go up that has not been tried on the bench."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from msgspec.structs import replace

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.plan.shown import proofs_of
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class BenchSettings(Settings, frozen=True):
    """Bench tests passed, of the one it needs: a warning where none was made, an error where the last one failed."""

    limits: Limits = Limits(warning=0.5, error=0.5)


class BenchTest(Rule["Camera"]):
    """What the plan's proofs say of a camera's bench test, once the plan is ready to be built."""

    info = Info(
        code="PROOF-01",
        title="not tried on the bench",
        sources=("common practice (power, picture, firmware, password and seal are tried on a table first)",),
        page="bench_test.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = NOTHING
    settings = BenchSettings

    def measure(self, subject: Camera, q: Query, settings: BenchSettings) -> Iterable[Reading | Unknown]:
        """Whether its latest bench test passed; nothing at the stage of design, nor once it hangs."""
        del settings
        if q.plan.site.stage != "ready":
            return
        proofs = proofs_of(q.plan, subject.id, "bench")
        last = max(proofs, key=lambda proof: proof.when or "", default=None)
        if last is not None and last.passed is None:
            yield from unsaid(q, last, "passed")
            return
        passed = last is not None and bool(last.passed)
        yield Reading(
            Figure("bench tests passed", float(passed), "of 1", good="high"),
            Ref("camera", subject.id),
            facts={"last": last},
        )

    def level(self, reading: Reading, value: float, settings: BenchSettings) -> Level | None:
        """What was not tried is a warning; the error is for what was tried and failed."""
        limits: Limits = settings.limits
        untried = reading.facts["last"] is None
        return (replace(limits, error=None) if untried else limits).level(value, reading.figure.good)

    def tell(self, reading: Reading, q: Trial, settings: BenchSettings) -> Told:
        """What is missing, and what a bench test is."""
        del settings, q
        last = reading.facts["last"]
        name = reading.at.id
        if last is None:
            text = f"{name} is about to go up and has not been tried on the bench"
        else:
            day = f" on {last.when}" if last.when else ""
            text = f"{name} failed its bench test{day} and is about to go up (declared by the plan)"
        return Told(
            text,
            (
                Remedy(
                    "on a table, with the cable or a battery it will have: power, picture by day, own infrared in a "
                    "dark room, recording, clock, its own password; the seal and the right screws in the box; then "
                    "write a proof of kind bench"
                ),
            ),
            "Never look into a lit infrared lamp close by.",
        )
