"""Reading conduits and boxes: what cables run in, and what their joints sit in."""

from __future__ import annotations

from types import MappingProxyType

from oneclimb.plan.here import Here
from oneclimb.plan.model import Box, Conduit, Content
from oneclimb.plan.plain import Fields, measure, measures, plain, word, words
from oneclimb.plan.read_gear import place

HIGH = 2.5
"""m: the usual height of a box, beside a camera (common practice)"""

_CONDUIT: Fields = MappingProxyType(
    {
        "bore": measure("length"),
        "length": measure("length"),
        "bends": measures("angle"),
        "runs": word,
        "depth": measure("length"),
        "drained": word,
        "sealed": word,
    }
)
_BOX: Fields = MappingProxyType({"rated": words, "sits": word, "drains": word})


def read_conduit(here: Here) -> Conduit:
    """A conduit."""
    return Conduit(
        id=here.thing[1], contents=_contents(here), joins=tuple(here.data.get("joins", ())), **plain(here, _CONDUIT)
    )


def _contents(here: Here) -> tuple[Content, ...]:
    found = []
    for i, entry in enumerate(here.data.get("contents", ())):
        one = Here(here.c, entry, (*here.path, "contents", i), here.thing, f"contents.{i}.")
        diameter = one.maybe("diameter")
        if diameter is not None:
            found.append(Content(diameter, one.word("count", 1, "one"), one.word("carries", "data")))
    return tuple(found)


def read_box(here: Here) -> Box:
    """A junction or back box; where it is may be unknown."""
    return Box(id=here.thing[1], spot=place(here, HIGH), **plain(here, _BOX))
