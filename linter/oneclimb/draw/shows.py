"""Which findings a camera's picture shows, by day and by night."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from oneclimb.api import Finding, Remedy
from oneclimb.study import COVER

if TYPE_CHECKING:
    from oneclimb.draw import Sitting
    from oneclimb.engine.world import World
    from oneclimb.plan.model import Camera
    from oneclimb.report.facts import Alike

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


def tried(finding: Finding) -> Remedy | None:
    """The first remedy that was tried."""
    return next((one for one in finding.remedies if one.edits), None)
