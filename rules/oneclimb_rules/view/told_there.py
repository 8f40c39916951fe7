"""What takes an area's night that another rule tells, with its loss: a pane, something near the lens, a lamp."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from oneclimb.api import Change, Ref
from oneclimb.study import DARK, NIGHT, PANE
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.study.after_dark import AfterDark
    from oneclimb.study.night import Night

TOLD = 0.80
"""what is left of the night view at most for the other rule to tell of more than a note"""
PANE_RULE, BOUNCE_RULE, LAMP_RULE = "GLARE-04", "GLARE-01", "GLARE-03"


class Cause(NamedTuple):
    """What takes it, the rule that tells of it, and what would be usable of the area without it, 0 to 1."""

    ref: Ref
    rule: str
    without: float

    @property
    def words(self) -> str:
        """The world without it: ``without the light off downpipe``, ``with porch unlit``, ``without its own pane``."""
        if self.rule == LAMP_RULE:
            return f"with {self.ref.id} unlit"
        return f"without {'the light off ' * (self.rule == BOUNCE_RULE)}{called(self.ref)}"


def cause(dark: AfterDark, area: str, state: str, q: Query, enough: Callable[[float], bool]) -> Cause | None:
    """The one thing without which enough of an area would be usable in a state of the lights; None where there is none,
    or where its loss over all that the camera is for is too little for the other rule to tell of it.
    """
    for ref, rule, without in _worlds(dark, area, state, q, enough):
        view = without.view(DARK)
        usable = view.usable[area].value
        if enough(usable) and dark.night.view(state).kept(view).value <= TOLD:
            return Cause(ref, rule, usable)
    return None


def _worlds(
    dark: AfterDark, area: str, state: str, q: Query, enough: Callable[[float], bool]
) -> Iterator[tuple[Ref, str, Night]]:
    """What may be it, and the night without it, all lamps out."""
    night, camera = dark.night, dark.night.camera
    lamp = Ref("lamp", state)
    if state != DARK:
        if lamp in night.lights.index:
            yield lamp, LAMP_RULE, night
        return
    if camera.behind is not None:
        pane = Ref("camera", camera.id, "behind")
        plain = q.vary(Change("replace", pane.at("behind.coated"), by=False)) if camera.behind.coated else q
        yield pane, PANE_RULE, plain.of(PANE, plain.get(Ref("camera", camera.id))).clear
    parts = [part.ref for part in night.contributions() if part.ref.kind not in {"lamp", "camera", "site"}]
    everything = q.vary(*(Change("dark", ref) for ref in parts)).of(NIGHT, camera)
    if parts and enough(everything.view().usable[area].value):
        yield from ((ref, BOUNCE_RULE, q.vary(Change("dark", ref)).of(NIGHT, camera)) for ref in parts)
