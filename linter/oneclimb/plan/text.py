"""From a file to plain data, with the place of every key and value.

The text is taken event by event from PyYAML's parser (libyaml's where it is there), so
that an alias, a tag or too deep a nesting is refused where it is met, before it can grow.
Scalars are resolved as JSON would: ``no``, ``1:30``, ``017``, ``0x10``, ``.inf`` and dates
stay text.
"""

from __future__ import annotations

import codecs
import gc
import math
import re
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias

import yaml

from oneclimb.plan.faults import START, Fault, Span
from oneclimb.plan.limits import Limits, passed

Node: TypeAlias = tuple[int, int, int, int, Any]
"""Line, column, end line, end column (all from 0), then what is inside: ``None`` for a scalar,
a list of nodes, or a dict of key to ``(key node, value node)``."""

LOADER: type[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?")
_WORDS: dict[str, Any] = {"": None, "~": None, "null": None, "true": True, "false": False}
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_WIDE_MARKS = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


@dataclass(frozen=True, slots=True)
class Document:
    """A plan's text, its data, and the tree of places that goes with it."""

    path: str
    text: str
    root: Node
    data: dict[str, Any]


class _Stop(Exception):  # noqa: N818 - it stops the reading, it is not a failure
    """The text can't be read on from here."""

    def __init__(self, code: str, text: str, mark: Any = None, hint: str = "") -> None:
        super().__init__(text)
        span = START if mark is None else Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2)
        self.fault = Fault(code, text, span, hint)


def read_document(path: str, limits: Limits | None = None) -> Document | list[Fault]:
    """Read a plan's file. A list of faults comes back where it can't be used."""
    limits = limits or Limits()
    try:
        return parse(path, _decode(_bytes(path, limits)), limits)
    except _Stop as stop:
        return [stop.fault]


def parse(path: str, text: str, limits: Limits | None = None) -> Document | list[Fault]:
    """Parse a plan's text. ``path`` is only its name in reports."""
    return _Parser(path, text, limits or Limits()).run()


def _bytes(path: str, limits: Limits) -> bytes:
    try:
        if not stat.S_ISREG(Path(path).stat().st_mode):
            raise _Stop("PLAN-01", "this is a folder or a device, not a plan's file")
        with Path(path).open("rb") as file:
            raw = file.read(limits.file_bytes + 1)
    except FileNotFoundError:
        raise _Stop("PLAN-01", "there is no such file") from None
    except PermissionError:
        raise _Stop("PLAN-01", "this file may not be read: no permission") from None
    except (OSError, ValueError) as error:
        raise _Stop(
            "PLAN-01", f"this file can't be read: {getattr(error, 'strerror', None) or 'not a file name'}"
        ) from None
    if len(raw) > limits.file_bytes:
        raise _Stop("PLAN-02", passed("file_bytes", f"the plan is larger than {limits.file_bytes} bytes"))
    return raw


def _decode(raw: bytes) -> str:
    if raw.startswith(_WIDE_MARKS) or (raw[:4].count(0) and b"\x00" in raw[:2]):
        raise _Stop("PLAN-03", "this is UTF-16 or UTF-32 text: save the plan as UTF-8")
    raw = raw.removeprefix(codecs.BOM_UTF8)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")
        raise _Stop("PLAN-03", "the text is not UTF-8 from here on: save the plan as UTF-8", _after(before)) from None


class _Place(NamedTuple):
    """A place in the text, counted from 0."""

    line: int
    column: int


def _after(before: str) -> _Place:
    """Where a text ends."""
    return _Place(before.count("\n"), len(before) - before.rfind("\n") - 1)


