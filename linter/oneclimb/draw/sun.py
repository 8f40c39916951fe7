"""The sun and each camera: its paths through the frame, and the hours of the year at which it stands there."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.charts import SMALL, WIDE, small
from oneclimb.draw.sun_frame import frame
from oneclimb.draw.sun_year import classes, hours, year
from oneclimb.report import words
from oneclimb.report.quote import quote
from oneclimb.study import SUN
from oneclimb.study.sun import HILLS
from oneclimb.trade.months import MONTHS

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.plan.model import Camera
    from oneclimb.study.sun import Sun

LEFT, INNER = 15.0, WIDE - 17.0
"""mm left of both parts, and of their width"""
TOP, BETWEEN, YEAR, FOOT = 2.0, 13.0, 46.0, 12.0
"""mm: over the frame, between it and the year, the year, and under it"""
KEY = (
    "solid: the sun's path about the 21st of the months named",
    "dotted: hidden; thin: each full hour of the clock, over the year",
)
TALLEST = 80.0
"""mm of a frame at the most"""


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One a camera outdoors, or behind a pane, in whose frame the sun would ever stand if nothing hid it; none where
    the plan does not say where the site is.
    """
    for camera in sitting.world.plan.cameras:
        if camera.sits == "indoors" and camera.behind is None:
            continue
        try:
            found = sitting.world.of(SUN, camera)
        except Unknown:
            return
        if found.look.inside.any():
            make = functools.partial(_drawn, sitting, camera, found)
            at, told = Ref("camera", camera.id), _words(camera, found)
            yield Picture(named("sun", camera.id), "sun", _title(camera, found), told, at, make)


def _title(camera: Camera, found: Sun) -> str:
    """As the rule on it says: possible hours, under a clear sky."""
    whole, near = found.in_frame.value, found.near.value
    if not whole:
        return f"The sun is never in {camera.id}'s frame: what stands about hides it"
    wanted = f", {near:.0f} of them near what is wanted" if near else ""
    return f"The sun stands in {camera.id}'s frame up to {whole:.0f} hours of the year{wanted}"


def _drawn(sitting: Sitting, camera: Camera, found: Sun) -> Figure:
    world, (wide, high) = sitting.world, camera.pixels
    across = min(INNER, TALLEST * wide / high)
    tall = across * high / wide
    whole = TOP + tall + BETWEEN + YEAR + FOOT
    figure = ink.sheet(WIDE, whole)
    figure.set_layout_engine("none")
    above = figure.add_axes((LEFT / WIDE, 1.0 - (TOP + tall) / whole, across / WIDE, tall / whole))
    below = figure.add_axes((LEFT / WIDE, FOOT / whole, INNER / WIDE, YEAR / whole))
    frame(above, camera, world, found, across)
    for line, said in enumerate(KEY):
        style: dict[str, Any] = {"size": SMALL, "va": "top", "xycoords": "axes fraction", "textcoords": "offset points"}
        above.annotate(said, (0.0, 0.0), (0.0, -4.0 - 10.0 * line), **style)
    small(below)
    year(below, world.plan.site, found, world.today.year)
    return figure


def _words(camera: Camera, found: Sun) -> str:
    """When, how long, and what hides it, as the rule on it tells."""
    name = quote(camera.id)
    told = [
        "Possible hours of the year under a clear sky, by the clock without summer time.",
        f"{quote(_title(camera, found))}.",
    ]
    if found.spells:
        told.append(f"When: {'; '.join(spell.words for spell in found.spells)}.")
        months = [f"{month} {count:.0f}" for month, count in zip(MONTHS, found.months, strict=True) if count >= 0.5]
        told.append(f"Hours by month: {', '.join(months)}.")
    hidden = hours(found, classes(found)["hidden"])
    if hidden:
        by = sorted(found.hidden.items(), key=lambda one: -one[1])
        whose = [f"{_called(ref)} {count:.0f}" for ref, count in by]
        told.append(f"Hidden from {name} for {hidden:.0f} hours more, by {words.listed(whose)}.")
    return " ".join(told)


def _called(ref: Ref) -> str:
    return "the hills" if ref == HILLS else words.thing(ref.kind, ref.id)
