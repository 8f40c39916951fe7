"""Changes of a plan's data: where a field is set, short values written out, nothing shared altered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from oneclimb.api import Change, Ref
from oneclimb.plan.faults import UnreadableError
from oneclimb.plan.here import Path

if TYPE_CHECKING:
    from oneclimb.plan.model import Plan
    from oneclimb.plan.origins import Origins


def changed(
    data: Mapping[str, Any], plan: Plan, origins: Origins, changes: Iterable[Change]
) -> tuple[dict[str, Any], tuple[Path, ...]]:
    """The data after the changes, and the path of each. Raises ``UnreadableError`` where one can't be made."""
    paths = []
    for change in changes:
        path = origins.path(change.at) if change.how == "replace" else None
        if path is None:
            raise UnreadableError("PLAN-34", f"{change.at.path} can't be changed in the plan")
        data = _set(data, path, change.by, plan, change.at)
        paths.append(path)
    return dict(data), tuple(paths)


def _set(value: Any, path: Path, by: Any, plan: Plan, at: Ref, *, depth: int = 0) -> Any:
    """A copy of a value with ``by`` at a path below it; only what lies on the path is copied."""
    if depth == len(path):
        return by
    key = path[depth]
    if isinstance(value, list):
        if not (isinstance(key, int) and key < len(value)):
            raise UnreadableError("PLAN-34", f"{at.path}: the list has no entry {key}")
        return [*value[:key], _set(value[key], path, by, plan, at, depth=depth + 1), *value[key + 1 :]]
    if not isinstance(value, dict):
        raise UnreadableError("PLAN-34", f"{at.path}: `{path[depth - 1]}` has no keys of its own")
    out = dict(value)
    if depth == len(path) - 1:
        if by is not None:
            out[key] = by
        elif key in out:
            del out[key]
        else:
            raise UnreadableError("PLAN-34", f"{at.path} is not written here, so it can't be taken out")
        return out
    inner = out.get(key, {})
    if at.kind == "camera" and depth == 2:
        inner = long_form(str(key), inner, plan, at)
    out[key] = _set(inner, path, by, plan, at, depth=depth + 1)
    return out


def long_form(key: str, value: Any, plan: Plan | None = None, at: Ref | None = None) -> Any:
    """A camera's value in its long form, where it is written short: ``30 m`` → ``{range: 30 m}``."""
    if key == "aim" and plan is not None and at is not None:
        if isinstance(value, dict) and ("bearing" in value or "tilt" in value):
            return value
        aim = next(camera.aim for camera in plan.cameras if camera.id == at.id)
        return {"bearing": f"{aim.bearing:.1f} deg", "tilt": f"{aim.tilt:.1f} deg"}
    if isinstance(value, dict):
        return value
    if key == "power":
        return {"source": "battery"} if value == "battery" else {"watts": value}
    names = {"infrared": "range", "view": "across"}
    return {names[key]: value} if key in names else value
