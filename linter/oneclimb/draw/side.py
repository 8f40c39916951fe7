"""Each camera from the side: where its frame's edges lead, where the sky begins, where its own light is most, where a
person is usable by night, and where it looks down too steeply on a face.
"""

from __future__ import annotations

import functools
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink, named, side_strips, side_title, side_words
from oneclimb.draw.callouts import PITCH, rows
from oneclimb.draw.ground_plan import laid, scale_bar
from oneclimb.draw.side_section import EARTH, section
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import SIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.draw.callouts import Callout
    from oneclimb.draw.placing import Rect
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.study.side import Side

WIDE, HIGHEST = 204.0, 95.0
"""mm of the sheet, and of the section's height at the most"""
LEFT, RIGHT, HEAD, BETWEEN = 11.0, 2.0, 5.0, 8.5
"""mm: beside the section, over it for each line of its title, and under it for the scale bar"""
TITLE = 105
"""letters of a line of the title"""
BEFORE, LEAST = 1.0, 7.0
"""m drawn behind the lens, and ahead of it at the least"""
ROOM = 1.12
"""times what is to be shown that is drawn"""
MOST = 2.2
"""times what is wanted to which ground that is only usable by night is drawn"""
OVERHEAD, LOWEST_TOP = 1.0, 2.7
"""m drawn above the lens, and how high is drawn at the least"""
HAIR = 0.1
"""mm by which words may pass the edge"""
HEADROOM = 13.0
"""mm drawn above the lens at the least: room for its name"""


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One picture a camera, whichever way it looks: one that looks straight down is cut along its picture's height."""
    say = tape(sitting.review)
    for camera in sitting.world.plan.cameras:
        side = sitting.world.of(SIDE, camera)
        make = functools.partial(_drawn, sitting, camera, side)
        title, words = side_title.title(camera, side, say), side_title.words(camera, side, say)
        yield Picture(named("side", camera.id), "side", quote(title), words, Ref("camera", camera.id), make)


def _drawn(sitting: Sitting, camera: Camera, side: Side) -> Figure:
    say, plan = tape(sitting.review), sitting.world.plan
    sheet = fitted(side, say)
    bars, over = side_strips.bars(side, say), side_strips.wrapped(side_strips.curve_said(side, say))
    head = "\n".join(textwrap.wrap(quote(side_title.title(camera, side, say)), TITLE, break_on_hyphens=False))
    light = side_strips.CURVE if side.brightest is not None else 0.0
    words = side_strips.WORDS * (1 + over.count("\n"))
    below = side_strips.BELOW + side_strips.ROW * len(bars)
    left, bottom, right, top = sheet.rect
    figure = ink.sheet(
        WIDE, HEAD * (1 + head.count("\n")) + (top - bottom) * sheet.scale + BETWEEN + words + light + below
    )
    figure.set_layout_engine("none")
    ground = laid(figure, sheet.rect, (LEFT, below + light + words + BETWEEN), sheet.scale)
    ground.axes.set_title(head, size=8.0, pad=3.0)
    section(ground, camera, side, sheet.said, say)
    scale_bar(ground, plan)
    row = functools.partial(_row, figure)
    axes = row(below, max(light, 0.1))
    axes.set_title(over, size=6.5, weight="normal", pad=1.6)
    if light:
        side_strips.curve(axes, side, left, right)
    else:
        axes.axis("off")
    rows_axes = row(0.0, below)
    side_strips.drawn_bars(rows_axes, bars, left, right)
    side_strips.distances(rows_axes, plan, left, right, sheet.scale)
    return figure


def _row(figure: Figure, bottom: float, high: float) -> Axes:
    """Axes as wide as the section, ``bottom`` mm from the sheet's foot."""
    across, up = (inches * 25.4 for inches in figure.get_size_inches())
    return figure.add_axes((LEFT / across, bottom / up, (across - LEFT - RIGHT) / across, high / up))


class Sheet(NamedTuple):
    """What of the section is drawn (along, height, m), mm a metre, and the words under the ground with their rows."""

    rect: Rect
    scale: float
    said: list[tuple[Callout, int]]


def fitted(side: Side, say: Tape) -> Sheet:
    """The sheet as wide as it is, with room for what is said under the ground."""
    callouts, wide = list(side_words.callouts(side, say)), WIDE - LEFT - RIGHT
    left, right = _ends(side)
    room = (one for one in callouts if left <= one.at <= right)
    right = max(right, *((wide * one.at - one.wide * left) / (wide - one.wide) for one in room))
    scale = wide / (right - left)
    top = max(side.height + max(OVERHEAD, HEADROOM / scale), LOWEST_TOP)
    scale = min(scale, HIGHEST / top)
    right = left + wide / scale
    said = rows((one for one in callouts if left <= one.at <= right - (one.wide - HAIR) / scale), scale)
    deep = EARTH + PITCH * (1 + max((row for _, row in said), default=-1)) + 1.0
    return Sheet((left, -deep / scale, right, top), scale, said)


def _ends(side: Side) -> tuple[float, float]:
    """From where to where: all that is wanted or told, and where a person is usable if that is not much farther."""
    back = min([0.0, *(near for near, _ in side.stood)])
    told = [one.far for one in side.watched]
    told += [side_words.steep(side), *(ray.along for _, ray in side_words.edges(side)[1:] if side_words.below(ray))]
    if side.brightest is not None:
        told.append(side.brightest.along)
    far = max(LEAST, *(ROOM * min(one, float(side.along[-1])) for one in told))
    usable = ROOM * max((one[1] for one in side_words.told(side.usable)), default=0.0)
    return back - BEFORE, max(far, min(usable, MOST * far, float(side.along[-1])))
