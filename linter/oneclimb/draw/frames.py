"""Each camera's simulated picture: by day, and by night as it is exposed, with what is left of it."""

from __future__ import annotations

import contextlib
import functools
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patches import Patch

from oneclimb.api import Ref, Unknown
from oneclimb.draw import Picture, ink, named, overlay, pointing, sheets, shows, tones, verdict
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import ALL, DARK, DAYLIGHT, NIGHT, PICTURE
from oneclimb.study.picture import DARKNESS

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from oneclimb.draw import Sitting
    from oneclimb.draw.sheets import Frame
    from oneclimb.draw.verdict import Told
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.night_view import NightView
    from oneclimb.study.picture import Fine

WIDE, LETTERS = 180.0, 12.0
"""mm of a sheet, and points of its letters: on a phone, half as wide, they are still read"""
DIFFERS = 0.05
"""mean difference of two pictures, of full scale, from which on they are shown apart"""
USED = 0.02
"""share of wanted ground in sight by which what is usable differs, from which on too"""
LEFT = "What is left of it for whoever stands there"


# ----------------------------------------------------------------------------- by day


def days(sitting: Sitting) -> Iterator[Picture]:
    """Each camera's picture by day."""
    for camera in sitting.world.plan.cameras:
        said = functools.partial(_day_words, sitting, camera)
        make = functools.partial(_day_sheet, sitting, camera)
        ref = Ref("camera", camera.id)
        yield Picture(named("day", camera.id), "day", f"{camera.id} by day", said, ref, make)


def _day_words(sitting: Sitting, camera: Camera) -> str:
    day, told = sitting.world.of(DAYLIGHT, camera), shows.told(sitting, camera, "day")
    parts = [
        f"{quote(camera.id)} by day, {day.weather.words}: {verdict.day(sitting, told)}.",
        f"In the frame: {verdict.spent(day)}.",
        verdict.who(camera),
        *verdict.findings(told),
    ]
    return " ".join(quote(part) for part in parts if part)


def _day_sheet(sitting: Sitting, camera: Camera) -> Figure:
    world = sitting.world
    day, told = world.of(DAYLIGHT, camera), shows.told(sitting, camera, "day")
    under = (f"In the frame: {verdict.spent(day)}. Taken {day.weather.words}.", *verdict.findings(told))
    block = sheets.Block(camera.pixels, f"{camera.id} by day: {verdict.day(sitting, told)}", under)
    figure, (frame,) = sheets.laid([[block]], WIDE, LETTERS)
    daylit(frame, camera, world, told)
    return figure


def daylit(frame: Frame, camera: Camera, world: World, told: Told) -> None:
    """A camera's picture by day in a frame, with what it is to watch and what findings point at."""
    day = world.of(DAYLIGHT, camera)
    overlay.shown(frame.axes, tones.day_pixels(day))
    overlay.areas(frame.axes, camera, world, day.raster)
    labels = overlay.people(frame, camera, world, day.raster)
    overlay.labelled(frame, labels)
    pointing.point(frame, told[: verdict.MOST], world, camera, day.raster)


# --------------------------------------------------------------------------- by night


def nights(sitting: Sitting) -> Iterator[Picture]:
    """Each camera's picture by night, with every lamp out and, where it differs, with all lit."""
    for camera in sitting.world.plan.cameras:
        for state in _states(sitting.world, camera):
            name = named("night", camera.id) if state == DARK else named("night", camera.id, "lit")
            said = functools.partial(_night_words, sitting, camera, state)
            make = functools.partial(_night_sheet, sitting, camera, state)
            title = f"{camera.id} by night, {_lamps(state)}"
            yield Picture(name, "night", title, said, Ref("camera", camera.id), make)


def _states(world: World, camera: Camera) -> list[str]:
    """The states of the lamps that show a picture of their own: all lit where that differs; none where the night cannot
    be told.
    """
    states: list[str] = []
    with contextlib.suppress(Unknown):
        night = world.of(NIGHT, camera)
        night.view(DARK)
        states.append(DARK)
        if len(night.lit(ALL)) > len(night.lit(DARK)) and _differs(world, camera):
            states.append(ALL)
    return states


def _differs(world: World, camera: Camera) -> bool:
    """Whether a camera's picture, or where a person is usable in it, is another one with every lamp lit."""
    fine = world.of(PICTURE, camera)
    lit, out = (fine.night.view(state).usable for state in (ALL, DARK))
    if any(abs(lit[name].value - share.value) > USED for name, share in out.items()):
        return True
    return bool(np.abs(tones.shown(fine.taken(ALL)) - tones.shown(fine.taken(DARK))).mean() > DIFFERS)


