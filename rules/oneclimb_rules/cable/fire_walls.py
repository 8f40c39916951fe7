"""CABLE-14: cables through fire walls and air spaces."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from oneclimb.api import Info, Limits, Settings
from oneclimb_rules.checklist import COUNTED, Checklist, Item
from oneclimb_rules.heeds import NOTHING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.api import Query
    from oneclimb.plan.model import Cable

CAUTION = (
    "Ask before drilling a fire wall: what runs in it, what it is made of, and who may close it. Local code decides."
)


class FireSettings(Settings, frozen=True):
    """0 as it should be, else 1, 2 or 3 by the line's level."""

    limits: Limits = COUNTED


def _fire_wall(cable: Cable, q: Query) -> bool:
    del q
    return "fire wall" in cable.through


def _air_space(cable: Cable, q: Query) -> bool:
    del q
    return "air space" in cable.through


def _open(stopped: bool) -> bool:
    return not stopped


def _unfit(suits: Sequence[str]) -> bool:
    return "air space" not in suits


class FireWalls(Checklist):
    """Two lines: the hole through a fire wall is stopped; what runs in an air space is made for it."""

    info = Info(
        code="CABLE-14",
        title="fire wall or air space",
        sources=(
            "NEC 300.21 and 300.22(C), 800.179: stopped holes, plenum cable in air spaces (from memory, check against "
            "the document)",
            "common practice (local code decides)",
        ),
        page="fire_walls.md",
    )
    subject: ClassVar[str] = "cable"
    heeds = NOTHING
    settings = FireSettings
    items: ClassVar[tuple[Item, ...]] = (
        Item(
            "fire-stopped",
            _open,
            "the hole of {id} through a fire wall is not stopped",
            "have it stopped with a system tested for that wall and cable, and record it",
            "error",
            _fire_wall,
            CAUTION,
        ),
        Item(
            "suits",
            _unfit,
            "{id} runs in a space that moves air for breathing, and its jacket is not said to suit that",
            "take it out of that space, or run cable marked for it (plenum)",
            "warning",
            _air_space,
        ),
    )
