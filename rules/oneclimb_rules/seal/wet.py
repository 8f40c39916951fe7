"""Rain at a camera as points of 10: what SEAL-02 and SEAL-03 weigh the ways in with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.study import SHELTER
from oneclimb.trade import ingress

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera

DRIVEN = 1.0
"""points for driving rain, where the site has it (estimate)"""


def rain_score(camera: Camera, q: Query) -> float:
    """10 times the share of rain's directions that reach the housing, half in a dry climate; driving rain one more."""
    rain = q.of(SHELTER, camera).rain
    weather = q.plan.site.weather or ()
    return 10.0 * rain * (ingress.DRY if "dry" in weather else 1.0) + DRIVEN * ("driving-rain" in weather) * (rain > 0)
