"""What feeds and keeps, in the words that the page's tables and its pictures share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import Figure

if TYPE_CHECKING:
    from oneclimb.api import Say
    from oneclimb.study.drop import Drop
    from oneclimb.trade.streams import Range


def volts(drop: Drop) -> str:
    """Volts at the camera, usual and from worst to best; what the wire passes where that is less than it draws."""
    usual, ends = drop.usual, sorted((drop.low.arrives, drop.high.arrives))
    if not usual.carries:
        return f"the wire passes no more than {usual.passes:.1f} W"
    return f"{usual.arrives:.1f} V ({ends[0]:.1f} to {ends[1]:.1f})"


def days(kept: Range, say: Say) -> str:
    """Days a recorder keeps: ``24 days (13 to 31)``."""
    low, usual, high = kept
    return say.figure(Figure("days kept", usual, "days", low, high))
