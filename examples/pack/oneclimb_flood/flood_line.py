"""FLOOD-01: a connector below a flood level that has been seen here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, ClassVar

from msgspec import Struct

from oneclimb.api import (
    Figure,
    Info,
    Kind,
    Limits,
    Query,
    Reading,
    Ref,
    Related,
    Remedy,
    Rule,
    Settings,
    Told,
    Trial,
    Unknown,
)
from oneclimb.plan.model import Connector


class FloodLine(Struct, frozen=True):
    """How high water has stood: height above the ground at the house, m."""

    id: str
    level: float


class FloodLines(Kind[FloodLine]):
    """``floods: [{id: winter-2024, level: 0.6 m}]`` at the top of a plan."""

    key = "floods"
    type = "flood"
    schema: ClassVar[Mapping[str, Any]] = {
        "type": "object",
        "title": "flood line",
        "description": "A level that water has reached.",
        "required": ["id", "level"],
        "additionalProperties": False,
        "properties": {
            "id": {
                "type": "string",
                "title": "id",
                "description": "What this flood is called.",
                "examples": ["winter-2024"],
            },
            "level": {
                "type": ["number", "string"],
                "title": "level",
                "description": "Height of the water above the ground at the house.",
                "unit": "length",
                "examples": ["0.6 m"],
            },
        },
    }

    def read(self, entry: Mapping[str, Any], context: Any) -> FloodLine:
        """A checked entry, its level in metres."""
        return FloodLine(entry["id"], context.length(entry["level"]))


class FloodSettings(Settings, frozen=True):
    """How far above the flood line a connector should sit."""

    limits: Limits = Limits(note=-0.15, warning=0.0)


class ConnectorUnderWater(Rule[Connector]):
    """How far under the highest flood line a connector sits."""

    info = Info(
        code="FLOOD-01",
        title="connector under the flood line",
        sources=("common practice",),
        page="flood_line.md",
    )
    subject = "connector"
    settings = FloodSettings

    def measure(self, connector: Connector, q: Query, settings: FloodSettings) -> Iterable[Reading | Unknown]:
        """Depth of the connector below the highest flood line, m (negative: above it)."""
        del settings
        floods = q.all("flood")
        if not floods:
            return
        spot = q.need(connector, "spot")
        worst = max(floods, key=lambda flood: flood.level)
        yield Reading(
            Figure("depth under water", worst.level - spot.z, "m"),
            Ref("connector", connector.id),
            related=(Related(Ref("flood", worst.id), f"{worst.id} stood {q.say.tape(worst.level)} high"),),
            facts={"flood": worst.id},
        )

    def tell(self, reading: Reading, q: Trial, settings: FloodSettings) -> Told:
        """How deep, and how high to go."""
        depth = reading.figure.value
        place = f"{q.say.tape(depth)} under" if depth > 0 else f"only {q.say.tape(-depth)} above"
        higher = q.say.tape(depth - (settings.limits.note or 0))
        return Told(
            f"{reading.at.id} sits {place} the water of {reading.facts['flood']}", (Remedy(f"fix it {higher} higher"),)
        )
