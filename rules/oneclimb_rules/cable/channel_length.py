"""CABLE-03: a channel of twisted pairs that is longer than the standard allows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Remedy, Rule, Settings, Told
from oneclimb.trade import ethernet
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cable.lengths import long
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Cable

CORDS = 10.0
"""m of cords that a channel usually has at most (TIA-568: 90 m of fixed cable and 10 m of cords)"""
COOL, HOT = 20.0, 40.0
"""°C where the plan says nothing, and what it may be there (estimate)"""


class ChannelSettings(Settings, frozen=True):
    """Metres, of a channel of 100 m: shorter where heat or long cords shorten it."""

    limits: Limits = Limits(note=ethernet.LINK, warning=ethernet.CHANNEL, error=150.0)


class ChannelLength(Rule["Cable"]):
    """Holds a cable and its cords against the 100 m of the standard, less what heat and cords take from it."""

    info = Info(
        code="CABLE-03",
        title="channel too long",
        sources=(
            "TIA-568 and ISO/IEC 11801: channel 100 m, fixed cable 90 m, stranded cords lose 1.2 times as much "
            "(restated in print)",
            "ISO/IEC 11801: 0.4 % more loss a degree to 40 °C, 0.6 % above (from memory, check against the document)",
        ),
        page="channel_length.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = ChannelSettings

    def measure(self, subject: Cable, q: Query, settings: ChannelSettings) -> Iterable[Reading | Unknown]:
        """Metres of cable and cords; asks for cords and heat only where they could change the level."""
        if subject.kind != "copper" or subject.carries == "power":
            return
        run = long(subject, q)
        cords = subject.cords or 0.0
        warm = q.plan.site.temperature[1] if q.plan.site.temperature else COOL
        soft = bool(subject.stranded)
        beside = ethernet.longest(cords, warm, stranded=soft)
        allowed = beside + cords
        reading = Reading(
            Figure("channel", run.metres + cords, "m", high=run.most + cords),
            Ref("cable", subject.id, "length"),
            facts={
                "cable": subject,
                "allowed": allowed,
                "steps": (
                    run.how,
                    f"with {cords:.1f} m of cords: {run.metres + cords:.1f} m",
                    f"allowed at {warm:.0f} °C: {beside:.1f} m of {'stranded ' * soft}cable beside them, "
                    f"{allowed:.1f} m together",
                ),
            },
        )
        yield reading
        now = self.level(reading, reading.figure.value, settings)
        if subject.cords is None and self.level(reading, reading.figure.value + CORDS, settings) != now:
            yield from unsaid(q, subject, "cords")
        hot = ethernet.longest(cords, HOT, stranded=soft) + cords
        if self.level(reading, reading.figure.value * allowed / hot, settings) != now:
            yield from unsaid(q, q.plan.site, "temperature")

    def level(self, reading: Reading, value: float, settings: ChannelSettings) -> Level | None:
        """The limits, for a channel that may be 100 m long; in proportion where less is allowed."""
        allowed: float = reading.facts["allowed"]
        return settings.limits.level(value * ethernet.CHANNEL / allowed, reading.figure.good)

    def tell(self, reading: Reading, q: Trial, settings: ChannelSettings) -> Told:
        """How long it is, what it may be, and what makes two channels of it."""
        del settings
        cable: Cable = reading.facts["cable"]
        allowed: float = reading.facts["allowed"]
        length = reading.figure.value
        over = length - allowed
        text = f"{cable.id} is {q.say.tape(length)} long with its cords; the standard allows {q.say.tape(allowed)} here"
        text += f": {q.say.tape(over)} outside it" if over > 0 else ": no room is left for more cord or a repair"
        return Told(text, tuple(_remedies(length, allowed, q)), "", reading.facts["steps"])


def _remedies(length: float, allowed: float, q: Trial) -> Iterator[Remedy]:
    """What makes two channels of one, or another kind of cable: things a plan gains, so never tried."""
    if length <= allowed:
        yield Remedy("keep its cords short, and leave no loops of spare cable in it")
        return
    between = int(length // allowed)
    each = q.say.tape(length / (between + 1))
    many = "a switch" if between == 1 else f"{between} switches"
    yield Remedy(
        f"put {many} with power on the way, in a dry place that has a supply: {between + 1} channels of about {each}, "
        "each counted for itself"
    )
    yield Remedy("run fibre for the pictures, a converter at each end, and bring power to the camera by itself")
