"""A followed plan's page, served: to this machine alone, and only to who has the address with its token."""

from __future__ import annotations

import hmac
import json
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Protocol

from msgspec import Struct

HOST = "127.0.0.1"
SLOWEST = 60
"""s a request may take to be said"""
HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'none'",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
"""of every answer; what the page itself may do stands in the page"""
PAGE, EVENTS, NOTHING = "text/html; charset=utf-8", "text/event-stream", "text/plain; charset=utf-8"


class Page(Struct, frozen=True):
    """What is served, and what is said of it. ``hasty``: the whole answer is still to come; ``faults``: the plan can't
    be used as it is.
    """

    version: int
    html: str
    hasty: bool
    faults: bool
    said: str


class Source(Protocol):
    """Whose page is served."""

    token: str
    page: Page

    def after(self, version: int) -> Page | None:
        """The page that follows a version, waited for; None when there is none for a while."""


class Server(ThreadingHTTPServer):
    """Serves one page that changes, at a free port of this machine."""

    daemon_threads = True

    def __init__(self, source: Source) -> None:
        self.source = source
        super().__init__((HOST, 0), Handler)

    @property
    def url(self) -> str:
        """Where the page is: the address holds the token."""
        return f"http://{HOST}:{self.server_port}/{self.source.token}/"

    @property
    def names(self) -> frozenset[str]:
        """What a browser may call this server: a name that leads here from elsewhere is none of them."""
        return frozenset({f"{HOST}:{self.server_port}", f"localhost:{self.server_port}"})


class Handler(BaseHTTPRequestHandler):
    """One request: the page or its events, under the token and this machine's own name, and nothing else."""

    server: Server
    timeout = SLOWEST
    server_version, sys_version = "oneclimb", ""

    def do_GET(self) -> None:
        """Answer with the page, or with what happens to it."""
        if self.headers.get_all("Host", []) not in [[name] for name in self.server.names]:
            self._refuse(HTTPStatus.MISDIRECTED_REQUEST)
            return
        parts = self.path.split("/")
        name = parts[-1]
        if len(parts) != 3 or parts[0] or not self._may(parts[1]):
            self._refuse(HTTPStatus.NOT_FOUND)
        elif name in {"", "page"}:
            self._send(self.server.source.page.html.encode())
        elif name == "events":
            self._events()
        else:
            self._refuse(HTTPStatus.NOT_FOUND)

    def _may(self, token: str) -> bool:
        return hmac.compare_digest(token.encode(), self.server.source.token.encode())

    def _events(self) -> None:
        self._head(HTTPStatus.OK, EVENTS)
        version = 0
        try:
            while True:
                found = self.server.source.after(version)
                self.wfile.write(b": still here\n\n" if found is None else _event(found))
                self.wfile.flush()
                version = found.version if found else version
        except OSError:
            self.close_connection = True

    def _send(self, body: bytes) -> None:
        self._head(HTTPStatus.OK, PAGE, len(body))
        self.wfile.write(body)

    def _head(self, status: HTTPStatus, kind: str, length: int | None = None) -> None:
        self.send_response(status)
        for name, value in {**HEADERS, "Content-Type": kind}.items():
            self.send_header(name, value)
        if length is not None:
            self.send_header("Content-Length", str(length))
        self.end_headers()

    def _refuse(self, status: HTTPStatus) -> None:
        self._head(status, NOTHING, 0)

    def handle(self) -> None:
        """Answer, and think nothing of a browser that has gone."""
        try:
            super().handle()
        except OSError:
            self.close_connection = True

    def log_message(self, *_: object) -> None:
        """Say nothing: the terminal is the installer's."""


def _event(page: Page) -> bytes:
    told = {"version": page.version, "hasty": page.hasty, "faults": page.faults, "said": page.said}
    return f"data: {json.dumps(told)}\n\n".encode()
