"""How things are called in findings."""

from __future__ import annotations

from oneclimb.api import Ref, as_written


def called(ref: Ref) -> str:
    """A thing in plain words: ``the front wall``, ``the soffit``, ``the ground``, ``its own pane``, or its id."""
    part, _, name = ref.field.partition(".")
    if ref.kind == "site":
        return "the ground"
    if ref.kind == "building":
        if part == "walls":
            return f"the {name} wall" if ref.id == "house" else f"the {name} wall of {ref.id}"
        if part == "windows":
            return f"window {name}" if ref.id == "house" else f"window {name} of {ref.id}"
        return {"eave": "the soffit", "roof": "the roof"}.get(part, ref.id)
    if ref.kind == "camera":
        return {"infrared": f"{ref.id}'s infrared", "behind": "its own pane"}.get(part, ref.id)
    return as_written(ref.id)
