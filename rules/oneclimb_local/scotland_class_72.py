"""LOCAL-02: Scotland's planning class for security cameras."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oneclimb.api import Figure, Info, Ref, Related, Remedy, Unknown
from oneclimb.study import COVER
from oneclimb.trade.pixels import CATEGORIES
from oneclimb_local.camera_class import CameraClass, reading

if TYPE_CHECKING:
    from oneclimb.api import Query, Reading
    from oneclimb.study.cover import Cover

SHOWN = CATEGORIES["monitor"]
"""px/m: finer than this somebody beyond the boundary counts as seen"""
TURN = Remedy("first turn, tilt or mask each of them as far as what it is for allows: VIEW-02 says how for each")


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
        """How many outdoor cameras show people beyond the boundary, masks counted."""
        if not q.plan.land:
            yield Unknown(
                Ref("site", "site", "beyond"), "what lies past each side of the boundary, and how far off is it?"
            )
            return
        found = ((_most(q.of(COVER, one)), one.id) for one in q.all("camera") if one.sits == "outdoors")
        shown = sorted((-most, name) for most, name in found if most > SHOWN)
        named = ", ".join(f"{name} ({-most:.0f} px/m)" for most, name in shown)
        yield reading(
            Ref("site", "site", "country"),
            "view",
            Figure("cameras that see beyond the boundary", float(len(shown)), "cameras"),
            0.5,
            text=f"people beyond the boundary show in {named}",
            asks="the view is, so far as practicable, to stay on one's own land",
            related=tuple(Related(Ref("camera", name, "aim"), f"up to {-most:.0f} px/m") for most, name in shown),
            mild=True,
            first=TURN,
        )


def _most(cover: Cover) -> float:
    """The finest detail of people on land beyond, px/m, masks counted."""
    shown = ((land.pxm, land.seen & ~land.masked) for land in cover.land.values())
    return max((float(detail[open_].max()) for detail, open_ in shown if open_.any()), default=0.0)
