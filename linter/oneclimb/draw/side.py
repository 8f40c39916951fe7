"""Each camera from the side: where its frame's edges lead, where the sky begins, where its own light is most, where a
person is usable by night, and where it looks down too steeply on a face.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import TYPE_CHECKING

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink, named, side_strips, side_words
from oneclimb.draw.ground_plan import laid, scale_bar
from oneclimb.draw.side_section import EARTH, section
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import SIDE
from oneclimb.trade.face import USABLE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.draw.placing import Rect
    from oneclimb.plan.model import Camera
    from oneclimb.study.side import Side

WIDE, HIGHEST = 204.0, 95.0
"""mm of the sheet, and of the section's height at the most"""
LEFT, RIGHT, HEAD, BETWEEN, FOOT = 11.0, 2.0, 6.0, 9.5, 6.0
"""mm: beside the section, over it for its title, under it for the scale bar, and under all for distances"""
BEFORE, LEAST = 1.0, 7.0
"""m drawn behind the lens, and ahead of it at the least"""
ROOM = 1.12
"""times what is to be shown that is drawn"""
MOST = 2.2
"""times what is wanted to which ground that is only usable by night is drawn"""
OVERHEAD, LOWEST_TOP = 1.0, 2.7
"""m drawn above the lens, and how high is drawn at the least"""


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One picture a camera, whichever way it looks: one that looks straight down is cut along its picture's height."""
    say = tape(sitting.review)
    for camera in sitting.world.plan.cameras:
        side = sitting.world.of(SIDE, camera)
        make = functools.partial(_drawn, sitting, camera, side)
        title, words = side_words.title(camera, side, say), side_words.words(camera, side, say)
        yield Picture(named("side", camera.id), "side", quote(title), words, Ref("camera", camera.id), make)


def _drawn(sitting: Sitting, camera: Camera, side: Side) -> Figure:
    say, plan = tape(sitting.review), sitting.world.plan
    rect, scale = fitted(side)
    bars, over = side_strips.bars(side, say), side_strips.wrapped(side_strips.curve_said(side, say))
    high = (rect[3] - rect[1]) * scale
    light = side_strips.CURVE if side.brightest is not None else 0.0
    words = side_strips.WORDS * (1 + over.count("\n"))
    below = FOOT + side_strips.ROW * len(bars)
    figure = ink.sheet(WIDE, HEAD + high + BETWEEN + words + light + below)
    figure.set_layout_engine("none")
    sheet = laid(figure, rect, (LEFT, below + light + words + BETWEEN), scale)
    sheet.axes.set_title(quote(side_words.title(camera, side, say)), size=8.0, pad=3.0)
    section(sheet, camera, side, say)
    scale_bar(sheet, plan)
    row = functools.partial(_row, figure)
    axes = row(below, max(light, 0.1))
    axes.set_title(over, size=6.5, weight="normal", pad=1.6)
    if light:
        side_strips.curve(axes, side, rect[0], rect[2])
    else:
        axes.axis("off")
    for i, bar in enumerate(bars, 1):
        side_strips.drawn_bar(row(below - i * side_strips.ROW + 1.0, side_strips.BAR), bar, rect[0], rect[2])
    side_strips.distances(row(0.0, FOOT), plan, rect[0], rect[2], scale)
    return figure


def _row(figure: Figure, bottom: float, high: float) -> Axes:
    """Axes as wide as the section, ``bottom`` mm from the sheet's foot."""
    across, up = (inches * 25.4 for inches in figure.get_size_inches())
    return figure.add_axes((LEFT / across, bottom / up, (across - LEFT - RIGHT) / across, high / up))


def fitted(side: Side) -> tuple[Rect, float]:
    """What of the section is drawn (along, height, m), and mm a metre."""
    left, right = _ends(side)
    top = max(side.height + OVERHEAD, LOWEST_TOP)
    scale = min((WIDE - LEFT - RIGHT) / (right - left), (HIGHEST - EARTH) / top)
    return (left, -EARTH / scale, left + (WIDE - LEFT - RIGHT) / scale, top), scale


def _ends(side: Side) -> tuple[float, float]:
    """From where to where: all that is wanted or told, and where a person is usable if that is not much farther."""
    back = min([0.0, *(near for near, _ in side.stood)])
    told = [one.far for one in side.watched]
    told += [side.steep_within(USABLE), min(side.blind, side.along[-1])]
    if side.brightest is not None:
        told.append(side.brightest.along)
    far = max(LEAST, *(ROOM * one for one in told))
    usable = ROOM * max((one[1] for one in side_words.told(side.usable)), default=0.0)
    return back - BEFORE, max(far, min(usable, MOST * far, float(side.along[-1])))
