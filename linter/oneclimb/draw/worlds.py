"""The other worlds side by side: for each finding a picture explains, the plan as it is, without what spoils it, and
with the remedy that was tried.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from oneclimb.api import Ref
from oneclimb.draw import Picture, causes, frames, named, sheets, shows, verdict
from oneclimb.report.quote import quote
from oneclimb.study import DAYLIGHT, PICTURE

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from oneclimb.api import Finding
    from oneclimb.draw import Sitting
    from oneclimb.draw.causes import Shown
    from oneclimb.draw.sheets import Frame
    from oneclimb.plan.model import Camera

WIDE = 240.0
"""mm of a sheet of frames side by side"""
LETTERS = 9.0
"""points of its letters"""


def others(sitting: Sitting) -> Iterator[Picture]:
    """For each finding that pictures of two worlds or more tell apart: a frame a world, through the first camera that
    shows them.
    """
    for number, one in sitting.numbered:
        finding = one.finding
        for camera in shows.cameras(one, sitting.world) if shows.explained(finding) else ():
            shown = causes.worlds(sitting.world, finding, camera)
            if len(shown) > 1:
                yield _picture(sitting, camera, shown, (number, finding))
                break


def _picture(sitting: Sitting, camera: Camera, shown: Sequence[Shown], told: tuple[int, Finding]) -> Picture:
    name = named("other", camera.id, str(told[0]))
    title = f"{camera.id} by {shown[0].light}: {' · '.join(quote(one.name) for one in shown)}"
    said = functools.partial(_words, sitting, camera, shown)
    make = functools.partial(_sheet, sitting, camera, shown, told)
    return Picture(name, "other", title, said, Ref("camera", camera.id), make, told[0])


def _words(sitting: Sitting, camera: Camera, shown: Sequence[Shown]) -> str:
    parts = [f"{one.name[:1].upper()}{one.name[1:]}: {' '.join(_brief(sitting, camera, one))}" for one in shown]
    return " ".join(quote(part) for part in parts)


def _brief(sitting: Sitting, camera: Camera, one: Shown) -> list[str]:
    then = one.world.get(Ref("camera", camera.id))
    if one.light == "day":
        return verdict.brief_day(sitting, one, one.world.of(DAYLIGHT, then))
    fine = one.world.of(PICTURE, then)
    return verdict.brief(sitting, one, fine, fine.night.view(one.state, added=one.veil))


def _sheet(sitting: Sitting, camera: Camera, shown: Sequence[Shown], told: tuple[int, Finding]) -> Figure:
    first = f"{camera.id} by {shown[0].light}, {shown[0].name}"
    titles = [first, *(one.name for one in shown[1:])]
    blocks = [
        sheets.Block(camera.pixels, title, tuple(_brief(sitting, camera, one)))
        for title, one in zip(titles, shown, strict=True)
    ]
    figure, laid = sheets.laid([blocks], WIDE, LETTERS)
    for frame, one in zip(laid, shown, strict=True):
        _drawn(frame, one, one.world.get(Ref("camera", camera.id)), [told] if one is shown[0] else [])
    return figure


def _drawn(frame: Frame, one: Shown, camera: Camera, told: list[tuple[int, Finding]]) -> None:
    """One world's frame; the culprit is pointed at in the first."""
    if one.light == "day":
        frames.daylit(frame, camera, one.world, told)
    else:
        view = one.world.of(PICTURE, camera).night.view(one.state, added=one.veil)
        frames.nightly(frame, camera, one.world, told, state=one.state, view=view)
