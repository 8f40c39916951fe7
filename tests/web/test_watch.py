"""The page that follows its plan: this machine only, one token, and the same page as the report writes."""

from __future__ import annotations

import http.client
import json
import os
import re
import socket
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
MOVED = PLAN.replace("along: 9.7 m", "along: 9.75 m")
PATIENCE = 60.0
PROMPT = 5.0
"""s within which an edit is answered, however busy the machine"""


class Served:
    """A plan that is watched by the real command."""

    def __init__(self, folder: Path) -> None:
        self.plan = folder / "lane.plan.yaml"
        self.write(PLAN)
        call = [COMMAND, "report", "--watch", str(self.plan)]
        self.process = subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.url = self.process.stdout.readline().strip()
        self.at = urlsplit(self.url)
        self.open: list[http.client.HTTPConnection] = []
        self.answers: list[http.client.HTTPResponse] = []

    def write(self, text: str) -> None:
        self.plan.write_text(text, encoding="utf-8")

    def ask(self, path: str, method: str = "GET", *hosts: str) -> http.client.HTTPResponse:
        connection = http.client.HTTPConnection(self.at.hostname or "", self.at.port or 0, timeout=PATIENCE)
        self.open.append(connection)
        connection.putrequest(method, path, skip_host=True)
        for host in hosts or (self.at.netloc,):
            connection.putheader("Host", host)
        connection.endheaders()
        answer = connection.getresponse()
        self.answers.append(answer)
        return answer

    def page(self) -> str:
        return self.ask(f"{self.at.path}page").read().decode()

    def close(self) -> str:
        """End it; what it said on the way."""
        self.process.terminate()
        _, said = self.process.communicate(timeout=20)
        for answer in self.answers:
            answer.close()
        for connection in self.open:
            connection.close()
        return said

    def events(self) -> Generator[dict[str, object]]:
        answer = self.ask(f"{self.at.path}events")
        while line := answer.readline():
            if line.startswith(b"data: "):
                yield json.loads(line[6:])


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    one = Served(tmp_path)
    yield one
    assert one.close().strip() in {"", "oneclimb: stopped"}


def whole(events: Iterator[dict[str, object]]) -> dict[str, object]:
    return next(one for one in events if not one["hasty"])


# ----------------------------------------------------------------------- who is served


def test_only_who_has_the_token_and_calls_this_machine_by_its_name_is_served(served: Served) -> None:
    token, own = served.at.path.strip("/"), served.at.netloc
    assert served.url.startswith("http://127.0.0.1:")
    assert len(token) >= 32
    page = served.ask(served.at.path)
    assert page.status == 200
    assert page.headers["Cache-Control"] == "no-store"
    assert page.headers["X-Content-Type-Options"] == "nosniff"
    assert page.headers["Referrer-Policy"] == "no-referrer"
    assert page.headers["Access-Control-Allow-Origin"] is None
    assert page.headers["Server"] == "oneclimb "
    assert "connect-src &#39;self&#39;;" in page.read().decode()
    assert served.ask(served.at.path, "GET", f"localhost:{served.at.port}").status == 200
    for hosts in (("evil.example",), (f"evil.example:{served.at.port}",), ("127.0.0.1",), ("",), (own, own)):
        assert served.ask(served.at.path, "GET", *hosts).status == 421, hosts
    for path in (
        "/",
        "/page",
        f"/{token[:-1]}/",
        f"/{token}x/",
        f"/{token}",
        f"/{token}/../etc",
        f"/{token}/page/more",
    ):
        assert served.ask(path).status == 404, path
    for path in (
        "//",
        "*",
        "page",
        f"http://{own}/{token}/",
        f"/{token}/?page",
        f"/{token}/%70age",
    ):
        assert served.ask(path).status == 404, path
    for method in ("POST", "PUT", "DELETE", "OPTIONS", "HEAD"):
        assert served.ask(served.at.path, method).status == 501, method


