"""A report's page that follows its plan: served to this machine alone, and made anew as the plan is edited.

Two answers to an edit: at once what is found, with the pictures that were there; and, from a second process, the whole
page, the same as ``oneclimb report`` writes but for the script that keeps it up to date.
"""

from __future__ import annotations

import datetime as dt
import hmac
import json
import multiprocessing
import secrets
import threading
import time
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from oneclimb.draw import Picture, Sitting, pictures
from oneclimb.engine.hands import hands
from oneclimb.follow import Follower
from oneclimb.packs import load_packs
from oneclimb.plan.read import load
from oneclimb.plan.schema import Schemas
from oneclimb.report import words
from oneclimb.review import review, world_of
from oneclimb.web.page import page
from oneclimb.web.plate import Plate, plate

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.sharedctypes import Synchronized

    from oneclimb.api import Finding
    from oneclimb.packs import Packs
    from oneclimb.plan.limits import Limits
    from oneclimb.plan.owner import Owner
    from oneclimb.review import Review

HOST = "127.0.0.1"
POLL = 0.1
"""s between looks at the plan's file"""
BEAT = 15.0
"""s after which a browser that waits is told that the server is still there"""
SCRIPTS, CONNECT = ("watch.js",), "'self'"
HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


class Asked(Struct, frozen=True):
    """What is followed: a plan's file, and by what it is judged."""

    path: str
    owner: Owner | None
    limits: Limits
    today: dt.date


class Whole(Struct, frozen=True):
    """The second process's answer to one state of the plan."""

    number: int
    html: str
    findings: tuple[Finding, ...]
    plates: tuple[Plate, ...]


class Page(Struct, frozen=True):
    """What is served, and what is said of it."""

    version: int
    html: str
    hasty: bool
    faults: bool
    said: str


class SupersededError(Exception):
    """The plan has been edited again: this answer is not wanted any more."""


# ------------------------------------------------------------------ the second process


def answer_all(asked: Asked, newest: Synchronized[int], link: Connection[Whole, int]) -> None:
    """Answer every state of the plan that is asked for, as long as it is the newest."""
    packs = load_packs()
    schemas = Schemas(packs.kinds, packs.rules)
    while True:
        try:
            number = link.recv()
            link.send(_whole(asked, packs, schemas, number, newest))
        except SupersededError:
            continue
        except (EOFError, KeyboardInterrupt, OSError):
            return


def _whole(asked: Asked, packs: Packs, schemas: Schemas, number: int, newest: Synchronized[int]) -> Whole:
    made: list[Plate] = []

    def go_on(*_: int) -> None:
        if newest.value != number:
            raise SupersededError

    def drawn(picture: Picture) -> Plate:
        go_on()
        made.append(plate(picture))
        return made[-1]

    loaded = load(asked.path, packs.kinds, schemas, asked.limits)
    found = review(loaded, packs, asked.owner, progress=go_on, today=asked.today, hands=hands())
    if found.loaded.plan is None:
        return Whole(number, _page(found, packs), (), ())
    sitting = Sitting(found, world_of(loaded, packs, asked.today))
    html = page(found, packs, sitting, list(pictures(sitting)), drawn, scripts=SCRIPTS, connect=CONNECT)
    return Whole(number, html, found.findings, tuple(made))


def _page(found: Review, packs: Packs) -> str:
    return page(found, packs, scripts=SCRIPTS, connect=CONNECT)


# ------------------------------------------------------------------------ the following


class Watch:
    """The plan's newest page, and who waits for it."""

    def __init__(self, asked: Asked, packs: Packs, schemas: Schemas) -> None:
        self.asked, self.packs, self.schemas = asked, packs, schemas
        self.token = secrets.token_urlsafe(24)
        self.changed = threading.Condition()
        self.page = Page(0, "", hasty=True, faults=False, said="")
        self._follower = Follower(packs, asked.owner, asked.today)
        self._plates: tuple[Plate, ...] = ()
        self._paths: dict[int, str] = {}
        self._before: frozenset[str] | None = None
        self._number = 0
        context = multiprocessing.get_context("spawn")
        self._newest: Synchronized[int] = context.Value("i", 0)
        self._link, theirs = context.Pipe()
        self._worker = context.Process(target=answer_all, args=(asked, self._newest, theirs))
        self._worker.start()
        theirs.close()

    def close(self) -> None:
        """End the second process."""
        self._worker.terminate()
        self._worker.join()

    def follow(self, stop: threading.Event) -> None:
        """Look at the file until stopped; answer every edit twice."""
        seen: tuple[int, ...] = ()
        while not stop.wait(POLL):
            now = _state(self.asked.path)
            if now != seen:
                seen = now
                self._hasten()
            while self._link.poll():
                self._settle(self._link.recv())

    def _hasten(self) -> None:
        loaded = load(self.asked.path, self.packs.kinds, self.schemas, self.asked.limits)
        self._number += 1
        self._newest.value = self._number
        found = self._follower.hasten(loaded)
        said = "The plan can't be used as it is."
        if found.loaded.plan is None or self._follower.world is None:
            html = _page(found, self.packs)
        else:
            said = self._said(found.findings)
            self._link.send(self._number)
            sitting = Sitting(found, self._follower.world)
            plates = {one.name: one for one in self._plates}
            shown = [_again(one, sitting, self._paths) for one in self._plates]
            html = page(
                found, self.packs, sitting, shown, lambda one: plates[one.name], scripts=SCRIPTS, connect=CONNECT
            )
        self._publish(html, said, hasty=True, faults=found.loaded.plan is None)

    def _settle(self, whole: Whole) -> None:
        if whole.number != self._number:
            return
        self._follower.settle(whole.findings)
        self._plates = whole.plates
        if self._follower.world is not None and self._follower.last is not None:
            numbered = Sitting(self._follower.last, self._follower.world).numbered
            self._paths = {number: one.finding.path for number, one in numbered}
        self._publish(whole.html, "Everything is up to date.", hasty=False, faults=False)

    def _said(self, findings: tuple[Finding, ...]) -> str:
        """What an edit has changed, in words."""
        now, before = frozenset(one.path for one in findings), self._before
        self._before = now
        if before is None:
            return "Remedies are being tried and pictures drawn."
        gone, new = len(before - now), len(now - before)
        parts = [f"{words.count(n, 'finding')} {what}" for n, what in ((gone, "gone"), (new, "new")) if n]
        return f"{words.listed(parts) or 'The same findings'}. Remedies are being tried and pictures drawn."

    def _publish(self, html: str, said: str, *, hasty: bool, faults: bool) -> None:
        with self.changed:
            self.page = Page(self.page.version + 1, html, hasty=hasty, faults=faults, said=said)
            self.changed.notify_all()

    def after(self, version: int) -> Page | None:
        """The page that follows a version, waited for; None when there is none for a while."""
        with self.changed:
            self.changed.wait_for(lambda: self.page.version > version, BEAT)
            return self.page if self.page.version > version else None


