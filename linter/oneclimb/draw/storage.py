"""The days each recorder keeps against those wanted and stated, and the part each of its cameras takes."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink, named
from oneclimb.draw.charts import BAND, DASHED, DOTTED, SMALL, WIDE, Label, over, short, small
from oneclimb.report import gear, words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import LOAD
from oneclimb.trade import storage, streams

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.plan.model import Plan, Recorder
    from oneclimb.plan.say import Tape
    from oneclimb.trade.streams import Range

DAYS, ROW, REST = 30.0, 5.0, 14.0
"""mm of the days, of a camera's row, and of what is about the rows"""


class Kept(Struct, frozen=True):
    """What a recorder keeps: ``days`` (low, usual, high; None: not known), those it is to keep by what says so, the GB
    a day of each camera that sends (low, usual, high), and the cameras of which nothing is said.
    """

    recorder: Recorder
    days: Range | None
    lines: tuple[tuple[str, float], ...]
    parts: tuple[tuple[str, Range], ...]
    silent: tuple[str, ...]


def pictures(sitting: Sitting) -> Iterator[Picture]:
    """One a recorder that something is known to be sent to."""
    plan, say = sitting.world.plan, tape(sitting.review)
    for recorder in plan.recorders:
        kept = of(recorder, sitting)
        if kept.parts:
            make = functools.partial(_drawn, kept, say)
            at = Ref("recorder", recorder.id)
            yield Picture(named("storage", recorder.id), "storage", _title(kept, say), _words(kept, say), at, make)


def of(recorder: Recorder, sitting: Sitting) -> Kept:
    """What a recorder keeps, in figures."""
    cameras = sitting.world.of(LOAD, sitting.world.plan.site).kept.get(recorder.id, ())
    sending = streams.sends(cameras)
    return Kept(
        recorder,
        streams.days_kept(recorder, cameras),
        tuple(_lines(recorder, sitting.world.plan)),
        tuple((camera.id, _daily(streams.sent(camera))) for camera in sending),
        tuple(camera.id for camera in cameras if camera.records is None),
    )


def _daily(rate: Range) -> Range:
    low, usual, high = map(storage.gigabytes_a_day, rate)
    return low, usual, high


def _lines(recorder: Recorder, plan: Plan) -> Iterator[tuple[str, float]]:
    handling = plan.site.handling
    found = (
        ("wanted", recorder.wants),
        ("stated", handling.keeps if handling else None),
        ("at most", handling.most if handling else None),
    )
    yield from ((name, days) for name, days in found if days is not None)


def _title(kept: Kept, say: Tape) -> str:
    wants = kept.recorder.wants
    wanted = f", {wants:g} wanted" if wants is not None else ""
    if kept.days is None:
        return f"{kept.recorder.id} keeps {words.count(len(kept.parts), 'camera')}; its disks are not said{wanted}"
    return f"{kept.recorder.id} has room for {gear.days(kept.days, say)}{wanted}"


def _drawn(kept: Kept, say: Tape) -> Figure:
    rows = len(kept.parts)
    whole = ink.sheet(WIDE, (DAYS if kept.days else 0.0) + ROW * rows + REST)
    if kept.days is None:
        _parts(whole.add_subplot(), kept, say)
        return whole
    (above,), (below,) = whole.subfigures(2, 1, squeeze=False, height_ratios=(DAYS, ROW * rows + REST))
    _days(above.add_subplot(), kept, kept.days, say)
    _parts(below.add_subplot(), kept, say)
    return whole


def _days(axes: Axes, kept: Kept, days: Range, say: Tape) -> None:
    """The days as a range with its usual, and a line for each number that is asked of it."""
    low, usual, high = days
    most = 1.05 * max(high, *(at for _, at in kept.lines), usual)
    axes.set(xlim=(0.0, most), ylim=(-0.5, 0.5), yticks=[])
    axes.spines["left"].set_visible(False)
    axes.barh(0.0, high - low, left=low, height=0.5, facecolor=BAND, edgecolor=ink.GREY, linewidth=ink.THIN, zorder=1.0)
    axes.plot([usual, usual], [-0.36, 0.36], color=ink.MARK, linewidth=2 * ink.BOLD, solid_capstyle="butt", zorder=3.0)
    styles = {"wanted": DASHED, "stated": DOTTED, "at most": "solid"}
    for name, at in kept.lines:
        axes.axvline(at, color=ink.INK, linewidth=ink.LINE, linestyle=styles[name], zorder=4.0)
    joined: dict[float, list[str]] = {}
    for name, at in kept.lines:
        joined.setdefault(at, []).append(name)
    over(axes, [Label(at, f"{words.listed(names)} {at:g}") for at, names in joined.items()], most)
    axes.set_xlabel(f"days there is room for: {gear.days(days, say)}", size=SMALL, loc="left")
    small(axes)


def _parts(axes: Axes, kept: Kept, say: Tape) -> None:
    """The gigabytes a day of each camera, the usual as a bar and its range as a line."""
    rows = len(kept.parts)
    whole = sum(usual for _, (_, usual, _) in kept.parts)
    axes.set(xlim=(0.0, 1.05 * max(high for _, (_, _, high) in kept.parts)), ylim=(rows - 0.5, -0.5))
    for row, (_, (low, usual, high)) in enumerate(kept.parts):
        axes.barh(row, usual, height=0.5, color=ink.MARK, alpha=0.55, zorder=2.0)
        axes.plot([low, high], [row, row], color=ink.INK, linewidth=ink.LINE, marker="|", markersize=5.0, zorder=3.0)
    names = [f"{short(name)}  {say.share(usual / max(whole, 1e-9))}" for name, (_, usual, _) in kept.parts]
    axes.set_yticks(range(rows), names)
    small(axes)
    axes.tick_params(axis="y", length=0.0)
    axes.set_xlabel(f"GB a day of each camera; together {whole:.3g}", size=SMALL, loc="left")


def _words(kept: Kept, say: Tape) -> str:
    name = quote(kept.recorder.id)
    told = [f"{name} has room for {gear.days(kept.days, say)}." if kept.days else f"Of {name} no disks are told."]
    if kept.lines:
        told.append(f"Days asked of it: {', '.join(f'{said} {at:g}' for said, at in kept.lines)}.")
    for camera, (low, usual, high) in kept.parts:
        doubt = f" ({low:.3g} to {high:.3g})" if low != high else ""
        told.append(f"{quote(camera)} sends {usual:.3g} GB a day{doubt}.")
    if kept.silent:
        told.append(f"Not counted, because when they record is not said: {words.listed([*map(quote, kept.silent)])}.")
    return " ".join(told)
