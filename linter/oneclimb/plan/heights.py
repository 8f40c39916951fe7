"""Heights that can't be meant: far above the wall a thing is fixed to, or below the ground."""

from __future__ import annotations

from oneclimb.plan.here import Here
from oneclimb.plan.model import Building
from oneclimb.plan.units import FOOT, INCH

_GABLE = 1.5
"""of the wall's height: a gable or dormer over it goes no higher (estimate)"""
_OVER = 6.0
"""m over a low wall: a steep roof with its chimney goes no higher (estimate)"""
_MAST = 50.0
"""m: nor does a mast that stands by itself (estimate)"""
_BY_IT = 2.0
"""m out from a wall: what is farther stands by itself"""
_SUNK = 0.1
"""m below the ground that a tape may be out by"""
_SLIPS = (("in", INCH), ("cm", 0.01), ("mm", 0.001))
"""units a bare number may have been meant in"""
_LEAST = 0.5
"""m: a slip is not explained by a height lower than this"""


def check_height(here: Here, z: float, building: str = "", out: float = 0.0, *, tall: float = 0.0) -> None:
    """A written ``height`` that puts a thing (from ``z``, ``tall`` high) where nothing can be fixed.

    ``building`` is the one its wall belongs to, ``out`` how far from the wall it is; m, site coordinates.
    """
    if here.has("height"):
        _below(here, z + tall)
        _above(here, z, here.c.buildings.get(building) if out <= _BY_IT and here.data.get("to") != "pole" else None)


def _below(here: Here, top: float) -> None:
    if top >= -_SUNK:
        return
    ground = min((0.0, *(house.base for house in here.c.buildings.values())))
    if top < ground - _SUNK:
        text = f"this is {here.c.say.fine(ground - top)} below the ground"
        here.fault("height", "PLAN-36", text, "`height` counts up from the ground")


def _above(here: Here, z: float, house: Building | None) -> None:
    """``house`` is the one whose wall it is fixed to, if any."""
    say = here.c.say
    if house is not None:
        top = _top(house)
        foot, most, what = house.base, _highest(top), f"the wall, which is {say.fine(top)} high"
    elif z > _MAST:
        tops = (house.base + _highest(_top(house)) for house in here.c.buildings.values())
        foot, most, what = 0.0, max((_MAST, *tops)), "anything to fix it to here"
    else:
        return
    if z - foot > most:
        text = f"{say.fine(z - foot)} up is far above {what}"
        here.fault("height", "PLAN-36", text, _slip(here, z - foot, most))


def _top(house: Building) -> float:
    """How high a building's walls go above its foot, m."""
    eave = house.eave.height if house.eave else 0.0
    return max(house.height, eave, house.storeys * house.storey_height if house.storeys > 1 else 0.0)


def _highest(top: float) -> float:
    """How high something on a roof over walls so high may be, m."""
    return max(_GABLE * top, top + _OVER)


def _slip(here: Here, height: float, most: float) -> str:
    """The unit the number was likely meant in, if one fits."""
    written = here.maybe("height") or 0.0
    feet = here.c.units == "feet"
    number, floor = written / (FOOT if feet else 1.0), height - written
    for unit, size in _SLIPS:
        if _LEAST <= number * size <= most - floor and (feet or unit != "in"):
            return f"is it {number:.6g} {unit}, which is {here.c.say.fine(number * size)}? write the unit with it"
    return ""
