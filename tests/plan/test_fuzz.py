"""Valid plans read, spoiled ones are told: never a crash, never a hang, always a place.

A longer run, outside the timed tests: ``python tests/plan/fuzz_many.py 20000``.
"""

from __future__ import annotations

import random
import time
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies_plan import plans, spoiled, spoiled_data, written
from written import read

from oneclimb.plan.faults import FAULTS
from oneclimb.plan.read import Loaded

QUICK = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


def hold(loaded: Loaded, text: str) -> None:
    """A plan or faults, never both; each fault with a known code, words, and a place in the text."""
    assert (loaded.plan is None) == bool(loaded.faults), text
    lines = max(text.count("\n") + text.count("\r") + 1, 1)
    for fault in loaded.faults:
        assert fault.code in FAULTS
        assert fault.text
        assert 1 <= fault.span.line <= fault.span.end_line <= lines + 1, (fault, text)
        assert (fault.span.line, fault.span.column) <= (fault.span.end_line, fault.span.end_column), (fault, text)


@QUICK
@given(plans(), st.sampled_from([None, False, True]))
def test_a_valid_plan_has_no_fault(data: dict[str, Any], flow: bool | None) -> None:
    text = written(data, flow=flow)
    loaded = read(text)
    assert loaded.plan is not None, (loaded.faults, text)
    assert len(loaded.plan.cameras) == len(data["cameras"])


@QUICK
@given(plans(), st.integers(0, 2**32))
def test_a_spoiled_text_is_told_and_never_crashes(data: dict[str, Any], seed: int) -> None:
    text = spoiled(written(data), seed)
    start = time.perf_counter()
    hold(read(text), text)
    assert time.perf_counter() - start < 5.0


@QUICK
@given(plans(), st.integers(0, 2**32))
def test_spoiled_values_are_told_and_never_crash(data: dict[str, Any], seed: int) -> None:
    text = written(spoiled_data(data, random.Random(seed)))  # noqa: S311 - reproducible on purpose
    hold(read(text), text)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=200))
def test_any_text_at_all_is_told(text: str) -> None:
    hold(read(text), text)
