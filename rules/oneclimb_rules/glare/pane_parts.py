"""What a pane before a camera does, part by part, and what each costs of its night."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb_rules.glare.shares import lost

if TYPE_CHECKING:
    from oneclimb.study.night_view import NightView

INFRARED, COATED, STATUS, ROOM = "infrared", "coated", "status-light", "room"
SEALED = (INFRARED, STATUS, ROOM)
"""what a seal to the glass keeps off"""
NIGHT_LOST = "pane"
"""the key of the one reading of what the pane itself does: its own infrared, the coating and the room"""
LEAST = 0.01
"""share of the wanted ground under which nobody is called usable"""
WHAT = {
    INFRARED: "the pane throws its own infrared back",
    COATED: "the pane's coating keeps near infrared back, going out and coming in",
    STATUS: "its status light is mirrored in the pane",
    ROOM: "the lit room behind it is mirrored in the pane",
}


class Part(Struct, frozen=True):
    """One thing a pane does: the night view with it and without, and what is lost by it."""

    key: str
    now: NightView
    without: NightView

    @property
    def lost(self) -> float:
        """Share of the night view lost to it."""
        return lost(self.now.kept(self.without).value)

    @property
    def ends(self) -> tuple[float, float]:
        """The ends of its doubt."""
        kept = self.now.kept(self.without)
        return lost(kept.high), lost(kept.low)


def what(part: Part) -> str:
    """What it is, in words."""
    return WHAT.get(part.key) or f"{part.key.partition('/')[2]} lights the pane and what lies on it"