class _Parser:
    """One pass over the parser's events; the faults that don't end the reading are gathered."""

    def __init__(self, path: str, text: str, limits: Limits) -> None:
        self.path, self.text, self.limits = path, text, limits
        self.faults: list[Fault] = []
        self.known: dict[str, Any] = dict(_WORDS)

    def run(self) -> Document | list[Fault]:
        """The document, or the faults."""
        collecting = gc.isenabled()
        gc.disable()  # a hundred thousand small lists and no cycle among them
        try:
            self._characters()
            root, data = self._whole()
        except _Stop as stop:
            return [*self.faults, stop.fault]
        except yaml.MarkedYAMLError as error:
            return [*self.faults, _syntax(error)]
        except yaml.YAMLError:
            return [*self.faults, Fault("PLAN-05", "this text can't be read as YAML")]
        finally:
            if collecting:
                gc.enable()
        return self.faults or Document(self.path, self.text, root, data)

    def _characters(self) -> None:
        found = _CONTROL.search(self.text)
        if found:
            before = self.text[: found.start()].replace("\r\n", "\n").replace("\r", "\n")
            text = f"a control character (U+{ord(found[0]):04X}) stands here: take it out"
            raise _Stop("PLAN-04", text, _after(before))

    def _whole(self) -> tuple[Node, dict[str, Any]]:
        self.next = LOADER(self.text).get_event
        self.next()
        start = self.next()
        if isinstance(start, yaml.StreamEndEvent):
            raise _Stop("PLAN-08", "the plan is empty")
        if start.version or start.tags:
            raise _Stop("PLAN-07", "a plan has no % directives", start.start_mark)
        first = self.next()
        node, data = self._value(first, 0)
        self.next()
        after = self.next()
        if not isinstance(after, yaml.StreamEndEvent):
            raise _Stop("PLAN-08", "a second document begins here: a plan is one document", after.start_mark)
        if not isinstance(data, dict):
            raise _Stop("PLAN-08", "a plan has keys at its top, such as `cameras:`", first.start_mark)
        return node, data

    def _value(self, event: Any, depth: int) -> tuple[Node, Any]:
        kind = type(event)
        if kind is yaml.ScalarEvent:
            return self._scalar(event)
        if kind is yaml.AliasEvent:
            raise _Stop("PLAN-06", "an alias (*) stands here: write the thing again", event.start_mark)
        if event.anchor is not None:
            raise _Stop("PLAN-06", "an anchor (&) stands here: plans have none", event.start_mark)
        if event.tag is not None:
            raise _Stop("PLAN-07", "a tag (!) stands here: plans have none", event.start_mark)
        if depth >= self.limits.depth:
            what = f"lists and keys lie deeper than {self.limits.depth} within one another"
            raise _Stop("PLAN-02", passed("depth", what), event.start_mark)
        return self._mapping(event, depth + 1) if kind is yaml.MappingStartEvent else self._sequence(event, depth + 1)

    def _sequence(self, start: Any, depth: int) -> tuple[Node, list[Any]]:
        nodes: list[Node] = []
        data: list[Any] = []
        while type(event := self.next()) is not yaml.SequenceEndEvent:
            node, value = self._value(event, depth)
            nodes.append(node)
            data.append(value)
        return _closed(start, event, nodes[-1] if nodes else None, nodes), data

    def _mapping(self, start: Any, depth: int) -> tuple[Node, dict[str, Any]]:
        nodes: dict[str, tuple[Node, Node]] = {}
        data: dict[str, Any] = {}
        last = None
        while type(event := self.next()) is not yaml.MappingEndEvent:
            if type(event) is not yaml.ScalarEvent:
                raise _Stop("PLAN-05", "a key is a word, not a list or keys of its own", event.start_mark)
            key_node, _ = self._scalar(event)
            key = event.value
            if key in data:
                line = nodes[key][0][0] + 1
                self._gather(Fault("PLAN-09", f"the key `{key}` is already written on line {line}", span_of(key_node)))
            last, data[key] = self._value(self.next(), depth)
            nodes[key] = (key_node, last)
        return _closed(start, event, last, nodes), data

    def _scalar(self, event: Any) -> tuple[Node, Any]:
        a, b, text = event.start_mark, event.end_mark, event.value
        node = (a.line, a.column, b.line, b.column, None)
        if event.anchor is not None:
            raise _Stop("PLAN-06", "an anchor (&) stands here: plans have none", a)
        if event.tag is not None:
            raise _Stop("PLAN-07", "a tag (!) stands here: plans have none", a)
        if len(text) > self.limits.scalar_length:
            what = f"this text is longer than {self.limits.scalar_length} characters"
            raise _Stop("PLAN-02", passed("scalar_length", what), a)
        if not event.implicit[0]:
            return node, text
        known = self.known
        if text not in known:
            known[text] = self._plain(text, node)
        return node, known[text]

    def _plain(self, text: str, node: Node) -> Any:
        if not _NUMBER.fullmatch(text):
            return text
        if len(text) > self.limits.digits:
            what = f"this number has more than {self.limits.digits} characters"
            self._gather(Fault("PLAN-02", passed("digits", what), span_of(node)))
            return 0
        value = int(text) if text.lstrip("-").isdigit() else float(text)
        if not math.isfinite(value):
            self._gather(Fault("PLAN-10", f"{text} is too large a number", span_of(node)))
            return 0
        return value

    def _gather(self, fault: Fault) -> None:
        self.faults.append(fault)
        if len(self.faults) >= self.limits.faults:
            raise _Stop("PLAN-02", passed("faults", f"more than {self.limits.faults} faults: the rest are not shown"))


def _closed(start: Any, end: Any, last: Node | None, inside: Any) -> Node:
    """A collection's node. A block collection ends with its last value: the parser's own mark
    lies where the next token begins.
    """
    a, b = start.start_mark, end.end_mark
    if start.flow_style or last is None:
        return (a.line, a.column, b.line, b.column, inside)
    return (a.line, a.column, last[2], last[3], inside)


def plain_value(text: str) -> Any:
    """What plain text stands for: itself, or a number, true, false or nothing."""
    if text in _WORDS:
        return _WORDS[text]
    return float(text) if _NUMBER.fullmatch(text) else text


def span_of(node: Node) -> Span:
    """A node's place, counted from 1."""
    return Span(node[0] + 1, node[1] + 1, node[2] + 1, node[3] + 1)


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


def _syntax(error: yaml.MarkedYAMLError) -> Fault:
    mark, problem = error.problem_mark or error.context_mark, error.problem or ""
    text = next((plain for part, plain in _PLAIN_WORDS if part in problem), f"this can't be read as YAML: {problem}")
    if mark is None:
        return Fault("PLAN-05", text)
    return Fault("PLAN-05", text, Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2))


__all__ = ["LOADER", "Document", "Limits", "Node", "parse", "plain_value", "read_document", "span_of"]
