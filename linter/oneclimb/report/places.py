"""Places as SARIF has them: URIs relative to the repository's root, and regions."""

from __future__ import annotations

import os
from functools import lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import quote as percent

from oneclimb.plan.faults import Span


def uri(path: str) -> str:
    """A relative URI reference (RFC 3986) for a plan: from the repository it lies in.

    Without one: from the working directory, or, for a plan outside that, its bare name.
    Never absolute, never with ``..`` in it: hosts refuse both.
    """
    return _uri(path, Path.cwd())


@lru_cache(maxsize=4096)
def _uri(path: str, here: Path) -> str:
    whole = Path(path).resolve() if Path(path).exists() else Path(os.path.normpath(here / path))
    root = next((folder for folder in whole.parents if (folder / ".git").exists()), here.resolve())
    inside = whole.relative_to(root) if whole.is_relative_to(root) else Path(whole.name)
    return percent(os.fsencode(inside.as_posix()), safe="/")


def region(span: Span) -> dict[str, int]:
    """A region; columns count code points (the run says so)."""
    return {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }


def physical(path: str, span: Span) -> dict[str, Any]:
    """A location in a plan."""
    return {"physicalLocation": {"artifactLocation": {"uri": uri(path)}, "region": region(span)}}
