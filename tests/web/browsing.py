"""A page opened from a file, with every request that would leave the machine counted and stopped."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from playwright.sync_api import Browser, BrowserContext, Page

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
WIDE, PHONE = (1280, 900), (360, 740)


@dataclass
class Looker:
    """Opens pages; ``asked`` are the addresses they asked for beside their own, ``said`` what the console told."""

    browser: Browser
    folder: Path
    asked: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    contexts: list[BrowserContext] = field(default_factory=list)

    def __call__(
        self, html: str, size: tuple[int, int] = WIDE, scheme: Literal["light", "dark"] = "light", **options: Any
    ) -> Page:
        context = self.browser.new_context(
            viewport={"width": size[0], "height": size[1]}, color_scheme=scheme, **options
        )
        self.contexts.append(context)
        file = self.folder / f"page-{len(self.contexts)}.html"
        file.write_text(html, encoding="utf-8")
        own = file.as_uri()

        def stop(route: Any) -> None:
            url = route.request.url
            if url == own:
                route.continue_()
            else:
                self.asked.append(url)
                route.abort()

        page = context.new_page()
        page.route("**/*", stop)
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.goto(own)
        return page

    def close(self) -> None:
        for context in self.contexts:
            context.close()
