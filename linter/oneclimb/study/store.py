"""The store study: a camera's own battery; what it may be, how cold it gets, what a day takes of it, how long it lasts.

Nothing is asked of the plan before it is needed: each figure raises ``Unknown`` for what it lacks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.trade import battery, panel

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.api import Query
    from oneclimb.plan.model import Camera
    from oneclimb.trade.battery import Chemistry, Range

KINDS: dict[str, Chemistry] = {"lithium": "lithium", "lead": "vrla", "alkaline": "alkaline"}
"""a plan's word for a battery as the trade's; lead in such gear is sealed (common practice)"""
ROOM = 20.0
"""°C, a battery indoors"""
LEAST = 0.001
"""Wh a day: no camera takes less, its battery's own leakage does (estimate)"""
ENDS = ((0, 2), (1, 1), (2, 0))
"""worst, usual, best of a year: what the panel gives with what the camera takes"""


class Store(Struct, frozen=True, eq=False):
    """One camera's battery, asked of one world."""

    camera: Camera
    q: Query

    @property
    def kinds(self) -> tuple[Chemistry, ...]:
        """What it is, or all it may be, the usual kind first; one that is charged in place is not alkaline."""
        power = self.camera.power
        if power.chemistry:
            return (KINDS[power.chemistry],)
        charged = power.source == "solar" or power.panel
        return ("lithium", "vrla") if charged else ("lithium", "vrla", "alkaline")

    @property
    def capacity(self) -> float:
        """Rated, Wh."""
        return float(self.q.need(self.camera, "power.capacity"))

    @property
    def coldest(self) -> float:
        """°C about it at the coldest; asks for the site's temperatures where it hangs outdoors."""
        return ROOM if self.camera.sits == "indoors" else float(self.q.need(self.q.plan.site, "temperature")[0])

    def day(self, standby: Range = battery.STANDBY) -> Range:
        """Wh a day, low, usual, high: as declared, all day long, or by events.

        ``standby``: W it is reckoned to take while it waits, where the plan does not say.
        """
        power = self.camera.power
        if power.daily is not None:
            return (max(LEAST, power.daily),) * 3
        if self.camera.records == "continuous":
            watts: float = self.q.need(self.camera, "power.watts")
            return battery.steady(max(LEAST, watts))
        events: float = self.q.need(self.camera, "events")
        clip: float = self.q.need(self.camera, "clip")
        waits = standby if power.standby is None else (power.standby,) * 3
        low, usual, high = battery.daily(events, clip, waits)
        return max(LEAST, low), max(LEAST, usual), max(LEAST, high)

    def day_steps(self, taken: Range) -> str:
        """How a day's energy was come by, in a line."""
        if self.camera.power.daily is not None:
            return f"a day takes {taken[1]:g} Wh, as declared"
        if self.camera.records == "continuous":
            return f"a day takes 24 h x {self.camera.power.watts:g} W = {taken[1]:.0f} Wh"
        return (
            f"a day takes {taken[1]:.2f} Wh ({taken[0]:.2f} to {taken[2]:.2f}, estimate): "
            f"{self.camera.events:g} events of {self.camera.clip:g} s, and waiting"
        )

    def days(self, taken: Range, celsius: float) -> dict[Chemistry, Range]:
        """Days from full to empty without charge, by what it may be, the usual kind first."""
        capacity = (self.capacity,) * 3
        return {
            kind: battery.days(capacity, taken, battery.capacity_factor(kind, celsius), battery.USABLE[kind])
            for kind in self.kinds
        }

    def given(self, months: Sequence[Range]) -> list[Range]:
        """Wh a day out of the battery that its panel puts there, by month, from its peak sun hours."""
        watts: float = self.q.need(self.camera, "power.panel.watts")
        return [panel.daily(watts, month) for month in months]

    def year(self, given: Sequence[Range], taken: Range, parts: int = 1) -> tuple[tuple[float, ...], ...]:
        """State of charge (0 to 1 of what may be used), worst, usual and best, as ``battery.two_years`` has it."""
        usable = self.capacity * battery.USABLE[self.kinds[0]]
        return tuple(
            battery.two_years([month[i] for month in given], taken[j], usable, battery.best(given), parts)
            for i, j in ENDS
        )


def compute(camera: Camera, q: Query) -> Store:
    """A camera's battery, nothing of it asked for yet."""
    return Store(camera, q)
