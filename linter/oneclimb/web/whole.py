"""The whole answer to a plan that is followed, given by a second process: remedies tried, pictures drawn.

It starts from nothing each time, so that it is what ``oneclimb report`` gives; only the bytes of a picture that is
drawn of the very same things are taken from the last answer.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import multiprocessing
import os
import pickle
import signal
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NoReturn

from matplotlib.transforms import TransformNode
from msgspec import Struct
from msgspec.structs import replace

from oneclimb.draw import Picture, Sitting, ink, pictures
from oneclimb.engine.hands import hands, shared_out
from oneclimb.packs import load_packs
from oneclimb.plan.schema import Schemas
from oneclimb.review import check, world_of
from oneclimb.web.page import DRAWING, page
from oneclimb.web.plate import Plate, plate

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.sharedctypes import Synchronized

    from matplotlib.figure import Figure

    from oneclimb.api import Finding
    from oneclimb.packs import Packs
    from oneclimb.plan.limits import Limits
    from oneclimb.plan.owner import Owner

NICE = 10
"""how far the second process stands back: whoever edits waits for the first"""
SCRIPTS, CONNECT = ("watch.js",), "'self'"
"""what a page that is kept up to date needs besides"""


class Asked(Struct, frozen=True):
    """What is followed: a plan's file, and by what it is judged."""

    path: str
    owner: Owner | None
    limits: Limits


class State(Struct, frozen=True):
    """One state of the plan that is asked about: its number, and the date of that day."""

    number: int
    today: dt.date


class Tried(Struct, frozen=True):
    """The findings of one state of the plan, their remedies tried; the pictures are still to come."""

    number: int
    findings: tuple[Finding, ...]


class Whole(Struct, frozen=True):
    """The page of one state of the plan. ``of``: the paths of the findings, by the numbers they have on it."""

    number: int
    html: str
    plates: tuple[Plate, ...]
    of: Mapping[int, str]


class Failed(Struct, frozen=True):
    """Why there is no whole answer to one state of the plan."""

    number: int
    text: str


class SupersededError(Exception):
    """The plan has been edited again, or nobody is there any more: this answer is not wanted."""


Answer = Tried | Whole | Failed
Keyed = Mapping[str, Plate]
"""plates by what they are drawn of"""


def second(asked: Asked, newest: Synchronized[int], link: Connection[Answer, State]) -> None:
    """What the second process does, until the first lets go of the link or it is stopped."""
    end_in_order()
    if sys.platform == "linux":
        os.nice(NICE)
    try:
        packs = load_packs()
        answer_all(asked, packs, Schemas(packs.kinds, packs.rules), newest, link)
    except (EOFError, KeyboardInterrupt, OSError):
        return


def answer_all(
    asked: Asked, packs: Packs, schemas: Schemas, newest: Synchronized[int], link: Connection[Answer, State]
) -> NoReturn:
    """Answer every state of the plan that is asked for, as long as it is the newest. ``EOFError`` ends it."""
    kept: Keyed = {}
    while True:
        state = link.recv()
        try:
            kept = answer(asked, packs, schemas, Turn(state, newest, link, kept))
        except SupersededError:
            continue
        except Exception as error:  # noqa: BLE001 - told on the page; the next edit may well be answered
            link.send(Failed(state.number, f"{type(error).__name__}: {error}"))


def end_in_order() -> None:
    """When this process is told to end, let everything it began end too."""
    signal.signal(signal.SIGTERM, lambda number, _: sys.exit(128 + number))


class Turn(Struct, frozen=True):
    """One state of the plan, for as long as it is the newest, and the plates of the last answer."""

    state: State
    newest: Synchronized[int]
    link: Connection[Answer, State]
    kept: Keyed

    def go_on(self, *_: int) -> None:
        """Raise ``SupersededError`` where the answer is not wanted any more."""
        above = multiprocessing.parent_process()
        if self.newest.value != self.state.number or (above is not None and not above.is_alive()):
            raise SupersededError


def answer(asked: Asked, packs: Packs, schemas: Schemas, turn: Turn) -> Keyed:
    """Answer in two parts; the plates are kept for the next turn."""
    number, day, limits = turn.state.number, turn.state.today, asked.limits
    found = check(asked.path, packs, schemas, asked.owner, limits=limits, progress=turn.go_on, today=day, hands=hands())
    if found.loaded.plan is None:  # edited since: whoever asked has seen it too
        return turn.kept
    turn.link.send(Tried(number, found.findings))
    sitting = Sitting(found, world_of(found.loaded, packs, day))
    shown = list(pictures(sitting))
    keyed = drawn([one for one in shown if one.kind != DRAWING], turn)
    plates = {one.name: one for _, one in keyed}
    html = page(found, packs, sitting, shown, lambda one: plates[one.name], scripts=SCRIPTS, connect=CONNECT)
    of = {n: one.finding.path for n, one in sitting.numbered}
    turn.link.send(Whole(number, html, tuple(plates.values()), of))
    return dict(keyed)


# ---------------------------------------------------------------------- the pictures


def drawn(shown: list[Picture], turn: Turn) -> list[tuple[str, Plate]]:
    """Pictures drawn by all hands, each with its key; one that was drawn of the very same is not made again."""
    return shared_out(len(shown), lambda i: again(shown[i], turn.kept), hands(), turn.go_on)


def again(picture: Picture, kept: Keyed) -> tuple[str, Plate]:
    """A picture's key and its plate: the one that was made of the same key, or a new one."""
    figure = ink.drawn(picture)
    known = key(picture, figure)
    return known, kept.get(known) or plate(replace(picture, make=lambda: figure))


def key(picture: Picture, figure: Figure) -> str:
    """A digest of everything a plate is made from: what the picture says, and every line and dot of its figure."""
    out = io.BytesIO()
    said = (picture.name, picture.kind, picture.title, picture.words, picture.about, picture.finding)
    _Pickler(out, pickle.HIGHEST_PROTOCOL).dump((said, figure))
    return hashlib.sha256(out.getvalue()).hexdigest()


class _Pickler(pickle.Pickler):
    """Writes a figure as it looks: of what its transforms lead to, not of who uses them, which is told by addresses."""

    def reducer_override(self, obj: Any) -> Any:
        if isinstance(obj, TransformNode):
            parts = {name: part for name, part in vars(obj).items() if name != "_parents"}
            return object.__new__, (type(obj),), parts
        return NotImplemented
