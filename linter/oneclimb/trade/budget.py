"""What cameras take of a switch's watts, everything on: infrared, heaters, motors. Watts throughout."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from oneclimb.trade import ethernet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from oneclimb.plan.model import Camera


class Taken(NamedTuple):
    """What the cameras of a switch take, W: as declared, at the ports (losses in), by class with all unknowns; those
    that tell neither watts nor class.
    """

    declared: float
    ports: float
    by_class: float
    silent: tuple[Camera, ...]


def one(camera: Camera, gives: str | None) -> ethernet.Drawn:
    """What one camera takes of a port that ``gives`` a standard; one that tells nothing may take all of it."""
    told = ethernet.drawn(camera.power.watts, camera.power.poe, gives)
    return told or ethernet.Drawn(0.0, 0.0, ethernet.most_drawn(gives))


def together(fed: Sequence[Camera], gives: str | None) -> Taken:
    """The three counts of all of them."""
    each = [one(camera, gives) for camera in fed]
    silent = tuple(camera for camera in fed if camera.power.watts is None and camera.power.poe is None)
    declared, ports, by_class = (sum(count) for count in zip(*each, strict=True)) if each else (0.0, 0.0, 0.0)
    return Taken(declared, ports, by_class, silent)
