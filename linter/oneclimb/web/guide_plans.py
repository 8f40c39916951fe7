"""The two plans of a page side by side: which lines bring findings, which lines and words differ."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence

from msgspec import Struct

from oneclimb import kit
from oneclimb.report import facts
from oneclimb.report.look import Look
from oneclimb.report.quote import quote
from oneclimb.report.text import text
from oneclimb.review import Review
from oneclimb.web.told import Told

_WORDS = re.compile(r"[\w.#/-]+(?: [A-Za-z]{1,3}\b)?|\s+|.")
"""what may differ within a line: a word, a number with its unit, a blank, a sign"""


class Bit(Struct, frozen=True):
    """Part of a line, the same in the other plan or not."""

    text: str
    differs: bool = False


class Line(Struct, frozen=True):
    """A line of a plan: its parts, whether it differs, and the findings that it brings."""

    bits: tuple[Bit, ...]
    differs: bool
    told: tuple[Told, ...] = ()


def bare(plan: str) -> str:
    """A page's plan without the marks of what is expected of it."""
    return "".join(f"{kit.MARK.sub('', line).rstrip()}\n" for line in plan.splitlines())


def compared(before: str, after: str) -> tuple[list[Line], list[Line]]:
    """The lines of two plans, what differs marked in each."""
    old, new = before.splitlines(), after.splitlines()
    left: list[Line] = []
    right: list[Line] = []
    for how, i, j, k, m in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if how == "equal":
            same = [Line((Bit(line),), differs=False) for line in old[i:j]]
            left += same
            right += same
        elif how == "replace" and j - i == m - k:
            pairs = [_apart(a, b) for a, b in zip(old[i:j], new[k:m], strict=True)]
            left += [a for a, _ in pairs]
            right += [b for _, b in pairs]
        else:
            left += [Line((Bit(line),), differs=True) for line in old[i:j]]
            right += [Line((Bit(line),), differs=True) for line in new[k:m]]
    return left, right


def _apart(before: str, after: str) -> tuple[Line, Line]:
    """Two lines of which one took the other's place, the words that differ marked."""
    a, b = _WORDS.findall(before), _WORDS.findall(after)
    codes = difflib.SequenceMatcher(None, a, b, autojunk=False).get_opcodes()
    left = tuple(Bit("".join(a[i:j]), how != "equal") for how, i, j, _, _ in codes if j > i)
    right = tuple(Bit("".join(b[k:m]), how != "equal") for how, _, _, k, m in codes if m > k)
    return Line(left, differs=True), Line(right, differs=True)


def marked(lines: Sequence[Line], told: Sequence[Told]) -> tuple[Line, ...]:
    """Lines with the findings they bring."""
    return tuple(
        Line(line.bits, line.differs, tuple(one for one in told if one.place.line == number))
        for number, line in enumerate(lines, 1)
    )


def said(review: Review) -> tuple[str, ...]:
    """What the command says of a plan in a pipe: a line a finding or fault, then what it comes to."""
    name, levels = re.escape(quote(review.path)), "|".join(facts.counts([]))
    lines = text([review], Look()).splitlines()
    found = [line for line in lines if re.match(rf"{name}:\d+:\d+: ({levels}): ", line)]
    return (*found, *[line for line in lines if re.match(rf"{name}: ", line)][:1])
