"""A figure with its doubt, the ends found only when asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable


class Doubt:
    """A value with the low and high end of what it could be; the ends are dear and come lazily."""

    __slots__ = ("_ends", "_others", "value")

    def __init__(self, value: float, others: Callable[[], Iterable[float]] | None = None) -> None:
        """``others`` gives the value at the corners of the doubt."""
        self.value = value
        self._others = others
        self._ends: tuple[float, float] | None = None

    @property
    def ends(self) -> tuple[float, float]:
        """The low and the high end."""
        if self._ends is None:
            values = [self.value, *(self._others() if self._others else ())]
            self._ends = (min(values), max(values))
        return self._ends

    @property
    def low(self) -> float:
        """The low end."""
        return self.ends[0]

    @property
    def high(self) -> float:
        """The high end."""
        return self.ends[1]

    def __repr__(self) -> str:
        return f"Doubt({self.value:.4g}, {self.low:.4g}..{self.high:.4g})"
