"""Hypothesis strategies that others are made of: lengths, ranges, mappings with some of their keys."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st


def number(low: float, high: float) -> st.SearchStrategy[float]:
    """A number to two decimals."""
    return st.floats(low, high, allow_nan=False).map(lambda x: round(x, 2))


@st.composite
def lengths(draw: st.DrawFn, low: float, high: float) -> Any:
    """A length in metres, written one way or another."""
    metres = draw(number(low, high))
    ways = [metres, f"{metres} m", f"{metres * 100:.0f} cm", f"{metres:.2f}m"]
    return draw(st.sampled_from(ways))


@st.composite
def ranges(draw: st.DrawFn, low: float, high: float) -> str:
    """A range that lies in bounds, low first, not empty."""
    a = draw(number(low, high - 0.5))
    b = draw(number(a + 0.2, high))
    return f"{a} to {b}{draw(st.sampled_from(['', ' m']))}"


def optional(**keys: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """A mapping with any of the keys."""
    return st.fixed_dictionaries({}, optional=keys)
