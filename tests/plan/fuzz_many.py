"""Thousands of spoiled plans, outside the timed tests: ``python tests/plan/fuzz_many.py [how many] [seed]``.

Prints how many were tried, how they ended by code, and the slowest.
"""

from __future__ import annotations

import random
import sys
import time
import warnings
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from hypothesis.errors import NonInteractiveExampleWarning

from plan.strategies_plan import plans, spoiled, spoiled_data, written
from plan.test_fuzz import hold
from plan.written import read

SEEDS = 120
"""valid plans the spoiled ones are made from"""


def main(count: int, seed: int) -> None:
    """Try them."""
    warnings.simplefilter("ignore", NonInteractiveExampleWarning)
    chance = random.Random(seed)  # noqa: S311 - reproducible on purpose
    valid = [plans().example() for _ in range(SEEDS)]
    ends: Counter[str] = Counter()
    slowest = 0.0
    for i in range(count):
        data = chance.choice(valid)
        for _ in range(chance.randint(0, 3) if i % 2 else 0):
            data = spoiled_data(data, chance)
        text = written(data, flow=chance.choice([None, True, False])) if isinstance(data, dict) else repr(data)
        text = text if i % 2 else spoiled(text, chance.randrange(2**32))
        start = time.perf_counter()
        loaded = read(text)
        slowest = max(slowest, time.perf_counter() - start)
        hold(loaded, text)
        ends.update({fault.code for fault in loaded.faults} or {"a plan"})
    say = sys.stdout.write
    say(f"{count} inputs tried; slowest {slowest * 1000:.0f} ms\n")
    say("  ".join(f"{code}: {n}" for code, n in sorted(ends.items())) + "\n")


if __name__ == "__main__":
    main(*(int(word) for word in [*sys.argv[1:], *("4000", "1")[len(sys.argv) - 1 :]]))
