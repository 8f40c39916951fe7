"""What a person buys or makes: tried in the model while the plan is a design, plain advice once it is built."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from oneclimb.api import Change, Remedy, Trial
from oneclimb_rules.cures import cures


def offered_at_design(q: Trial, ways: Iterable[tuple[str, Change]], *, ladder: bool = False) -> Iterator[Remedy]:
    """The ways that clear the finding; from stage ``ready`` on a person does the work and records it."""
    if q.plan.site.stage == "design":
        yield from cures(q, ways, ladder=ladder)
    else:
        yield from (Remedy(f"{text}, and record it once it is done", ladder=ladder) for text, _ in ways)
