"""Reading the site as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Context, Here
from oneclimb.plan.model import Handling, Hill, Network, Site, Vec2
from oneclimb.plan.plain import Fields, measure, plain, within, word
from oneclimb.plan.units import quantity, span

NETWORK: Fields = {
    "password": word,
    "forwarded": word,
    "separate": word,
    "jacks": word,
    "updates": word,
    "uplink": measure("rate"),
}
HANDLING: Fields = {
    "purpose": word,
    "sign": word,
    "keeps": measure("days"),
    "most": measure("days"),
    "account": word,
    "labels": word,
    "drawing": word,
}


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
        clock=here.word("clock"),
        hills=_hills(here),
        protected=here.word("protected"),
        network=Network(**plain(here.at("network"), NETWORK)) if here.has("network") else None,
        handling=Handling(**plain(here.at("handling"), HANDLING)) if here.has("handling") else None,
    )


def _hills(here: Here) -> tuple[Hill, ...]:
    hills = []
    for i, entry in enumerate(here.data.get("hills", ())):
        one = Here(here.c, entry, (*here.path, "hills", i), here.thing, f"hills.{i}.")
        bearings = one.tried("bearings", partial(_bearings, entry["bearings"]))
        up = within("angle", 0, 90)(one, "up")
        if bearings and up is not None:
            hills.append(Hill(bearings, up))
    return tuple(hills)


def _bearings(text: str) -> Vec2:
    """Two bearings, clockwise from the first: the second may be the smaller number."""
    ends = span(text, "angle")
    if any(not 0 <= end <= 360 for end in ends) or ends[0] == ends[1]:
        raise UnreadableError("PLAN-16", f"{text!r} is not two compass bearings, such as 120 to 200")
    return ends


def _place(pair: list[Any]) -> tuple[float, float]:
    lat, lon = (quantity(v, "angle") for v in pair)
    if abs(lat) > 90 or abs(lon) > 180:
        raise UnreadableError("PLAN-16", f"{pair} is not a latitude (-90 to 90) and a longitude (-180 to 180)")
    return lat, lon
