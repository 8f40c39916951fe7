"""Reading the site as a whole."""

from __future__ import annotations

from oneclimb.plan.faults import Unreadable
from oneclimb.plan.here import Context, Here
from oneclimb.plan.model import Site
from oneclimb.plan.units import quantity


def read_site(c: Context, data: dict[str, object]) -> Site:
    """The site, from the plan's data."""
    here = Here(c, data.get("site", {}), ("site",), ("site", "site"))  # type: ignore[arg-type]
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


def _place(pair: list[object]) -> tuple[float, float]:
    lat, lon = (quantity(v, "angle") for v in pair)  # type: ignore[arg-type]
    if abs(lat) > 90 or abs(lon) > 180:
        raise Unreadable("PLAN-16", f"{pair} is not a latitude (-90 to 90) and a longitude (-180 to 180)")
    return lat, lon
