"""LINK-05: more pictures than a port, an uplink, a recorder or the house's own line carries."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from msgspec import Struct

from oneclimb.api import Change, Figure, Info, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb.study import LOAD
from oneclimb.trade import streams
from oneclimb_rules.asks import unsaid
from oneclimb_rules.link.levels import point, wireless

if TYPE_CHECKING:
    from oneclimb.api import Query, Trial
    from oneclimb.plan.model import Camera, Site
    from oneclimb.study.load import Load

LEAST = 100.0
"""Mbit/s: the slowest port of a switch there is in use (common practice); below a part of it nothing need be asked"""
SMALLEST = 40.0
"""Mbit/s: what the smallest recorders sold take in (estimate); below a part of it nothing need be asked"""
FASTER = 1000.0
"""Mbit/s of the next faster port"""


class UplinkSettings(Settings, frozen=True):
    """The share of what a link carries that streams may take; what is left is for everything else."""

    limits: Limits = Limits(note=0.7, warning=0.9, error=1.0)


class _Way(Struct, frozen=True):
    """One thing that pictures go through: its field, what it is called, Mbit/s it carries, the cameras behind it.

    ``mean``: counted by the mean over the day, since what waits is sent later.
    """

    at: Ref
    what: str
    carries: float
    cameras: tuple[Camera, ...]
    mean: bool = False


class FullUplink(Rule["Site"]):
    """The streams' sum, held against what each thing on the way carries."""

    info = Info(
        code="LINK-05",
        title="more streams than a link carries",
        sources=(
            "arithmetic: the sum of the streams against the rate of the port, uplink or recorder",
            "common practice (streams take no more than 70 % of a link)",
        ),
        page="full_uplink.md",
    )
    subject: ClassVar[str] = "site"
    settings = UplinkSettings

    def measure(self, subject: Site, q: Query, settings: UplinkSettings) -> Iterable[Reading | Unknown]:
        """One reading a thing on the way."""
        load = q.of(LOAD, subject)
        for found in (*_switches(load, settings), *_points(q), *_recorders(load, q, settings), *_cloud(load, q)):
            yield found if isinstance(found, Unknown) else _reading(found)

    def tell(self, reading: Reading, q: Trial, settings: UplinkSettings) -> Told:
        """How much comes, how much goes through, and what helps."""
        way: _Way = reading.facts["way"]
        usual = reading.facts["mbits"][1]
        many = f"{len(way.cameras)} cameras send" if len(way.cameras) > 1 else f"{way.cameras[0].id} sends"
        text = f"{many} about {usual:.3g} Mbit/s through {way.what}, which carries {way.carries:g}"
        return Told(text, tuple(_remedies(way, q, settings)), steps=reading.facts["steps"])


def _reading(way: _Way) -> Reading:
    rates = [streams.sent(camera) if way.mean else streams.peak(camera) for camera in way.cameras]
    low, usual, high = (sum(rate[i] for rate in rates) for i in range(3))
    lines = (
        f"{c.id}: {rate[1]:.2g} Mbit/s ({rate[0]:.2g} to {rate[2]:.2g})"
        for c, rate in zip(way.cameras, rates, strict=True)
    )
    mean = " in the mean over the day" if way.mean else ""
    return Reading(
        Figure(f"of what {way.what} carries", usual / way.carries, "", low / way.carries, high / way.carries),
        way.at,
        key=way.at.field,
        related=tuple(Related(Ref("camera", camera.id), "its stream goes through it") for camera in way.cameras),
        facts={
            "way": way,
            "mbits": (low, usual, high),
            "steps": (*lines, f"together {usual:.3g} Mbit/s{mean} / {way.carries:g} = {usual / way.carries:.0%}"),
        },
    )


def _switches(load: Load, settings: UplinkSettings) -> Iterator[_Way | Unknown]:
    """Each switch's uplink, and its port with the largest stream. An uplink is asked for where it could matter; a
    recorder's own ports have none.
    """
    for side in load.sides.values():
        switch, ref = side.switch, Ref("switch", side.switch.id)
        most = max(side.cameras, key=lambda camera: (streams.peak(camera)[1], camera.id), default=None)
        if most and switch.speed:
            yield _Way(ref.at("speed"), f"its port of {switch.id}", switch.speed, (most,))
        if switch.within:
            continue
        if switch.uplink and side.behind:
            yield _Way(ref.at("uplink"), f"the uplink of {switch.id}", switch.uplink, side.behind)
        elif sum(streams.peak(camera)[2] for camera in side.behind) > (settings.limits.note or 1.0) * LEAST:
            yield Unknown(ref.at("uplink"), "how fast is the switch's port towards the recorder or router?")


def _points(q: Query) -> Iterator[_Way]:
    """Each access point's cable, where the plan says how fast it is."""
    for one in q.all("access-point"):
        cameras = tuple(c for c in q.all("camera") if wireless(c) and _tied(c, q) == one.id)
        if one.uplink and cameras:
            yield _Way(Ref("access-point", one.id, "uplink"), f"the cable behind {one.id}", one.uplink, cameras)


def _tied(camera: Camera, q: Query) -> str:
    """The id of its access point; empty where that can't be told, which the link's own rule asks about."""
    try:
        found = point(camera, q)
    except Unknown:
        return ""
    return found.id if found else ""


def _recorders(load: Load, q: Query, settings: UplinkSettings) -> Iterator[_Way | Unknown]:
    """Each recorder's rated incoming rate. It is asked for where it could matter."""
    for one in q.all("recorder"):
        cameras = load.kept.get(one.id, ())
        if one.most and cameras:
            yield _Way(Ref("recorder", one.id, "most"), f"the recorder {one.id}", one.most, cameras)
        elif sum(streams.peak(camera)[2] for camera in cameras) > (settings.limits.note or 1.0) * SMALLEST:
            yield from unsaid(q, one, "most")


def _cloud(load: Load, q: Query) -> Iterator[_Way | Unknown]:
    """The house's own line, for what a recorder copies to the cloud."""
    cameras = tuple(c for one in q.all("recorder") if one.copy == "cloud" for c in load.kept.get(one.id, ()))
    if not cameras:
        return
    try:
        uplink: float = q.need(q.plan.site, "network.uplink")
        for camera in cameras:
            q.need(camera, "records")
    except Unknown as unknown:
        yield unknown
        return
    yield _Way(Ref("site", "site", "network.uplink"), "the house's line to the internet", uplink, cameras, mean=True)


def _remedies(way: _Way, q: Trial, settings: UplinkSettings) -> Iterator[Remedy]:
    """A faster port where there is one, smaller streams, or fewer cameras through it."""
    if way.at.kind == "switch" and way.carries < FASTER:
        change = Change("replace", way.at, f"{FASTER:g} Mbit/s")
        faster = q.least(
            lambda _: f"use a switch whose ports carry {FASTER:g} Mbit/s, on a cable tested for it", [(change,)]
        )
        if faster:
            yield faster
    each = way.carries * (settings.limits.note or 1.0) / len(way.cameras)
    yield Remedy(
        f"set the recorded streams to {each:.2g} Mbit/s each or less, night included, and look at what they leave"
    )
    if way.at.kind == "recorder":
        yield Remedy("take a recorder that is rated for more, or a second one for some of the cameras")
    elif way.mean:
        yield Remedy(
            "copy only what moves, or a smaller stream, to the cloud; or keep that copy elsewhere in the house"
        )
