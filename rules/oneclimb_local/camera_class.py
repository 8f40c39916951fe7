"""The conditions that the planning classes for security cameras have in common, each a reading of its own."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, ClassVar

from oneclimb.api import Change, Figure, Level, Limits, Reading, Ref, Related, Remedy, Rule, Settings, Told, Unknown
from oneclimb_local.sited import SITED

if TYPE_CHECKING:
    from oneclimb.api import Query, Say, Trial
    from oneclimb.plan.model import Camera, Site
    from oneclimb_local.sited import OnBuilding, Sited

HEIGHT, OUT, APART = 2.5, 1.0, 10.0
"""m: least height above the ground, most that a camera stands out, least between two cameras"""
SIDE, BUILDING = 4, 16
"""most cameras on one side of a building, and on all of it"""
LONG, THICK = 0.75, 0.25
"""m: the longest side of a housing, and the other two"""
MARKS = {"metres": 0.05, "feet": 0.0254}
"""m between two marks of a tape, by the plan's units"""
STEPS = 8
"""marks higher than the least that are tried"""
ALIKE = 1e-6
"""of a limit: what is no difference"""
NAMED = 3
"""pairs of cameras that a finding names"""
UNITED = ("uk", "united kingdom", "great britain", "gb")
"""what names several countries at once, each with a law of its own"""
ASK = Remedy("ask the local planning authority: permission may be needed, and may be given")


class ClassSettings(Settings, frozen=True):
    """How far past a figure of the class, as a share of it, is worth a word."""

    limits: Limits = Limits(warning=0.0)


class CameraClass(Rule["Site"]):
    """The base: a country's class is this with its own name, instrument and further conditions."""

    subject: ClassVar[str] = "site"
    settings = ClassSettings
    name: ClassVar[str]
    """what the class is called in a finding"""

    def measure(self, subject: Site, q: Query, settings: ClassSettings) -> Iterable[Reading | Unknown]:
        """Every condition, where the site is in the class's country; a question where it may be."""
        del settings
        if not subject.country:
            return
        if subject.country.strip().casefold() in UNITED:
            yield Unknown(Ref("site", "site", "country"), "which country of the United Kingdom is it in?")
        if not self.info.holds(subject.country):
            return
        yield from _protected(subject, q)
        for on in q.of(SITED, subject):
            yield from _building(on, q.say)
            for one in on.cameras:
                yield from _camera(one, q.say)
        yield from self.further(q)

    def further(self, q: Query) -> Iterator[Reading | Unknown]:
        """Conditions that only this class has."""
        del q
        yield from ()

    def level(self, reading: Reading, value: float, settings: ClassSettings) -> Level | None:
        """By the share past the class's own figure; a doorbell, and what the class only may mean, is a note."""
        limit = reading.facts["limit"]
        past = value / limit - 1.0 if reading.figure.good == "low" else 1.0 - value / limit
        found = settings.limits.level(past - ALIKE, "low")
        return "note" if found and reading.facts.get("mild") else found

    def tell(self, reading: Reading, q: Trial, settings: ClassSettings) -> Told:
        """What is beyond which figure of the class, and what to do."""
        del settings
        text = f"{reading.facts['text']}: {reading.facts['asks']} ({self.name})"
        first: Remedy | None = reading.facts.get("first")
        remedies = (*_higher(reading, q), *((first,) if first else ()), ASK)
        caution = "Work on a ladder: firm ground, a second person, daylight." if reading.key == "height" else ""
        return Told(text, remedies, caution, steps=(f"checked against {self.info.instrument}",))


def reading(
    at: Ref,
    key: str,
    figure: Figure,
    limit: float,
    *,
    text: str,
    asks: str,
    related: tuple[Related, ...] = (),
    **more: Any,
) -> Reading:
    """One condition: its figure, the class's own, what is found and what is asked for, in words."""
    return Reading(figure, at, key, related, {"limit": limit, "text": text, "asks": asks, **more})


