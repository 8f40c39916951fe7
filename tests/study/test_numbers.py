"""Small sums on whole numbers, against numpy's own."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.study.numbers import distinct


@given(st.lists(st.integers(-3, 500), max_size=60))
def test_the_different_ones_are_those_numpy_finds(numbers: list[int]) -> None:
    given_ = np.array(numbers, dtype=np.int32)
    assert distinct(given_).tolist() == np.unique(given_).tolist()
