"""Plans made to be slow: each is told, or read, in a moment. Sizes are a tenth of what a plan may hold."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterable

import pytest

from plan.written import CAMERA, HOUSE, read


def several(count: int, entry: Callable[[int], str]) -> str:
    """A list's entries, a line each."""
    return ",\n".join(map(entry, range(count)))


def star(corners: int) -> str:
    """An outline with as many corners, every other one a notch."""
    points: Iterable[tuple[float, float]] = (
        (
            math.cos(2 * math.pi * k / corners) * (40 - 2 * (k % 2)),
            math.sin(2 * math.pi * k / corners) * (40 - 2 * (k % 2)),
        )
        for k in range(corners)
    )
    return "[" + ",".join(f"[{x:.2f},{y:.2f}]" for x, y in points) + "]"


def bins(count: int) -> str:
    """Objects with names much alike."""
    return f"objects: [{several(count, lambda i: f'{{id: object-number-{i}, kind: bin, at: [{i % 90}, -30]}}')}]\n"


def cameras(count: int, more: Callable[[int], str]) -> str:
    """Cameras on the front wall."""
    return f"cameras: [{several(count, lambda i: f'{{id: c{i}, mount: {{wall: front, height: 2.6}}{more(i)}}}')}]\n"


def odd_houses(count: int, eyes: int) -> str:
    """Houses of many corners in one place, and cameras in their notches."""
    houses = several(count, lambda i: f"{{id: b{i}, outline: {star(600)}}}")

    def eye(i: int) -> str:
        return f"{{id: c{i}, mount: {{at: [{41 * math.cos(i):.2f}, {41 * math.sin(i):.2f}]}}, aim: {{bearing: 0}}}}"

    return f"buildings: [{houses}]\ncameras: [{several(eyes, eye)}]"


PINS = "1-1 " * 99
FEEDS = several(900, lambda i: f"recorder-numbr-{i}")
HOSTILE = {
    "dangling aims": HOUSE + bins(2000) + cameras(200, lambda i: f", aim: object-numbr-{i}"),
    "dangling watches": HOUSE
    + bins(2000)
    + cameras(20, lambda i: f", watches: [{several(90, lambda j: f'objet{i}-{j}')}]"),
    "dangling conduits": HOUSE
    + f"conduits: [{several(5000, lambda i: f'{{id: conduit-number-{i}}}')}]\n"
    + f"cables: [{several(5000, lambda i: f'{{id: run-{i}, conduit: conduit-numbr-{i}}}')}]\n"
    + cameras(1, lambda _: ""),
    "dangling feeds": HOUSE
    + f"recorders: [{several(5000, lambda i: f'{{id: recorder-number-{i}}}')}]\n"
    + f"ups: [{several(20, lambda i: f'{{id: u{i}, feeds: [{FEEDS}]}}')}]\n"
    + cameras(1, lambda _: ""),
    "a long chain of switches, in a ring": HOUSE
    + f"switches: [{several(5000, lambda i: f'{{id: s{i}, to: s{(i + 1) % 5000}}}')}]\n"
    + cameras(1, lambda _: ""),
    "long exposures of digits": HOUSE + cameras(70, lambda _: f", clip: '{'1' * 4000}/{'0' * 4000}x'"),
    "long pin maps": HOUSE
    + cameras(1, lambda _: "")
    + f"cables: [{several(2000, lambda i: f'{{id: run-{i}, pins: {PINS}}}')}]",
    "spaces": HOUSE + cameras(70, lambda _: f", infrared: '2{' ' * 4000}x'"),
    "digits": HOUSE + cameras(70, lambda _: f", infrared: '{'2' * 4000}x'"),
    "a range of spaces": HOUSE
    + f"areas: [{{id: a, for: detect, wall: front, along: '2{' ' * 2000}to{' ' * 2000}x'}}]\ncameras: [{CAMERA}]",
    "unknown keys": HOUSE + cameras(1, lambda _: ", " + several(20_000, lambda i: f"key{i}: 1")),
    "unknown keys on top": HOUSE + cameras(1, lambda _: "") + "\n".join(f"key{i}: 1" for i in range(20_000)),
    "too many corners": HOUSE
    + f"boundary: {{outline: [{several(22_000, lambda i: f'[{i}, 1]')}]}}\n"
    + cameras(1, lambda _: ""),
    "nothing, often": HOUSE + f"cameras: [{several(100_000, lambda _: '~')}]",
    "many cameras alike": HOUSE + f"cameras: [{several(200, lambda _: CAMERA)}]",
    "odd houses": odd_houses(20, 200),
    "long fences": HOUSE
    + f"objects: [{several(2000, lambda i: f'{{id: o{i}, kind: fence, points: [[{i}, -2000], [2000, {-i}]]}}')}]\n"
    + cameras(200, lambda _: ""),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_plan_made_to_be_slow_is_soon_done(name: str) -> None:
    start = time.perf_counter()
    loaded = read(HOSTILE[name])
    assert time.perf_counter() - start < 6.0
    assert (loaded.plan is None) == bool(loaded.faults)
    assert len(loaded.faults) <= 101
