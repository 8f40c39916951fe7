"""Each camera's simulated picture: by day, by night as it is exposed, and in the worlds that explain a finding.

Brightness is computed. By day a faint hue, which is not, tells leaves, glass, ground, buildings and sky apart.
"""

from __future__ import annotations

import functools
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patches import Patch

from oneclimb.api import Change, Finding, How, Ref, Unknown
from oneclimb.draw import Picture, ink, named, overlay
from oneclimb.report import words
from oneclimb.report.facts import tape
from oneclimb.report.quote import quote
from oneclimb.study import ALL, DARK, DAYLIGHT, PICTURE
from oneclimb.study.picture import DARKNESS, NOTHING, USABLE, WASHED, WHITE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from oneclimb.draw import Sitting
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.daylight import Daylight
    from oneclimb.study.picture import Fine

    Array = NDArray[np.float64]

WIDE = 180.0
"""mm of a sheet"""
GAMMA = 2.2
"""linear light is shown as its 1/2.2th power, as screens expect (IEC 61966-2-1's usual approximation)"""
HUES = {
    "sky": (0.86, 0.94, 1.0),
    "leaves": (0.90, 1.0, 0.86),
    "glass": (0.86, 0.96, 1.0),
    "ground": (1.0, 0.97, 0.91),
    "building": (1.0, 0.98, 0.96),
}
"""how much of red, green and blue is shown of a place's brightness; tells surfaces apart and measures nothing"""
CLASSES = {
    DARKNESS: ("too dark", "#2b3136", "\\\\\\\\"),
    USABLE: ("usable", "#8fb2d3", ""),
    WASHED: ("washed out", "#d5d9dc", "...."),
    WHITE: ("too bright", "#ffffff", "xxx"),
    NOTHING: ("sky", "#eceef0", ""),
}
"""by class of place: its name, its grey, its hatch"""
DIFFERS = 0.05
"""mean difference of two pictures, of full scale, from which on they are shown apart"""


# ----------------------------------------------------------------------------- by day


def days(sitting: Sitting) -> Iterator[Picture]:
    """Each camera's picture by day."""
    for camera in sitting.world.plan.cameras:
        day = sitting.world.of(DAYLIGHT, camera)
        seen = ", ".join(f"{share:.0%} {name}".replace("%", " %") for name, share in _spent(day)[:4])
        said = f"{quote(camera.id)} by day, {day.weather.words}. In the frame: {seen}. {_who(camera)}"
        make = functools.partial(_day_sheet, sitting, camera)
        yield Picture(
            named("day", camera.id), "day", f"{camera.id} by day", said.strip(), Ref("camera", camera.id), make
        )


def day_pixels(day: Daylight) -> Array:
    """(rows, cols, 3) a picture by day as a screen shows it, 0 to 1."""
    hue = np.array([HUES[name] for name in HUES])
    index = list(HUES)
    raster = day.raster
    kinds = np.full(len(raster.t), index.index("building"))
    scene = raster.scene
    ground = scene.numbers.get(Ref("site", "site", "ground"), -2)
    kinds[raster.owner == ground] = index.index("ground")
    for name, has in (("leaves", "foliage"), ("glass", "glass")):
        which = np.array([bool(getattr(material, has)) for material in scene.materials] + [False])
        kinds[which[np.where(raster.tri >= 0, scene.material[raster.tri], -1)]] = index.index(name)
    kinds[raster.tri < 0] = index.index("sky")
    light = shown(day.taken)
    return np.asarray(light[..., None] * hue[kinds].reshape(*light.shape, 3))


def shown(taken: Array) -> Array:
    """A picture in linear light, as a screen shows it."""
    return np.asarray(np.clip(taken, 0.0, 1.0) ** (1.0 / GAMMA))


def _day_sheet(sitting: Sitting, camera: Camera) -> Figure:
    world = sitting.world
    day = world.of(DAYLIGHT, camera)
    figure, axes = _sheet(camera, 1)
    overlay.shown(axes[0], day_pixels(day), day.raster)
    overlay.areas(axes[0], camera, world, day.raster)
    overlay.people(axes[0], camera, world, day.raster)
    axes[0].set_title(quote(f"{camera.id} by day, {day.weather.words}"))
    return figure


def _spent(day: Daylight) -> list[tuple[str, float]]:
    """What the frame is spent on, most first."""
    shares = day.raster.shares()
    named_ = {words.thing(ref.kind, ref.id) if ref.kind != "site" else "ground": 0.0 for ref in shares}
    for ref, share in shares.items():
        named_[words.thing(ref.kind, ref.id) if ref.kind != "site" else "ground"] += share
    return sorted(named_.items(), key=lambda one: -one[1])


