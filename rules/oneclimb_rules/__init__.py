"""The trade's own rules, brought in by the same door as anyone else's pack."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import API_VERSION, PackError, pack_hook
from oneclimb_rules.cable.exposed_low_cable import ExposedLowCable
from oneclimb_rules.glare.facing_cameras import FacingCameras
from oneclimb_rules.glare.infrared_bounce import InfraredBounce
from oneclimb_rules.glare.lamp_near_lens import LampNearLens
from oneclimb_rules.link.continuous_on_the_air import ContinuousOnTheAir
from oneclimb_rules.seal.unsealed_connector import UnsealedConnector
from oneclimb_rules.view.neighbour_overlap import NeighbourOverlap
from oneclimb_rules.view.unwanted_zone import UnwantedZone

if TYPE_CHECKING:
    from oneclimb.api import Into

RULES = (
    InfraredBounce,
    FacingCameras,
    LampNearLens,
    UnsealedConnector,
    ExposedLowCable,
    ContinuousOnTheAir,
    UnwantedZone,
    NeighbourOverlap,
)


@pack_hook
def oneclimb_pack(into: Into) -> None:
    """Register every rule of this pack."""
    if into.api != API_VERSION:
        raise PackError(f"these rules are written for API version {API_VERSION}, not {into.api}")
    for rule in RULES:
        into.rule(rule)
