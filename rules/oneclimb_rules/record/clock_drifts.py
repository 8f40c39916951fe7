"""RECORD-06: clocks that nobody keeps right, so that two pictures of one event tell two times."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb_rules.asks import unsaid

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Site

PPM = (2.0, 10.0, 20.0)
"""low, usual, high parts in a million by which a quartz clock goes wrong (estimate: 20 as crystals are sold)"""
UNTOUCHED = 182.5
"""days a clock set by hand is left alone: half a year, between two changes to and from summer time (estimate)"""
DAY = 86400.0
OFF = {
    "network": (0.0, 1.0, 2.0),
    "hand": tuple(ppm * 1e-6 * UNTOUCHED * DAY for ppm in PPM),
    "none": (3600.0, DAY, 365 * DAY),
}
"""low, usual, high seconds off: kept by the network; half a year after it was set; started from nothing by a power cut
(an hour to a year: estimate)"""
SAYS = {"hand": "set by hand", "none": "kept by nobody"}


class ClockSettings(Settings, frozen=True):
    """Seconds that the worst clock may come to be off."""

    limits: Limits = Limits(note=10.0, warning=60.0, error=7200.0)


class ClockDrifts(Rule["Site"]):
    """How far the worst of the clocks comes to be off, cameras and recorders together."""

    info = Info(
        code="RECORD-06",
        title="clocks not kept right",
        sources=(
            "arithmetic: one part in a million is 0.0864 s a day",
            "common practice (times right to seconds; all clocks from one network time source)",
            "estimates (quartz 2 to 20 parts in a million; half a year between settings)",
        ),
        page="clock_drifts.md",
    )
    subject: ClassVar[str] = "site"
    settings = ClockSettings

    def measure(self, subject: Site, q: Query, settings: ClockSettings) -> Iterable[Reading | Unknown]:
        """The worst clock that the plan tells of; recorders are always asked, cameras once things are to be built."""
        del settings
        recorders, cameras = q.all("recorder"), q.all("camera")
        for thing in (*recorders, *(cameras if subject.stage != "design" else ())):
            yield from unsaid(q, thing, "clock")
        clocks: dict[Ref, str] = {
            Ref(kind, thing.id, "clock"): thing.clock
            for kind, things in (("recorder", recorders), ("camera", cameras))
            for thing in things
            if thing.clock
        }
        if clocks:
            yield _reading(clocks)

    def tell(self, reading: Reading, q: Trial, settings: ClockSettings) -> Told:
        """Which clocks, and one source for all."""
        del settings
        bad: dict[Ref, str] = reading.facts["bad"]
        how = [
            f"{', '.join(ref.id for ref, word in bad.items() if word == key)} {said}"
            for key, said in SAYS.items()
            if key in bad.values()
        ]
        text = (
            f"clocks: {'; '.join(how)} (declared by the plan): one event gets different times in different pictures, "
            "and an hour's error at every change to summer time"
        )
        return Told(text, tuple(_remedies(bad, q)), steps=reading.facts["steps"])


def _reading(clocks: dict[Ref, str]) -> Reading:
    low, usual, high = max((OFF[word] for word in clocks.values()), key=lambda off: off[1])
    bad = {ref: word for ref, word in clocks.items() if word != "network"}
    parts = f"{PPM[1]:g} ({PPM[0]:g} to {PPM[2]:g}) parts in a million"
    step = f"{parts} x {UNTOUCHED:g} days x 86400 = {OFF['hand'][1]:.0f} s, set by hand"
    return Reading(
        Figure("the worst clock comes to be off by", usual, "s", low, high),
        Ref("site", "site", "clock"),
        related=tuple(Related(ref, SAYS[word]) for ref, word in bad.items()),
        facts={"bad": bad, "steps": (step,)},
    )


def _remedies(bad: dict[Ref, str], q: Trial) -> Iterable[Remedy]:
    """All of them by the network; by hand with a watch where there is none."""
    edits: tuple[Any, ...] = tuple(Change("replace", ref, "network") for ref in sorted(bad))
    names = ", ".join(sorted(ref.id for ref in bad))
    text = f"let {names} take the time from the network (NTP), all from one source, and set the time zone"
    if q.plan.site.stage == "design":
        remedy = q.least(lambda _: text, [edits])
        yield from (remedy,) if remedy else ()
    else:
        yield Remedy(f"{text}; record it once it is done")
    yield Remedy("where there is no network: set them on one day every month, and write down by how much they were off")
