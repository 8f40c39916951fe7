"""The after-dark study: how much of the wanted night ground the cameras together can use, and when they switch.

An area is judged at one camera, the one that shows most of it by day (of those with a light of
their own, where there are any); what another camera for the area can use counts with it.
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from oneclimb.api import Ref, Unknown
from oneclimb.study import ALL, COVERED, DARK, NIGHT
from oneclimb.study.doubt import Doubt
from oneclimb.study.night_sums import Corner
from oneclimb.study.night_targets import at_night
from oneclimb.trade import lamps, light

if TYPE_CHECKING:
    import numpy.typing as npt

    from oneclimb.api import Query
    from oneclimb.plan.model import Area, Camera
    from oneclimb.study.covered_ground import Ground
    from oneclimb.study.night import Night

    Array = npt.NDArray[np.float64]

GREY = 0.18
"""reflectance of the grey card that exposure is told by (ISO 12232)"""


class AfterDark(Struct, frozen=True, dict=True, eq=False):
    """A camera's part of the night."""

    night: Night
    areas: tuple[str, ...]
    """ids of the night-wanted areas that are judged at this camera"""
    others: dict[str, tuple[Ref, ...]]
    """by area: the other cameras that show some of it"""
    query: Query

    @property
    def states(self) -> tuple[str, ...]:
        """``DARK``, every lamp by itself, and ``ALL`` where there is more than one."""
        states = self.night.states
        return states if len(states) > 3 else tuple(state for state in states if state != ALL or len(states) == 2)

    def alone(self, area: str, state: str) -> Doubt:
        """Share of what this camera shows of an area that it can use in a state of the lights.

        ``Unknown`` where a lamp of the state is not described.
        """
        return self.night.view(state).usable[area]

    def together(self, area: str, state: str) -> Doubt:
        """The same by whichever camera for the area uses a place best, of what any of them shows.

        Cameras whose own light the plan does not describe are left out.
        """
        nights = [self.night, *(night for night in map(self._night, self.others[area]) if night)]

        def share(corner: Corner) -> float:
            used, shown = zip(*(night.view(state).places(area, corner) for night in nights), strict=True)
            anywhere = np.logical_or.reduce(shown)
            return float(np.maximum.reduce(used).sum()) / max(int(anywhere.sum()), 1)

        return Doubt(share(Corner()), lambda: map(share, self.night.view(state).corners()))

    def _night(self, camera: Ref) -> Night | None:
        try:
            return self.query.of(NIGHT, self.query.get(camera))
        except Unknown:
            return None

    # ----------------------------------------------------------------- day/night switching

    def lux(self, lamp: str) -> float:
        """The light one lamp by itself adds to what a camera meters of its frame, lx: what would light a grey card so
        that it sends back as much as the frame does on average. 0 of a lamp whose light nobody sees; ``Unknown`` where
        it is not described.
        """
        night, ref = self.night, Ref("lamp", lamp)
        rows = [row for row in night.lit(lamp).tolist() if night.lights.lights[night.others.which[row]].ref == ref]
        if not rows or not night.lights.lights[night.others.which[rows[0]]].seen:
            return 0.0
        kind = self.query.get(ref).kind
        signal = night.rest_signal(np.array(rows, dtype=np.intp), "usual")
        return float(signal.mean()) * light.TARGET / GREY * lamps.threshold(self.query.plan, kind).usual

    @functools.cached_property
    def coloured(self) -> Night:
        """The same night with the camera's own light out, as it is while it takes colour pictures."""
        own = self.night.own_ref
        return self.night.darkened(frozenset({own}) if own else frozenset())

    def lost(self, state: str) -> float:
        """Share of watched night ground that is usable by its own light and not in colour, in a state of the lights."""
        return max(0.0, self.night.view(DARK).wanted.value - self.coloured.view(state).wanted.value)


def compute(camera: Camera, q: Query) -> AfterDark:
    """What of the night is judged at a camera. ``Unknown`` where its own light is not described."""
    night = q.of(NIGHT, camera)
    covered = q.of(COVERED, q.plan.site)
    areas: list[str] = []
    others: dict[str, tuple[Ref, ...]] = {}
    for name in night.cover.watched:
        area: Area = q.get(Ref("area", name))
        if name not in night.found.areas:
            continue
        ground = covered.ground(area)
        if at_night(area) and _judge(area, ground, q) == camera.id:
            areas.append(area.id)
            others[area.id] = tuple(
                Ref("camera", name) for name, view in ground.views.items() if name != camera.id and view.seen.any()
            )
    return AfterDark(night, tuple(areas), others, q)


def _judge(area: Area, ground: Ground, q: Query) -> str:
    """The camera at which an area's night is judged, empty for none.

    One without a light of its own only where no other shows the area, and the plan says that it is wanted by night.
    """
    showing = [name for name in ground.ranked if (ground.views[name].seen & ground.free).any()]
    lit = [name for name in showing if q.get(Ref("camera", name)).night != "none"]
    if lit:
        return lit[0]
    meant = q.known(Ref("area", area.id, "when")) == "written"
    return showing[0] if showing and meant else ""
