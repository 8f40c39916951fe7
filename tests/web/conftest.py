"""Pages looked at in a real browser: the Chromium of the machine, driven by playwright."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from web.browsing import CHROMIUM, Looker

MARK = "chromium"
ARGS = (
    "--no-sandbox",
    "--headless=new",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", f"{MARK}: needs Chromium; left out without, save in CI")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out (and count as deselected) what this machine can't run; in CI it is run, and fails."""
    if CHROMIUM or os.environ.get("CI") == "true":
        return
    out = [item for item in items if item.get_closest_marker(MARK)]
    if out:
        config.hook.pytest_deselected(items=out)
        items[:] = [item for item in items if item not in out]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        yield chromium
        chromium.close()


@pytest.fixture
def look(browser: Browser, tmp_path: Path) -> Iterator[Looker]:
    """Opens a page's text as a file; whatever it opened is closed again."""
    looker = Looker(browser, tmp_path)
    yield looker
    looker.close()