def _state(path: str) -> tuple[int, ...]:
    """What tells one state of a file from another; nothing for a file that is not there."""
    try:
        stat = Path(path).stat()
    except OSError:
        return (0,)
    return stat.st_mtime_ns, stat.st_size, stat.st_ino


def _again(one: Plate, sitting: Sitting, paths: dict[int, str]) -> Picture:
    """A picture that was drawn before, at the number its finding has now; 0 where it is gone."""
    path = paths.get(one.finding, "")
    number = next((n for n, alike in sitting.numbered if alike.finding.path == path), 0)
    return Picture(one.name, one.kind, one.title, one.words, one.about, _never, number)


def _never() -> Any:
    raise AssertionError("a picture that was drawn before is not drawn again")


# ------------------------------------------------------------------------- the serving


class Server(ThreadingHTTPServer):
    """Serves one watch, to this machine alone."""

    daemon_threads = True

    def __init__(self, watch: Watch) -> None:
        self.watch = watch
        super().__init__((HOST, 0), Handler)

    @property
    def url(self) -> str:
        """Where the page is: the address holds the token."""
        return f"http://{HOST}:{self.server_port}/{self.watch.token}/"


class Handler(BaseHTTPRequestHandler):
    """One request: the page or its events, under the token and this machine's own name, and nothing else."""

    server: Server
    timeout = 60
    server_version, sys_version = "oneclimb", ""

    def do_GET(self) -> None:
        """Answer with the page, or with what happens to it."""
        if self.headers.get("Host", "") not in {
            f"{HOST}:{self.server.server_port}",
            f"localhost:{self.server.server_port}",
        }:
            self._refuse(HTTPStatus.MISDIRECTED_REQUEST)
            return
        _, token, *rest = self.path.split("/")
        if not hmac.compare_digest(token.encode(), self.server.watch.token.encode()) or len(rest) != 1:
            self._refuse(HTTPStatus.NOT_FOUND)
        elif rest[0] in {"", "page"}:
            self._send(self.server.watch.page.html.encode(), "text/html; charset=utf-8")
        elif rest[0] == "events":
            self._events()
        else:
            self._refuse(HTTPStatus.NOT_FOUND)

    def _events(self) -> None:
        self._head(HTTPStatus.OK, "text/event-stream")
        version = 0
        try:
            while True:
                found = self.server.watch.after(version)
                if found is None:
                    self.wfile.write(b": still here\n\n")
                else:
                    version = found.version
                    told = {"version": version, "hasty": found.hasty, "faults": found.faults, "said": found.said}
                    self.wfile.write(f"data: {json.dumps(told)}\n\n".encode())
                self.wfile.flush()
        except OSError:
            return

    def _send(self, body: bytes, kind: str) -> None:
        self._head(HTTPStatus.OK, kind, len(body))
        self.wfile.write(body)

    def _head(self, status: HTTPStatus, kind: str, length: int | None = None) -> None:
        self.send_response(status)
        for name, value in {**HEADERS, "Content-Type": kind}.items():
            self.send_header(name, value)
        if length is not None:
            self.send_header("Content-Length", str(length))
        self.end_headers()

    def _refuse(self, status: HTTPStatus) -> None:
        self._head(status, "text/plain; charset=utf-8", 0)

    def log_message(self, *_: object) -> None:
        """Say nothing: the terminal is the installer's."""


def watch(asked: Asked, packs: Packs, schemas: Schemas, ready: Any = None) -> None:
    """Follow a plan and serve its page until Ctrl-C; ``ready(url)`` is told where, once the first page is there."""
    followed = Watch(asked, packs, schemas)
    stop = threading.Event()
    following = threading.Thread(target=followed.follow, args=(stop,), daemon=True)
    try:
        with Server(followed) as server:
            following.start()
            serving = threading.Thread(target=server.serve_forever, daemon=True)
            serving.start()
            while not followed.page.html:
                time.sleep(POLL / 2)
            if ready:
                ready(server.url)
            try:
                while following.is_alive():
                    following.join(1.0)
            finally:
                server.shutdown()
    finally:
        stop.set()
        followed.close()
