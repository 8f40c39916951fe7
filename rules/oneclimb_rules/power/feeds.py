"""What feeds a camera: looked up, and named in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import Ref
from oneclimb.plan.model import Switch
from oneclimb.study import LOAD
from oneclimb.trade import ethernet

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Injector, Power
    from oneclimb.study.load import Feed

PASSIVE = "passive"


def feed_of(camera: Camera, q: Query) -> Feed:
    """A camera's side of who feeds and carries whom."""
    return q.of(LOAD, q.plan.site).feeds[camera.id]


def port_ref(port: Switch | Injector) -> Ref:
    """The thing whose port it is."""
    return Ref("switch" if isinstance(port, Switch) else "injector", port.id)


def class_watts(power: Power) -> float | None:
    """The most a camera's class lets it draw, W; None where it tells none."""
    return None if power.poe is None else ethernet.CLASSES[power.poe].watts


def standard_watts(power: Power) -> float | None:
    """The most a device of its standard may draw, W; None where the plan does not say, or it is passive."""
    most = ethernet.port_gives(power.standard) if power.standard else None
    return most.watts if most else None
