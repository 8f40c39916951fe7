"""Who feeds and carries whom: the cameras' cables, switches, injectors, recorders and supplies.

Looked up once a run. A cable's `to` is free text; where it equals the id of a switch, injector or recorder it means
that one (in this order); a recorder with ports of its own (a switch `within` it) is both. Nothing here is guessed: what
the plan does not join stays apart.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from oneclimb.api import Ref

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from oneclimb.api import Query
    from oneclimb.plan.model import Cable, Camera, Injector, Recorder, Site, Supply, Switch

GEAR = ("switch", "injector", "recorder")
"""what a cable's `to` may mean, in this order"""


class Feed(Struct, frozen=True):
    """One camera's side.

    ``cables`` all it has, in the plan's order; ``data`` the first that carries data, ``wire`` the first that carries
    power (both the same for power over Ethernet). ``injector`` is what the power comes from on the data cable;
    ``switches`` the switches its pictures go through, the one it is plugged into first, then up the uplinks;
    ``plugged`` the recorder its cable itself goes to; ``recorder`` the one that keeps its pictures: its own
    `recorder`, else ``plugged``, else the one whose ports the last switch is, else None: not said. ``supply`` the one
    its `power` names.
    """

    camera: Camera
    cables: tuple[Cable, ...] = ()
    data: Cable | None = None
    wire: Cable | None = None
    injector: Injector | None = None
    switches: tuple[Switch, ...] = ()
    plugged: Recorder | None = None
    recorder: Recorder | None = None
    supply: Supply | None = None

    @property
    def switch(self) -> Switch | None:
        """The switch it is plugged into, an injector between them or not."""
        return self.switches[0] if self.switches else None

    @property
    def source(self) -> str | None:
        """Where its power comes from: as written; else ``poe`` where what its cable goes to tells that it gives power
        over that cable; else None.
        """
        if self.camera.power.source:
            return self.camera.power.source
        port = self.injector or self.switch
        both = self.data is not None and self.data is self.wire and self.data.kind == "copper"
        return "poe" if both and port and port.gives else None

    @property
    def port(self) -> Switch | Injector | None:
        """What feeds it over its data cable, where it is fed so: the injector, else the switch."""
        return (self.injector or self.switch) if self.source == "poe" else None


class Side(Struct, frozen=True):
    """One switch's side, each in the plan's order.

    ``cameras`` are plugged into it (through an injector too); ``fed`` those of them that its own ports power;
    ``chained`` the switches whose uplink goes to it; ``behind`` every camera whose pictures leave by its uplink.
    """

    switch: Switch
    cameras: tuple[Camera, ...] = ()
    fed: tuple[Camera, ...] = ()
    chained: tuple[Switch, ...] = ()
    behind: tuple[Camera, ...] = ()


class Load(Struct, frozen=True):
    """All of it. ``feeds`` by the camera's id, ``sides`` by the switch's, ``kept`` the cameras a recorder keeps by
    the recorder's, ``supplied`` the cameras a supply feeds by the supply's.
    """

    feeds: Mapping[str, Feed]
    sides: Mapping[str, Side]
    kept: Mapping[str, tuple[Camera, ...]]
    supplied: Mapping[str, tuple[Camera, ...]]


def compute(_site: Site, q: Query) -> Load:
    """Join the plan's cameras to what feeds, carries and keeps them."""
    cables: dict[str, list[Cable]] = {}
    for cable in q.all("cable"):
        cables.setdefault(cable.camera, []).append(cable)
    feeds = {camera.id: _feed(camera, tuple(cables.get(camera.id, ())), q) for camera in q.all("camera")}
    chained: dict[str, list[Switch]] = {}
    for switch in q.all("switch"):
        chained.setdefault(switch.to, []).append(switch)
    through: dict[str, list[Feed]] = {}
    for feed in feeds.values():
        for switch in feed.switches:
            through.setdefault(switch.id, []).append(feed)
    sides = {
        switch.id: _side(switch, through.get(switch.id, ()), tuple(chained.get(switch.id, ())))
        for switch in q.all("switch")
    }
    return Load(
        feeds,
        sides,
        _by((feed.recorder.id, feed.camera) for feed in feeds.values() if feed.recorder),
        _by((feed.supply.id, feed.camera) for feed in feeds.values() if feed.supply),
    )


def _feed(camera: Camera, cables: tuple[Cable, ...], q: Query) -> Feed:
    """What a camera is joined to."""
    data = next((cable for cable in cables if "data" in cable.carries), None)
    wire = next((cable for cable in cables if "power" in cable.carries), None)
    end = _named(data.to, q) if data else None
    kind, thing = end or ("", None)
    injector = thing if kind == "injector" else None
    first = injector.to if injector else thing.id if kind == "switch" and thing else ""
    plugged = thing if kind == "recorder" else None
    switches = _up(_ports(plugged.id, q) if plugged else first, q)
    ends = switches[-1].within if switches else ""
    kept = _there("recorder", camera.recorder, q) or plugged or _there("recorder", ends, q)
    supply = _there("supply", camera.power.supply, q)
    return Feed(camera, cables, data, wire, injector, switches, plugged, kept, supply)


def _ports(recorder: str, q: Query) -> str:
    """The id of the switch within a recorder; empty where it has none."""
    return next((switch.id for switch in q.all("switch") if switch.within == recorder), "")


def _named(to: str, q: Query) -> tuple[str, Any] | None:
    """The kind and thing a cable's `to` means, None where it is only words."""
    found = ((kind, _there(kind, to, q)) for kind in GEAR)
    return next(((kind, thing) for kind, thing in found if thing), None)


def _there(kind: str, name: str, q: Query) -> Any:
    """A thing of a kind by its id, None where it is not there in this world."""
    try:
        return q.get(Ref(kind, name)) if name else None
    except KeyError:
        return None


def _up(first: str, q: Query) -> tuple[Switch, ...]:
    """The switches from one up its uplinks; the reader allows no ring."""
    way: list[Switch] = []
    while switch := _there("switch", first, q):
        way.append(switch)
        first = switch.to
    return tuple(way)


def _side(switch: Switch, here: Sequence[Feed], chained: tuple[Switch, ...]) -> Side:
    return Side(
        switch,
        tuple(feed.camera for feed in here if feed.switch is switch),
        tuple(feed.camera for feed in here if feed.port is switch),
        chained,
        tuple(feed.camera for feed in here),
    )


def _by(pairs: Iterable[tuple[str, Camera]]) -> dict[str, tuple[Camera, ...]]:
    made: dict[str, tuple[Camera, ...]] = {}
    for name, camera in pairs:
        made[name] = (*made.get(name, ()), camera)
    return made
