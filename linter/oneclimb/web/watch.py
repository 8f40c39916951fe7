"""A report's page that follows its plan: made anew as the plan is edited.

Two answers to an edit: at once what is found, with the pictures that were there; and, from a second process, the whole
page, the same as ``oneclimb report`` writes but for the script that keeps it up to date. What can't be read, or fails,
is said, and the last good page stays.
"""

from __future__ import annotations

import datetime as dt
import multiprocessing
import secrets
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from oneclimb.draw import Picture, Sitting
from oneclimb.follow import Follower
from oneclimb.plan.read import load
from oneclimb.plan.read_packs import ForeignError
from oneclimb.report import words
from oneclimb.report.quote import quote
from oneclimb.review import check
from oneclimb.web.page import page
from oneclimb.web.serve import Page, Server
from oneclimb.web.whole import CONNECT, SCRIPTS, Answer, Asked, Failed, State, Tried, end_in_order, second

if TYPE_CHECKING:
    from multiprocessing.sharedctypes import Synchronized

    from oneclimb.packs import Packs
    from oneclimb.plan.read import Loaded
    from oneclimb.plan.schema import Schemas
    from oneclimb.review import Review
    from oneclimb.web.plate import Plate

POLL = 0.05
"""s between looks at the plan's file"""
SETTLES = 0.15
"""s a plan that can't be read is given: some editors write a file in two goes"""
BEAT = 15.0
"""s after which a browser that waits is told that the server is still there"""
LEAVE = 1.0
"""s the second process has to end in order"""
LOST = "the process that tries remedies and draws has ended"
NOBODY = -1
"""the state of the plan when nobody asks any more"""
DRAWING = "pictures are being drawn"
TRYING = f"remedies are being tried and {DRAWING}"


