"""Words under a line of ground, each led to its place by a thin line, none over another and no line through words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from oneclimb.draw import ink
from oneclimb.draw.ground_plan import LETTER
from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from oneclimb.draw.ground_plan import Ground

SIZE, PITCH, GAP = 6.5, 3.5, 0.8
"""points of the words; mm from row to row, and between a line and its words"""


class Callout(Struct, frozen=True):
    """What is said of a place ``at`` m along, in which colour, led from ``high`` m up."""

    at: float
    said: str
    colour: str = ink.INK
    high: float = 0.0

    @property
    def wide(self) -> float:
        """Mm the words take with their line."""
        return len(quote(self.said)) * LETTER * SIZE / 8.0 + 2.0 * GAP


def rows(callouts: Iterable[Callout], scale: float) -> list[tuple[Callout, int]]:
    """Each with its row, from 0, right to left: words stand right of their line, so that a line that leads down passes
    left of all words it could cross. ``scale`` mm a metre.
    """
    placed: list[tuple[Callout, int]] = []
    starts: list[float] = []
    for one in sorted(callouts, key=lambda one: -one.at):
        at = one.at * scale
        row = next((i for i, start in enumerate(starts) if at + one.wide <= start), len(starts))
        starts[row:] = [at, *starts[row + 1 :]]
        starts[:row] = [min(start, at - GAP) for start in starts[:row]]
        placed.append((one, row))
    return placed


def under(sheet: Ground, placed: Iterable[tuple[Callout, int]], ground: float) -> None:
    """Rows of callouts under the height 0, the first ``ground`` mm lower."""
    mm = sheet.metre
    for one, row in placed:
        y = -(ground + (row + 0.5) * PITCH) * mm
        sheet.axes.plot([one.at, one.at], [one.high, y - mm], color=one.colour, linewidth=ink.THIN, zorder=2.2)
        style: dict[str, Any] = {"size": SIZE, "color": one.colour, "ha": "left", "va": "center"}
        sheet.axes.text(one.at + GAP * mm, y, quote(one.said), zorder=9.0, **style)
