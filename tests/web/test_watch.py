"""The page that follows its plan: this machine only, one token, and the same page as the report writes."""

from __future__ import annotations

import http.client
import json
import os
import re
import subprocess
import time
from collections.abc import Callable, Generator, Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page

from cli.calls import COMMAND
from oneclimb import kit

PLAN = kit.plans(kit.packs().page("GLARE-01"))[0]
PATIENCE = 60.0


class Served:
    """A plan that is watched by the real command."""

    def __init__(self, folder: Path) -> None:
        self.plan = folder / "lane.plan.yaml"
        self.plan.write_text(PLAN, encoding="utf-8")
        call = [COMMAND, "report", "--watch", str(self.plan)]
        self.process = subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.url = self.process.stdout.readline().strip()
        self.at = urlsplit(self.url)
        self.open: list[http.client.HTTPConnection] = []
        self.answers: list[http.client.HTTPResponse] = []

    def ask(self, path: str, method: str = "GET", host: str = "") -> http.client.HTTPResponse:
        connection = http.client.HTTPConnection(self.at.hostname or "", self.at.port or 0, timeout=PATIENCE)
        self.open.append(connection)
        connection.putrequest(method, path, skip_host=True)
        connection.putheader("Host", host or self.at.netloc)
        connection.endheaders()
        answer = connection.getresponse()
        self.answers.append(answer)
        return answer

    def close(self) -> None:
        self.process.terminate()
        self.process.communicate(timeout=20)
        for answer in self.answers:
            answer.close()
        for connection in self.open:
            connection.close()

    def events(self) -> Generator[dict[str, object]]:
        answer = self.ask(f"{self.at.path}events")
        while line := answer.readline():
            if line.startswith(b"data: "):
                yield json.loads(line[6:])


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    one = Served(tmp_path)
    yield one
    one.close()


def test_only_who_has_the_token_and_calls_this_machine_by_its_name_is_served(served: Served) -> None:
    token = served.at.path.strip("/")
    assert served.url.startswith("http://127.0.0.1:")
    assert len(token) >= 32
    page = served.ask(served.at.path)
    assert page.status == 200
    assert page.headers["Cache-Control"] == "no-store"
    assert page.headers["X-Content-Type-Options"] == "nosniff"
    assert page.headers["Access-Control-Allow-Origin"] is None
    assert page.headers["Server"] == "oneclimb "
    assert served.ask(served.at.path, host=f"localhost:{served.at.port}").status == 200
    for host in ("evil.example", f"evil.example:{served.at.port}", "127.0.0.1"):
        assert served.ask(served.at.path, host=host).status == 421
    for path in (
        "/",
        "/page",
        f"/{token[:-1]}/",
        f"/{token}x/",
        f"/{token}/../etc",
        f"/{token}/page/more",
        "//",
    ):
        assert served.ask(path).status == 404, path
    for method in ("POST", "PUT", "DELETE", "OPTIONS", "HEAD"):
        assert served.ask(served.at.path, method).status == 501, method


def test_an_edit_is_answered_at_once_and_then_in_full(served: Served, tmp_path: Path) -> None:
    events = served.events()
    first = next(one for one in events if not one["hasty"])
    served.plan.write_text(PLAN.replace("along: 9.7 m", "along: 3.2 m"), encoding="utf-8")
    hasty = next(events)
    assert hasty["hasty"]
    assert int(str(hasty["version"])) > int(str(first["version"]))
    assert "gone" in str(hasty["said"])
    assert next(events)["hasty"] is False
    page = served.ask(f"{served.at.path}page").read().decode()
    call = [COMMAND, "report", str(served.plan), "--output", str(tmp_path / "page.html")]
    subprocess.run(call, check=True, capture_output=True)
    assert _main(page) == _main((tmp_path / "page.html").read_text(encoding="utf-8"))


def test_a_broken_plan_is_told_and_mended(served: Served) -> None:
    events = served.events()
    next(one for one in events if not one["hasty"])
    served.plan.write_text(PLAN.replace("site:", "sitte:"), encoding="utf-8")
    assert next(events)["faults"]
    assert "PLAN-11" in served.ask(f"{served.at.path}page").read().decode()
    served.plan.unlink()
    assert next(events)["faults"]
    served.plan.write_text(PLAN, encoding="utf-8")
    assert not next(events)["faults"]
    assert next(events)["hasty"] is False


def test_ctrl_c_ends_it_and_its_second_process(served: Served) -> None:
    os.kill(served.process.pid, 2)
    assert served.process.wait(20) == 130


@pytest.mark.chromium
def test_the_browser_puts_new_parts_in_place_and_keeps_what_was_open(served: Served, browser: Browser) -> None:
    page = browser.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(served.url)
    _until(page, lambda: "up to date" in page.inner_text(".live"))
    first = page.inner_text("#findings")
    page.locator("#findings details summary").first.click()
    served.plan.write_text(PLAN.replace("along: 9.7 m", "along: 9.75 m"), encoding="utf-8")
    _until(page, lambda: page.inner_text("#findings") != first and "up to date" in page.inner_text(".live"))
    assert page.locator("#findings details").first.evaluate("one => one.open")
    assert page.locator("[data-stale]").count() == 0
    assert page.locator("[role=status]").count() == 1
    assert not said
    page.close()


def _until(page: Page, so: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not so():
        assert time.monotonic() < end
        page.wait_for_timeout(50)


def _main(html: str) -> str:
    found = re.search(r"<main.*</main>", html, re.DOTALL)
    assert found
    return found[0]
