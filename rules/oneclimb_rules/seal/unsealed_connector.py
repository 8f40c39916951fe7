"""SEAL-01: a connector in the weather, or in damp air, with nothing to keep water out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import SHELTER
from oneclimb.trade import ingress
from oneclimb_rules.asks import unsaid
from oneclimb_rules.cures import cures
from oneclimb_rules.heeds import SIGHT

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Connector

WHERE = {"open": "in the open", "eave": "under an eave", "soffit": "in a soffit", "cavity": "in a wall cavity"}
WHAT = {"data": "data connector", "power": "low-voltage connector", "data+power": "data and power connector"}
KIND = {
    "gland": "a gland, slipped over the cable before its plug is made",
    "shell": "a split shell that closes round the finished plug",
    "self-amalgamating tape": "self-amalgamating tape, stretched over the joint in layers",
}
MOST = 2
"""seals named of those that fit: the box and the tape have their own line"""
LADDER = 2.0
"""m: work above this height wants a ladder (common practice)"""


class SealSettings(Settings, frozen=True):
    """When an exposed connector is worth a word; points of 10."""

    limits: Limits = Limits(note=0.0, warning=0.9, error=3.0)


class UnsealedConnector(Rule["Connector"]):
    """Holds how exposed a connector's place is against what seals it."""

    info = Info(
        code="SEAL-01",
        title="unsealed connector",
        sources=(
            "IEC 60529 (second characteristic numeral 3: spray up to 60° from the vertical; as restated in print)",
            "Feliu, Morcillo and Chico, Corrosion 55 (1999) 883 (salt by distance from the sea; as restated in print)",
            "common practice (which seal fits when; soffits and cavities are damp)",
        ),
        page="unsealed_connector.md",
    )
    subject: ClassVar[str] = "connector"
    heeds = SIGHT
    settings = SealSettings

    def measure(self, subject: Connector, q: Query, settings: SealSettings) -> Iterable[Reading | Unknown]:
        """The exposure of the place, times what the seal lets through."""
        sits, through = _lets_through(subject, q)
        rain = q.of(SHELTER, subject).rain if through else 0.0
        site = q.plan.site
        weather = site.weather or ()
        silent = list(unsaid(q, q.plan.site, "coast", "weather")) if through else []
        asked = {unknown.ref.field for unknown in silent}
        sea = 0.0 if "coast" in asked or not through else ingress.salt(site.coast)
        place = ingress.shelter_score(sits, rain, weather)
        score = through * (place + sea + ingress.air(weather))
        worst = ingress.SALT * ("coast" in asked) + (ingress.FOG + ingress.DRIVING_RAIN) * ("weather" in asked)
        figure = Figure("exposure to water", score, "of 10", high=score + through * worst)
        reading = Reading(
            figure,
            Ref("connector", subject.id, "seal"),
            facts={
                "connector": subject,
                "rain": rain,
                "salt": sea,
                "steps": (
                    f"place {place:.2f} = damp air {ingress.DAMP[sits]:.2f} + rain from {rain:.0%} of its directions",
                    f"salt {sea:.2f}, fog and driving rain {ingress.air(weather):.2f}",
                    f"times what the seal lets through, {through:.1f}: {score:.2f} of 10",
                ),
            },
        )
        yield reading
        if self.level(reading, figure.high, settings) != self.level(reading, figure.value, settings):
            yield from silent

    def tell(self, reading: Reading, q: Trial, settings: SealSettings) -> Told:
        """What is wet, how badly, and which seal can still be fitted."""
        del settings
        connector: Connector = reading.facts["connector"]
        dated = (
            f", and the tape's date, {connector.until}, has passed" if connector.until else ", with no date to renew it"
        )
        lacks = f"has only ordinary tape, a stopgap{dated}" if connector.seal == "tape" else "is not sealed"
        rain, sea = reading.facts["rain"], reading.facts["salt"]
        why = [
            f"{q.say.share(rain)} of the directions rain comes from reach it" if rain >= 0.01 else "damp air reaches it"
        ]
        why += ["salt air too"] if sea >= 0.25 else []
        text = (
            f"the {WHAT[connector.carries]} {connector.id} {WHERE[connector.sits or 'open']} {lacks}: {', '.join(why)}"
        )
        return Told(
            text,
            tuple(_remedies(connector, q)),
            "Switch the port's power off before the joint is opened, and seal it dry.",
            reading.facts["steps"],
        )


def _lets_through(connector: Connector, q: Query) -> tuple[str, float]:
    """Where it sits and what its seal lets through; asks only where the answer matters."""
    if connector.sits and ingress.is_dry(connector.sits):
        return connector.sits, 0.0
    today = q.today.isoformat()
    if connector.seal and not ingress.leak(connector.seal, connector.until, today):
        return connector.sits or "open", 0.0
    sits: str = q.need(connector, "sits")
    return sits, ingress.leak(q.need(connector, "seal"), connector.until, today)


def _remedies(connector: Connector, q: Trial) -> Iterator[Remedy]:
    """Two seals that fit now, and a closed box; only advice once a person has to record the work."""
    ref = Ref("connector", connector.id)
    up = bool(connector.spot and connector.spot.z > LADDER)
    early = ingress.BEFORE_THE_PLUG if not connector.terminated else ()
    fits = (*early[:1], ingress.AFTER_THE_PLUG[0], ingress.AFTER_THE_PLUG[-1])[:MOST]
    tries = [(f"fit {KIND[seal]}", Change("replace", ref.at("seal"), seal)) for seal in fits]
    tries.append(("bring the joint into a closed, sealed box", Change("replace", ref.at("sits"), "box")))
    if q.plan.site.stage == "design":
        yield from cures(q, tries, ladder=up)
    else:
        yield from (Remedy(f"{text}, and record it once it is done", ladder=up) for text, _ in tries)
    if connector.seal == "tape":
        yield Remedy("keep the tape for a while, and write the day it will be replaced (until)")
