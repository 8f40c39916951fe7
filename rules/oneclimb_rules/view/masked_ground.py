"""VIEW-08: a privacy mask over ground that is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import COVERED
from oneclimb_rules.heeds import SHOWN, VIEWS

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.covered_ground import Ground


class MaskSettings(Settings, frozen=True):
    """Most of a wanted area that masks may hide."""

    limits: Limits = Limits(note=0.05, warning=0.20)


class MaskedGround(Rule["Camera"]):
    """The share of each wanted area that a camera's masks hide and no other camera shows."""

    info = Info(
        code="VIEW-08",
        title="mask over wanted ground",
        sources=("common practice (a mask hides for good what lies under it)",),
        page="masked_ground.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = VIEWS | SHOWN
    settings = MaskSettings

    def measure(self, subject: Camera, q: Query, settings: MaskSettings) -> Iterable[Reading | Unknown]:
        """A reading for every area the camera is for; every mask counts, whatever it is set in."""
        del settings
        if not subject.masks:
            return
        covered = q.of(COVERED, q.plan.site)
        for name in covered.looks[subject.id].areas:
            ground = covered.ground(q.get(Ref("area", name)))
            if not ground.places:
                continue
            yield Reading(
                Figure("wanted ground under masks", ground.masked(subject.id), ""),
                Ref("camera", subject.id, "masks"),
                key=name,
                related=(Related(Ref("area", name), f"{name}, wanted to {q.get(Ref('area', name)).task}"),),
                facts={"ground": ground},
            )

    def tell(self, reading: Reading, q: Trial, settings: MaskSettings) -> Told:
        """Which masks hide how much; a smaller mask."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        ground: Ground = reading.facts["ground"]
        by = ground.masked_by(camera.id)
        each = ", ".join(f"{q.say.share(share)} by {name}" for name, share in by.items())
        return Told(
            f"masks of {camera.id} hide {q.say.share(reading.figure.value)} of {reading.key} for good, and no other "
            f"camera shows it: {each}",
            tuple(_remedies(camera, reading.key, tuple(by), q)),
            steps=(
                f"{ground.places} places stand for {reading.key}; those under a mask that no other camera shows count",
            ),
        )


def _remedies(camera: Camera, area: str, names: tuple[str, ...], q: Trial) -> Iterator[Remedy]:
    """A mask drawn back from one edge, tried; another camera."""
    for name in names[:1]:
        yield from _drawn_back(camera, name, q)
    yield Remedy(
        f"draw {' and '.join(names)} so that what is to be spared stays covered and {area} does not: walk its edge "
        f"with somebody at the picture; or let another camera show {area}"
    )


def _drawn_back(camera: Camera, name: str, q: Trial) -> Iterator[Remedy]:
    """The mask drawn back from below, from above, from either side, two hundredths of the frame at a time."""
    mask = next(mask for mask in camera.masks if mask.id == name)
    x, y = zip(*mask.outline, strict=True)
    box = (min(x), min(y), max(x), max(y))
    corners = {(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])}
    if set(mask.outline) != corners:
        return
    at = Ref("camera", camera.id, f"masks.{name}.box")
    for edge, words in ((3, "bottom"), (1, "top"), (0, "left"), (2, "right")):
        shifts = [i / 50 for i in range(1, 50) if i / 50 < box[2 + edge % 2] - box[edge % 2] - 0.01]
        boxes = [_shifted(box, edge, shift) for shift in shifts]
        steps = [(Change("replace", at, _written(drawn)),) for drawn in boxes]
        remedy = q.least(partial(_said, name, words, [drawn[edge] for drawn in boxes]), steps)
        if remedy:
            yield remedy
            return


def _said(name: str, edge: str, at: Sequence[float], i: int) -> str:
    way = "across" if edge in {"left", "right"} else "down"
    return f"draw the {edge} edge of {name} back to {100 * at[i]:.0f} % {way}"


def _shifted(box: tuple[float, ...], edge: int, shift: float) -> tuple[float, ...]:
    moved = list(box)
    moved[edge] += shift if edge < 2 else -shift
    return tuple(round(side, 3) for side in moved)


def _written(box: tuple[float, ...]) -> dict[str, str]:
    return {"x": f"{box[0]:g} to {box[2]:g}", "y": f"{box[1]:g} to {box[3]:g}"}
