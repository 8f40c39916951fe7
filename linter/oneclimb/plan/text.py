"""From a file to plain data, with the place of every key and value.

The text is taken event by event from PyYAML's parser (libyaml's where it is there), so
that an alias, a tag or too deep a nesting is refused where it is met, before it can grow.
Scalars are resolved as JSON would: ``no``, ``1:30``, ``017``, ``0x10``, ``.inf`` and dates
stay text.
"""

from __future__ import annotations

import gc
import math
import re
from typing import Any, TypeAlias

import yaml
from msgspec import Struct

from oneclimb.plan.faults import Fault, Span
from oneclimb.plan.file import StopReading, after, decode, read_bytes
from oneclimb.plan.limits import Limits, passed
from oneclimb.plan.yaml_words import syntax_fault

Node: TypeAlias = tuple[int, int, int, int, Any]
"""Line, column, end line, end column (all from 0), then what is inside: ``None`` for a scalar,
a list of nodes, or a dict of key to ``(key node, value node)``."""

LOADER: type[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?")
_WORDS: dict[str, Any] = {"": None, "~": None, "null": None, "true": True, "false": False}
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")


class Document(Struct, frozen=True):
    """A plan's text, its data, and the tree of places that goes with it."""

    path: str
    text: str
    root: Node
    data: dict[str, Any]


def read_document(path: str, limits: Limits | None = None) -> Document | list[Fault]:
    """Read a plan's file. A list of faults comes back where it can't be used."""
    limits = limits or Limits()
    try:
        return parse(path, decode(read_bytes(path, limits)), limits)
    except StopReading as stop:
        return [stop.fault]


def parse(path: str, text: str, limits: Limits | None = None) -> Document | list[Fault]:
    """Parse a plan's text. ``path`` is only its name in reports."""
    return _Parser(path, text, limits or Limits()).run()


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
        except StopReading as stop:
            return [*self.faults, stop.fault]
        except yaml.MarkedYAMLError as error:
            return [*self.faults, syntax_fault(error, self.text, LOADER)]
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
            raise StopReading("PLAN-04", text, after(before))

    def _whole(self) -> tuple[Node, dict[str, Any]]:
        self.next = LOADER(self.text).get_event
        self.next()
        start = self.next()
        if isinstance(start, yaml.StreamEndEvent):
            raise StopReading("PLAN-08", "the plan is empty")
        if start.version or start.tags:
            raise StopReading("PLAN-07", "a plan has no % directives", start.start_mark)
        first = self.next()
        node, data = self._value(first, 0)
        self.next()
        after = self.next()
        if not isinstance(after, yaml.StreamEndEvent):
            raise StopReading("PLAN-08", "a second document begins here: a plan is one document", after.start_mark)
        if not isinstance(data, dict):
            raise StopReading("PLAN-08", "a plan has keys at its top, such as `cameras:`", first.start_mark)
        return node, data

    def _value(self, event: Any, depth: int) -> tuple[Node, Any]:
        kind = type(event)
        if kind is yaml.ScalarEvent:
            return self._scalar(event)
        if kind is yaml.AliasEvent:
            raise StopReading("PLAN-06", "an alias (*) stands here: write the thing again", event.start_mark)
        if event.anchor is not None:
            raise StopReading("PLAN-06", "an anchor (&) stands here: plans have none", event.start_mark)
        if event.tag is not None:
            raise StopReading("PLAN-07", "a tag (!) stands here: plans have none", event.start_mark)
        if depth >= self.limits.depth:
            what = f"lists and keys lie deeper than {self.limits.depth} within one another"
            raise StopReading("PLAN-02", passed("depth", what), event.start_mark)
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
                raise StopReading("PLAN-05", "a key is a word, not a list or keys of its own", event.start_mark)
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
            raise StopReading("PLAN-06", "an anchor (&) stands here: plans have none", a)
        if event.tag is not None:
            raise StopReading("PLAN-07", "a tag (!) stands here: plans have none", a)
        if len(text) > self.limits.scalar_length:
            what = f"this text is longer than {self.limits.scalar_length} characters"
            raise StopReading("PLAN-02", passed("scalar_length", what), a)
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
            raise StopReading(
                "PLAN-02", passed("faults", f"more than {self.limits.faults} faults: the rest are not shown")
            )


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


__all__ = ["LOADER", "Document", "Limits", "Node", "parse", "plain_value", "read_document", "span_of"]
