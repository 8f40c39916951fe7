"""What a pane before a camera does to its night, told apart as pictures need it: what mirrors, what lies as a veil."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Finding, Ref
from oneclimb.study import ALL, DARK, PANE
from oneclimb.study.night_view import NO_VEIL

if TYPE_CHECKING:
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.study.night_view import Added, NightView

PANE_KEY, STATUS = "pane", "status-light"
"""keys of the findings of what a pane does by itself, and of a status light mirrored in it"""
EXACT = 0.005
"""a study's figure is a finding's within this"""


class Behind(Struct, frozen=True):
    """One thing that a pane does, in which state of the lamps, the veil it lays over all, and the share of the night
    view lost to it.
    """

    what: str
    state: str
    veil: Added
    lost: float
    mirrors: bool = False
    """it is the camera's own light thrown back; else a veil, which is seen with that left out"""


def lit_by(finding: Finding) -> str:
    """The lamp a finding is about; nothing where it is about none."""
    return next((related.at.id for related in finding.related if related.at.kind == "lamp"), "")


def behind(world: World, finding: Finding, camera: Camera) -> Behind | None:
    """The worst of what a pane does, held against the finding's own figure; None where a picture can't show it."""
    if finding.figure is None:
        return None
    found = max(_panes(world, finding, camera), key=lambda one: one.lost, default=None)
    return found if found and abs(found.lost - finding.figure.value) < EXACT else None


def _panes(world: World, finding: Finding, camera: Camera) -> Iterator[Behind]:
    study = world.of(PANE, camera)
    state, lamp = DARK if study.night.own_lit else ALL, lit_by(finding)
    if lamp:
        veil = study.lamp(Ref("lamp", lamp))
        yield _veiled(study.under(lamp, veil), f"the light of {lamp} on the pane before it", lamp, veil)
    elif finding.key == STATUS and camera.behind and camera.behind.gap:
        veil = study.status(camera.behind.gap)
        yield _veiled(study.under(state, veil), "its status light, mirrored in the pane before it", state, veil)
    elif finding.key == PANE_KEY and study.night.own_lit:
        back = "its own light, thrown back by the pane before it"
        yield Behind(back, DARK, NO_VEIL, lost(*study.own), mirrors=True)
    if finding.key == PANE_KEY and camera.behind and camera.behind.room == "lit" and not camera.behind.curtain:
        room = "the lit room behind it, mirrored in the pane before it"
        yield _veiled(study.under(state, study.room), room, state, study.room)


def _veiled(views: tuple[NightView, NightView], what: str, state: str, veil: Added) -> Behind:
    return Behind(what, state, veil, lost(*views))


def lost(now: NightView, without: NightView) -> float:
    """Share of the night view lost, with something and without."""
    return max(0.0, 1.0 - now.kept(without).value)
