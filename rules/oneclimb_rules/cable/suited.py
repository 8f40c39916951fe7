"""A cable whose print says that it suits a place: chosen at the design, advised of afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oneclimb.api import Change, Ref, Remedy
from oneclimb_rules.cures import cures

if TYPE_CHECKING:
    from oneclimb.api import Trial
    from oneclimb.plan.model import Cable

WORDS = {
    "sun": "sunlight (outdoor polyethylene, or marked UV or sunlight resistant)",
    "wet": "wet places",
    "burial": "burial in earth (gel-filled or water-blocked)",
    "indoors": "indoors too",
}


def suited(cable: Cable, to: str, q: Trial) -> Iterator[Remedy]:
    """Another cable, tried while nothing is bought; what a jacket is, is no longer ours to write once it hangs."""
    text = f"choose a cable whose print or data sheet says it suits {WORDS[to]}"
    if q.plan.site.stage != "design":
        yield Remedy(f"replace it: {text}")
        return
    both = sorted({*(cable.suits or ()), to})
    yield from cures(q, [(text, Change("replace", Ref("cable", cable.id, "suits"), both))])
