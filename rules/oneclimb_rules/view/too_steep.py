"""VIEW-06: looking down on people so steeply that it shows hats, not faces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown, setting
from oneclimb.study import COVERED
from oneclimb.trade.face import FACE, PREFERRED, USABLE, distance_for
from oneclimb_rules import moves
from oneclimb_rules.heeds import VIEWS
from oneclimb_rules.view.overlap import Stays

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Area, Camera

FACES = ("recognise", "identify", "inspect")


class SteepSettings(Settings, frozen=True):
    """Degrees down on a face."""

    limits: Limits = Limits(note=PREFERRED, warning=USABLE)
    least: float = setting(
        1.0, "areas wanted lower than this above the ground are not about faces", unit="m", example="1 m", minimum=0.0
    )


class TooSteep(Rule["Area"]):
    """The angle down on a face where people are to be recognised, half of the area being no steeper."""

    info = Info(
        code="VIEW-06",
        title="too steep for a face",
        sources=(
            "geometry: angle = atan((camera - face) / distance)",
            "from memory, no published source found (15° preferred, 30° usable)",
            "estimate (faces stand 1.5 to 1.7 m up)",
        ),
        page="too_steep.md",
    )
    subject: ClassVar[str] = "area"
    heeds = VIEWS
    settings = SteepSettings

    def measure(self, subject: Area, q: Query, settings: SteepSettings) -> Iterable[Reading | Unknown]:
        """The middle of the angles at the places shown, each by the camera that looks at it most levelly."""
        if subject.task not in FACES or subject.height < settings.least:
            return
        ground = q.of(COVERED, q.plan.site).ground(subject)
        if not ground.chief:
            return
        low, usual, high = FACE
        angle, camera = ground.steepness(usual)
        yield Reading(
            Figure(
                "angle down on a face",
                angle,
                "deg",
                low=min(angle, ground.steepness(high)[0]),
                high=max(angle, ground.steepness(low)[0]),
            ),
            Ref("area", subject.id, "for"),
            related=(Related(Ref("camera", camera, "mount"), "the camera that looks at it most levelly"),),
            facts={"camera": camera, "places": ground.places},
        )

    def tell(self, reading: Reading, q: Trial, settings: SteepSettings) -> Told:
        """How steep; lower, a second camera at face height, and from how far off it would do."""
        camera: Camera = q.get(Ref("camera", reading.facts["camera"]))
        area = reading.at.id
        up = camera.mount.spot.z - moves.foot(camera.mount.spot, q)
        limit = settings.limits.note if settings.limits.note is not None else PREFERRED
        far = distance_for(limit, up)
        part = "at" if reading.facts["places"] == 1 else "in half or more of"
        hats = "hats and crowns, hardly a face" if reading.figure.value > USABLE else "more brow than face"
        return Told(
            f"{camera.id} looks {reading.figure.value:.0f}° down on a face {part} {area}: {hats}; from "
            f"{q.say.tape(up)} up it is {limit:.0f}° only {q.say.tape(far)} away and farther",
            tuple(_remedies(camera, area, limit, far, q)),
            "Drill and climb only with the ladder footed and held; find out first what is in the wall.",
            steps=(
                f"atan(({up:.2f} - {FACE[1]:g}) / distance) at every place that is shown, the middle one told",
                f"({up:.2f} - {FACE[1]:g}) / tan({limit:g}°) = {far:.2f} m",
            ),
        )


def _remedies(camera: Camera, area: str, limit: float, far: float, q: Trial) -> Iterator[Remedy]:
    """Lower, tried; a second camera at face height; farther off."""
    yield from moves.offered(q, moves.lower(camera, q, furthest=1.5), Stays(camera, q))
    yield Remedy(
        f"keep {camera.id} high, out of reach, for the overview, and add a camera at face height for {area}: one with "
        "an impact rating (IK08 or better), since it is within reach"
    )
    yield Remedy(f"let people be recognised where they are still {q.say.tape(far)} away: no more than {limit:.0f}°")