class Watch:
    """The plan's newest page, and who waits for it."""

    def __init__(self, asked: Asked, packs: Packs, schemas: Schemas) -> None:
        self.asked, self.packs, self.schemas = asked, packs, schemas
        self.token = secrets.token_urlsafe(24)
        self.changed = threading.Condition()
        self.page = Page(0, "", hasty=True, faults=False, said="")
        self.failed: Exception | None = None
        self._ended = threading.Event()
        self._follower = Follower(packs, asked.owner, _today())
        self._loaded: Loaded | None = None
        self._plates: tuple[Plate, ...] = ()
        self._of: Mapping[int, str] = {}
        self._before: frozenset[str] | None = None
        self._number = 0
        context = multiprocessing.get_context("spawn")
        self._newest: Synchronized[int] = context.Value("i", 0)
        self._link, theirs = context.Pipe()
        self._second = context.Process(target=second, args=(asked, self._newest, theirs))
        self._second.start()
        theirs.close()

    def close(self) -> None:
        """End the second process."""
        self._ended.set()
        self._newest.value = NOBODY
        self._link.close()
        self._second.join(LEAVE)
        self._second.terminate()
        self._second.join()

    # -------------------------------------------------------------- the plan's file

    def follow(self) -> None:
        """Look at the file until closed; what fails for good is kept in ``failed``."""
        try:
            seen: tuple[int, ...] = ()
            while not self._ended.wait(POLL):
                now = _state(self.asked.path)
                if now != seen:
                    self._read()
                    seen = now
                while self._link.poll():
                    self._hear(self._link.recv())
        except Exception as error:  # noqa: BLE001 - a thread has nobody to raise to: who waits for it does it
            if not self._ended.is_set():
                self.failed = RuntimeError(LOST) if isinstance(error, (EOFError, ConnectionError)) else error
        with self.changed:
            self._ended.set()
            self.changed.notify_all()

    def _read(self) -> None:
        """Read the plan and answer it, unless it reads as it did. One that can't be read is looked at again first."""
        loaded = self._opened()
        if (loaded is None or loaded.plan is None) and not self._ended.wait(SETTLES):
            loaded = self._opened()
        day = _today()
        if self._loaded and loaded and _text(loaded) == _text(self._loaded) and day == self._follower.today:
            return
        self._number += 1
        self._newest.value = self._number
        self._loaded, self._follower.today = loaded, day
        if loaded is None:
            self._refuse(check(self.asked.path, self.packs, self.schemas, limits=self.asked.limits))
        elif self._hasten(loaded):
            self._link.send(State(self._number, day))

    def _opened(self) -> Loaded | None:
        """The plan as it is now; None where a pack fails at it."""
        try:
            return load(self.asked.path, self.packs.kinds, self.schemas, self.asked.limits)
        except ForeignError:
            return None

    # ------------------------------------------------------------------ the answers

    def _hasten(self, loaded: Loaded, said: str = "") -> bool:
        """Answer at once; whether there is a whole answer to come."""
        try:
            found = self._follower.hasten(loaded)
        except Exception as error:  # noqa: BLE001 - the whole answer, which starts from nothing, may well stand
            self._follower.world = None
            self._say(f"The first answer failed ({quote(str(error))}). The whole one is being made.")
            return True
        if found.loaded.plan is None or self._follower.world is None:
            self._refuse(found)
            return False
        said = said or self._changed(found)
        self._publish(self._hasty(found, Sitting(found, self._follower.world)), said, hasty=True)
        return True

    def _hasty(self, found: Review, sitting: Sitting) -> str:
        """The page with the pictures that were there, but for those of findings that are gone."""
        plates = {one.name: one for one in self._plates}
        now = {one.finding.path: number for number, one in sitting.numbered}
        shown = [_again(one, now.get(self._of.get(one.finding, ""), 0)) for one in self._plates]
        shown = [one for one in shown if one.finding or not plates[one.name].finding]
        return page(found, self.packs, sitting, shown, lambda one: plates[one.name], scripts=SCRIPTS, connect=CONNECT)

    def _hear(self, answer: Answer) -> None:
        """Take what the second process says of the newest state; what it says of another came too late."""
        if answer.number != self._number or self._loaded is None:
            return
        if isinstance(answer, Failed):
            self._say(f"Internal fault: {quote(answer.text)}. Remedies and pictures are not of this plan.")
        elif isinstance(answer, Tried):
            self._follower.settle(answer.findings)
            self._hasten(self._loaded, f"Remedies have been tried; {DRAWING}.")
        else:
            self._plates, self._of = answer.plates, answer.of
            self._publish(answer.html, "Everything is up to date.")

    def _changed(self, found: Review) -> str:
        """What an edit has changed, in words."""
        now, before = frozenset(one.path for one in found.findings), self._before
        self._before = now
        if before is None:
            return f"{TRYING}.".capitalize()
        counted = ((len(before - now), "gone"), (len(now - before), "new"))
        parts = [f"{words.count(number, 'finding')} {what}" for number, what in counted if number]
        return f"{words.listed(parts) or 'The same findings'}; {TRYING}."

    def _refuse(self, found: Review) -> None:
        html = page(found, self.packs, scripts=SCRIPTS, connect=CONNECT)
        self._publish(html, "The plan can't be used as it is.", faults=True)

    def _say(self, said: str) -> None:
        self._publish(self.page.html, said, hasty=True, faults=self.page.faults)

    def _publish(self, html: str, said: str, *, hasty: bool = False, faults: bool = False) -> None:
        with self.changed:
            self.page = Page(self.page.version + 1, html, hasty=hasty, faults=faults, said=said)
            self.changed.notify_all()

    # ------------------------------------------------------------------ who waits

    def after(self, version: int) -> Page | None:
        """The page that follows a version, waited for; None when there is none for a while."""
        with self.changed:
            self.changed.wait_for(lambda: self.page.version > version, BEAT)
            return self.page if self.page.version > version else None

    def wait(self, *, first: bool) -> None:
        """Wait for the first page, or for the end of the following; raises what it failed of."""
        with self.changed:
            while not (self._ended.is_set() or (first and self.page.html)):
                self.changed.wait(1.0)
        if self.failed:
            raise self.failed


def _today() -> dt.date:
    return dt.datetime.now().astimezone().date()


def _text(loaded: Loaded) -> object:
    """What a plan reads; a file that is no text reads like no other."""
    return loaded.document.text if loaded.document else object()


def _state(path: str) -> tuple[int, ...]:
    """What tells one state of a file from another; nothing for a file that is not there."""
    try:
        stat = Path(path).stat()
    except (OSError, ValueError):
        return (0,)
    return stat.st_mtime_ns, stat.st_size, stat.st_ino


def _again(one: Plate, number: int) -> Picture:
    """A picture that was drawn before, at the number its finding has now; 0 where it has none."""
    return Picture(one.name, one.kind, one.title, one.words, one.about, _never, number)


def _never() -> Any:
    raise AssertionError("a picture that was drawn before is not drawn again")


def watch(asked: Asked, packs: Packs, schemas: Schemas, ready: Callable[[str], None]) -> None:
    """Follow a plan and serve its page until Ctrl-C; ``ready(url)`` is told where, once the first page is there."""
    end_in_order()
    followed = Watch(asked, packs, schemas)
    try:
        threading.Thread(target=followed.follow, daemon=True).start()
        followed.wait(first=True)
        with Server(followed) as server:
            threading.Thread(target=server.serve_forever, daemon=True).start()
            ready(server.url)
            try:
                followed.wait(first=False)
            finally:
                server.shutdown()
    finally:
        followed.close()