def test_it_listens_to_no_other_address(served: Served) -> None:
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {"127.0.0.1"}
    for other in {*others, "127.0.0.2"}:
        with pytest.raises(OSError, match=r"."):
            socket.create_connection((str(other), served.at.port or 0), timeout=2).close()


def test_what_is_no_request_is_refused_and_the_next_is_answered(served: Served) -> None:
    for raw in (b"\r\n", b"GET\r\n\r\n", b"GET /" + b"a" * 70_000 + b"\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\x00\r\n"):
        with socket.create_connection((str(served.at.hostname), served.at.port or 0), timeout=10) as raw_socket:
            raw_socket.sendall(raw)
            raw_socket.shutdown(socket.SHUT_WR)
            assert b"200" not in raw_socket.recv(100)[:15]
    assert served.ask(served.at.path).status == 200


# ------------------------------------------------------------------ what an edit brings


def test_an_edit_is_answered_at_once_then_with_remedies_then_with_pictures(served: Served, tmp_path: Path) -> None:
    events = served.events()
    first = whole(events)
    start = time.monotonic()
    served.write(PLAN.replace("along: 9.7 m", "along: 3.2 m"))
    hasty = next(events)
    assert time.monotonic() - start < PROMPT
    assert hasty["hasty"]
    assert int(str(hasty["version"])) > int(str(first["version"]))
    assert "gone" in str(hasty["said"])
    tried = next(events)
    assert tried["hasty"]
    assert "have been tried" in str(tried["said"])
    assert next(events)["hasty"] is False
    page = served.page()
    call = [COMMAND, "report", str(served.plan), "--output", str(tmp_path / "page.html")]
    subprocess.run(call, check=True, capture_output=True)
    written = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert _unscripted(page) == _unscripted(written)
    assert page != written


def test_back_and_forth_gives_the_same_page_with_the_pictures_that_were_kept(served: Served) -> None:
    events = served.events()
    whole(events)
    first = served.page()
    for text in (MOVED, PLAN):
        served.write(text)
        assert next(events)["hasty"]
        whole(events)
        assert (served.page() == first) == (text == PLAN)


def test_an_answer_that_is_late_is_not_given(served: Served) -> None:
    events = served.events()
    whole(events)
    for step in range(4):
        served.write(PLAN.replace("along: 9.7 m", f"along: 9.7{step} m"))
        assert next(events)["hasty"]
    served.write(PLAN.replace("name: Lane End", "name: Lane Top"))
    whole(events)
    assert "Lane Top" in served.page()


def test_a_file_that_is_saved_as_it_was_is_no_edit(served: Served) -> None:
    events = served.events()
    version = int(str(whole(events)["version"]))
    served.write(PLAN)
    time.sleep(1.0)
    served.write(MOVED)
    assert next(events)["version"] == version + 1


def test_a_broken_plan_is_told_and_mended(served: Served) -> None:
    events = served.events()
    whole(events)
    served.write(PLAN.replace("site:", "sitte:"))
    assert next(events)["faults"]
    assert "PLAN-11" in served.page()
    served.plan.unlink()
    assert next(events)["faults"]
    assert "there is no such file" in served.page()
    served.write(PLAN)
    assert not next(events)["faults"]
    assert whole(events)["faults"] is False


def test_a_file_written_in_two_goes_or_by_another_name_is_read_when_it_is_whole(served: Served) -> None:
    events = served.events()
    whole(events)
    served.write("")
    served.write(MOVED)
    assert not next(events)["faults"]
    whole(events)
    other = served.plan.with_suffix(".tmp")
    other.write_text(PLAN, encoding="utf-8")
    other.replace(served.plan)
    assert not next(events)["faults"]


@pytest.mark.parametrize(("signal", "status"), [(2, 130), (15, 143)])
def test_ctrl_c_ends_it_and_its_second_process(served: Served, signal: int, status: int) -> None:
    events = served.events()
    next(events)
    os.kill(served.process.pid, signal)
    assert served.process.wait(20) == status
    with pytest.raises((ConnectionError, http.client.HTTPException)):
        served.page()


