"""What the YAML parser stumbles over, in plain words."""

from __future__ import annotations

from typing import Any

import yaml

from oneclimb.plan.faults import Fault, Span

_TAB = "a tab stands here, and tabs can't indent in YAML: put spaces in its place"
_QUOTE = "the quote opened here is not closed on this line"
_AFTER = ("", " ", "\t", "\r", "\n", ",", "]", "}", ":")
"""what may stand behind a closing quote"""
_PLAIN_WORDS = (
    ("could not find expected ':'", "a colon is missing after a key here"),
    ("tab character", _TAB),
    ("cannot start any token", "this character can't begin a value: put the value in quotes"),
    ("did not find expected key", "this line doesn't line up with the one above, or a quote or bracket is wrong"),
    ("did not find expected '-' indicator", "this line doesn't line up with the list above it"),
    ("did not find expected ',' or '}'", "a comma or closing brace } is missing before this"),
    ("did not find expected ',' or ']'", "a comma or closing bracket ] is missing before this"),
    (
        "mapping values are not allowed",
        "a colon stands where none can: put the text in quotes, or check the line above",
    ),
    ("unknown escape character", "in double quotes a backslash is a special sign: write single quotes round the text"),
    ("maximum nesting depth", "brackets lie too deep within one another"),
)


def syntax_fault(error: yaml.MarkedYAMLError, text: str, loader: type[Any]) -> Fault:
    """The parser's error as a fault at its place; a quote that runs on over lines is told where it was opened."""
    mark, problem = error.problem_mark or error.context_mark, error.problem or ""
    if mark is None:
        return Fault("PLAN-05", _in_words(problem))
    if "quoted scalar" in (error.context or "") and "unexpected" in problem and error.context_mark:
        return _open(error.context_mark)
    if _at(text, mark) == "\t":
        return Fault("PLAN-05", _TAB, _span(mark))
    opened = _runs_on(text, mark, loader)
    return _open(opened) if opened else Fault("PLAN-05", _in_words(problem), _span(mark))


def _in_words(problem: str) -> str:
    return next((plain for part, plain in _PLAIN_WORDS if part in problem), f"this can't be read as YAML: {problem}")


def _open(mark: Any) -> Fault:
    return Fault("PLAN-05", _QUOTE, _span(mark), "write the closing quote, or take this one out")


def _span(mark: Any) -> Span:
    return Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2)


def _at(text: str, mark: Any) -> str:
    return text[mark.index : mark.index + 1]


def _runs_on(text: str, mark: Any, loader: type[Any]) -> Any:
    """Where a quote was opened that the next one has closed, lines later and with the error behind it:
    that one was meant to open a text of its own. ``None`` where there is none.
    """
    last = None
    try:
        for token in yaml.scan(text, Loader=loader):
            start = token.start_mark
            if last and (start.line, start.column) == (mark.line, mark.column):
                return last.start_mark
            if start.line > mark.line:
                break
            quoted = isinstance(token, yaml.ScalarToken) and not token.plain
            last = token if quoted and start.line < token.end_mark.line == mark.line else None
            if last and _at(text, last.end_mark) not in _AFTER:
                return start
    except yaml.YAMLError:
        return None
    return None
