"""POWER-06: how many days a battery lasts in the coldest month."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import (
    Change,
    Figure,
    Info,
    Level,
    Limits,
    Reading,
    Ref,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
    setting,
)
from oneclimb.study import STORE
from oneclimb.trade import battery
from oneclimb.trade.streams import STORED
from oneclimb_rules.asks import unsaid
from oneclimb_rules.heeds import FEED

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera

LONG = 180.0
"""days beyond which only "half a year or more" is said: a battery leaks, ages, and is forgotten"""
THIRSTY = (max(battery.STANDBY),) * 3
"""W while it waits, at the most: where that would change the verdict, it is asked for"""
LARGER = (1.5, 2.0, 3.0, 4.0)
"""times the battery there is, tried in turn"""


class DaysSettings(Settings, frozen=True):
    """How seldom a battery may want charging; days."""

    limits: Limits = Limits(note=30.0, warning=14.0, error=3.0)
    dark_note: float = setting(10.0, "with a panel, fewer days without sun are a note", unit="days", minimum=0.0)
    dark_warning: float = setting(5.0, "with a panel, fewer days without sun are a warning", unit="days", minimum=0.0)
    dark_error: float = setting(2.0, "with a panel, fewer days without sun are an error", unit="days", minimum=0.0)


class BatteryDays(Rule["Camera"]):
    """Days from full to empty in the cold, at the events the plan expects."""

    info = Info(
        code="POWER-06",
        title="battery lasts too few days in the cold",
        sources=(
            "battery literature (capacity in the cold), partly from memory: estimates with a range",
            "estimate (energy an event takes: it varies tenfold)",
        ),
        page="battery_days.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = FEED
    settings = DaysSettings

    def measure(self, subject: Camera, q: Query, settings: DaysSettings) -> Iterable[Reading | Unknown]:
        """Days from full to empty at the site's coldest; a camera that records all day is another rule's."""
        power = subject.power
        if power.source not in STORED or subject.records == "continuous":
            return
        store = q.of(STORE, subject)
        capacity = store.capacity
        taken = store.day()
        cold = store.coldest
        each = store.days(taken, cold)
        kind, first = next(iter(each.items()))
        reading = Reading(
            Figure(
                "on one charge in the cold",
                first[1],
                "days",
                min(low for low, _, _ in each.values()),
                max(high for _, _, high in each.values()),
                "high",
            ),
            Ref("camera", subject.id, "power"),
            "",
            (),
            {
                "camera": subject,
                "cold": cold,
                "steps": (
                    store.day_steps(taken),
                    f"{capacity:g} Wh, {kind}, {cold:g} °C: {_left(kind, cold)} of it can be taken",
                    f"{first[1]:.0f} days ({first[0]:.0f} to {first[2]:.0f} of this kind)",
                ),
            },
        )
        yield reading
        verdicts = {self.level(reading, usual, settings) for _, usual, _ in each.values()}
        if len(verdicts) > 1:
            yield from unsaid(q, subject, "power.chemistry")
        if power.daily is None:
            thirsty = store.days(store.day(THIRSTY), cold)[kind][1]
            if self.level(reading, thirsty, settings) != self.level(reading, first[1], settings):
                yield from unsaid(q, subject, "power.standby")

    def level(self, reading: Reading, value: float, settings: DaysSettings) -> Level | None:
        """Days between charges; with a panel, days without sun."""
        if reading.facts["camera"].power.source == "solar":
            return Limits(settings.dark_note, settings.dark_warning, settings.dark_error).level(value, "high")
        return settings.limits.level(value, "high")

    def tell(self, reading: Reading, q: Trial, settings: DaysSettings) -> Told:
        """A range of days, and what makes them more."""
        del settings
        camera: Camera = reading.facts["camera"]
        figure = reading.figure
        sun = " without sun" if camera.power.source == "solar" else ""
        text = (
            f"{camera.id}'s battery lasts about {words(figure.value, figure.value)} on a charge{sun} at "
            f"{reading.facts['cold']:g} °C; it may be {words(figure.low, figure.high)}"
        )
        caution = "Charging it by hand means a ladder each time." if camera.power.source == "battery" else ""
        return Told(text, tuple(_more(camera, q)), caution, reading.facts["steps"])


def _left(kind: battery.Chemistry, cold: float) -> str:
    return f"{battery.capacity_factor(kind, cold)[1] * battery.USABLE[kind]:.0%}"


def words(low: float, high: float) -> str:
    """A range of days, never finer than it deserves."""
    if low >= LONG:
        return "half a year or more"
    first = "less than a day" if low < 1 else f"{_round(low)} days"
    if high < 1 or _round(low) == _round(high):
        return first
    last = "half a year or more" if high >= LONG else f"{_round(high)} days"
    return f"{first} to {last}" if low < 1 or high >= LONG else f"{_round(low)} to {last}"


def _round(days: float) -> int:
    """Whole days, tens of them from thirty on."""
    return round(days) if days < 30 else 10 * round(days / 10)


def _more(camera: Camera, q: Trial) -> Iterator[Remedy]:
    """A larger battery, tried; fewer alarms and a cable are advice."""
    capacity = camera.power.capacity or 0.0
    sizes = [f"{capacity * times:.0f} Wh" for times in LARGER]
    at = Ref("camera", camera.id, "power.capacity")
    remedy = q.least(
        lambda i: f"give it {sizes[i]} of battery in all", [(Change("replace", at, size),) for size in sizes]
    )
    if remedy:
        yield remedy
    yield Remedy("narrow its trigger: no road, branches or flag in the zone, and a pause between events")
    yield Remedy("or feed it over a cable, where one can be run")
