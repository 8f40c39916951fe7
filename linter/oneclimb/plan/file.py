"""A plan's file as text: read whole, bounded, UTF-8 or refused."""

from __future__ import annotations

import codecs
import stat
from pathlib import Path
from typing import Any, NamedTuple

from oneclimb.plan.faults import START, Fault, Span
from oneclimb.plan.limits import Limits, passed

_WIDE_MARKS = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


_KNOWN = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"%PDF-", "a PDF document"),
    (b"PK\x03\x04", "a ZIP archive, or a document of a word processor or spreadsheet"),
    (b"\xd0\xcf\x11\xe0", "a document of an old word processor or spreadsheet"),
    (b"\x1f\x8b", "a compressed file"),
    (b"{\\rtf", "a document of a word processor"),
)
"""how files that are no plain text begin: the signatures of their own specifications"""
_UNSEEN = bytes(n for n in range(32) if n not in b"\t\n\r\x1b")
_BINARY = 0.05
"""of the first bytes: more control characters than this no text has (estimate; random bytes have 0.11)"""


class StopReading(Exception):  # noqa: N818 - it stops the reading, it is not a failure
    """The text can't be read on from here."""

    def __init__(self, code: str, text: str, mark: Any = None, hint: str = "") -> None:
        super().__init__(text)
        span = START if mark is None else Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2)
        self.fault = Fault(code, text, span, hint)


def read_bytes(path: str, limits: Limits) -> bytes:
    """A plan's bytes, from a plain file that is not too large. Raises ``StopReading``."""
    try:
        if not stat.S_ISREG(Path(path).stat().st_mode):
            raise StopReading("PLAN-01", "this is a folder or a device, not a plan's file")
        with Path(path).open("rb") as file:
            raw = file.read(limits.file_bytes + 1)
    except FileNotFoundError:
        raise StopReading("PLAN-01", "there is no such file") from None
    except PermissionError:
        raise StopReading("PLAN-01", "this file may not be read: no permission") from None
    except (OSError, ValueError) as error:
        raise StopReading(
            "PLAN-01", f"this file can't be read: {getattr(error, 'strerror', None) or 'not a file name'}"
        ) from None
    if len(raw) > limits.file_bytes:
        raise StopReading("PLAN-02", passed("file_bytes", f"the plan is larger than {limits.file_bytes} bytes"))
    return raw


def decode(raw: bytes) -> str:
    """UTF-8 text, without its byte order mark. Raises ``StopReading`` at the first byte that is not."""
    if raw.startswith(_WIDE_MARKS) or (raw[:4].count(0) and b"\x00" in raw[:2]):
        raise StopReading("PLAN-03", "this is UTF-16 or UTF-32 text: save the plan as UTF-8")
    what = _no_text(raw)
    if what:
        raise StopReading("PLAN-03", f"this is {what}, not a plan: a plan is plain text, as a text editor saves it")
    raw = raw.removeprefix(codecs.BOM_UTF8)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")
        raise StopReading(
            "PLAN-03",
            "the character here is not UTF-8: save the plan as UTF-8 (in the editor: Save as, encoding UTF-8)",
            after(before),
        ) from None


def _no_text(raw: bytes) -> str:
    """What a file is that is no text; empty for text."""
    for begins, what in _KNOWN:
        if raw.startswith(begins):
            return what
    head = raw[:1024]
    unseen = len(head) - len(head.translate(None, _UNSEEN))
    return "a program's data" if unseen > _BINARY * len(head) and unseen > 1 else ""


class _Place(NamedTuple):
    """A place in the text, counted from 0."""

    line: int
    column: int


def after(before: str) -> _Place:
    """Where a text ends."""
    return _Place(before.count("\n"), len(before) - before.rfind("\n") - 1)
