"""Edits of a plan's text: the least that makes it say the same as the changed data."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from oneclimb.api import Change
from oneclimb.plan.changes import changed
from oneclimb.plan.faults import Span, UnreadableError
from oneclimb.plan.here import Path
from oneclimb.plan.origins import walk
from oneclimb.plan.text import Node, plain_value

if TYPE_CHECKING:
    from oneclimb.plan.read import Loaded

_BREAK = re.compile("\r\n|\r|\n")
_SAFE = re.compile(r"[0-9A-Za-z\u00c0-\u1fff][0-9A-Za-z\u00c0-\u1fff .%/+_-]*")


class TextEdit(Struct, frozen=True):
    """A stretch of the text and what stands there instead."""

    span: Span
    text: str


def text_edits(loaded: Loaded, changes: Iterable[Change]) -> tuple[TextEdit, ...]:
    """The edits of the plan's text that make it read as the changes say; nothing else is touched.

    Raises ``ValueError`` where a change can't be made in the text.
    """
    plan, source, origins, document = loaded.plan, loaded.source, loaded.origins, loaded.document
    if plan is None or source is None or origins is None or document is None:
        raise ValueError("a plan with faults can't be edited")
    try:
        data, paths = changed(source.data, plan, origins, changes)
    except UnreadableError as error:
        raise ValueError(error.text) from error
    lines = _lines(document.text)
    places = dict.fromkeys(_place(document.root, path) for path in paths)
    outer = [p for p in places if not any(p != q and p[: len(q)] == q for q in places)]
    outer.sort(key=len, reverse=True)  # where two keys go behind one line, the deeper one goes first
    return tuple(_edit(document.root, path, _value(data, path), lines) for path in outer)


def apply_text(text: str, edits: Sequence[TextEdit]) -> str:
    """The text with the edits made. They must not overlap."""
    lines = _lines(text)
    placed = sorted(enumerate(edits), key=lambda e: (lines.offset(e[1].span.line, e[1].span.column), e[0]))
    out, done = [], 0
    for _, edit in placed:
        start = lines.offset(edit.span.line, edit.span.column)
        if start < done:
            raise ValueError("these edits overlap")
        out += [text[done:start], edit.text]
        done = lines.offset(edit.span.end_line, edit.span.end_column)
    return "".join([*out, text[done:]])


class _Lines:
    """Where each line of a text begins."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.starts = [0, *(found.end() for found in _BREAK.finditer(text))]
        self.ends = [*(found.start() for found in _BREAK.finditer(text)), len(text)]
        found = _BREAK.search(text)
        self.newline = found[0] if found else "\n"

    def offset(self, line: int, column: int) -> int:
        """A place counted from 1, as an offset."""
        return self.starts[line - 1] + column - 1

    def end(self, line: int) -> int:
        """The column after a line's last character, both counted from 1."""
        return self.ends[line - 1] - self.starts[line - 1] + 1


@lru_cache(maxsize=4)
def _lines(text: str) -> _Lines:
    """Counted once for a text: a report asks for many edits of one plan."""
    return _Lines(text)


def _place(root: Node, path: Path) -> Path:
    """What has to be written: the value itself, the short value above it, or the first key that is missing."""
    node, _, steps = walk(root, path)
    if steps == len(path):
        return path
    return path[: steps + 1] if isinstance(node[4], dict) else path[:steps]


def _value(data: Any, path: Path) -> Any:
    for part in path:
        if isinstance(data, Mapping) and part not in data:
            return None
        data = data[part]
    return data


def _edit(root: Node, path: Path, value: Any, lines: _Lines) -> TextEdit:
    node, key, steps = walk(root, path)
    if steps < len(path):
        return _put_in(node, str(path[-1]), value, lines)
    if value is None:
        return _taken_out(root, path)
    tail = lines.newline if node[3] == 0 and node[2] > node[0] else ""  # a block of text takes its line's end with it
    if key is not None and node[0] > key[2]:  # a block below its key goes up behind it
        return TextEdit(Span(key[2] + 1, key[3] + 1, node[2] + 1, node[3] + 1), f": {flow(value)}{tail}")
    return TextEdit(_span(node, node), f"{flow(value)}{tail}")


def _span(first: Node, last: Node) -> Span:
    return Span(first[0] + 1, first[1] + 1, last[2] + 1, last[3] + 1)


def _put_in(mapping: Node, key: str, value: Any, lines: _Lines) -> TextEdit:
    """A new key behind the last one, in the style of the rest."""
    written = f"{flow(key)}: {flow(value)}"
    inside = list(mapping[4].values())
    if not inside:
        return TextEdit(Span(mapping[0] + 1, mapping[1] + 2, mapping[0] + 1, mapping[1] + 2), written)
    first, (_, last) = inside[0][0], inside[-1]
    if _is_flow(mapping, first):
        return TextEdit(Span(last[2] + 1, last[3] + 1, last[2] + 1, last[3] + 1), f", {written}")
    indent = " " * first[1]
    if last[3] == 0 and last[2] > last[0]:  # a block of text ends where the next line begins
        return TextEdit(Span(last[2] + 1, 1, last[2] + 1, 1), f"{indent}{written}{lines.newline}")
    column = lines.end(last[2] + 1)
    return TextEdit(Span(last[2] + 1, column, last[2] + 1, column), f"{lines.newline}{indent}{written}")


def _is_flow(mapping: Node, first: Node) -> bool:
    """Whether a mapping stands in braces: a block mapping begins where its first key does."""
    return (mapping[0], mapping[1]) != (first[0], first[1])


def _taken_out(root: Node, path: Path) -> TextEdit:
    mapping, _, _ = walk(root, path[:-1])
    inside = list(mapping[4].items())
    i = next(j for j, (key, _) in enumerate(inside) if key == path[-1])
    key, value = inside[i][1]
    if len(inside) == 1:
        return TextEdit(_span(mapping, mapping), "{}")
    if i + 1 < len(inside):
        after = inside[i + 1][1][0]
        return TextEdit(Span(key[0] + 1, key[1] + 1, after[0] + 1, after[1] + 1), "")
    before = inside[i - 1][1][1]
    return TextEdit(Span(before[2] + 1, before[3] + 1, value[2] + 1, value[3] + 1), "")


def flow(value: Any) -> str:
    """A value as YAML on one line; text is quoted only where it must be."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{flow(key)}: {flow(one)}" for key, one in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(flow(one) for one in value) + "]"
    if isinstance(value, str):
        safe = _SAFE.fullmatch(value) and value == value.strip() and plain_value(value) == value
        return value if safe else json.dumps(value, ensure_ascii=False)
    return json.dumps(value)
