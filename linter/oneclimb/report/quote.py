"""The one door for text that came out of a plan.

Ids, names, reasons and file names are written by strangers, and every message holds some.
What leaves through ``quote`` can't move a terminal's cursor, hide or turn text round,
start a line of its own, or be taken by a CI host for one of its commands. ``quote_sarif``
also breaks what a SARIF viewer would follow or fill in: ``[text](target)`` and ``{0}``.
"""

from __future__ import annotations

import json
import re
import unicodedata

_NAMES = {"\n": r"\n", "\r": r"\r", "\t": r"\t"}
# Letters by their category that draw nothing: Hangul fillers and the blank Braille cell.
_BLANK = frozenset("\u115f\u1160\u3164\uffa0\u2800")
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_COMMAND = re.compile(r"(?<!\S):+(?=:)|#(?=#)")
_LINK = re.compile(r"\](?=[(\[])")
_BRACE = re.compile(r"\{\s*(\d+)\s*\}")
OUTER = 5
"""levels of a JSON document that are spread over lines: a finding's parts have one each"""
_PLAIN = re.compile(r"[ -~]*")


def quote(text: str) -> str:
    """``text`` on one line, with everything unseen written out and no CI command in it."""
    shown = text if _PLAIN.fullmatch(text) else "".join(map(_shown, text))
    return _COMMAND.sub(lambda m: " ".join(m[0]) + " ", shown)


def quote_sarif(text: str) -> str:
    """``quote``, and no link to follow and no placeholder to fill (SARIF 2.1.0, 3.11.5 and 3.11.6)."""
    return _BRACE.sub(r"{ \1 }", _LINK.sub("] ", quote(text)))


def quote_json(value: object) -> str:
    """A JSON document in ASCII; the outer levels have a line an entry, what lies deeper is on one line.

    JSON's own escapes do here what ``quote`` does elsewhere, without changing a value: no
    control, bidi or unseen character, no line begun by a value, no ``##`` for a host to find.
    """
    return _laid_out(value, 0).replace("##", "#\\u0023") + "\n"


def _laid_out(value: object, level: int) -> str:
    if level == OUTER or not value or not isinstance(value, (dict, list)):
        return json.dumps(value)
    pad = "\n" + "  " * (level + 1)
    if isinstance(value, dict):
        entries = [f"{json.dumps(key)}: {_laid_out(one, level + 1)}" for key, one in value.items()]
        return f"{{{pad}{f',{pad}'.join(entries)}{pad[:-2]}}}"
    return f"[{pad}{f',{pad}'.join(_laid_out(one, level + 1) for one in value)}{pad[:-2]}]"


def _shown(char: str) -> str:
    if char in _NAMES:
        return _NAMES[char]
    if char in _BLANK or unicodedata.category(char) in _UNSEEN:
        return f"\\u{{{ord(char):x}}}"
    return char
