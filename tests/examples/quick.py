"""Reviews of examples in-process, without the search for remedies: what is found, not what to do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.review import Review


@contextmanager
def no_trials() -> Iterator[None]:
    """Reviews in here try no remedy."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("oneclimb.review.MOST", 0)
        yield


def quick(text: str) -> Review:
    """A review of a plan's text that tries no remedy."""
    with no_trials():
        return kit.look(text)


def things(review: Review) -> set[Ref]:
    """Everything of a plan that a finding can be about or related to."""
    plan = review.loaded.plan
    assert plan is not None, review.loaded.faults
    listed: dict[str, Iterable[Any]] = {
        "building": plan.buildings,
        "land": plan.land,
        "object": plan.objects,
        "area": plan.areas,
        "lamp": plan.lamps,
        "camera": plan.cameras,
        "cable": plan.cables,
        "connector": [joint for cable in plan.cables for joint in cable.connectors],
    }
    return {Ref("site", "site")} | {Ref(kind, thing.id) for kind, all_ in listed.items() for thing in all_}
