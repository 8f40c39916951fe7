"""The other worlds that explain a finding: without its cause, with the remedy that was tried."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Change, Figure, Finding, How, Ref, Unknown
from oneclimb.draw.panes import EXACT, behind, lost
from oneclimb.draw.shows import SEEN, SPOILS, Light, tried
from oneclimb.place import lens
from oneclimb.study import ALL, DARK, NIGHT, SCENE
from oneclimb.study.night_view import NO_VEIL

if TYPE_CHECKING:
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.night_view import Added

TAKEN: Mapping[str, How] = {"object": "absent", "building": "dark", "lamp": "dark"}
"""what is done to a cause where it is not: a thing is taken away, a part of a house or a lamp gives no light"""


class Shown(Struct, frozen=True, eq=False):
    """One world as a picture shows it: its name, by what light, which lamps are lit, a veil over all; and the finding's
    figure there, where it is known.
    """

    name: str
    world: World
    light: Light
    state: str = DARK
    veil: Added = NO_VEIL
    figure: Figure | None = None


def worlds(world: World, finding: Finding, camera: Camera) -> list[Shown]:
    """The worlds in which what a finding tells is seen and is not, the plan as it is first; fewer than two where no
    picture tells them apart.
    """
    if SEEN.get(finding.code) == "day":
        return _by_day(world, finding, camera)
    try:
        return list((_by_night if finding.code in SPOILS else _dark_ground)(world, finding, camera))
    except Unknown:
        return []


# ----------------------------------------------------------------------------- by day


def _by_day(world: World, finding: Finding, camera: Camera) -> list[Shown]:
    """As planned and with the tried remedy, where that changes what the camera sees."""
    remedy = tried(finding)
    if remedy is None:
        return []
    then = world.vary(*remedy.edits)
    if not _differs(world, then, camera):
        return []
    return [
        Shown("as planned", world, "day", figure=finding.figure),
        Shown(remedy.text, then, "day", figure=remedy.after),
    ]


def _differs(now: World, then: World, camera: Camera) -> bool:
    """Whether a camera's picture by day is another one."""
    after: Camera = then.get(Ref("camera", camera.id))
    turned = lens.eye(after, then.plan.site) != lens.eye(camera, now.plan.site) or after.masks != camera.masks
    return turned or then.of(SCENE, then.plan.site) is not now.of(SCENE, now.plan.site)


# --------------------------------------------------------------------------- by night


def _by_night(world: World, finding: Finding, camera: Camera) -> Iterator[Shown]:
    """As planned, without the cause, with the tried remedy. Raises ``Unknown`` where the night cannot be told."""
    world.of(NIGHT, camera).view()
    if finding.at.field == "behind":
        yield from _behind(world, finding, camera)
        return
    cause, remedy = finding.related[0].at, tried(finding)
    state, lit, out = _states(world, camera, cause)
    yield Shown(lit, world, "night", state, figure=finding.figure)
    without = _without(cause, camera)
    if without is not None:
        yield Shown(out or _bare(finding), world.vary(without), "night", state)
    if remedy is not None:
        yield Shown(remedy.text, world.vary(*remedy.edits), "night", state, figure=remedy.after)


def _dark_ground(world: World, finding: Finding, camera: Camera) -> Iterator[Shown]:
    """Wanted ground by night as planned and with the tried remedy, in the state of the lamps its figure is told of."""
    remedy, now = tried(finding), finding.figure
    if remedy is None or remedy.after is None or now is None or abs(remedy.after.value - now.value) < EXACT:
        return
    state = next((one for one in world.of(NIGHT, camera).states if is_told_in(one, world, finding, camera)), None)
    if state is not None:
        lit = {DARK: "as planned", ALL: "as planned, every lamp lit"}.get(state, f"as planned, {state} lit")
        yield Shown(lit, world, "night", state, figure=now)
        yield Shown(remedy.text, world.vary(*remedy.edits), "night", state, figure=remedy.after)


def is_told_in(state: str, world: World, finding: Finding, camera: Camera) -> bool:
    """Whether a finding about ground by night is told of a state of the lamps: its figure is the one there."""
    try:
        used = world.of(NIGHT, camera).view(state).usable.get(finding.at.id)
    except Unknown:
        return False
    return used is not None and finding.figure is not None and abs(used.value - finding.figure.value) < EXACT


def _states(world: World, camera: Camera, cause: Ref) -> tuple[str, str, str]:
    """Which lamps are lit for a finding, and what the worlds with its lamp and without are called: the lamp alone, or
    with all the others where that is worse.
    """
    if cause.kind != "lamp":
        return DARK, "as planned", ""
    night, dark = world.of(NIGHT, camera), world.vary(Change("dark", cause)).of(NIGHT, camera)
    alone, every = lost(night.view(cause.id), dark.view(cause.id)), 0.0
    with contextlib.suppress(Unknown):
        every = lost(night.view(ALL), dark.view(ALL))
    if every > alone:
        return ALL, "every lamp lit", f"all lit but {cause.id}"
    return cause.id, f"{cause.id} lit", f"{cause.id} out"


def _without(cause: Ref, camera: Camera) -> Change | None:
    """The change that takes a finding's cause away."""
    if cause.kind == "camera":
        return Change("dark", Ref("camera", cause.id, "infrared")) if cause.id != camera.id else None
    return Change(TAKEN[cause.kind], cause) if cause.kind in TAKEN else None


def _bare(finding: Finding) -> str:
    """What the world without a cause is called."""
    first = finding.related[0]
    if first.at.kind == "object":
        return f"without {first.at.id}"
    if first.at.kind == "camera":
        return f"{first.at.id} dark"
    return f"without the light off {first.text}"


def _behind(world: World, finding: Finding, camera: Camera) -> Iterator[Shown]:
    """The picture with what a pane before the camera does, and without it."""
    one, remedy = behind(world, finding, camera), tried(finding)
    if one is None:
        return
    clear = world.vary(Change("dark", Ref("camera", camera.id, "behind")))
    first = world if one.mirrors else clear
    yield Shown(f"with {one.what}", first, "night", one.state, one.veil, finding.figure)
    yield Shown("without that", clear, "night", one.state)
    if remedy is not None and one.mirrors:
        yield Shown(remedy.text, world.vary(*remedy.edits), "night", one.state, figure=remedy.after)