def _who(camera: Camera) -> str:
    names = [quote(name) for name in camera.watches]
    return f"A person is drawn to scale in what it is to watch: {words.listed(names)}." if names else ""


def _sheet(camera: Camera, rows: int) -> tuple[Figure, list[Axes]]:
    wide, high = camera.pixels
    figure = ink.sheet(WIDE, rows * min(WIDE * high / wide, 150.0) + 8.0 * rows)
    return figure, list(np.ravel(figure.subplots(rows, 1)))


# --------------------------------------------------------------------------- by night


def nights(sitting: Sitting) -> Iterator[Picture]:
    """Each camera's picture by night, with every lamp out and, where it differs, with all lit."""
    for camera in sitting.world.plan.cameras:
        try:
            fine = sitting.world.of(PICTURE, camera)
        except Unknown:
            continue
        for state in _states(fine):
            lit = "every lamp out" if state == DARK else "every lamp lit"
            name = named("night", camera.id) if state == DARK else named("night", camera.id, "lit")
            said = f"{quote(camera.id)} by night, {lit}: {_told(fine, state, sitting)}"
            make = functools.partial(_night_sheet, sitting, camera, state)
            yield Picture(name, "night", f"{camera.id} by night, {lit}", said, Ref("camera", camera.id), make)


def _states(fine: Fine) -> list[str]:
    """The states of the lamps that show a picture of their own."""
    if len(fine.night.states) < 3:
        return [DARK]
    try:
        apart = float(np.abs(shown(fine.taken(ALL)) - shown(fine.taken(DARK))).mean())
    except Unknown:
        return [DARK]
    return [DARK, ALL] if apart > DIFFERS else [DARK]


def shares(fine: Fine, state: str) -> dict[int, float]:
    """Share of the frame in each class."""
    found = fine.classes(state)
    return {one: float((found == one).mean()) for one in CLASSES}


def _told(fine: Fine, state: str, sitting: Sitting) -> str:
    """How the night's picture is, with figures."""
    view, say = fine.night.view(state), tape(sitting.review)
    parts = [f"{round(100 * share)} % {CLASSES[one][0]}" for one, share in shares(fine, state).items() if share > 0.004]
    reach = view.reach
    veil = f"stray light lifts the whole picture by {round(100 * min(1.0, view.gain * view.veil))} % of white"
    areas = [f"{quote(name)} {round(100 * used.value)} %" for name, used in view.usable.items()]
    wanted = f" Of what shows a person is usable on: {', '.join(areas)}." if areas else ""
    return (
        f"{', '.join(parts)} of the frame; {veil}; a person is usable along its axis as far as "
        f"{say.span(reach.low, reach.high)}.{wanted}"
    )


def _night_sheet(sitting: Sitting, camera: Camera, state: str) -> Figure:
    world = sitting.world
    fine = world.of(PICTURE, camera)
    figure, (above, below) = _sheet(camera, 2)
    _night(above, camera, world, state)
    lit = "every lamp out" if state == DARK else "every lamp lit"
    above.set_title(quote(f"{camera.id} by night, {lit}: the picture as it is exposed"))
    _classed(below, fine, state)
    overlay.areas(below, camera, world, fine.raster)
    below.set_title("What is left of it for whoever stands there")
    return figure


def night_pixels(fine: Fine, state: str = DARK) -> Array:
    """(rows, cols) a picture by night as a screen shows it, 0 to 1."""
    return shown(fine.taken(state))


def _night(axes: Axes, camera: Camera, world: World, state: str) -> None:
    fine = world.of(PICTURE, camera)
    overlay.shown(axes, night_pixels(fine, state), fine.raster)
    overlay.areas(axes, camera, world, fine.raster)
    usable = {name: used.value >= 0.5 for name, used in fine.night.view(state).usable.items()}
    overlay.people(axes, camera, world, fine.raster, usable=usable)


