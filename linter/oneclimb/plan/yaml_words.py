"""What the YAML parser stumbles over, in plain words."""

from __future__ import annotations

import yaml

from oneclimb.plan.faults import Fault, Span

_PLAIN_WORDS = (
    ("could not find expected ':'", "a colon is missing after a key here"),
    ("cannot start any token", "this character can't begin a value: put the value in quotes (a tab can't indent)"),
    ("did not find expected key", "this line doesn't line up with the one above, or a quote or bracket is wrong"),
    ("did not find expected '-' indicator", "this line doesn't line up with the list above it"),
    ("did not find expected ',' or '}'", "a comma or closing brace } is missing before this"),
    ("did not find expected ',' or ']'", "a comma or closing bracket ] is missing before this"),
    (
        "mapping values are not allowed",
        "a colon stands where none can: put the text in quotes, or check the line above",
    ),
    ("unexpected end of stream", "a closing quote is missing"),
    ("maximum nesting depth", "brackets lie too deep within one another"),
)


def syntax_fault(error: yaml.MarkedYAMLError) -> Fault:
    """The parser's error as a fault at its place."""
    mark, problem = error.problem_mark or error.context_mark, error.problem or ""
    text = next((plain for part, plain in _PLAIN_WORDS if part in problem), f"this can't be read as YAML: {problem}")
    if mark is None:
        return Fault("PLAN-05", text)
    return Fault("PLAN-05", text, Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2))
