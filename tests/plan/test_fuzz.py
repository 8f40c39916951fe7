"""Valid plans read, spoiled ones are told: never a crash, never a hang, always a place.

A longer run, outside the timed tests: ``python tests/plan/fuzz_many.py 20000``.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import Struct
from msgspec.structs import replace

from oneclimb.plan.faults import FAULTS
from oneclimb.plan.read import Loaded
from oneclimb.plan.text import Document, parse
from plan.strategies_plan import plans, spoiled, spoiled_data, written
from plan.written import DATA, read

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


def _paths(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every key of a plan, however deep."""
    for key, value in data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ():
        if isinstance(data, dict):
            yield (*path, key)
        yield from _paths(value, (*path, key))


def _without(data: Any, path: tuple[Any, ...]) -> Any:
    if len(path) == 1:
        return {key: value for key, value in data.items() if key != path[0]}
    inner = _without(data[path[0]], path[1:])
    if isinstance(data, dict):
        return {**data, path[0]: inner}
    return [*data[: path[0]], inner, *data[path[0] + 1 :]]


SAID_ELSEWHERE = {
    ("beyond", "front"),  # `others` says it
    ("buildings", 0, "surfaces"),  # the building's surface does
    ("buildings", 0, "surfaces", "left"),
    ("cameras", 0, "infrared"),  # the camera's type does
    ("cameras", 0, "infrared", "range"),
}


@pytest.mark.parametrize("name", ["two-cameras.plan.yaml", "odd-site.plan.yaml"])
def test_each_key_left_out_is_a_fault_an_assumption_or_an_unknown(name: str) -> None:
    """Never a crash, and never a field that silently changes what it says."""
    document = parse(name, (DATA / name).read_text(encoding="utf-8"))
    assert isinstance(document, Document)
    before = read(document.text).plan
    assert before is not None
    silent = []
    for path in _paths(document.data):
        text = written(_without(document.data, path))
        loaded = read(text)
        hold(loaded, text)
        plan = loaded.plan
        things = path[0] in ("objects", "areas", "lamps", "cables", "neighbours", "deviations") and len(path) == 1
        if plan is None or plan.assumed != before.assumed or things or path in SAID_ELSEWHERE:
            continue
        if replace(plan, assumed=()) != replace(before, assumed=()) and _values(plan) >= _values(before):
            silent.append(path)
    assert not silent, "\n".join(map(str, silent))


def _values(thing: Any) -> int:
    """How many values a plan says: fewer where something has become unknown."""
    if isinstance(thing, Struct):
        return sum(_values(getattr(thing, field)) for field in thing.__struct_fields__)
    if isinstance(thing, (tuple, list)):
        return sum(map(_values, thing))
    if isinstance(thing, Mapping):
        return sum(map(_values, thing.values())) + len(thing)
    return int(thing not in (None, ""))