def _protected(site: Site, q: Query) -> Iterator[Reading | Unknown]:
    try:
        listed: bool = q.need(site, "protected")
    except Unknown as unknown:
        yield unknown
        return
    figure = Figure("listed or in a protected area", float(listed), "")
    text = "the building is listed or in a protected area"
    yield reading(
        Ref("site", "site", "protected"),
        "protected",
        figure,
        0.5,
        text=text,
        asks="the class may not hold there",
        mild=True,
    )


def _camera(one: Sited, say: Say) -> Iterator[Reading]:
    camera = one.camera
    ref = Ref("camera", camera.id)
    height = Figure("its lowest part above the ground", one.height, "m", low=one.lowest, good="high")
    asks = f"at least {say.tape(HEIGHT)} is asked for"
    mild = camera.shape == "doorbell"
    text = f"{camera.id} is {say.tape(one.height)} above the ground"
    yield reading(
        ref.at("mount"),
        "height",
        height,
        HEIGHT,
        text=text,
        asks=asks,
        camera=camera,
        mild=mild,
        raise_by=HEIGHT - one.lowest,
    )
    out = Figure("it stands out from the building", one.out, "m")
    text, asks = f"{camera.id} stands out {say.tape(one.out)}", f"at most {say.tape(OUT)}"
    yield reading(ref.at("mount"), "out", out, OUT, text=text, asks=asks)
    if camera.size:
        most, *rest = sorted(camera.size, reverse=True)
        share = max(most / LONG, *(side / THICK for side in rest))
        figure = Figure("of the largest housing there may be", share, "")
        asks = f"at most {say.tape(LONG)} by {say.tape(THICK)} by {say.tape(THICK)}"
        yield reading(ref.at("size"), "size", figure, 1.0, text=f"{camera.id}'s housing is too large", asks=asks)


def _building(on: OnBuilding, say: Say) -> Iterator[Reading]:
    ref, name = Ref("building", on.building.id), on.building.id
    if on.pairs:
        near = [pair for pair in on.pairs if pair[0] < APART * (1 - ALIKE)] or [on.pairs[0]]
        named = "; ".join(f"{a} and {b} are {say.tape(apart)} apart" for apart, a, b in near[:NAMED])
        more = f"; and {len(near) - NAMED} more pairs" if len(near) > NAMED else ""
        both = tuple(Related(Ref("camera", camera), "one of the two nearest") for camera in on.pairs[0][1:])
        figure = Figure("between the two nearest cameras", on.pairs[0][0], "m", good="high")
        asks = f"at least {say.tape(APART)} is asked for"
        yield reading(ref, "apart", figure, APART, text=named + more, asks=asks, related=both)
    for key, count, most, where in (
        ("side", on.side, SIDE, f"one side of {name}"),
        ("building", len(on.cameras), BUILDING, name),
    ):
        figure = Figure(f"cameras on {where}", float(count), "cameras")
        yield reading(ref, key, figure, float(most), text=f"{count} cameras are on {where}", asks=f"at most {most}")


def _higher(reading: Reading, q: Trial) -> Iterator[Remedy]:
    """Fixed higher on its wall, where its height is written from the ground: to the next mark of a tape at which even
    the low end of its lowest part is high enough.
    """
    camera: Camera | None = reading.facts.get("camera")
    if reading.key != "height" or camera is None or camera.mount.to != "wall" or camera.shape == "doorbell":
        return
    at = Ref("camera", camera.id)
    if q.known(at.at("mount.storey")) == "written":
        return
    building = q.get(Ref("building", camera.mount.spot.building))
    least = camera.mount.spot.z - building.base + reading.facts["raise_by"]
    mark = MARKS[q.plan.units]
    heights = [mark * (math.ceil(least / mark - ALIKE) + i) for i in range(STEPS)]
    steps = [(Change("replace", at.at("mount.height"), f"{round(height, 3):g} m"),) for height in heights]
    raised = q.least(lambda i: f"fix {camera.id} {q.say.tape(heights[i])} above the ground", steps, ladder=True)
    if raised:
        yield raised
