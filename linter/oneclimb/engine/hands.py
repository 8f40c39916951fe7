"""Many hands: the same work on many things, shared out over processes where that is quicker.

The ray caster keeps the interpreter's lock, so threads do not serve. Processes are forked, so that they start with all
that has been read and cost no reading again; where the machine cannot fork safely (only Linux is trusted to) one hand
does it all. Whatever a process leaves undone, this one does: nothing is lost with it.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import ForkContext, ForkProcess
    from multiprocessing.sharedctypes import Synchronized

T = TypeVar("T")

PATIENCE = 20.0
"""s that the others are waited for, at least, when there is nothing left to take"""
SLOWER = 3.0
"""and how many times as long as this hand has worked: one that takes longer hangs"""


def hands() -> int:
    """How many processes may work here at once."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else 1


def shared_out(count: int, work: Callable[[int], T], many: int, step: Callable[[int], None] | None = None) -> list[T]:
    """``work(i)`` for every i below ``count``, in order, by up to ``many`` processes; each takes the next one left.

    The results are pickled. ``step(taken)`` is told how many have been taken up. ``work`` must not depend on order.
    """
    if many < 2 or count < 2:
        return [_told(work, i, step) for i in range(count)]
    context = multiprocessing.get_context("fork")
    following: Synchronized[int] = context.Value("i", 0)
    others = [_begun(context, count, work, following) for _ in range(min(many, count) - 1)]
    start = time.monotonic()
    try:
        done = dict(_taken(count, work, following, step))
        until = time.monotonic() + max(PATIENCE, SLOWER * (time.monotonic() - start))
        for _, ends in others:
            done |= _heard(ends, until)
    finally:
        for process, ends in others:
            process.terminate()
            process.join()
            ends.close()
    return [done[i] if i in done else work(i) for i in range(count)]


def _told(work: Callable[[int], T], i: int, step: Callable[[int], None] | None) -> T:
    result = work(i)
    if step:
        step(i + 1)
    return result


def _begun(
    context: ForkContext, count: int, work: Callable[[int], T], following: Synchronized[int]
) -> tuple[ForkProcess, Connection[None, dict[int, T]]]:
    """Another process at the same work, and the end at which its results come out."""
    out, into = context.Pipe(duplex=False)
    process = context.Process(target=_other, args=(count, work, following, into), daemon=True)
    process.start()
    into.close()
    return process, out


def _other(
    count: int, work: Callable[[int], T], following: Synchronized[int], into: Connection[dict[int, T], None]
) -> None:
    """What another process does; stopped with Ctrl-C it says nothing, the first one speaks for all."""
    try:
        into.send(dict(_taken(count, work, following, None)))
    except KeyboardInterrupt:
        os._exit(1)


def _taken(
    count: int, work: Callable[[int], T], following: Synchronized[int], step: Callable[[int], None] | None
) -> list[tuple[int, T]]:
    """What this process does of it."""
    done: list[tuple[int, T]] = []
    while True:
        with following.get_lock():
            i = following.value
            following.value = i + 1
        if i >= count:
            return done
        done.append((i, work(i)))
        if step:
            step(min(following.value, count))


def _heard(ends: Connection[None, dict[int, T]], until: float) -> dict[int, T]:
    """What a process did; nothing of one that died, or is not heard of in time."""
    try:
        return ends.recv() if ends.poll(max(0.0, until - time.monotonic())) else {}
    except (EOFError, OSError):
        return {}
