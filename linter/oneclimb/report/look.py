"""How the text looks: for people on a terminal, for programs in a pipe; colour; width."""

from __future__ import annotations

import os
import re
import shutil
import textwrap
from collections.abc import Mapping
from typing import IO

from msgspec import Struct

WIDEST = 100
NARROWEST = 40
GUTTER = 11
_TIE = "\u00a0"
_UNIT = re.compile(r"(?<=\d) (?=(?:%|m|mm|cm|ft|in|deg|px/m|lm|nm|GB|W|stops?)(?![\w/]))")
_STYLES = {
    "error": "1;31",
    "warning": "1;33",
    "note": "1;36",
    "head": "1",
    "faint": "2",
    "good": "1;32",
}


class Look(Struct, frozen=True):
    """``people``: the grouped sheet rather than one line a finding. ``width`` in characters."""

    people: bool = False
    colour: bool = False
    width: int = 80
    steps: bool = False

    @classmethod
    def of(cls, stream: IO[str], environment: Mapping[str, str] | None = None, *, steps: bool = False) -> Look:
        """What suits a stream; ``NO_COLOR`` (https://no-color.org) and a dumb terminal take the colour out."""
        env = os.environ if environment is None else environment
        people = stream.isatty()
        colour = people and not env.get("NO_COLOR") and env.get("TERM") != "dumb"
        columns = shutil.get_terminal_size().columns if people else WIDEST
        return cls(people, colour, max(NARROWEST, min(WIDEST, columns)), steps)

    def paint(self, text: str, style: str) -> str:
        """``text`` in a style, where there is colour."""
        return f"\x1b[{_STYLES[style]}m{text}\x1b[0m" if self.colour and style else text

    def row(self, label: str, text: str, style: str = "") -> list[str]:
        """A label in the gutter, right-aligned, and the text beside it, wrapped and hanging."""
        lines = wrap(text, self.width - GUTTER - 2) or [""]
        head = " " * max(0, GUTTER - len(label)) + self.paint(label, style)
        return [f"{head}  {lines[0]}", *(" " * (GUTTER + 2) + line for line in lines[1:])]


def wrap(text: str, width: int) -> list[str]:
    """``text`` in lines of at most ``width`` characters, broken at blanks only, never between a number and its unit."""
    held = tied(text)
    lines = textwrap.wrap(held, width, break_long_words=False, break_on_hyphens=False)
    return [line.replace(_TIE, " ") for line in lines]


def tied(text: str) -> str:
    """``text`` with each number tied to its unit by a blank at which no line is broken."""
    return _UNIT.sub(_TIE, text)
