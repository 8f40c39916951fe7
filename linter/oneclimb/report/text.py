"""The text form: lines in a pipe, a sheet on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from oneclimb.report.lines import lines
from oneclimb.report.look import Look
from oneclimb.report.sheet import sheet
from oneclimb.review import Review


def text(reviews: Sequence[Review], look: Look) -> str:
    """The whole report, ending in a newline."""
    return "".join(f"{line}\n" for line in (sheet if look.people else lines)(reviews, look))
