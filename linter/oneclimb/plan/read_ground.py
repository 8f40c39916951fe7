"""Reading areas and lamps."""

from __future__ import annotations

from collections.abc import Mapping

from oneclimb.plan.faults import ToldError, UnreadableError
from oneclimb.plan.heights import check_height
from oneclimb.plan.here import Context, Here, nearest
from oneclimb.plan.model import Area, Lamp, Object, Vec
from oneclimb.plan.outline import anticlockwise, crosses
from oneclimb.plan.where import centre, patch, spot

TARGET = 1.5
"""m: the height that matters where an area doesn't say: an adult's face (common practice)"""
LAMP = 2.2
"""m: the usual height of a lamp beside or above a door (common practice)"""


def read_area(here: Here) -> Area | None:
    """A wanted or unwanted piece of ground."""
    outline = patch(here)
    height = here.size("height", TARGET)
    if outline is None:
        return None
    if len(outline) > 2:
        outline = anticlockwise(outline)
        if crosses(outline):
            here.fault(
                "points" if here.has("points") else "", "PLAN-25", "the area crosses itself, or encloses nothing"
            )
            return None
    private = here.flag("private", "not a private room")
    if private and here.data["for"] != "avoid":
        here.fault("private", "PLAN-32", f"a private room is not for `{here.data['for']}`", "write `for: avoid`")
    base = here.c.buildings[here.c.building(here.data.get("building")).id].base if here.has("wall") else 0.0
    return Area(
        id=here.thing[1],
        task=here.data["for"],
        outline=outline,
        height=height,
        when=here.word("when", "both"),
        base=base,
        private=private,
        pace=here.maybe("pace", "speed"),
    )


def read_lamp(here: Here, targets: Mapping[str, Area | Object]) -> Lamp | None:
    """A lamp."""
    placed = spot(here, LAMP, 0.1)
    kind = here.word("kind")
    range_ = here.maybe("range")
    aim = _aimed(here, targets) if here.has("aim") else None
    lit = here.word("lit")
    beam = here.maybe("beam", "angle")
    here.absent("beam", "light all round")
    here.absent("aim", "straight down" if beam else "no aim")
    shade = here.flag("shade", "no shade")
    if placed is None:
        return None
    if aim == placed.xyz:
        here.fault("aim", "PLAN-30", "the lamp is aimed at its own place")
    check_height(here, placed.z, placed.building, placed.out)
    return Lamp(here.thing[1], placed, here.maybe("lumens", "flux"), kind, beam, aim, lit, range_, shade)


def _aimed(here: Here, targets: Mapping[str, Area | Object]) -> Vec | None:
    if isinstance(here.data["aim"], str):
        return here.tried("aim", lambda: target(here.c, here.data["aim"], targets))
    placed = spot(here.at("aim"))
    return placed.xyz if placed else None


def target(c: Context, name: str, targets: Mapping[str, Area | Object]) -> Vec:
    """The point aimed at: the middle of an area at half the height that matters, or of an object."""
    if c.lost(name, targets, "area", "object"):
        raise ToldError
    if name not in targets:
        raise UnreadableError("PLAN-19", f"no area or object is called `{name}`", nearest(name, targets))
    thing = targets[name]
    if isinstance(thing, Area):
        x, y = centre(thing.outline)
        return (x, y, thing.base + thing.height / 2)
    if thing.to is not None:
        a, b = thing.spot, thing.to
        return ((a.x + b.x) / 2, (a.y + b.y) / 2, (a.z + b.z) / 2)
    top = thing.tall + (thing.trunk[0] if thing.trunk else 0.0)
    return (thing.spot.x, thing.spot.y, thing.spot.z + top / 2)
