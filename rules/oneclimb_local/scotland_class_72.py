"""LOCAL-02: Scotland's planning class for security cameras."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oneclimb.api import Figure, Info, Ref, Related, Unknown
from oneclimb.study import COVER
from oneclimb.trade.pixels import CATEGORIES
from oneclimb_local.camera_class import CameraClass, reading

if TYPE_CHECKING:
    from oneclimb.api import Query, Reading
    from oneclimb.study.cover import Cover

SHOWN = CATEGORIES["monitor"]
"""px/m: finer than this somebody beyond the boundary counts as seen"""


class ScotlandClass72(CameraClass):
    """Height, standing out, distance, number and size, and a view that stays on one's own land where it can."""

    info = Info(
        code="LOCAL-02",
        title="beyond Scotland's class for security cameras",
        sources=(
            "SI 1996/1266 (Class 72; figures read on legislation.gov.uk)",
            "listed buildings, doorbells: from memory, check against the document",
        ),
        page="scotland_class_72.md",
        instrument="SI 1996/1266, Class 72 (Scotland, planning), as of 2026-11-25",
        countries=("scotland", "scotland uk", "scotland united kingdom", "uk scotland", "gb sct", "scotland gb"),
    )
    name = "Scotland, Class 72"

    def further(self, q: Query) -> Iterator[Reading | Unknown]:
        """Each outdoor camera's view of people beyond the boundary, masks counted."""
        if not q.plan.land:
            yield Unknown(
                Ref("site", "site", "beyond"), "what lies past each side of the boundary, and how far off is it?"
            )
            return
        for camera in (one for one in q.all("camera") if one.sits == "outdoors"):
            shown = _shown(q.of(COVER, camera))
            most = max((detail for detail, _ in shown), default=0.0)
            figure = Figure("detail of people beyond the boundary", most, "px/m")
            text = f"{camera.id} shows people beyond the boundary at up to {most:.0f} px/m"
            asks = "the view is, so far as practicable, to stay on one's own land; turn, tilt or mask it"
            related = tuple(Related(Ref("land", name), f"up to {detail:.0f} px/m") for detail, name in shown)
            yield reading(
                Ref("camera", camera.id, "aim"), "view", figure, SHOWN, text=text, asks=asks, related=related, mild=True
            )


def _shown(cover: Cover) -> list[tuple[float, str]]:
    """The finest detail of people on each piece of land beyond, masks counted; the most first."""
    found = []
    for name, land in cover.land.items():
        open_ = land.seen & ~land.masked
        if open_.any():
            found.append((float(land.pxm[open_].max()), name))
    return sorted(found, reverse=True)
