"""POWER-02: a switch whose cameras together may take more than it has, with everything on."""

from __future__ import annotations

import math
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
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Unknown,
)
from oneclimb.study import LOAD
from oneclimb.trade.budget import together
from oneclimb_rules.asks import unsaid

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Switch
    from oneclimb.study.load import Feed
    from oneclimb.trade.budget import Taken

STEP = 10.0
"""W: switches are not sold finer than this"""
SPARE = 1.1
"""times what is needed that a new switch is looked for with (common practice: a tenth to spare)"""
GOES = "where does the cable go?"


class BudgetSettings(Settings, frozen=True):
    """How much of a switch's watts its cameras may take, as a share."""

    limits: Limits = Limits(note=0.9, warning=1.0, error=1.2)


class SwitchBudget(Rule["Switch"]):
    """Watts of all cameras that a switch feeds, over the watts it has."""

    info = Info(
        code="POWER-02",
        title="switch has too few watts for all its cameras",
        sources=(
            "IEEE 802.3 clauses 33 and 145, as restated by the Ethernet Alliance (Overview of 802.3bt, 2018): classes",
            "common practice (count everything on: infrared, heaters, motors; a tenth to spare)",
        ),
        page="switch_budget.md",
    )
    subject: ClassVar[str] = "switch"
    settings = BudgetSettings

    def measure(self, subject: Switch, q: Query, settings: BudgetSettings) -> Iterable[Reading | Unknown]:
        """The share of its watts that is taken at the ports: as declared at least, by class at most."""
        fed = q.of(LOAD, q.plan.site).sides[subject.id].fed
        yield from self._unjoined(subject, fed, q, settings)
        if not fed or (subject.budget is None and len(fed) == 1):
            return
        budget: float = q.need(subject, "budget")
        reading = _taken(subject, fed, budget)
        yield reading
        if self.level(reading, reading.figure.high, settings):
            drawn: Taken = reading.facts["drawn"]
            for camera in drawn.silent:
                yield from unsaid(q, camera, "power.watts")

    def _unjoined(
        self, switch: Switch, fed: tuple[Camera, ...], q: Query, settings: BudgetSettings
    ) -> Iterator[Unknown]:
        """Where cameras that it may feed too would change the verdict: what it gives, and where their cables go."""
        load = q.of(LOAD, q.plan.site)
        loose = [feed for feed in load.feeds.values() if _loose(feed)]
        asked = tuple(unsaid(q, switch, "gives")) if switch.gives is None else ()
        plugged = [load.feeds[camera.id] for camera in load.sides[switch.id].cameras] if asked else []
        waiting = tuple(feed.camera for feed in plugged if feed.camera not in fed and _may_be_fed(feed))
        if not switch.budget or not (loose or waiting):
            return
        now = _taken(switch, fed, switch.budget)
        more = _taken(switch, (*fed, *waiting, *(feed.camera for feed in loose)), switch.budget)
        if self.level(more, more.figure.value, settings) == self.level(now, now.figure.value, settings):
            return
        yield from asked if waiting else ()
        yield from (Unknown(Ref("cable", feed.wire.id, "to"), _where(feed.wire.to)) for feed in loose if feed.wire)

    def level(self, reading: Reading, value: float, settings: BudgetSettings) -> Level | None:
        """By the watts at the ports; where only the classes told ask for more than it has, a note."""
        drawn: Taken = reading.facts["drawn"]
        over = not drawn.silent and reading.figure.high > (settings.limits.warning or math.inf)
        return settings.limits.level(value, "low") or ("note" if over else None)

    def tell(self, reading: Reading, q: Trial, settings: BudgetSettings) -> Told:
        """How much is taken, which count decides, and what would do."""
        del settings
        switch: Switch = reading.facts["switch"]
        drawn: Taken = reading.facts["drawn"]
        many = f"{len(reading.facts['fed'])} cameras"
        share = q.say.share(reading.figure.value)
        if reading.figure.value > 1:
            how = "by the watts declared: some drop out when every night light is on"
        elif reading.figure.high > 1:
            how = (
                f"by the watts declared, but {drawn.by_class:.0f} W by class: "
                "a switch that sets aside by class turns the last of them away"
            )
        else:
            how = "by the watts declared: little is left for a heater, a motor or one camera more"
        text = f"{many} on {switch.id} take {drawn.ports:.0f} W of its {switch.budget:g} W ({share}) {how}"
        return Told(text, tuple(_remedies(reading, q)), steps=reading.facts["steps"])


def _taken(switch: Switch, fed: tuple[Camera, ...], budget: float) -> Reading:
    """What cameras take of a switch's watts."""
    drawn = together(fed, switch.gives)
    most = max(drawn.by_class, drawn.ports)
    return Reading(
        Figure("of the switch's power is taken", drawn.ports / budget, "", drawn.declared / budget, most / budget),
        Ref("switch", switch.id, "budget"),
        "",
        tuple(Related(Ref("camera", camera.id, "power"), _said(camera)) for camera in fed),
        {"switch": switch, "fed": fed, "drawn": drawn, "most": most, "steps": _steps(fed, drawn, budget)},
    )


def _may_be_fed(feed: Feed) -> bool:
    """Whether a camera may take its power over the copper cable that brings its pictures; an injector is another's."""
    over = feed.data is not None and feed.data is feed.wire and feed.data.kind == "copper"
    return over and feed.injector is None and feed.camera.power.source in (None, "poe")


def _loose(feed: Feed) -> bool:
    """Whether it may, and what its cable goes to is not said, or is nothing that the plan has."""
    return _may_be_fed(feed) and feed.wire is not None and feed.switch is None and feed.plugged is None


def _where(to: str) -> str:
    """The question for a cable whose end is not said, or is nothing that the plan has."""
    return f"{GOES} {to} is no switch, injector or recorder of the plan" if to else GOES


def _said(camera: Camera) -> str:
    watts, number = camera.power.watts, camera.power.poe
    said = [f"{watts:g} W"] if watts is not None else []
    said += [f"class {number}"] if number is not None else []
    return ", ".join(said) or "not said"


def _steps(fed: tuple[Camera, ...], drawn: Taken, budget: float) -> tuple[str, ...]:
    return (
        "; ".join(f"{camera.id}: {_said(camera)}" for camera in fed),
        f"{drawn.declared:.1f} W at the cameras, at most {drawn.ports:.1f} W at the ports (the longest cable's losses)",
        f"{drawn.by_class:.1f} W if every port sets aside the whole class",
        f"{drawn.ports:.1f} / {budget:g} = {drawn.ports / budget:.0%}; by class {drawn.by_class / budget:.0%}",
    )


def _remedies(reading: Reading, q: Trial) -> Iterator[Remedy]:
    """The least budget that serves; or a camera moved to an injector."""
    need = SPARE * reading.facts["most"]
    first = STEP * math.ceil(reading.figure.value * reading.facts["switch"].budget / STEP)
    sizes = [first + STEP * i for i in range(1 + math.ceil((need - first) / STEP))]
    at = Ref("switch", reading.facts["switch"].id, "budget")
    steps = [(Change("replace", at, f"{size:g} W"),) for size in sizes]
    thing = "recorder" if reading.facts["switch"].within else "switch"
    remedy = q.least(lambda i: f"take a {thing} with {sizes[i]:g} W for all its ports together", steps)
    if remedy:
        yield remedy
    yield Remedy("or feed the hungriest camera from an injector of its own, indoors")