# ------------------------------------------------------------------------ in the browser


@pytest.fixture
def shown(served: Served, browser: Browser) -> Iterator[Page]:
    """The page in a browser, whole; a script's complaint is a failure."""
    page = browser.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(served.url)
    _until(page, lambda: "up to date" in page.inner_text(".live"))
    yield page
    page.close()
    assert not said


@pytest.mark.chromium
def test_the_browser_changes_what_differs_and_keeps_the_rest(served: Served, shown: Page, browser: Browser) -> None:
    shown.locator("#findings details summary").first.click()
    first = shown.inner_text("#findings")
    shown.locator(".switch > input").nth(1).check()
    shown.locator("#cameras").scroll_into_view_if_needed()
    shown.locator("#findings details summary").first.focus()
    shown.evaluate("document.querySelector('#findings li').mark = document.querySelector('#assumed').mark = 'same'")
    served.write(MOVED)
    start = time.monotonic()
    _until(shown, lambda: shown.inner_text("#findings") != first)
    assert time.monotonic() - start < PROMPT
    assert "being" in shown.inner_text(".live")
    assert shown.evaluate("document.documentElement.hasAttribute('data-hasty')")
    _until(shown, lambda: "up to date" in shown.inner_text(".live"))
    assert shown.locator("#findings details").first.evaluate("one => one.open")
    assert shown.locator(".switch > input").nth(1).is_checked()
    assert shown.evaluate("document.activeElement.localName") == "summary"
    for part in ("#findings li", "#assumed"):
        assert shown.locator(part).first.evaluate("one => one.mark") == "same", part
    assert shown.locator("[data-stale], [data-hasty]").count() == 0
    assert shown.locator("[role=status]").count() == 1
    fresh = browser.new_page()
    fresh.goto(served.url)
    assert fresh.text_content("main") == shown.text_content("main")
    assert fresh.text_content("header") == shown.text_content("header")
    fresh.close()


@pytest.mark.chromium
def test_the_browser_shows_faults_above_the_last_good_page_and_takes_them_away(served: Served, shown: Page) -> None:
    findings = shown.inner_text("#findings")
    served.write(PLAN.replace("site:", "sitte:"))
    shown.locator("#faults").wait_for()
    assert "sitte" in shown.inner_text("#faults")
    assert shown.inner_text("#findings") == findings
    assert shown.evaluate("document.documentElement.hasAttribute('data-faults')")
    assert "can't be used" in shown.inner_text(".live")
    served.write(PLAN)
    _until(shown, lambda: "up to date" in shown.inner_text(".live"))
    assert shown.locator("#faults").count() == 0
    assert not shown.evaluate("document.documentElement.hasAttribute('data-faults')")
    assert shown.inner_text("#findings") == findings


@pytest.mark.chromium
def test_a_browser_that_came_to_a_broken_plan_gets_the_page_when_it_is_mended(served: Served, browser: Browser) -> None:
    events = served.events()
    whole(events)
    served.write(PLAN.replace("site:", "sitte:"))
    assert next(events)["faults"]
    page = browser.new_page()
    page.goto(served.url)
    assert page.locator("#findings").count() == 0
    served.write(PLAN)
    page.locator("#findings").wait_for()
    page.close()


@pytest.mark.chromium
def test_the_browser_says_when_nobody_follows_any_more(served: Served, browser: Browser) -> None:
    page = browser.new_page()
    page.goto(served.url)
    _until(page, lambda: bool(page.inner_text(".live")))
    os.kill(served.process.pid, 2)
    served.process.wait(20)
    _until(page, lambda: "Not followed any more" in page.inner_text(".live"))
    page.close()


def _until(page: Page, so: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not so():
        assert time.monotonic() < end
        page.wait_for_timeout(50)


def _unscripted(html: str) -> str:
    """A page without its script and what allows it."""
    return re.sub(r"<script>.*?</script>|<meta http-equiv.*?>", "", html, flags=re.DOTALL)
