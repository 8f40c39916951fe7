"""Reading the site as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Context, Here
from oneclimb.plan.model import Site
from oneclimb.plan.units import quantity


def read_site(c: Context, data: Mapping[str, Any]) -> Site:
    """The site, from the plan's data."""
    here = Here(c, data.get("site", {}), ("site",), ("site", "site"))
    c.paths["site", "site"] = ("site",)
    weather = here.word("weather")
    c.plus_y = here.size("plus-y", 0.0, "angle", "north")
    return Site(
        name=here.data.get("name", ""),
        place=here.tried("place", lambda: _place(here.data["place"])) if here.has("place") else None,
        country=here.word("country"),
        coast=here.maybe("coast"),
        weather=None if weather is None else tuple(weather),
        temperature=here.range("temperature", "temperature"),
        stage=here.word("stage", "design"),
        plus_y=c.plus_y,
    )


def _place(pair: list[Any]) -> tuple[float, float]:
    lat, lon = (quantity(v, "angle") for v in pair)
    if abs(lat) > 90 or abs(lon) > 180:
        raise UnreadableError("PLAN-16", f"{pair} is not a latitude (-90 to 90) and a longitude (-180 to 180)")
    return lat, lon
