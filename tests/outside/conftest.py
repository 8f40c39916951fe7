"""Checks by programs that are not Python's, where the machine has them."""

from __future__ import annotations

import os
import platform
import shutil
import sys

import pytest

MARK = "npm"


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", f"{MARK}: needs npm on Linux x86-64; left out without, save in CI")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out (and count as deselected) what this machine can't run; in CI it is run, and fails."""
    here = shutil.which("npm") and sys.platform == "linux" and platform.machine() == "x86_64"
    if here or os.environ.get("CI") == "true":
        return
    out = [item for item in items if item.get_closest_marker(MARK)]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if item not in out]
