"""Faults of the plan itself: their codes, their place in the file, and what each means.

Every fault is an error: a plan with one is not checked further.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct


class Span(Struct, frozen=True, order=True):
    """A stretch of the file: lines and columns from 1, columns in code points, the end not included."""

    line: int
    column: int
    end_line: int
    end_column: int


START = Span(1, 1, 1, 1)


class Fault(Struct, frozen=True):
    """Something in the plan that keeps it from being read: where, in plain words, and what may help."""

    code: str
    text: str
    span: Span = START
    hint: str = ""


class FaultInfo(Struct, frozen=True):
    """What a fault's code means, for whoever asks for it by name."""

    title: str
    explain: str


FAULTS: Mapping[str, FaultInfo] = MappingProxyType(
    {
        "PLAN-01": FaultInfo(
            "the file can't be read", "The plan is missing, is a folder or a device, or may not be read."
        ),
        "PLAN-02": FaultInfo(
            "a limit is passed",
            "Plans are bounded so that no file can make the check hang. The message names the limit and the "
            "option that raises it.",
        ),
        "PLAN-03": FaultInfo(
            "not UTF-8 text", "A plan is UTF-8 text, with or without a byte order mark. Save it again as UTF-8."
        ),
        "PLAN-04": FaultInfo(
            "a control character",
            "Control characters and odd line separators can hide text from a reader; a plan has none.",
        ),
        "PLAN-05": FaultInfo(
            "not well-formed YAML",
            "The text can't be parsed. Often: a missing colon or bracket, a tab, or lines that don't line up.",
        ),
        "PLAN-06": FaultInfo(
            "an anchor or alias",
            "YAML's & and * are not used in plans: write the thing again, or share camera keys under `types:`.",
        ),
        "PLAN-07": FaultInfo(
            "a tag", "YAML's ! tags are not used in plans: values are plain text, numbers, true or false."
        ),
        "PLAN-08": FaultInfo(
            "not one document", "A plan is one YAML document with keys at its top: not empty, not several split by ---."
        ),
        "PLAN-09": FaultInfo("a key is written twice", "Of two equal keys one would be lost silently. Keep one."),
        "PLAN-10": FaultInfo(
            "a number that isn't finite",
            "Sizes are finite numbers. Infinity, not-a-number and numbers too large to hold can't be "
            "measured with a tape.",
        ),
        "PLAN-11": FaultInfo(
            "an unknown key",
            "The plan's language has no such key at this place. Often a slip of the pen: the nearest known "
            "key is named.",
        ),
        "PLAN-12": FaultInfo(
            "a key is missing", "This key is needed here: it has no usual value that could be assumed."
        ),
        "PLAN-13": FaultInfo(
            "the wrong kind of value", "Text where a number belongs, a list where one value belongs, or the like."
        ),
        "PLAN-14": FaultInfo("not one of the known words", "This key takes one of a few words. The nearest is named."),
        "PLAN-15": FaultInfo(
            "not written as it should be",
            "The value has not the form this key needs: a length, an angle, a range, an id, a date.",
        ),
        "PLAN-16": FaultInfo(
            "out of bounds",
            "The value is smaller or larger than can be meant here, or a list has too few or too many entries.",
        ),
        "PLAN-17": FaultInfo("against the schema", "The value breaks another condition of the plan's schema."),
        "PLAN-18": FaultInfo(
            "an id is used twice", "Each thing of a kind has its own id, so that reports and deviations can name it."
        ),
        "PLAN-19": FaultInfo(
            "no such thing",
            "The plan names a wall, area, object, type, camera or neighbour that it doesn't have. The "
            "nearest is named.",
        ),
        "PLAN-20": FaultInfo(
            "no such material", "A surface is a built-in material or one of the plan's own under `materials:`."
        ),
        "PLAN-21": FaultInfo(
            "no clear place",
            "A thing stands either by a wall (`wall`, `along`, `out`) or in coordinates (`at: [x, y]`): one "
            "of the two.",
        ),
        "PLAN-22": FaultInfo("a range the wrong way round", "In `8 to 11` the smaller number comes first."),
        "PLAN-23": FaultInfo(
            "off the wall's end",
            "`along` counts from the wall's left end as you stand outside facing it, and ends where the wall ends.",
        ),
        "PLAN-24": FaultInfo(
            "walls don't meet",
            "Walls in order, anticlockwise seen from above, must come back to where they began, within 0.25 "
            "m or 2 % of the way round.",
        ),
        "PLAN-25": FaultInfo(
            "an outline that crosses itself",
            "An outline's sides meet at its corners only. Check the order of the corners.",
        ),
        "PLAN-26": FaultInfo("nothing there", "A wall, outline, window or thing of no length or size."),
        "PLAN-27": FaultInfo(
            "a date that doesn't exist", "Dates are year-month-day, such as 2026-03-31, and must be on the calendar."
        ),
        "PLAN-28": FaultInfo(
            "a camera inside something solid", "The camera's place lies inside a building or an object."
        ),
        "PLAN-29": FaultInfo(
            "a camera that looks into its own wall", "The aim points into what the camera is fixed to."
        ),
        "PLAN-30": FaultInfo(
            "no direction",
            "A camera or lamp aimed at its own place, or one with nothing to look straight out from, has no direction.",
        ),
        "PLAN-31": FaultInfo("too far away", "The site is wider than the place model can hold exactly."),
        "PLAN-32": FaultInfo(
            "two answers to one question", "Two keys say the same thing in two ways; only one of them can stand."
        ),
        "PLAN-33": FaultInfo(
            "needs something that isn't there",
            "This key builds on another (a house, a boundary, an eave) that the plan doesn't have.",
        ),
        "PLAN-34": FaultInfo(
            "this change can't be made here",
            "A change was tried on something that can't be changed at that place of the plan.",
        ),
        "PLAN-35": FaultInfo(
            "a place that can't be built",
            "The plan reads, but its solids can't be made of triangles that rays can be cast at.",
        ),
        "PLAN-36": FaultInfo(
            "a height that can't be meant",
            "`height` counts up from the ground at the wall's foot (with `storey`, from its floor). This one lies "
            "below the ground, or far above the wall and any roof over it. Often centimetres or millimetres "
            "written as metres.",
        ),
        "PLAN-37": FaultInfo(
            "a way that leads round in a ring",
            "Each switch's `to` names the next one towards the recorder or router. In a ring none is the last.",
        ),
        "PLAN-90": FaultInfo(
            "a deviation has run out",
            "A finding was accepted until a date that is past. Agree on it again, or put the finding right.",
        ),
        "PLAN-91": FaultInfo(
            "a deviation that isn't needed",
            "No finding matches this deviation any more, or none ever did. Take it out, or check its code and place.",
        ),
        "PLAN-92": FaultInfo(
            "the owner's file outranks the plan",
            "The owner's file sets this value too, and that value holds. What an owner has set a plan can't loosen.",
        ),
        "PLAN-95": FaultInfo(
            "a rule is off",
            "The plan's settings turn this rule off, so nothing of it was told. An owner's file can speak of it again.",
        ),
        "PLAN-94": FaultInfo(
            "a deviation that is only proposed",
            "With an owner's file only the deviations in it accept findings. Ask the owner to take this one up.",
        ),
        "PLAN-93": FaultInfo(
            "a safety rule can't be changed by the plan",
            "Rules about harm keep their limits whatever the plan says. Only the owner's file can change them.",
        ),
    }
)
"""Every code of the plan itself: faults that keep it from being read, and from 90 on what policy finds in it."""


class UnreadableError(Exception):
    """A fault met while reading that ends the reading of what it was met in."""

    def __init__(self, code: str, text: str, hint: str = "") -> None:
        super().__init__(text)
        self.code, self.text, self.hint = code, text, hint


class ToldError(UnreadableError):
    """What leans on a thing that couldn't be read: that thing's own fault is told, so this one is not."""

    def __init__(self) -> None:
        super().__init__("", "this leans on a thing with a fault of its own")
