"""A camera's own battery: two years on its panel, what the panel gives by month, and how long it lasts alone."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from oneclimb.api import Figure as Value
from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.battery_life import USUAL, WORST, of
from oneclimb.draw.battery_parts import discharge, months, ranged, year
from oneclimb.draw.charts import WIDE, small
from oneclimb.report import words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.trade.months import MONTHS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.draw.battery_life import Life
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.trade.battery import Range

PANEL = 40.0
"""mm of each part of the picture"""


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One a camera with a battery of its own that the plan describes."""
    say = tape(sitting.review)
    for camera in sitting.world.plan.cameras:
        try:
            life = of(camera, sitting.world)
        except Unknown:
            continue
        if life is not None:
            make = functools.partial(_drawn, life, say)
            at = Ref("camera", camera.id, "power")
            title, told = _title(camera, life, say), _words(camera, life, say)
            yield Picture(named("battery", camera.id), "battery", title, told, at, make)


def _days(alone: Range, say: Tape) -> str:
    low, usual, high = alone
    return say.figure(Value("", usual, "days", low, high))


def _lasts(life: Life, alone: Range, say: Tape) -> str:
    sun = " without sun" if life.given else ""
    return f"{_days(alone, say)} on a charge{sun} at {life.celsius:.0f} °C"


def _title(camera: Camera, life: Life, say: Tape) -> str:
    if life.alone and not life.given:
        return f"{camera.id}'s battery lasts {_lasts(life, life.alone, say)}"
    month = life.worst_month
    gives = f"its panel gives {life.given[month][1]:.2g} Wh a day in {MONTHS[month]}"
    return f"{camera.id}: {gives}, it takes {life.taken[1]:.2g}"


def _drawn(life: Life, say: Tape) -> Figure:
    parts: list[Callable[[Axes], None]] = []
    if life.given:
        parts += [functools.partial(year, life=life), functools.partial(months, life=life)]
    if life.alone:
        parts.append(functools.partial(discharge, life=life, alone=life.alone, days=_days(life.alone, say)))
    figure = ink.sheet(WIDE, PANEL * len(parts))
    for axes, part in zip(np.ravel(figure.subplots(len(parts), 1)), parts, strict=True):
        small(axes)
        part(axes)
    return figure


def _words(camera: Camera, life: Life, say: Tape) -> str:
    told = [f"{quote(camera.id)} takes, Wh a day: {ranged(life.taken)}."]
    if life.given:
        by_month = [f"{MONTHS[i]} {ranged(one)}" for i, one in enumerate(life.given)]
        told.append(f"Its panel gives, Wh a day: {'; '.join(by_month)}.")
        for end, said in ((USUAL, "Usually"), (WORST, "At worst")):
            empty = life.empty(end)
            told.append(f"{said} it is {f'empty in {words.listed(empty)}' if empty else 'never empty'}.")
        told.append("The two years are reckoned warm: in the cold it gives less.")
    if life.alone:
        told.append(f"It lasts {_lasts(life, life.alone, say)}.")
    return " ".join(told)
