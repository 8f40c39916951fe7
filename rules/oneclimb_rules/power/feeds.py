"""What feeds a camera: looked up, and named in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oneclimb.api import Ref
from oneclimb.plan.model import Switch
from oneclimb.study import LOAD

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Injector
    from oneclimb.study.load import Feed


def feed_of(camera: Camera, q: Query) -> Feed:
    """A camera's side of who feeds and carries whom."""
    return q.of(LOAD, q.plan.site).feeds[camera.id]


def port_ref(port: Switch | Injector) -> Ref:
    """The thing whose port it is."""
    return Ref("switch" if isinstance(port, Switch) else "injector", port.id)
