"""MOUNT-01: a camera that can be reached by hand, and has no rating against blows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec.structs import replace

from oneclimb.api import Change, Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told
from oneclimb.study import STANDING
from oneclimb.trade import ratings
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.mount.raising import raised
from oneclimb_rules.offers import offered_at_design
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial, Unknown
    from oneclimb.plan.model import Camera
    from oneclimb.study.standing import Standing

SOME = 8
"""IK code, 5 J, that stands up to a knock if not to a hammer (common practice)"""


class ReachSettings(Settings, frozen=True):
    """Up to what height a camera is held to be in reach; metres above where someone can stand."""

    limits: Limits = Limits(note=2.5, warning=2.5)


class WithinReach(Rule["Camera"]):
    """Measures how high a housing is above where someone can stand, and asks what blow it takes."""

    info = Info(
        code="MOUNT-01",
        title="within reach",
        sources=(
            "IEC 60364-4-41 Annex B, BS 7671 Figure 417 (arm's reach 2.5 m; as quoted in print; a use of our own)",
            "IEC 62262:2002 with A1:2021 (IK codes; as restated in print)",
            "common practice (IK10 where a camera can be reached)",
        ),
        page="within_reach.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = ReachSettings

    def measure(self, subject: Camera, q: Query, settings: ReachSettings) -> Iterable[Reading | Unknown]:
        """Height above the surface it is best reached from; indoors nobody is held to be a stranger."""
        if subject.sits == "indoors":
            return
        stand = q.of(STANDING, subject)
        figure = Figure("height above where someone can stand", round(stand.height, 6), "m", good="high")
        near = () if stand.above.kind == "site" else (Related(stand.above, "can be stood on"),)
        reading = Reading(
            figure, Ref("camera", subject.id, "mount"), related=near, facts={"camera": subject, "stand": stand}
        )
        yield reading
        if subject.shape != "doorbell" and settings.limits.level(figure.value, "high"):
            yield from unsaid(q, subject, "rated")

    def level(self, reading: Reading, value: float, settings: ReachSettings) -> Level | None:
        """Nothing for a doorbell, a stout housing or one whose ratings aren't known; a note for a fairly stout one."""
        camera: Camera = reading.facts["camera"]
        found = settings.limits.level(value, "high")
        if not found or camera.shape == "doorbell" or camera.rated is None:
            return None
        if ratings.takes_blow(camera.rated, ratings.VANDAL):
            return None
        return "note" if ratings.takes_blow(camera.rated, SOME) else found

    def tell(self, reading: Reading, q: Trial, settings: ReachSettings) -> Told:
        """How high, from what, what the housing takes; a stouter housing before a longer ladder."""
        camera: Camera = reading.facts["camera"]
        stand: Standing = reading.facts["stand"]
        rated = camera.rated or ()
        code = ratings.together(map(ratings.parse, rated)).blow
        takes = (
            f"takes a blow of {ratings.JOULES[code]:g} J only (IK{code:02d})" if code is not None else "has no IK code"
        )
        up = f"{q.say.tape(abs(stand.height))} {'above' if stand.height >= 0 else 'below'} {_named(stand.above)}"
        reach = q.say.tape(settings.limits.warning or settings.limits.note or 0.0)
        text = f"{camera.id} hangs {up}, within arm's reach ({reach}, no standard's figure), and its housing {takes}"
        steps = (
            f"housing {stand.height:.2f} m above {_named(stand.above)}; in reach below {reach}",
            f"IK10 stands for {ratings.JOULES[ratings.VANDAL]:g} J, IK08 for {ratings.JOULES[SOME]:g} J",
        )
        return Told(text, tuple(_remedies(camera, raised(self, reading, q, settings), q)), steps=steps)


def _named(ref: Ref) -> str:
    return "the flat roof" if ref.kind == "building" else called(ref)


def _remedies(camera: Camera, up: Iterator[Remedy], q: Trial) -> Iterator[Remedy]:
    """A housing rated for it; a cage; higher, as far as that is work for anyone."""
    kept = [mark for mark in camera.rated or () if not mark.startswith("IK")]
    stout = Change("replace", Ref("camera", camera.id, "rated"), [*kept, f"IK{ratings.VANDAL}"])
    text = "choose a housing rated IK10 with security screws, which may hang within reach"
    for remedy in offered_at_design(q, [(text, stout)]):
        yield replace(remedy, after=None)  # the height is as it was: the rating is the cure
    yield from up
    yield Remedy("cover its cable and connector too: they are pulled before the camera is")
