"""LINK-01: pictures sent, or power drawn, all day long where neither lasts: wireless, battery, solar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Info,
    Level,
    Limits,
    Reading,
    Ref,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
    setting,
)
from oneclimb.study import WIRING
from oneclimb.trade.streams import STORED
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import KEEPING
from oneclimb_rules.link.figures import HOURS_A_WEEK, RADIO, radio, store
from oneclimb_rules.link.levels import good

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class LinkSettings(Settings, frozen=True):
    """How much may go over the air (gigabytes a day), and how often a battery may want charging."""

    limits: Limits = Limits(note=0.0, warning=10.0)
    charges_note: float = setting(0.25, "more charges of the battery a week are a note", unit="a week", minimum=0.0)
    charges_warning: float = setting(
        1.0, "more charges of the battery a week are a warning", unit="a week", minimum=0.0
    )
    charges_error: float = setting(
        7.0,
        "more charges of the battery a week are an error (with a solar panel: a warning)",
        unit="a week",
        minimum=0.0,
    )


class ContinuousOnTheAir(Rule["Camera"]):
    """Gigabytes a day over the air, and charges of a battery, of a camera that records all the time."""

    info = Info(
        code="LINK-01",
        title="continuous recording over the air or off a battery",
        sources=(
            "arithmetic: 1 Mbit/s is 10.8 GB (10⁹ bytes) a day; hours = Wh / W",
            "common practice (what records all the time is cabled, and fed by its cable)",
        ),
        page="continuous_on_the_air.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = KEEPING
    settings = LinkSettings

    def measure(self, subject: Camera, q: Query, settings: LinkSettings) -> Iterable[Reading | Unknown]:
        """One reading for the radio, one for the battery."""
        del settings
        cables = q.of(WIRING, q.plan.site).get(subject.id, ())
        wired = {word for cable in cables for word in cable.carries.split("+")}
        link = subject.link or ("cable" if "data" in wired else q.need(subject, "link"))
        source = subject.power.source or ("poe" if "power" in wired else q.need(subject, "power.source"))
        stored = source in STORED
        always = (link == "wireless" or stored) and q.need(subject, "records") == "continuous"
        kept = link == "wireless" and subject.card is not None and good(subject, q)
        yield radio(subject, over_air=link == "wireless", kept=kept)
        yield store(subject, source, stored=stored)
        if always and stored:
            yield from unsaid(q, subject, "power.capacity", "power.watts")
        if not cables and not stored:
            yield Unknown(Ref("camera", subject.id, "cable"), "how does its cable run, and what seals its plug?")

    def tell(self, reading: Reading, q: Trial, settings: LinkSettings) -> Told:
        """What it amounts to, and the ways out."""
        del settings
        camera: Camera = reading.facts["camera"]
        ref = Ref("camera", camera.id)
        motion = ("record only when something moves", Change("replace", ref.at("records"), "motion"))
        if reading.key == RADIO:
            text = (
                f"{camera.id} records all the time over the air: about {reading.figure.value:.0f} GB a day, "
                "shared with whatever else uses the channel, and lost whenever the link is"
            )
            if reading.facts["kept"]:
                text += "; its link is good, and its card keeps what is lost on the way"
            cable = ("bring it a data cable", Change("replace", ref.at("link"), "cable"))
            return Told(text, tuple(cures(q, (cable, motion))), steps=reading.facts["steps"])
        long, short = HOURS_A_WEEK / reading.figure.low, HOURS_A_WEEK / reading.figure.high
        lasts = f"{short:.0f} hours" if short == long else f"{short:.0f} to {long:.0f} hours"
        sun = " without sun" if reading.facts["source"] == "solar" else ""
        text = f"{camera.id} records all the time off its own battery, which lasts about {lasts}{sun}"
        text += reading.facts["taken"]
        return Told(text, (*cures(q, (motion,)), *_fed(camera, q)), steps=reading.facts["steps"])

    def level(self, reading: Reading, value: float, settings: LinkSettings) -> Level | None:
        """Gigabytes against the limits; charges against the battery's own; nothing but recording all day counts."""
        camera: Camera = reading.facts["camera"]
        if camera.records != "continuous":
            return None
        if reading.key == RADIO:
            level = settings.limits.level(value, "low")
            return "note" if level and reading.facts["kept"] else level
        error = None if reading.facts["source"] == "solar" else settings.charges_error
        return Limits(settings.charges_note, settings.charges_warning, error).level(value, "low")


def _fed(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """Fed through its data cable; where it has none a cable run to it, or, as advice, a supply near it."""
    ref = Ref("camera", camera.id)
    feed = {"source": "poe"} | ({"watts": f"{camera.power.watts:g} W"} if camera.power.watts else {})
    by_cable = Change("replace", ref.at("power"), feed)
    if camera.link != "wireless":
        yield from cures(q, (("feed it through its data cable", by_cable),))
        return
    run = q.least(
        lambda _: "run a cable to it, and feed it through that",
        [(Change("replace", ref.at("link"), "cable"), by_cable)],
    )
    if run:
        yield run
    yield Remedy("have a licensed electrician put a supply near it, and run it from an adapter rated for the place")