def _lamps(state: str) -> str:
    return "every lamp out" if state == DARK else "every lamp lit"


def comes_to(sitting: Sitting, camera: Camera, state: str) -> str:
    """What a picture by night comes to: ``by night, every lamp out: spoilt, 43 % of the night view lost to …``."""
    told = verdict.night_told(sitting, camera, state)
    return f"by night, {_lamps(state)}: {verdict.night(sitting, camera, told, state)}"


def _night_words(sitting: Sitting, camera: Camera, state: str) -> str:
    """How the night's picture is, with figures."""
    fine, told = sitting.world.of(PICTURE, camera), verdict.night_told(sitting, camera, state)
    view = fine.night.view(state)
    veil = tape(sitting.review).share(min(1.0, view.gain * view.veil))
    parts = [
        f"{quote(camera.id)} {comes_to(sitting, camera, state)}.",
        f"{tones.listed(tones.shares(fine, state))} of the frame; stray light lifts the whole picture by {veil} of "
        "white.",
        *verdict.night_words(sitting, told, view),
    ]
    return " ".join(quote(part) for part in parts)


def _night_sheet(sitting: Sitting, camera: Camera, state: str) -> Figure:
    world, told = sitting.world, verdict.night_told(sitting, camera, state)
    fine = world.of(PICTURE, camera)
    view = fine.night.view(state)
    title = f"{camera.id} {comes_to(sitting, camera, state)}"
    blocks = [
        [sheets.Block(camera.pixels, title, tuple(verdict.night_words(sitting, told, view)))],
        [sheets.Block(camera.pixels, LEFT, key=True)],
    ]
    figure, (above, below) = sheets.laid(blocks, WIDE, LETTERS)
    nightly(above, camera, world, told, state=state, view=view)
    _classed(below, fine, state)
    overlay.areas(below.axes, camera, world, fine.raster)
    return figure


def nightly(frame: Frame, camera: Camera, world: World, told: Told, *, state: str, view: NightView) -> None:
    """A camera's picture by night in a frame, with what it is to watch, those dotted that it loses, and what findings
    point at.
    """
    fine = world.of(PICTURE, camera)
    overlay.shown(frame.axes, tones.night_pixels(fine, state, view))
    overlay.areas(frame.axes, camera, world, fine.raster)
    usable = {name: used.value >= 0.5 for name, used in view.usable.items()}
    labels = overlay.people(frame, camera, world, fine.raster, usable=usable)
    overlay.labelled(frame, labels)
    pointing.point(frame, told[: verdict.MOST], world, camera, fine.raster)


def _classed(frame: Frame, fine: Fine, state: str) -> None:
    found, rows, cols = fine.classes(state), *fine.size
    codes = sorted(tones.CLASSES)
    greys = np.array([[int(tones.CLASSES[one][1][i : i + 2], 16) / 255 for i in (1, 3, 5)] for one in codes])
    overlay.shown(frame.axes, greys[found])
    x, y = (np.arange(cols) + 0.5) / cols, (np.arange(rows) + 0.5) / rows
    told = {one: share for one, share in tones.shares(fine, state).items() if share > tones.TOLD}
    for one in told:
        if hatch := tones.CLASSES[one][2]:
            inside = (found == one).astype(np.float64)
            drawn = frame.axes.contourf(x, y, inside, levels=[0.5, 1.5], colors=["none"], hatches=[hatch], zorder=2.0)
            drawn.set_edgecolor(ink.PALE if one == DARKNESS else ink.GREY)
            drawn.set_linewidth(0.0)
    _key(frame, told)


def _key(frame: Frame, told: dict[int, float]) -> None:
    """Under a frame: what its hatches mean, with each one's share."""
    keys = []
    for one, share in told.items():
        name, grey, hatch = tones.CLASSES[one]
        keys.append(Patch(facecolor=grey, edgecolor=ink.GREY, hatch=hatch, label=f"{name} {round(100 * share)} %"))
    frame.axes.legend(
        handles=keys, loc="upper left", bbox_to_anchor=(0.0, 0.0), ncols=5, fontsize=frame.size - 1.5,
        borderaxespad=0.3, borderpad=0.2, columnspacing=0.9, handlelength=1.5, handletextpad=0.4,
    )  # fmt: skip
