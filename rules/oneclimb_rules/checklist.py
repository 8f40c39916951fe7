"""A checklist: plain facts the plan declares, each held against what it ought to be.

Nothing is computed here but the count; the words say "declared by the plan". What the plan is
silent about is asked, never assumed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, ClassVar

from msgspec import Struct

from oneclimb.api import LEVELS, Figure, Level, Limits, Reading, Ref, Remedy, Rule, Told
from oneclimb_rules.asks import unsaid

if TYPE_CHECKING:
    from oneclimb.api import Query, Settings, Trial, Unknown


class Item(Struct, frozen=True):
    """One line of a checklist.

    ``field`` is the plan's dotted key on the rule's subject; ``bad`` says of its value whether it is wrong;
    ``applies`` of the subject whether the question arises at all. ``text`` is what is wrong, with ``{id}`` and
    ``{value}``; ``remedy`` what to do about it; ``level`` how bad it is.
    """

    field: str
    bad: Callable[[Any], bool]
    text: str
    remedy: str
    level: Level = "warning"
    applies: Callable[[Any, Query], bool] = lambda _thing, _q: True
    caution: str = ""


class Checklist(Rule[Any]):
    """The base: a rule names its ``items``. A reading a line: 0 as it should be, else 1, 2 or 3 by the line's level."""

    items: ClassVar[tuple[Item, ...]]

    def measure(self, subject: Any, q: Query, settings: Settings) -> Iterable[Reading | Unknown]:
        """Each line that applies: what is declared, or the question."""
        del settings
        for item in self.items:
            if not item.applies(subject, q):
                continue
            silent = tuple(unsaid(q, subject, item.field))
            yield from silent
            if silent:
                continue
            value = q.need(subject, item.field)
            weight = 1.0 + LEVELS.index(item.level) if item.bad(value) else 0.0
            yield Reading(
                Figure("against the checklist", weight, "of 3"),
                Ref(self.subject, getattr(subject, "id", self.subject), item.field),
                key=item.field,
                facts={"item": item, "subject": subject, "value": value},
            )

    def tell(self, reading: Reading, q: Trial, settings: Settings) -> Told:
        """What is declared, and what to do."""
        del q, settings
        item: Item = reading.facts["item"]
        name = getattr(reading.facts["subject"], "id", "the site")
        text = f"{item.text.format(id=name, value=reading.facts['value'])} (declared by the plan)"
        return Told(text, (Remedy(item.remedy),), item.caution, bare=True)


COUNTED = Limits(note=0.5, warning=1.5, error=2.5)
"""the limits of a checklist's figure; a rule's settings start from them"""
