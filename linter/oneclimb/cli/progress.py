"""A counter on a terminal, for whoever waits longer than a second."""

from __future__ import annotations

import sys
import time

PATIENCE = 1.0
PAUSE = 0.1


class Progress:
    """Called as ``step(done, all)``; writes one changing line to standard error, and wipes it.

    Silent where standard error is no terminal, and for the first second.
    """

    def __init__(self, plans: int, what: str = "things looked at") -> None:
        self.plans, self.plan = plans, 0
        self.what = what
        self.shown = False
        self.next = time.monotonic() + PATIENCE if sys.stderr.isatty() else float("inf")

    def begin(self) -> None:
        """The next plan's turn."""
        self.plan += 1

    def step(self, done: int, everything: int) -> None:
        """So many things of this plan have been looked at."""
        now = time.monotonic()
        if now < self.next:
            return
        self.next = now + PAUSE
        which = f"plan {self.plan} of {self.plans}, " if self.plans > 1 else ""
        sys.stderr.write(f"\r\x1b[Kworking: {which}{done} of {everything} {self.what}")
        sys.stderr.flush()
        self.shown = True

    def end(self) -> None:
        """Wipe the line."""
        if self.shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
            self.shown = False
