"""Work shared out over processes: nothing lost, nothing in another order, nothing found that one hand does not find."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import pytest

from oneclimb import kit
from oneclimb.engine import hands
from oneclimb.review import Review, check

FORKS = sys.platform == "linux"
EXAMPLE = Path(__file__).parents[2] / "examples/two-cameras/cottage.plan.yaml"


def test_results_come_in_order_and_each_thing_is_taken_once() -> None:
    taken: list[int] = []
    got = hands.shared_out(50, lambda i: (i, os.getpid()), 2 if FORKS else 1, taken.append)
    assert [i for i, _ in got] == list(range(50))
    assert taken == sorted(taken)
    assert all(0 < so_far <= 50 for so_far in taken)  # none where the others were quicker


def test_more_than_one_process_works_where_the_machine_forks() -> None:
    def slow(_: int) -> int:
        time.sleep(0.05)
        return os.getpid()

    assert len(set(hands.shared_out(20, slow, 2 if FORKS else 1))) == (2 if FORKS else 1)


def test_what_a_process_that_dies_had_taken_is_done_again_here() -> None:
    me = os.getpid()

    def fragile(i: int) -> int:
        time.sleep(0.01)
        if os.getpid() != me:
            os._exit(9)
        return i * i

    assert hands.shared_out(12, fragile, 2 if FORKS else 1) == [i * i for i in range(12)]


def test_a_process_that_hangs_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hands, "PATIENCE", 0.3)
    monkeypatch.setattr(hands, "SLOWER", 0.0)
    me = os.getpid()

    def stuck(i: int) -> int:
        time.sleep(0.05 if os.getpid() == me else 60.0)
        return i

    start = time.monotonic()
    assert hands.shared_out(6, stuck, 2 if FORKS else 1) == list(range(6))
    assert time.monotonic() - start < 10.0


def test_an_error_here_stops_all() -> None:
    def wrong(_: int) -> int:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        hands.shared_out(4, wrong, 1)


def test_many_hands_find_what_one_finds() -> None:
    def by(number: int) -> Review:
        return check(str(EXAMPLE), kit.packs(), kit.schemas(), today=kit.DAY, hands=number)

    one, many = by(1), by(2 if FORKS else 1)
    assert one.findings
    assert one.findings == many.findings
    assert one.cannot_tell == many.cannot_tell
    assert one.accepted == many.accepted
    assert not many.crashes
