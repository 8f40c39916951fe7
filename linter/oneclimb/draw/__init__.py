"""The pictures of a plan, each computed from what the studies know; nothing here is illustrated.

This file is the catalogue: what can be drawn, and where it is drawn. It imports no drawing library:
a picture's figure is made when it is asked for.
"""

from __future__ import annotations

import functools
import importlib
import itertools
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from oneclimb.api import Finding, Ref
from oneclimb.report import facts

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from oneclimb.engine.world import World
    from oneclimb.report.facts import Alike
    from oneclimb.review import Review

KINDS: Mapping[str, str] = {
    "site": "oneclimb.draw.site:pictures",
    "day": "oneclimb.draw.frames:days",
    "night": "oneclimb.draw.frames:nights",
    "ground": "oneclimb.draw.ground:pictures",
    "side": "oneclimb.draw.side:pictures",
    "other": "oneclimb.draw.worlds:others",
    "sun": "oneclimb.draw.sun:pictures",
    "volts": "oneclimb.draw.volts:pictures",
    "budget": "oneclimb.draw.budget:pictures",
    "battery": "oneclimb.draw.battery:pictures",
    "storage": "oneclimb.draw.storage:pictures",
}
"""by kind of picture, in the order of the report: the function that gives a plan's pictures of it, ``module:name``"""


class Picture(Struct, frozen=True, dict=True):
    """One picture. ``name`` is fit for a file's name and unique in a plan; ``said`` are its words, or finds them when
    they are asked for; ``about`` is the site, the camera or what else it is of; ``make`` draws it.
    """

    name: str
    kind: str
    title: str
    said: str | Callable[[], str]
    about: Ref
    make: Callable[[], Figure]
    finding: int = 0
    """the number of the finding it explains, 0 for none"""

    @functools.cached_property
    def words(self) -> str:
        """What it shows, with its figures, for whoever cannot see it."""
        return self.said if isinstance(self.said, str) else self.said()


class Sitting(Struct, frozen=True, dict=True):
    """What pictures are drawn from: a review, and the world it looked at."""

    review: Review
    world: World

    @functools.cached_property
    def numbered(self) -> list[tuple[int, Alike]]:
        """The findings in the report's order, each with the number it has in every drawing, from 1."""
        return list(enumerate(facts.alike(self.review), 1))

    def number(self, finding: Finding) -> int:
        """A finding's number; 0 where it is told together with another's."""
        return next((n for n, one in self.numbered if one.finding is finding), 0)


def pictures(sitting: Sitting, kinds: Iterable[str] = ()) -> Iterator[Picture]:
    """The pictures of some kinds, or of all, in the order of the catalogue and the plan, no two of one name: capitals
    don't tell files apart everywhere.
    """
    wanted, taken = set(kinds) or set(KINDS), set[str]()
    for kind, at in KINDS.items():
        if kind in wanted:
            module, _, name = at.partition(":")
            for picture in getattr(importlib.import_module(module), name)(sitting):
                yield _apart(picture, taken)


def _apart(picture: Picture, taken: set[str]) -> Picture:
    """A picture under its own name, or, where that is taken, with a number behind it; the name is taken then."""
    tries = (f"-{number}" if number > 1 else "" for number in itertools.count(1))
    name = next(name for end in tries if (name := f"{picture.name}{end}").casefold() not in taken)
    taken.add(name.casefold())
    return picture if name == picture.name else replace(picture, name=name)


def named(kind: str, *parts: str) -> str:
    """A picture's name: its kind and what it is of, in letters a file's name may have."""
    return "-".join([kind, *(re.sub(r"[^A-Za-z0-9_.]+", "-", part).strip("-.") or "x" for part in parts)])
