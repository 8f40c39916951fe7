"""What ``oneclimb new`` needs to know, and whether an answer will do.

Each question is asked on a terminal, or answered by the option of the same name.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from oneclimb.plan.units import Units, quantity

WALLS = ("front", "right", "back", "left")
Kind = Literal["units", "text", "length", "gap", "gaps", "angle", "pixels"]
"""a length is above 0; a gap may be 0"""
_ID = re.compile(r"[^0-9a-z\u00c0-\u1fff]+")
_PIXELS = re.compile(r"\s*([0-9]{2,5})\s*(?:x|×|by)\s*([0-9]{2,5})\s*", re.IGNORECASE)


class BadAnswerError(ValueError):
    """An answer that won't do, and why, in plain words."""


class Question(Struct, frozen=True):
    """One question: its option, the words, what kind of answer, and whether it may stay open."""

    name: str
    asks: str
    kind: Kind
    open: bool = False
    usual: str | None = None

    @property
    def option(self) -> str:
        """The option that answers it."""
        return f"--{self.name}"


class Spotted(Struct, frozen=True):
    """One camera: the wall it is on, how far along and how high; what it shows, and where that is."""

    wall: str
    along: str
    height: str
    shows: str
    shows_along: str
    shows_out: str


QUESTIONS = (
    Question("units", "Do you measure in metres or feet?", "units", usual="metres"),
    Question("name", "What is the place called?", "text", open=True),
    Question("country", "Which country is it in? (Enter: leave it open)", "text", open=True),
    Question("coast", "How far off is salt water? (Enter: not known)", "length", open=True),
    Question("faces", "Which way does the front face, in degrees off a map or compass? (0 north, 90 east)", "angle"),
    Question("width", "How wide is the front wall?", "length"),
    Question("depth", "How deep is the house, front to back?", "length"),
    Question("eave-height", "How high is the underside of the eave, or else the top of the wall?", "length"),
    Question("eave-depth", "How far does the eave stand out from the wall? (0: there is none)", "gap"),
    Question("boundary", "How far to the boundary from each wall: front, right, back, left?", "gaps"),
    Question("pixels", "Off the camera's data sheet: pixels across by down? (2560 x 1440)", "pixels"),
    Question("view", "Its angle of view across?", "angle"),
    Question("infrared", "Its rated infrared range?", "length"),
)
CAMERA_QUESTIONS = (
    ("wall", "which wall is it on? (front, right, back, left)"),
    ("along", "how far along, from that wall's left end as you stand outside facing it?"),
    ("height", "how high above the ground?"),
    ("shows", "what must it show? (gate, drive, back door)"),
    ("shows_along", "how far along the same wall is that?"),
    ("shows_out", "and how far straight out from the wall?"),
)


def checked(question: Question, answer: str, units: Units) -> str:
    """The answer as it will stand in the plan. Raises ``BadAnswerError``."""
    text = " ".join(answer.split())
    if not text:
        if question.open:
            return ""
        raise BadAnswerError("this one is needed")
    if question.kind == "units":
        return _word(text, ("metres", "feet"))
    if question.kind == "pixels":
        return _pixels(text)
    if question.kind == "angle":
        _amount(text, "angle", units)
    elif question.kind in {"length", "gap"}:
        _length(text, units, zero=question.kind == "gap")
    elif question.kind == "gaps":
        for part in sides(text):
            _length(part, units, zero=True)
    elif not text.isprintable():
        raise BadAnswerError("letters, digits and blanks only, please")
    return text


def sides(text: str) -> list[str]:
    """The four distances of the boundary, with commas or, where they are plain numbers, blanks between them."""
    parts = [part.strip() for part in (text.split(",") if "," in text else text.split())]
    if len(parts) != len(WALLS):
        raise BadAnswerError("four distances are wanted, such as 9, 3, 14, 1.5")
    return parts


def camera(parts: Sequence[str], given: Mapping[str, str], units: Units) -> Spotted:
    """One camera from its six parts. Raises ``BadAnswerError``."""
    if len(parts) != len(CAMERA_QUESTIONS):
        raise BadAnswerError("six parts with commas between are wanted, such as: front, 11.2, 2.6, gate, 9.5, 9")
    done: list[str] = []
    for (name, _), part in zip(CAMERA_QUESTIONS, parts, strict=True):
        done.append(camera_part(name, part, done[0] if done else "", given, units))
    return Spotted(*done)


def camera_part(name: str, answer: str, wall: str, given: Mapping[str, str], units: Units) -> str:
    """One part of a camera, held against the house. Raises ``BadAnswerError``."""
    text = " ".join(answer.split())
    if name == "wall":
        return _word(text, WALLS)
    if name == "shows":
        if not slug(text):
            raise BadAnswerError("a word or two, such as gate")
        return slug(text)
    size = _length(text, units, zero=name in {"along", "shows_along"})
    if name == "along":
        side = "width" if wall in {"front", "back"} else "depth"
        if size > quantity(given[side], "length", units):
            raise BadAnswerError(f"the {wall} wall is only {given[side]} long")
    if name == "height" and size > quantity(given["eave-height"], "length", units):
        raise BadAnswerError(f"the eave is at {given['eave-height']}: the camera goes below it")
    if name == "shows_out" and size < 0.5:
        raise BadAnswerError("that is against the wall itself: give a place at least half a metre out")
    return text


def slug(text: str) -> str:
    """An id from a few words: ``Back door`` gives ``back-door``."""
    return _ID.sub("-", text.lower()).strip("-")[:40]


def _word(text: str, known: Sequence[str]) -> str:
    found = [word for word in known if word.startswith(text.lower())] if text else []
    if len(found) != 1:
        raise BadAnswerError(f"one of {', '.join(known)}")
    return found[0]


def _pixels(text: str) -> str:
    found = _PIXELS.fullmatch(text)
    if not found:
        raise BadAnswerError("two numbers, such as 2560 x 1440")
    return f"{found[1]} x {found[2]}"


def _amount(text: str, kind: str, units: Units) -> float:
    try:
        return quantity(float(text) if _bare(text) else text, kind, units)
    except ValueError as error:
        raise BadAnswerError(str(error)) from None


def _length(text: str, units: Units, *, zero: bool = False) -> float:
    size = _amount(text, "length", units)
    if size < 0 or (size == 0 and not zero):
        raise BadAnswerError(f"a distance {'of 0 or more' if zero else 'above 0'} is wanted")
    return size


def _bare(text: str) -> bool:
    return re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", text) is not None
