"""Questions for what the plan does not say, where a finding stands without the answer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from oneclimb.api import Unknown

if TYPE_CHECKING:
    from oneclimb.api import Query


def unsaid(q: Query, thing: Any, *fields: str) -> Iterator[Unknown]:
    """A question for each of a thing's fields that the plan is silent about."""
    for field in fields:
        try:
            q.need(thing, field)
        except Unknown as unknown:
            yield unknown
