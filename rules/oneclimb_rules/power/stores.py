"""A camera's own battery: what it may be, how cold it gets, what a day takes of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.trade import battery

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Power
    from oneclimb.trade.battery import Chemistry, Range

KINDS: dict[str, Chemistry] = {"lithium": "lithium", "lead": "vrla", "alkaline": "alkaline"}
"""a plan's word for a battery as the trade's; lead in such gear is sealed (common practice)"""
STORED = ("battery", "solar")
ROOM = 20.0
"""°C, a battery indoors"""
LEAST = 0.001
"""Wh a day: no camera takes less, its battery's own leakage does (estimate)"""


def kinds(power: Power) -> tuple[Chemistry, ...]:
    """What the battery is, or all it may be, the usual kind first; one that is charged in place is not alkaline."""
    if power.chemistry:
        return (KINDS[power.chemistry],)
    return ("lithium", "vrla") if power.source == "solar" or power.panel else ("lithium", "vrla", "alkaline")


def coldest(camera: Camera, q: Query) -> float:
    """°C about it at the coldest; asks for the site's temperatures where it hangs outdoors."""
    if camera.sits == "indoors":
        return ROOM
    low: float = q.need(q.plan.site, "temperature")[0]
    return low


def day(camera: Camera, q: Query, standby: Range = battery.STANDBY) -> Range:
    """Wh a day, low, usual, high: as declared, all day long, or by events; asks for what is not said.

    ``standby``: W it is reckoned to take while it waits, where the plan does not say.
    """
    power = camera.power
    if power.daily is not None:
        return (max(LEAST, power.daily),) * 3
    if camera.records == "continuous":
        watts: float = q.need(camera, "power.watts")
        return battery.steady(max(LEAST, watts))
    events: float = q.need(camera, "events")
    clip: float = q.need(camera, "clip")
    waits = standby if power.standby is None else (power.standby,) * 3
    low, usual, high = battery.daily(events, clip, waits)
    return max(LEAST, low), max(LEAST, usual), max(LEAST, high)


def day_steps(camera: Camera, taken: Range) -> str:
    """How a day's energy was come by, in a line."""
    if camera.power.daily is not None:
        return f"a day takes {taken[1]:g} Wh, as declared"
    if camera.records == "continuous":
        return f"a day takes 24 h x {camera.power.watts:g} W = {taken[1]:.0f} Wh"
    return (
        f"a day takes {taken[1]:.2f} Wh ({taken[0]:.2f} to {taken[2]:.2f}, estimate): "
        f"{camera.events:g} events of {camera.clip:g} s, and waiting"
    )
