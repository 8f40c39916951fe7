"""Where every field of a plan comes from: its place in the file, by default, or unknown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

from oneclimb.api import Ref, as_written
from oneclimb.plan.faults import START, Fault, Span
from oneclimb.plan.here import Context, Path
from oneclimb.plan.limits import passed
from oneclimb.plan.text import Document, Node, span_of

if TYPE_CHECKING:
    from oneclimb.api import Kind

How = Literal["written", "default", "unknown"]

SHORT: Mapping[str, tuple[str, ...]] = {
    "infrared": ("range",),
    "view": ("across",),
    "power": ("watts", "source"),
    "aim": ("bearing", "tilt", "at"),
}
"""camera keys that may be written short, and the keys of the long form they stand for"""
_NOUNS = {
    "object": ("objects", "object"),
    "area": ("areas", "area"),
    "lamp": ("lamps", "lamp"),
    "camera": ("cameras", "camera"),
    "cable": ("cables", "cable"),
    "land": ("neighbours", "neighbour"),
    "building": ("house", "building"),
    "connector": ("connectors", "connector"),
    "conduit": ("conduits", "conduit"),
    "box": ("boxes", "box"),
    "site": ("site", "site"),
}


class Origins:
    """The origin of any field of a plan's things, looked up when asked."""

    def __init__(
        self,
        document: Document,
        data: Mapping[str, Any],
        context: Context,
        schema: Mapping[str, Any],
        kinds: Mapping[str, Kind[Any]],
    ) -> None:
        self._document = document
        self._data = data
        self._c = context
        self._schema = schema
        self._kinds = kinds

    def path(self, ref: Ref) -> Path | None:
        """The path of a field in the plan's data, whether written or not; ``None`` for a thing it doesn't have."""
        start = self._c.paths.get((ref.kind, as_written(ref.id)))
        if start is None:
            return None
        return _into(self._data, start, ref.field.split(".") if ref.field else [])

    def span(self, ref: Ref) -> Span:
        """The place in the file: the field's, or the nearest thing written above it."""
        path = self.path(ref)
        return START if path is None else span_at(self._document, self._data, path)

    def how(self, ref: Ref) -> How:
        """Whether a field is written (a type's entry counts), taken by default, or unknown."""
        path = self.path(ref)
        if path is None:
            return "unknown"
        if any(_written(self._data, one) for one in _ways(self._data, path)):
            return "written"
        notes = self._c.notes.get((ref.kind, as_written(ref.id)), {})
        above = ref.field.split(".")
        if any(".".join(above[:n]) in notes for n in range(1, len(above) + 1)):
            return "default"
        return "unknown"

    def asks(self, ref: Ref) -> str:
        """The question that would settle a field, in the installer's words."""
        part = self._part(ref)
        text = part.get("asks") if part else None
        return str(text) if text else f"what is {ref.field.replace('.', ' ') or ref.kind} of {ref.id}?"

    def _part(self, ref: Ref) -> Mapping[str, Any] | None:
        """The schema of a field."""
        name = _NOUNS.get(ref.kind, (None, ref.kind))[1]
        part: Mapping[str, Any] | None = self._schema.get("$defs", {}).get(name)
        if part is None:
            key = next((key for key, kind in self._kinds.items() if kind.type == ref.kind), None)
            part = self._schema.get("properties", {}).get(key, {}).get("items") if key else None
        if ref.kind == "site" and ref.field.split(".")[0] in self._schema.get("properties", {}):
            part = self._schema
        for key in ref.field.split(".") if ref.field else []:
            part = _below(self._schema, part, key)
        return part


def _below(schema: Mapping[str, Any], part: Mapping[str, Any] | None, key: str) -> Mapping[str, Any] | None:
    if part is None:
        return None
    if "$ref" in part and "properties" not in part:
        part = schema["$defs"].get(str(part["$ref"]).rpartition("/")[2], {})
    found = part.get("properties", {}).get(key, part.get("items"))
    return found if found is None else {**_referred(schema, found), **found}


def _referred(schema: Mapping[str, Any], part: Mapping[str, Any]) -> Mapping[str, Any]:
    return schema["$defs"].get(str(part["$ref"]).rpartition("/")[2], {}) if "$ref" in part else {}


