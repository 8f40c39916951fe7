"""VIEW-02: more of neighbours' ground, windows or the public way in the picture than need be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import COVER
from oneclimb.trade.pixels import category
from oneclimb_rules import moves
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.view.overlap import OPEN, PRIVATE, Part, parts_shown, sides_unsaid, under

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.cover import Cover

NAMED = 3
"""how many pieces of ground or windows a finding names"""
HIDDEN = 0.20
"""share of a watched area: a mask over what is open to the street, which nobody has to be spared, may hide less than
this of each (common practice)"""


class OverlapSettings(Settings, frozen=True):
    """Limits on the detail reached beyond one's own ground, px/m (monitor and observe, IEC 62676-4:2014)."""

    limits: Limits = Limits(note=12.5, warning=62.5)


class NeighbourOverlap(Rule["Camera"]):
    """The most detail, unmasked, of a person whose face shows on others' ground, or at their windows."""

    info = Info(
        code="VIEW-02",
        title="neighbour and public overlap",
        sources=(
            "IEC 62676-4:2014 (px/m of monitor, detect, observe … : from memory, check against the document)",
            "EDPB Guidelines 3/2019 v2.0 (limit the view; as restated in print)",
            "UK ICO, domestic CCTV (privacy masks; as restated in print)",
            "common practice (windows and back gardens weigh more than the street)",
        ),
        page="neighbour_overlap.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = OverlapSettings

    def measure(self, subject: Camera, q: Query, settings: OverlapSettings) -> Iterable[Reading | Unknown]:
        """Two figures: private ground and windows; and what is open to the street or agreed."""
        parts = list(parts_shown(q.of(COVER, subject), q))
        for key in (PRIVATE, OPEN):
            shown = sorted((part for kind, part in parts if kind == key), key=lambda part: -part.detail)
            most = shown[0].detail if shown else 0.0
            yield Reading(
                Figure("detail of faces and windows beyond one's own ground", most, "px/m"),
                Ref("camera", subject.id, "aim"),
                key,
                related=tuple(
                    Related(part.ref, f"{part.name}: up to {part.detail:.0f} px/m") for part in shown[:NAMED]
                ),
                facts={"parts": shown, "moves": subject.moves},
                counted=frozenset(part.ref for part in _past(shown, settings) if key == PRIVATE),
            )

        unsaid = sides_unsaid(q.plan)
        if unsaid:
            yield Unknown(
                Ref("site", "site", "beyond"), f"what lies past {unsaid} of the boundary, and how far off is it?"
            )

    def tell(self, reading: Reading, q: Trial, settings: OverlapSettings) -> Told:
        """Whose ground shows and how well; turning, masking, asking."""
        parts = _past(reading.facts["parts"], settings)
        camera: Camera = q.get(reading.at.thing)
        named = "; ".join(_worded(part, q, finest=part is parts[0]) for part in parts[:NAMED])
        more = f"; and {len(parts) - NAMED} more" if len(parts) > NAMED else ""
        masks = "; no mask counts on a camera that moves" if reading.facts["moves"] and camera.masks else ""
        return Told(
            f"{camera.id} also shows {named}{more}{masks}",
            tuple(_remedies(camera, reading.key, parts, q)),
            steps=tuple(
                f"{part.name}: {part.detail:.1f} px/m at most, {q.say.share(part.left)} of it unmasked"
                for part in parts[:NAMED]
            ),
        )

    def level(self, reading: Reading, value: float, settings: OverlapSettings) -> Level | None:
        """The limits; never more than a note for what is open to the street or agreed."""
        level = settings.limits.level(value, reading.figure.good)
        return "note" if level and reading.key == OPEN else level


def _past(parts: Sequence[Part], settings: OverlapSettings) -> list[Part]:
    """Those that show more finely than the least limit."""
    return [part for part in parts if part.detail > (settings.limits.note or 0.0)]


def _worded(part: Part, q: Query, *, finest: bool) -> str:
    """One piece of ground or window, how well it shows, what its masks do, and whether its owner agrees."""
    task = category(part.detail) if finest else None
    enough = f", enough pixels to {task} a person" if task else ""
    mask = f", its mask leaves {q.say.share(part.left)} of it open" if part.left < 1 else ""
    mask += ", the mask planned there does not count until it is set in the camera" if part.planned else ""
    agreed = f" (agreed with {part.agreed}: nothing to do)" if part.agreed else ""
    return f"{part.name} at up to {part.detail:.0f} px/m{enough}{mask}{agreed}"


def _remedies(camera: Camera, key: str, parts: Sequence[Part], q: Trial) -> Iterator[Remedy]:
    """Turning or tilting, tried; a mask by its place in the frame; an agreement."""
    if key == PRIVATE:
        ways = (*_faces_out(moves.down(camera)), *moves.turn(camera))
        yield from moves.offered(q, ways, moves.StillSees(camera, q))
    cover = q.of(COVER, camera)
    spared = [part for part in parts[:NAMED] if key == PRIVATE or _free(part, cover)]
    if spared and not camera.moves:
        boxes = "; ".join(_boxed(part, cover, q) for part in spared)
        yield Remedy(f"mask in the camera itself: {boxes}; then write the mask in the plan as set in the camera")
    if key == PRIVATE:
        yield Remedy("agree it with them, and write in the plan who agreed, when and to what")


def _faces_out(tilts: Iterable[moves.Move]) -> Iterator[moves.Move]:
    """The same moves, with what the figure leaves out: it counts people by their faces, which go out of frame first."""
    for move in tilts:
        yield moves.Move(partial(_legs_show, move), move.steps)


def _legs_show(move: moves.Move, i: int) -> str:
    return f"{move.words(i)} (faces leave the picture; legs may still show)"


def _free(part: Part, cover: Cover) -> bool:
    """Whether a mask over what is open to the street is worth advising: nobody has agreed, and little is hidden."""
    return not part.agreed and all(share < HIDDEN for _, share in under(part.box, cover))


def _boxed(part: Part, cover: Cover, q: Query) -> str:
    """A part of the frame in words, rounded outwards to whole per cent, and what else a mask there hides."""
    left, top = (math.floor(100 * edge) for edge in part.box[:2])
    right, bottom = (math.ceil(100 * edge) for edge in part.box[2:])
    hides = ", ".join(f"{q.say.share(share)} of {area}" for area, share in under(part.box, cover))
    place = f"{part.name}, {left} to {right} % across and {top} to {bottom} % down from the top left"
    return f"{place} (it hides {hides} too)" if hides else place
