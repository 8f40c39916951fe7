"""VIEW-04: too few pixels on a person for what the ground is wanted for, and where they stop."""

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
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
    setting,
)
from oneclimb.study import COVERED
from oneclimb.trade.pixels import focal_pixels, needed
from oneclimb_rules import moves
from oneclimb_rules.heeds import VIEWS
from oneclimb_rules.view import aims
from oneclimb_rules.view.overlap import Stays

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Area, Camera
    from oneclimb.study.covered_ground import Ground, Stop

SENSORS = ((2560, 1440), (2688, 1520), (3072, 1728), (3840, 2160), (5120, 2880))
"""pictures that cameras of this kind are sold with, 16:9 or near it (common practice)"""


class PixelSettings(Settings, frozen=True):
    """Least share of the ground shown that has the pixels its task takes."""

    limits: Limits = Limits(warning=0.90, error=0.50)
    edition: int = setting(
        2014,
        "year of the edition of IEC 62676-4 whose pixels a metre are asked for; 2025 is from memory",
        example=2025,
        minimum=2014,
        maximum=2025,
    )
    edges: float = setting(
        0.20, "share of its pixels a wide lens loses in the corners, at most", unit="share", minimum=0.0, maximum=0.9
    )
    wide: float = setting(
        80.0, "angle of view from which a lens is wide", unit="deg", example="80 deg", minimum=10.0, maximum=360.0
    )


class TooFewPixels(Rule["Area"]):
    """The share of the ground shown at which a person has the pixels for the area's task."""

    info = Info(
        code="VIEW-04",
        title="too few pixels for the task",
        sources=(
            "IEC 62676-4:2014, 2025 (px/m of each task: from memory, check against the document)",
            "geometry of the pinhole camera and of r = f theta lenses",
            "estimate (what wide lenses lose at their edges)",
        ),
        page="too_few_pixels.md",
    )
    subject: ClassVar[str] = "area"
    heeds = VIEWS
    settings = PixelSettings

    def measure(self, subject: Area, q: Query, settings: PixelSettings) -> Iterable[Reading | Unknown]:
        """By the best camera at each place; only of ground that is shown (VIEW-03 tells of the rest)."""
        if subject.task == "avoid":
            return
        ground = q.of(COVERED, q.plan.site).ground(subject)
        if not ground.chief:
            return
        task, need = needed(subject.task, settings.edition)
        share = ground.enough(need)
        yield Reading(
            Figure(f"ground with the pixels to {task}", share, "", good="high"),
            Ref("area", subject.id, "for"),
            related=(Related(Ref("camera", ground.stop(need).camera, "view"), "the camera that serves it best"),),
            facts={"ground": ground, "task": task, "need": need},
            ends=lambda: (ground.enough(need, settings.edges, settings.wide), share),
        )

    def tell(self, reading: Reading, q: Trial, settings: PixelSettings) -> Told:
        """How far it serves; recording the whole picture, a narrower lens, more pixels, nearer."""
        ground: Ground = reading.facts["ground"]
        task, need = reading.facts["task"], reading.facts["need"]
        stop: Stop = ground.stop(need)
        camera: Camera = q.get(Ref("camera", stop.camera))
        area = reading.at.id
        upto = (
            f"it serves as far as {q.say.tape(stop.serves_to)} along the ground"
            if stop.serves_to
            else "it serves nowhere there"
        )
        kept = camera.recorded or camera.pixels
        wide = kept[0]
        far = focal_pixels(wide, camera.view.across, equidistant=camera.view.projection == "equidistant") / need
        return Told(
            f"{stop.camera} has the pixels to {task} ({need:g} px/m) in {q.say.share(reading.figure.value)} of what "
            f"shows of {area}: {upto}, and {area} lies {q.say.span(stop.nearest, stop.farthest)} off, at "
            f"{stop.worst:.0f} px/m where it is coarsest",
            tuple(_remedies(camera, far, area, q)),
            steps=(
                f"{wide} pixels kept across {camera.view.across:.0f}°: {need:g} px/m up to {far:.1f} m from the lens "
                "on its axis",
                f"{q.say.share(ground.enough(need, settings.edges, settings.wide))} were the corners of a lens of "
                f"{settings.wide:.0f}° or wider to lose {q.say.share(settings.edges)} (estimate)",
            ),
        )


def _remedies(camera: Camera, far: float, area: str, q: Trial) -> Iterator[Remedy]:
    """Recording what the sensor gives, a lens, a sensor; a place nearer by."""
    keeps = Stays(camera, q)
    ways = [_recorded(camera), aims.narrower(camera), _pixels(camera)]
    yield from moves.offered(q, (way for way in ways if way.steps), keeps)
    yield Remedy(f"put a camera within {q.say.tape(far)} of {area} along the line of sight")


def _recorded(camera: Camera) -> moves.Move:
    """Recording the whole picture, where less is kept."""
    whole = f"{camera.pixels[0]} x {camera.pixels[1]}"
    edit = (Change("replace", Ref("camera", camera.id, "recorded"), whole),)
    less = camera.recorded is not None and camera.recorded[0] < camera.pixels[0]
    return moves.Move(lambda _: f"record the whole picture of {camera.id}, {whole}", (edit,) if less else ())


def _pixels(camera: Camera) -> moves.Move:
    """A camera with more pixels behind the same lens, all of them recorded."""
    sizes = [f"{wide} x {high}" for wide, high in SENSORS if wide > camera.pixels[0]]
    fields = ("pixels", "recorded") if camera.recorded else ("pixels",)
    steps = tuple(tuple(Change("replace", Ref("camera", camera.id, field), size) for field in fields) for size in sizes)
    return moves.Move(lambda i: f"more pixels for {camera.id} behind a lens of the same angle: {sizes[i]}", steps)
