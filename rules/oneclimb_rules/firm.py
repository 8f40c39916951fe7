"""The first of a remedy's steps after which a figure's worse end passes too, not only its middle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from oneclimb.api import Change, Reading, Rule, Unknown

if TYPE_CHECKING:
    from oneclimb.api import Trial


def firmly(rule: Rule[Any], reading: Reading, q: Trial, settings: Any, steps: Sequence[Sequence[Change]]) -> int:
    """The index of the first step (from least to most) that is firm; 0 where none is: the search then has them all."""
    for i, step in enumerate(steps):
        after = _after(rule, reading, q, settings, step)
        if after:
            figure = after.settled().figure
            worse = figure.high if figure.good == "low" else figure.low
            if rule.level(after, worse, settings) is None:
                return i
    return 0


def _after(rule: Rule[Any], reading: Reading, q: Trial, settings: Any, step: Sequence[Change]) -> Reading | None:
    """The reading after a step; None where the plan would not stand, or not tell."""
    try:
        world = q.vary(*step)
        items = rule.measure(world.get(reading.at.thing), world, settings)
        return next((one for one in items if isinstance(one, Reading) and one.key == reading.key), None)
    except (Unknown, ValueError):
        return None