def _into(data: Mapping[str, Any], start: Path, keys: Sequence[str]) -> Path:
    """The data path of a dotted field; entries of a list are named by id."""
    path = list(start)
    value = _get(data, start)
    for i, key in enumerate(keys):
        if isinstance(value, list):
            index = next((j for j, e in enumerate(value) if isinstance(e, dict) and e.get("id") == key), None)
            if index is None and key.isdigit() and int(key) < len(value):
                index = int(key)
            if index is None:
                return (*path, *keys[i:])
            path.append(index)
            value = value[index]
            continue
        if key == "walls" and isinstance(value, dict) and "walls" not in value:
            return (*path, *(["front"] if "front" in value else []))
        path.append(key)
        value = value.get(key) if isinstance(value, dict) else None
    return tuple(path)


def _get(data: Any, path: Path) -> Any:
    for part in path:
        if isinstance(data, dict):
            data = data.get(part)
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            return None
    return data


def _ways(data: Mapping[str, Any], path: Path) -> tuple[Path, ...]:
    """The paths a value may be written at: the thing's own, then its type's; a view may be a lens."""
    if len(path) < 3 or path[0] != "cameras" or path[2] == "cable":
        return (path,)
    camera = _get(data, path[:2])
    name = camera.get("type") if isinstance(camera, dict) else None
    ways = (path,) if not isinstance(name, str) else (path, ("types", name, *path[2:]))
    if path[2] != "view":
        return ways
    return (*ways, *((*way[:2], "lens") for way in ways))


def _written(data: Mapping[str, Any], path: Path) -> bool:
    value: Any = data
    for i, part in enumerate(path):
        if isinstance(value, dict):
            if part not in value:
                return False
            value = value[part]
        elif isinstance(value, list):
            if not (isinstance(part, int) and part < len(value)):
                return False
            value = value[part]
        else:
            return part in _meant(path[i - 1], value)
        if part == "aim" and isinstance(value, dict) and "bearing" not in value and "tilt" not in value:
            return True
    return True


def _meant(key: str | int, value: Any) -> tuple[str, ...]:
    """The keys of the long form a short value stands for."""
    if key == "power":
        return ("source",) if value == "battery" else ("watts",)
    return SHORT.get(str(key), ())


def walk(root: Node, path: Path) -> tuple[Node, Node | None, int]:
    """The node at a path or the nearest above it, the node of its key, and how many steps were found."""
    node, key_node = root, None
    for i, part in enumerate(path):
        inside = node[4]
        if isinstance(inside, dict) and part in inside:
            key_node, node = inside[part]
        elif isinstance(inside, list) and isinstance(part, int) and part < len(inside):
            key_node, node = None, inside[part]
        else:
            return node, key_node, i
    return node, key_node, len(path)


def span_at(document: Document, data: Mapping[str, Any], path: Path, *, key: bool = False) -> Span:
    """The place of a path, or of the nearest thing written above it."""
    best = max((walk(document.root, way) for way in _ways(data, path)), key=lambda found: found[2])
    node, key_node, _ = best
    if key and key_node is not None:
        return span_of(key_node)
    inside = node[4]
    if isinstance(inside, dict):
        if "id" in inside:
            first, last = inside["id"]
            return Span(first[0] + 1, first[1] + 1, last[2] + 1, last[3] + 1)
        if key_node is not None and node[0] != key_node[0]:
            return span_of(key_node)
        if node is document.root:
            return _first_line(document)
    if key_node is not None:
        return Span(key_node[0] + 1, key_node[1] + 1, node[2] + 1, node[3] + 1)
    return span_of(node)


def _first_line(document: Document) -> Span:
    inside = document.root[4]
    if not inside:
        return START
    key, _ = next(iter(inside.values()))
    return span_of(key)


def locate(c: Context, document: Document, data: Mapping[str, Any]) -> tuple[Fault, ...]:
    """The reader's faults with their places, by line, bounded in number."""
    found = {
        Fault(raw.code, raw.text, span_at(document, data, raw.path, key=raw.key), raw.hint): None for raw in c.faults
    }
    return bounded(tuple(sorted(found, key=lambda fault: (fault.span, fault.code))), c.limits.faults)


def bounded(faults: tuple[Fault, ...], most: int) -> tuple[Fault, ...]:
    """The first faults, and a last one that says how many more there are."""
    if len(faults) <= most:
        return faults
    text = passed("faults", f"more faults than {most}: the rest are not shown")
    return (*faults[:most], Fault("PLAN-02", text, faults[most].span))
