"""How long things carry on when the mains stop: a backup's minutes, and what a camera hangs on."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Ref, Unknown
from oneclimb.study import LOAD
from oneclimb.trade import ethernet

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Camera, Recorder, Ups
    from oneclimb.study.load import Load

Range = tuple[float, float, float]

GIVEN = (0.45, 0.75, 0.9)
"""low, usual, high share of a backup's energy that comes out: an old battery, an ordinary one, a new one (estimate)"""
SWITCH = (15.0, 6.0, 3.0)
"""W a switch takes for itself, in the order of the minutes they make: low, usual, high (estimate)"""
RADIO = (20.0, 10.0, 5.0)
"""the same of an access point (estimate)"""
NONE: Range = (0.0, 0.0, 0.0)

NO_BACKUP = Unknown(Ref("site", "site", "ups"), "what carries the recorder on when the mains stop, if anything does?")
"""where no backup is written the plan does not say that there is none"""


class Held(Struct, frozen=True):
    """A backup: what it feeds draws ``watts`` (in the order of ``minutes``: low, usual, high)."""

    ups: Ups
    watts: Range
    minutes: Range


def held(ups: Ups, q: Query) -> Held:
    """How long a backup feeds what hangs on it; raises ``Unknown`` where the plan does not say enough."""
    load = q.of(LOAD, q.plan.site)
    capacity: float = q.need(ups, "capacity")
    own: list[Range] = []
    cameras: dict[str, Camera] = {}
    for fed in ups.feeds:
        own += list(_own(fed, q))
        cameras.update({camera.id: camera for camera in _cameras(fed, load, q)})
    own += [(watts,) * 3 for watts in (_watts(camera, q) for camera in cameras.values())]
    low, usual, high = (math.fsum(part[i] for part in own) for i in range(3))
    minutes = tuple(
        share * capacity * 60 / watts if watts else math.inf
        for share, watts in zip(GIVEN, (low, usual, high), strict=True)
    )
    return Held(ups, (low, usual, high), (minutes[0], minutes[1], minutes[2]))


def _own(fed: str, q: Query) -> Iterator[Range]:
    """What a thing takes for itself."""
    for recorder in q.all("recorder"):
        if recorder.id == fed:
            watts: float = q.need(recorder, "watts")
            yield (watts,) * 3
    if any(switch.id == fed and not switch.within for switch in q.all("switch")):
        yield SWITCH
    if any(point.id == fed for point in q.all("access-point")):
        yield RADIO


def _cameras(fed: str, load: Load, q: Query) -> tuple[Camera, ...]:
    """The cameras that draw their power through a thing."""
    sides = [side for side in load.sides.values() if side.switch.whole == fed]
    if sides:
        return tuple(camera for side in sides for camera in side.fed)
    if fed in load.supplied:
        return load.supplied[fed]
    through = tuple(feed.camera for feed in load.feeds.values() if feed.injector and feed.injector.id == fed)
    return through or tuple(camera for camera in q.all("camera") if camera.id == fed)


def _watts(camera: Camera, q: Query) -> float:
    watts = camera.power.watts if camera.power.watts is not None else ethernet.class_watts(camera.power.poe)
    return watts if watts is not None else float(q.need(camera, "power.watts"))


def things(camera: Camera, q: Query) -> tuple[str, ...] | None:
    """What must go on for a camera's pictures to reach the recorder, by id; None where the plan does not tell what
    feeds it or what its radio reaches.
    """
    feed = q.of(LOAD, q.plan.site).feeds[camera.id]
    way = tuple(switch.whole for switch in feed.switches)
    if camera.link == "wireless":
        points = [point.id for point in q.all("access-point")]
        named = camera.wireless.to if camera.wireless else ""
        if not named and len(points) != 1:
            return None
        way = (named or points[0],)
    if feed.source == "poe":
        if feed.injector or way:
            return (*way, feed.injector.id) if feed.injector else way
        return (feed.plugged.id,) if feed.plugged else None
    if feed.source in ("battery", "solar"):
        return way
    return None if feed.source is None else (*way, feed.supply.id if feed.supply else camera.id)


def lasts(names: tuple[str, ...], by_thing: dict[str, Range]) -> Range:
    """Minutes that all of these go on."""
    each = [by_thing.get(name, NONE) for name in names]
    low, usual, high = (min((part[i] for part in each), default=math.inf) for i in range(3))
    return low, usual, high


def kept_by(recorder: Recorder, q: Query) -> tuple[Camera, ...]:
    """The cameras a recorder keeps; all where the plan has one recorder and says of none which keeps it."""
    kept = q.of(LOAD, q.plan.site).kept
    if not kept and len(q.all("recorder")) == 1:
        return tuple(q.all("camera"))
    return kept.get(recorder.id, ())


def untold(camera: Camera) -> Unknown:
    """The question for a camera of which it is not told what it hangs on."""
    return Unknown(Ref("camera", camera.id, "power"), "what feeds the camera and carries its pictures, by name?")
