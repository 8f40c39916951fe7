"""What the shapes of the site from above mean: of those that are on it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from oneclimb.draw.site_symbols import gear
from oneclimb.draw.site_things import COVERS

if TYPE_CHECKING:
    from oneclimb.plan.model import Plan

BETWEEN = "  ·  "
LETTERS = 150
"""of a line of the key, at the most"""


def key(plan: Plan) -> list[str]:
    """The key's lines."""
    return textwrap.wrap(BETWEEN.join(_parts(plan)), LETTERS, break_on_hyphens=False)


def _parts(plan: Plan) -> Iterator[str]:
    yield from ("square: error", "diamond: warning", "circle: note")
    lands, corners = {land.kind for land in plan.land}, [len(area.outline) for area in plan.areas]
    there: tuple[tuple[object, str], ...] = (
        (plan.cameras, "shaded: ground a camera sees, and on it a person well enough to detect"),
        ("neighbour" in lands, "hatched: a neighbour's"),
        ("neighbour" in lands and plan.cameras, "small crosses: neighbours in the picture"),
        ("public-way" in lands, "dotted ground: public way"),
        (plan.boundary, "dash and dot: boundary"),
        (max(corners, default=0) > 2, "bold dashes: what is wanted"),
        (1 in corners, "cross in a ring: a spot that is wanted"),
        (any(building.eave for building in plan.buildings), "thin dashes round a house: its eave"),
        (plan.lamps, "ring with rays: lamp"),
        (gear(plan), "crossed box: switch, recorder, supply or box"),
    )
    yield from (text for is_there, text in there if is_there)
    covers = dict.fromkeys(leg.cover for cable in plan.cables for leg in cable.legs or ())
    told = [said for cover, (_, said) in COVERS.items() if cover in covers]
    if told:
        yield f"cables: {', '.join(told)}"
