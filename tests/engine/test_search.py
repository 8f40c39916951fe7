"""The search for the least step: whatever it gives has been asked and is good, however unevenly steps serve."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from oneclimb.engine.trial import _least

STEPS = st.lists(st.tuples(st.booleans(), st.booleans()), min_size=1, max_size=40)


@given(STEPS)
def test_what_is_given_was_seen_to_clear_and_to_bring_nothing(steps: list[tuple[bool, bool]]) -> None:
    seen: set[int] = set()

    def clears(i: int) -> bool:
        seen.add(i)
        return steps[i][0]

    found = _least(clears, lambda i: steps[i][1], len(steps) - 1)
    assert found is None or (found in seen and all(steps[found]))


@given(st.integers(0, 40), st.integers(0, 40), st.integers(1, 41))
def test_where_more_always_serves_better_the_least_is_found(clear_from: int, stand_from: int, count: int) -> None:
    found = _least(lambda i: i >= clear_from, lambda i: i >= stand_from, count - 1)
    least = max(clear_from, stand_from)
    assert found == (least if least < count else None)
