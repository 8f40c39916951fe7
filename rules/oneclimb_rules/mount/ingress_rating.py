"""MOUNT-02: a camera rated for less water and dust than reach its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
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
from oneclimb.study import SHELTER, STANDING
from oneclimb.trade import ratings
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.offers import offered_at_design
from oneclimb_rules.shortfall import asked_of, listed, marking, short

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera


class IngressSettings(Settings, frozen=True):
    """How many characteristic numerals short is worth a word, dust and water together."""

    limits: Limits = Limits(note=0.5, warning=1.5, error=3.5)
    hose: float = setting(
        0.0,
        "height above where someone stands up to which things are hosed down; 0: nowhere",
        unit="m",
        example=3.0,
        minimum=0.0,
        maximum=10.0,
    )


class IngressRating(Rule["Camera"]):
    """Holds a housing's marking against the rain, the salt and the hose of its place."""

    info = Info(
        code="MOUNT-02",
        title="ingress rating against the place",
        sources=(
            "IEC 60529 (characteristic numerals; clause 6: above numeral 6 no jet is covered; as restated in print)",
            "common practice (which numeral a place asks for; an estimate)",
        ),
        page="ingress_rating.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = IngressSettings

    def measure(self, subject: Camera, q: Query, settings: IngressSettings) -> Iterable[Reading | Unknown]:
        """Numerals of dust and water that the marking is short of what the place asks for."""
        if subject.sits == "indoors":
            return
        rated = q.need(subject, "rated")
        rain = q.of(SHELTER, subject).rain
        jets = settings.hose > 0 and q.of(STANDING, subject).height <= settings.hose
        coast = q.plan.site.coast
        need = asked_of(rain, coast, jets=jets)
        lacks = short(rated, need)
        worst = short(rated, asked_of(rain, 0.0 if coast is None else coast, jets=jets))
        at = Ref("camera", subject.id, "rated")
        if lacks is None or worst is None:
            yield Unknown(at, "what is the camera's IP rating, both numerals?")
            return
        figure = Figure("numerals short", float(sum(lacks)), "numerals", high=float(sum(worst)))
        facts = {"camera": subject, "need": need, "lacks": lacks, "rain": rain, "jets": jets}
        reading = Reading(figure, at, facts=facts)
        yield reading
        if coast is None and self.level(reading, figure.high, settings) != self.level(reading, figure.value, settings):
            yield from unsaid(q, q.plan.site, "coast")

    def tell(self, reading: Reading, q: Trial, settings: IngressSettings) -> Told:
        """What reaches the place, what the marking stands for, and the one to choose."""
        del settings
        camera: Camera = reading.facts["camera"]
        need, (dust, water) = reading.facts["need"], reading.facts["lacks"]
        why = [f"{q.say.share(reading.facts['rain'])} of the directions rain comes from reach it"]
        why += ["a hose reaches it"] if reading.facts["jets"] else []
        coast = q.plan.site.coast
        why += ["salt water is near"] if coast is not None and coast <= ratings.SHORE else []
        rated = camera.rated or ()
        said = ratings.together(map(ratings.parse, rated)).water or frozenset()
        above = max(said, default=0) > ratings.TOP_JET and water
        trap = "; a numeral above 6 is for lying under water and stands for no jet" if above else ""
        text = f"{camera.id} is rated {listed(rated)}, its place asks for {marking(need)}: {', '.join(why)}{trap}"
        steps = (
            f"rain from {reading.facts['rain']:.0%} of its directions: water numeral {need[1]}, dust numeral {need[0]}",
            f"short by {dust} of dust and {water} of water",
        )
        return Told(text, tuple(_remedies(camera, need, q)), steps=steps)


def _remedies(camera: Camera, need: ratings.Need, q: Trial) -> Iterator[Remedy]:
    """A housing with the marking; a drier spot."""
    kept = [mark for mark in camera.rated or () if mark.startswith("IK")]
    mark = marking((max(need[0], 6), max(need[1], 6)))
    change = Change("replace", Ref("camera", camera.id, "rated"), [mark, *kept])
    yield from offered_at_design(q, [(f"choose a housing rated {mark}, which covers {marking(need)}", change)])
    yield Remedy("or fix it further in under an eave, and measure again")