def _classed(axes: Axes, fine: Fine, state: str) -> None:
    found, rows, cols = fine.classes(state), *fine.size
    greys = np.array([[int(CLASSES[one][1][i : i + 2], 16) / 255 for i in (1, 3, 5)] for one in sorted(CLASSES)])
    overlay.shown(axes, greys[found], fine.raster)
    x, y = (np.arange(cols) + 0.5) / cols, (np.arange(rows) + 0.5) / rows
    share = shares(fine, state)
    for one, (_, _, hatch) in CLASSES.items():
        if hatch and share[one] > 0.004:
            inside = (found == one).astype(np.float64)
            drawn = axes.contourf(x, y, inside, levels=[0.5, 1.5], colors=["none"], hatches=[hatch], zorder=2.0)
            drawn.set_edgecolor(ink.PALE if one == DARKNESS else ink.GREY)
            drawn.set_linewidth(0.0)
    keys = [
        Patch(facecolor=grey, edgecolor=ink.GREY, hatch=hatch, label=f"{name} {round(100 * share[one])} %")
        for one, (name, grey, hatch) in CLASSES.items()
        if share[one] > 0.004
    ]
    axes.legend(handles=keys, loc="upper left", bbox_to_anchor=(0.0, -0.01), ncols=5, fontsize=7.0, borderaxespad=0.2)


# ------------------------------------------------------------------- in other worlds


def others(sitting: Sitting) -> Iterator[Picture]:
    """For each finding that a picture by night explains: as planned, without what spoils it, with a tried remedy."""
    cameras = {camera.id: camera for camera in sitting.world.plan.cameras}
    for number, one in sitting.numbered:
        finding = one.finding
        camera = cameras.get(finding.at.id) if finding.at.kind == "camera" else None
        if camera is None or not finding.code.startswith("GLARE") or finding.welcome:
            continue
        worlds = _worlds(sitting, finding, camera)
        if len(worlds) > 1:
            title = f"{camera.id} by night: {' · '.join(name for name, _, _ in worlds)}"
            said = " ".join(
                f"{name.capitalize()}: {_brief(world, camera, state, sitting)}" for name, world, state in worlds
            )
            make = functools.partial(_side_by_side, sitting, camera, worlds)
            ref = Ref("camera", camera.id)
            yield Picture(named("other", camera.id, str(number)), "other", title, said, ref, make, number)


Shown = tuple[str, "World", str]


def _worlds(sitting: Sitting, finding: Finding, camera: Camera) -> list[Shown]:
    """Name, world and state of the lamps of each picture; fewer than two where the night cannot be told."""
    world, cause = sitting.world, finding.related[0].at if finding.related else None
    state = cause.id if cause and cause.kind == "lamp" else DARK
    found: list[Shown] = [("as planned" if state == DARK else f"{quote(state)} lit", world, state)]
    if cause and cause.kind == "lamp":
        found.append((f"{quote(cause.id)} out", world, DARK))
    elif cause and cause.kind in {"object", "building"}:
        how: How = "absent" if cause.kind == "object" else "dark"
        called = quote(cause.id) if cause.kind == "object" else f"light from the {quote(cause.field or cause.id)}"
        found.append((f"without {called}", world.vary(Change(how, cause)), state))
    elif cause and cause.kind == "camera" and cause.id != camera.id:
        found.append(
            (f"{quote(cause.id)} dark", world.vary(Change("dark", Ref("camera", cause.id, "infrared"))), state)
        )
    tried = next((one for one in finding.remedies if one.edits), None)
    if tried:
        found.append((quote(tried.text), world.vary(*tried.edits), state))
    return [one for one in found if _can(one, camera)]


def _can(one: Shown, camera: Camera) -> bool:
    _, world, state = one
    try:
        world.of(PICTURE, world.get(Ref("camera", camera.id))).taken(state)
    except (Unknown, KeyError):
        return False
    return True


def _brief(world: World, camera: Camera, state: str, sitting: Sitting) -> str:
    """One world's night in a few words."""
    fine = world.of(PICTURE, world.get(Ref("camera", camera.id)))
    found, reach = shares(fine, state), fine.night.view(state).reach
    parts = [f"{round(100 * share)} % {CLASSES[one][0]}" for one, share in found.items() if share > 0.004]
    return f"{', '.join(parts)}; usable along its axis as far as {tape(sitting.review).span(reach.low, reach.high)}."


def _side_by_side(sitting: Sitting, camera: Camera, worlds: list[Shown]) -> Figure:
    wide, high = camera.pixels
    each = 240.0 / len(worlds)
    figure = ink.sheet(240.0, each * high / wide + 18.0)
    for axes, (name, world, state) in zip(np.ravel(figure.subplots(1, len(worlds))), worlds, strict=True):
        then = world.get(Ref("camera", camera.id))
        _night(axes, then, world, state)
        axes.set_title("\n".join(textwrap.wrap(name, 44 if len(worlds) > 2 else 66)), size=7.5)
        axes.set_xlabel(
            "\n".join(textwrap.wrap(_brief(world, then, state, sitting), 62 if len(worlds) > 2 else 90)), size=6.5
        )
    return figure
