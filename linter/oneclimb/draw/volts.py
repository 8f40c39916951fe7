"""The volts along the wire of each camera that is fed over one, from where they come from to its own end."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.charts import BAND, DASHED, DOTTED, SMALL, Label, beside, sheet, unit
from oneclimb.report import gear
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import DROP

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.study.drop import Drop, End

HIGH, INNER = 56.0, 42.0
"""mm of a sheet, and about of its axes"""
ROOM = 0.12
"""of the volts shown, kept free over and under them"""
SHORTEST = 0.1
"""m of cable that the axes show at the least"""
EARLY = 0.55
"""of the cable: where the volts fall short before this, there is room for words beyond, over the line"""


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One a camera whose wire the plan describes."""
    for camera in sitting.world.plan.cameras:
        try:
            drop = sitting.world.of(DROP, camera)
        except Unknown:
            continue
        if drop is not None:
            say = tape(sitting.review)
            make = functools.partial(_drawn, camera, drop, say)
            at = Ref("camera", camera.id, "power")
            yield Picture(named("volts", camera.id), "volts", _title(camera, drop), _words(camera, drop, say), at, make)


def line(end: End) -> tuple[list[float], list[float]]:
    """Metres along the cable, and the volts there: a step at each end is what cords and plugs take."""
    return (
        [0.0, 0.0, end.metres, end.metres],
        [end.volts, end.at(0.0), end.at(end.metres), end.arrives],
    )


def crossing(drop: Drop) -> float | None:
    """Metres along the cable at which the usual volts on it fall under what the camera needs; None where they don't."""
    first, last = drop.usual.at(0.0), drop.usual.at(drop.usual.metres)
    if not last < drop.least < first:
        return None
    return drop.usual.metres * (first - drop.least) / (first - last)


def _title(camera: Camera, drop: Drop) -> str:
    if not drop.usual.carries:
        draws = f"{drop.usual.watts:.3g} {_power(drop)}"
        return f"{camera.id} draws {draws}, and {gear.volts(drop)}"
    return f"{camera.id} gets {drop.usual.arrives:.1f} V, needs {drop.least:.1f}"


def _power(drop: Drop) -> str:
    return "VA" if drop.apparent else "W"


def _drawn(camera: Camera, drop: Drop, say: Tape) -> Figure:
    figure, axes = sheet(HIGH)
    name, one = unit(say)
    _band(axes, drop, one)
    x, y = line(drop.usual)
    style = "solid" if drop.usual.carries else DOTTED
    axes.plot([each / one for each in x], y, color=ink.MARK, linewidth=ink.BOLD, linestyle=style, zorder=3.0)
    axes.plot(x[-1] / one, y[-1], "o", color=ink.MARK, markersize=4.5, clip_on=False, zorder=4.0)
    axes.axhline(drop.least, color=ink.INK, linewidth=ink.LINE, linestyle=DASHED, zorder=2.5)
    bottom, top = _heights(drop)
    axes.set(xlim=(0.0, max(drop.usual.metres, SHORTEST) / one), ylim=(bottom, top))
    _crossed(axes, drop, say, one)
    arrives = Label(drop.usual.arrives, _arrives(drop), ink.MARK)
    beside(axes, [arrives, Label(drop.least, f"needs {drop.least:.1f} V")], INNER)
    axes.set_ylabel("volts", size=SMALL)
    axes.set_xlabel(f"{name} of cable, {quote(drop.giver.id)} to {quote(camera.id)}\n{_made(drop)}", size=SMALL)
    return figure


def _arrives(drop: Drop) -> str:
    """What is left at the camera, in two lines."""
    if not drop.usual.carries:
        return f"at most {drop.usual.passes:.1f} {_power(drop)}\npass, of {drop.usual.watts:.3g}"
    return gear.volts(drop).replace(" (", "\n(")


def _band(axes: Axes, drop: Drop, one: float) -> None:
    """From the worst it may be to the best."""
    (x, low), (_, high) = line(drop.low), line(drop.high)
    along = [each / one for each in (*x, *reversed(x))]
    axes.fill(along, [*low, *reversed(high)], facecolor=BAND, edgecolor=ink.PALE, linewidth=ink.THIN, zorder=1.0)


def _crossed(axes: Axes, drop: Drop, say: Tape, one: float) -> None:
    """Where the volts on the wire fall under the least, and how long it may be for a camera at its end."""
    at = crossing(drop)
    if at is not None:
        ring: dict[str, Any] = {"markersize": 5.5, "markerfacecolor": ink.PAPER, "markeredgecolor": ink.MARK}
        axes.plot(at / one, drop.least, "o", zorder=3.5, **ring)
        early = at < drop.usual.metres * EARLY
        style: dict[str, Any] = {"ha": "left", "va": "bottom"} if early else {"ha": "right", "va": "top"}
        said, away = f"under it after {say.tape(at)}", 4.0 if early else -4.0
        axes.annotate(said, (at / one, drop.least), (away, away), textcoords="offset points", size=SMALL, **style)
    if drop.reaches >= drop.usual.metres:
        return
    x, bottom = drop.reaches / one, axes.get_ylim()[0]
    axes.plot([x, x], [bottom, drop.least], color=ink.INK, linewidth=ink.LINE, linestyle=DOTTED, zorder=2.4)
    left = drop.reaches < drop.usual.metres / 2
    said, away = f"such a wire serves as far as {say.tape(drop.reaches)}", 3.0 if left else -3.0
    aside: dict[str, Any] = {"ha": "left" if left else "right", "va": "bottom", "zorder": 5.0}
    axes.annotate(said, (x, bottom), (away, 3.0), textcoords="offset points", size=SMALL, **aside)


def _heights(drop: Drop) -> tuple[float, float]:
    """The volts the axes show."""
    ends = (drop.low, drop.usual, drop.high)
    found = [drop.least, *(end.volts for end in ends), *(end.arrives for end in ends)]
    spare = ROOM * max(max(found) - min(found), 1.0)
    return min(found) - 1.5 * spare, max(found) + spare


def _made(drop: Drop) -> str:
    """What the wire is."""
    usual, sure = drop.usual, "" if drop.cable.conductor else ", assumed"
    over = f"{drop.pairs} pairs, " if drop.pairs else ""
    return f"{drop.metal}{sure}, {over}{usual.ohm:.3g} ohm there and back at {usual.celsius:.0f} °C"


def _words(camera: Camera, drop: Drop, say: Tape) -> str:
    usual, name = drop.usual, quote(camera.id)
    draws = f"{usual.watts:.3g} {_power(drop)}"
    told = [
        f"Volts along {say.tape(usual.metres)} of cable ({_made(drop)}) from {quote(drop.giver.id)}, which gives "
        f"{usual.volts:g} V, to {name}, which draws {draws} and needs {drop.least:.1f} V."
    ]
    if usual.carries:
        told.append(f"At {name}: {gear.volts(drop)}.")
    else:
        told.append(f"It cannot be carried: {gear.volts(drop)}, and half the volts are left then.")
    at = crossing(drop)
    if at is not None:
        told.append(f"On the wire they fall under what it needs after {say.tape(at)}.")
    if drop.reaches < usual.metres:
        told.append(f"Such a wire serves as far as {say.tape(drop.reaches)}.")
    return " ".join(told)
