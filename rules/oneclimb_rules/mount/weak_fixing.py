"""MOUNT-04: a camera fixed to something that doesn't hold it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from msgspec.structs import replace

from oneclimb.api import Change, Info, Limits, Ref, Settings, Told
from oneclimb_rules.checklist import COUNTED, Checklist, Item
from oneclimb_rules.heeds import SIGHT
from oneclimb_rules.offers import offered_at_design

if TYPE_CHECKING:
    from oneclimb.api import Query, Reading, Trial
    from oneclimb.plan.model import Camera

BACKED = {
    "soffit board": "soffit board alone",
    "plasterboard": "plasterboard alone",
    "render on insulation": "render on insulation, which is soft behind",
}
"""faces that hold with something firm behind them"""
LOOSE = ("gutter", "fence panel", "tree")
"""what moves, grows or comes down whatever is behind it"""
DRILL = "Before the drill: find cables and pipes; old boards and coatings may hold asbestos: stop, have them tested."


class FixingSettings(Settings, frozen=True):
    """Where the checklist's figure is worth a word."""

    limits: Limits = COUNTED


def _to(camera: Camera) -> str | None:
    return camera.fixing.to if camera.fixing else None


def _may_be_weak(camera: Camera, q: Query) -> bool:
    """Where what it is fixed to is written, or where the mount itself makes one ask: under a soffit or a ceiling."""
    del q
    return _to(camera) is not None or camera.mount.to in ("soffit", "ceiling")


def _needs_backing(camera: Camera, q: Query) -> bool:
    del q
    return _to(camera) in BACKED


class WeakFixing(Checklist):
    """What the plan declares the screws go into."""

    info = Info(
        code="MOUNT-04",
        title="weak fixing",
        sources=("common practice (what holds a camera in wind and when the cable is pulled)",),
        page="weak_fixing.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = SIGHT
    settings = FixingSettings
    items = (
        Item(
            "fixing.to",
            bad=lambda value: value in LOOSE,
            text="{id} is fixed to a {value}: it moves in wind, and the picture with it",
            remedy="fix it to masonry, to a timber that is part of the building, or to a post of its own",
            applies=_may_be_weak,
            caution=DRILL,
        ),
        Item(
            "fixing.backed",
            bad=lambda value: not value,
            text="{id} hangs on {on}: screws pull out of it",
            remedy="or find a joist, a rafter or solid masonry, and put the screws into that",
            applies=_needs_backing,
            caution=DRILL,
        ),
    )

    def tell(self, reading: Reading, q: Trial, settings: Any) -> Told:
        """The line's words; a backing is tried in the model."""
        camera: Camera = reading.facts["subject"]
        item: Item = reading.facts["item"]
        named = item.text.replace("{on}", BACKED.get(_to(camera) or "", ""))
        told = super().tell(replace(reading, facts={**reading.facts, "item": replace(item, text=named)}), q, settings)
        if item.field != "fixing.backed":
            return told
        change = Change("replace", Ref("camera", camera.id, "fixing.backed"), by=True)
        way = ("put a noggin, a plate or a resin anchor behind it", change)
        up = camera.mount.spot.z > 2.0
        return replace(told, remedies=(*offered_at_design(q, [way], ladder=up), *told.remedies))
