"""An example pack: a noun of its own (a flood line) and one rule about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import API_VERSION, PackError, pack_hook
from oneclimb_flood.flood_line import ConnectorUnderWater, FloodLines

if TYPE_CHECKING:
    from oneclimb.api import Into


@pack_hook
def oneclimb_pack(into: Into) -> None:
    """Register the noun and the rule."""
    if into.api != API_VERSION:
        raise PackError(f"written for API version {API_VERSION}, not {into.api}")
    into.kind(FloodLines)
    into.rule(ConnectorUnderWater)
