"""Which gear stands beside a backup, so that it can be plugged into it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.plan.model import Recorder, Spot, Switch, Ups

LEAD = 5.0
"""m that a backup's leads reach along a wall (estimate)"""
SPOTTED = ("switch", "supply", "recorder", "access-point")
"""gear whose place the plan may tell; a backup is where the recorder is, or what it feeds"""


def beside(names: Iterable[str], ups: Ups, recorder: Recorder, q: Query) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids of gear that a backup can feed, and of gear that stands elsewhere, or may: it wants a backup of its own.

    What has no place in the plan is held to stand by the recorder where it is the switch that the others' uplinks
    lead to, or an injector on that one.
    """
    spots: dict[str, Spot] = {thing.id: thing.spot for kind in SPOTTED for thing in q.all(kind) if thing.spot}
    homes = [spots[name] for name in (recorder.id, *ups.feeds) if name in spots]
    switches: dict[str, Switch] = {switch.id: switch for switch in q.all("switch")}
    behind = {injector.id: injector.to for injector in q.all("injector")}

    def near(name: str) -> bool:
        if name == recorder.id or name in ups.feeds:
            return True
        if name in spots:
            return any(_apart(spots[name], home) <= LEAD for home in homes) or not homes
        if name in switches:
            return not switches[name].to
        return bool(behind.get(name)) and near(behind[name])

    found = {name: near(name) for name in names}
    return tuple(name for name in found if found[name]), tuple(name for name in found if not found[name])


def _apart(a: Spot, b: Spot) -> float:
    elsewhere = a.building and b.building and a.building != b.building
    return math.inf if elsewhere else math.dist(a.xyz, b.xyz)
