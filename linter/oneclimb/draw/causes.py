"""Which findings a camera's picture shows, and the other worlds that explain one: without its cause, with a remedy."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from oneclimb.api import Change, Figure, Finding, How, Ref, Remedy, Unknown
from oneclimb.draw.panes import EXACT, behind, lost
from oneclimb.place import lens
from oneclimb.study import ALL, COVER, DARK, NIGHT, SCENE
from oneclimb.study.night_view import NO_VEIL

if TYPE_CHECKING:
    from oneclimb.draw import Sitting
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.report.facts import Alike
    from oneclimb.study.night_view import Added

Light = Literal["day", "night"]
SEEN: Mapping[str, Light] = {
    "GLARE-01": "night",
    "GLARE-02": "night",
    "GLARE-03": "night",
    "GLARE-04": "night",
    "GLARE-06": "night",
    "VIEW-01": "day",
    "VIEW-02": "day",
    "VIEW-03": "day",
    "VIEW-04": "day",
    "VIEW-05": "night",
    "VIEW-06": "day",
    "VIEW-07": "day",
    "VIEW-08": "day",
    "VIEW-10": "day",
    "VIEW-11": "day",
}
"""by rule: the picture in which what its findings tell is seen; none of the others can be"""
SPOILS = frozenset({"GLARE-01", "GLARE-02", "GLARE-03", "GLARE-04"})
"""the rules whose figure is what one cause takes of the night view"""
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


def told(sitting: Sitting, camera: Camera, light: Light) -> list[tuple[int, Finding]]:
    """The findings, with their numbers, of which a camera's picture by some light shows something."""
    return [
        (number, one.finding)
        for number, one in sitting.numbered
        if SEEN.get(one.finding.code) == light and not one.finding.welcome and camera in cameras(one, sitting.world)
    ]


def cameras(one: Alike, world: World) -> list[Camera]:
    """The cameras a finding is told of, or, of ground, those it names or else all whose ground that is to show."""
    finding, every = one.finding, world.plan.cameras
    if finding.at.kind == "camera":
        ids = finding.at.id, *one.others
        return [camera for name in ids for camera in every if camera.id == name]
    named = {related.at.id for related in finding.related if related.at.kind == "camera"}
    if named:
        return [camera for camera in every if camera.id in named]
    return [camera for camera in every if finding.at.id in world.of(COVER, camera).watched]


def explained(finding: Finding) -> bool:
    """Whether other worlds may explain a finding: it has a cause to leave out or a remedy that was tried."""
    return (
        SEEN.get(finding.code) is not None and not finding.welcome and (finding.code in SPOILS or bool(tried(finding)))
    )


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


def tried(finding: Finding) -> Remedy | None:
    """The first remedy that was tried."""
    return next((one for one in finding.remedies if one.edits), None)


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
