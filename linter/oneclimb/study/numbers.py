"""Small sums on whole numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    Numbers = npt.NDArray[np.integer]
    Index = npt.NDArray[np.int64]


def distinct(numbers: Numbers) -> Index:
    """The different ones of numbers (k,) that lie close together, ascending.

    ``np.unique`` does it too, and imports numpy's masked arrays for it, which takes longer than all a plan asks of it.
    """
    if not len(numbers):
        return np.empty(0, dtype=np.int64)
    least = numbers.min()
    return np.asarray(np.flatnonzero(np.bincount(numbers - least)) + least)
