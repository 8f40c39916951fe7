"""VIEW-11: a bed, bath, guest or changing room in view. No camera may show one."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Figure, Info, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.plan.model.site import PRIVATE
from oneclimb.study import PRIVATE as SHOWN
from oneclimb.trade.pixels import CATEGORIES, category, focal_pixels
from oneclimb_rules import moves
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera
    from oneclimb.study.private import Private

ACROSS_A_ROOM = 3.0
"""m at which the detail of a camera inside a private room is told (estimate)"""
MILDER: dict[Level, Level] = {"error": "warning", "warning": "note", "note": "note"}
"""where a curtain is drawn by night"""


class PrivateSettings(Settings, frozen=True):
    """Limits on the detail of a window, px/m (detect and observe of IEC 62676-4:2014); all else is an error."""

    limits: Limits = Limits(warning=CATEGORIES["detect"], error=CATEGORIES["observe"])


class PrivateRoom(Rule["Camera"]):
    """The most detail, unmasked, of each private area and window, and of a private room the camera is in."""

    info = Info(
        code="VIEW-11",
        title="private room in view",
        sources=(
            "common practice, and the law of most places: no camera where people undress, wash or sleep",
            "IEC 62676-4:2014 (px/m of monitor … identify: from memory, check against the document)",
        ),
        page="private_room.md",
        safety=True,
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = PrivateSettings

    def measure(self, subject: Camera, q: Query, settings: PrivateSettings) -> Iterable[Reading | Unknown]:
        """Detail of each private place, 0 where nothing of it shows."""
        del settings
        for place in q.of(SHOWN, subject):
            key = "/".join(filter(None, (place.ref.thing.path, place.ref.field)))
            yield _reading(subject, key, place.detail, {"place": place}, place.ref)
        if subject.sits == "indoors" and subject.behind is None and subject.room in PRIVATE:
            view = subject.view
            focal = focal_pixels(subject.pixels[0], view.across, equidistant=view.projection == "equidistant")
            yield _reading(subject, "room", focal / ACROSS_A_ROOM, {"place": None}, Ref("camera", subject.id, "room"))

    def level(self, reading: Reading, value: float, settings: PrivateSettings) -> Level | None:
        """The limits for a window, one level milder where a curtain is drawn; else an error for whatever shows."""
        place: Private | None = reading.facts["place"]
        if place is None or place.ref.kind != "building":
            return "error" if value > 0.0 else None
        level = settings.limits.level(value, "low")
        return MILDER[level] if level and place.drawn else level

    def tell(self, reading: Reading, q: Trial, settings: PrivateSettings) -> Told:
        """Which room, how well it shows, and how to take it out of the picture."""
        del settings
        camera: Camera = q.get(reading.at.thing)
        place: Private | None = reading.facts["place"]
        if place is None:
            return Told(
                f"{camera.id} is in a {camera.room}: no camera belongs where people sleep, wash or undress "
                f"({reading.figure.value:.0f} px/m at {q.say.tape(ACROSS_A_ROOM)})",
                (Remedy(f"take {camera.id} out of the {camera.room}, and watch the way to it instead"),),
            )
        task = category(place.detail)
        enough = f", enough pixels to {task} a person" if task else ""
        planned = "; the mask planned there does not count until it is set in a camera that keeps still"
        curtain = "; the curtain drawn there by night (declared) hides nothing by day"
        what = called(place.ref) if place.ref.kind == "building" else place.ref.id
        text = (
            f"{camera.id} shows {what} ({place.room}) at up to {place.detail:.0f} px/m{enough}, from "
            f"{q.say.tape(place.distance)} off{planned if place.planned else ''}{curtain if place.drawn else ''}"
        )
        return Told(text, tuple(_remedies(camera, place, q)))


def _reading(camera: Camera, key: str, detail: float, facts: dict[str, object], ref: Ref) -> Reading:
    figure = Figure("detail of a private room", detail, "px/m")
    related = (Related(ref, "the private room"),) if ref.kind != "camera" else ()
    return Reading(figure, Ref("camera", camera.id, "aim"), key, related, facts)


def _remedies(camera: Camera, place: Private, q: Trial) -> Iterator[Remedy]:
    """Turned or tilted away, tried; a mask by its place in the frame."""
    if camera.shape != "doorbell":
        ways = (*moves.turn(camera), *moves.down(camera))
        yield from moves.offered(q, ways, moves.StillSees(camera, q))
    if camera.moves:
        yield Remedy("keep the camera still: no mask counts on one that moves")
        return
    left, top = (math.floor(100 * edge) for edge in place.box[:2])
    right, bottom = (math.ceil(100 * edge) for edge in place.box[2:])
    yield Remedy(
        f"mask it in the camera itself, {left} to {right} % across and {top} to {bottom} % down from the top left with "
        "a margin round it, look at the picture with whoever's room it is, then write the mask as set in the camera"
    )
