"""POWER-07: a battery that would be charged in place when it is too cold to be charged."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import STORE
from oneclimb.trade import battery
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import FEED

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera

WARMER = 8.0
"""K the battery may be warmer, by day in its housing, than the site's coldest air by night (estimate)"""


class FrozenSettings(Settings, frozen=True):
    """How much colder than it may be charged a battery may get, K."""

    limits: Limits = Limits(note=0.0, warning=5.0)


class FrozenCharging(Rule["Camera"]):
    """Kelvin by which the site's coldest air lies below what the battery may be charged at."""

    info = Info(
        code="POWER-07",
        title="battery charged below freezing",
        sources=(
            "battery literature, at second hand: lithium cells with graphite are charged between 0 and 60 °C; below, "
            "lithium plates out",
            "common practice (lead may be charged, slowly, down to -20 °C)",
        ),
        page="frozen_charging.md",
    )
    subject: ClassVar[str] = "camera"
    heeds = FEED
    settings = FrozenSettings

    def measure(self, subject: Camera, q: Query, settings: FrozenSettings) -> Iterable[Reading | Unknown]:
        """Only a battery that is charged where it hangs; the kind is asked where the frost makes it matter."""
        del settings
        power = subject.power
        if (power.source != "solar" and power.panel is None) or power.chemistry == "alkaline":
            return
        store = q.of(STORE, subject)
        cold = store.coldest
        kind = store.kinds[0]
        if power.chemistry is None and cold < battery.CHARGE[kind][0]:
            q.need(subject, "power.chemistry")
        least = battery.CHARGE[kind][0]
        value = least - cold
        yield Reading(
            Figure("colder than it may be charged", value, "K", value - WARMER, value),
            Ref("camera", subject.id, "power"),
            "",
            (),
            {
                "camera": subject,
                "cold": cold,
                "steps": (
                    f"the site's coldest air {cold:g} °C; by day in its housing up to {WARMER:g} K warmer (estimate)",
                    f"{kind} may be charged from {least:g} °C: {value:g} K too cold",
                ),
            },
        )

    def tell(self, reading: Reading, q: Trial, settings: FrozenSettings) -> Told:
        """When it will not charge, or must not, and what bears it."""
        del settings
        camera: Camera = reading.facts["camera"]
        text = (
            f"{camera.id}'s battery is charged where it hangs, at down to {reading.facts['cold']:g} °C: a good charger "
            "refuses below freezing, and the battery runs down through the frost; one that does not refuse ruins it"
        )
        at = Ref("camera", camera.id, "power.chemistry")
        remedies = (
            Remedy(
                "choose a camera or charger that says it will not charge below 0 °C, and a battery to last the frost"
            ),
            Remedy("keep the battery in a frost-free place, and lead its low voltage out"),
            *cures(q, [("take a sealed lead battery of enough capacity", Change("replace", at, "lead"))]),
        )
        caution = "A lithium battery that was charged in frost, or is swollen, can catch fire: do not charge it again."
        return Told(text, remedies, caution, reading.facts["steps"])
