"""The leaves of the field guide: each rule's page as it is written, before anything is drawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import LEVELS, Level, PackError
from oneclimb.web.guide_kinds import family
from oneclimb.web.guide_text import Text, text

if TYPE_CHECKING:
    from oneclimb.packs import Packs


class Leaf(Struct, frozen=True):
    """A page of the book: a rule's code, title and page, as it is written and as it is shown; the worst it finds, where
    its limits tell; the law it is of; whose pack it is.
    """

    code: str
    title: str
    written: str
    text: Text
    worst: Level | None
    instrument: str
    pack: str

    @property
    def family(self) -> str:
        """The chapter it is in."""
        return family(self.code)


def leaves(codes: Iterable[str], packs: Packs) -> tuple[list[Leaf], list[str]]:
    """The leaves of these rules; and why there are not more of them: a rule or its page that can't be read."""
    wanted = tuple(codes)
    found, faults = [], [f"{crash.pack}: {crash.text}" for crash in packs.crashes]
    for code in wanted:
        try:
            found.append(_leaf(code, wanted, packs))
        except (PackError, OSError, UnicodeError) as error:
            faults.append(f"{code}: {error}")
    return found, faults


def _leaf(code: str, codes: Sequence[str], packs: Packs) -> Leaf:
    rule, page = packs.rules[code], packs.page(code)
    limits = rule.settings().limits
    worst = next((level for level in reversed(LEVELS) if getattr(limits, level) is not None), None)
    name = packs.origin[code].name
    return Leaf(code, rule.info.title, page, text(page, codes, code), worst, rule.info.instrument, name)
