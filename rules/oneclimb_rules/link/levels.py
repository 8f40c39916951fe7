"""The level a wireless camera is received at, reckoned through the walls on the way or as measured, and what its
stream needs.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Ref, Unknown
from oneclimb.study import PATH
from oneclimb.trade import airtime, radio, streams
from oneclimb_rules.words import called

if TYPE_CHECKING:
    from collections.abc import Iterator

    from oneclimb.api import Query
    from oneclimb.plan.model import AccessPoint, Camera
    from oneclimb.study.path import Crossing, Path

Range = tuple[float, float, float]

WALL = ("chipboard + plasterboard", "cavity wall", "concrete")
"""low, usual, high: an outer wall whose build the plan does not say (estimate)"""
PANE = ("double glazing", "double glazing", "low-e glass")
"""the same of a pane: the plan does not say whether it is metallised"""
ROOF = (1.0, 4.0, 20.0)
"""dB of a roof: tiles on wood, or with foil below them (estimate)"""
FLOOR = (2.0, radio.HOME_FLOOR, 14.0)
"""dB of a floor: wood; a home's (from memory); an office's concrete (ITU-R P.1238 to edition 9)"""
WIDTH = 20
"""MHz, where the plan does not say: the least there is"""


class Link(Struct, frozen=True):
    """One camera's link: ``level`` dBm low, usual and high; ``path`` None where it was measured; the lines of the
    calculation, and questions whose answers would narrow it.
    """

    level: Range
    path: Path | None
    steps: tuple[str, ...]
    silent: tuple[Unknown, ...] = ()


def wireless(camera: Camera) -> bool:
    """Whether it sends by radio."""
    return camera.link == "wireless" or (camera.link is None and camera.wireless is not None)


def link(camera: Camera, q: Query) -> Link:
    """How a wireless camera is received. Raises ``Unknown`` where the plan says neither a level nor enough to
    reckon one.
    """
    if camera.wireless and camera.wireless.measured is not None:
        dbm = camera.wireless.measured
        return Link(
            radio.measured(dbm), None, (f"measured at the mount: {dbm:g} dBm, {radio.MEASURED:g} dB either way",)
        )
    if not q.all("access-point"):
        q.need(camera, "wireless.measured")
    band = q.need(camera, "wireless.band")
    reckoned = [_reckoned(camera, path, band, q) for path in q.of(PATH, camera)]
    return max(reckoned, key=lambda one: one.level[1])


def good(camera: Camera, q: Query) -> bool:
    """Whether the low end of its level is enough with the usual fade; not where the plan does not tell."""
    try:
        level = link(camera, q).level
    except Unknown:
        return False
    return margin(level, need(camera).level)[0] >= radio.FADE


def point(camera: Camera, q: Query) -> AccessPoint | None:
    """The access point it is tied to, or that is received best; None where the plan has none that can be told."""
    there: dict[str, AccessPoint] = {one.id: one for one in q.all("access-point")}
    tied = camera.wireless.to if camera.wireless else ""
    if tied or len(there) < 2:
        return there.get(tied) or next(iter(there.values()), None)
    path = link(camera, q).path
    return path.to if path else None


def _reckoned(camera: Camera, path: Path, band: str, q: Query) -> Link:
    """By free space, what a home takes beyond it on the stretch indoors, and the surfaces gone through."""
    mhz, usual = radio.BANDS[band]
    eirp, gain, said = _weaker(camera, path.to, usual)
    air = radio.free_space(mhz, path.length)
    home = (radio.HOME - 20.0) * math.log10(max(path.indoors, 1.0))
    lost, lines, silent = _walls(path.crossed, mhz, q)
    low, level, high = radio.received(eirp, air + home, lost[1], gain)
    steps = (
        f"{path.length:.1f} m at {mhz:g} MHz in free space: {air:.1f} dB (ITU-R P.525)",
        *((f"{path.indoors:.1f} m of it indoors: {home:.1f} dB more (ITU-R P.1238)",) if home else ()),
        *lines,
        f"{eirp:g} dBm radiated{said} + {gain:g} dBi - {air + home + lost[1]:.1f} dB = {level:.0f} dBm",
    )
    down = level - math.hypot(level - low, lost[2] - lost[1])
    up = level + math.hypot(high - level, lost[1] - lost[0])
    return Link((down, level, up), path, steps, silent)


def _weaker(camera: Camera, to: AccessPoint, usual: float) -> tuple[float, float, str]:
    """The weaker of the two ways: dBm radiated at one end, dBi of the other's aerial, and a word on it. A camera
    radiates no more than is usual, however strong the access point is.
    """
    own = camera.wireless.gain if camera.wireless else None
    out = (usual if to.power is None else to.power, radio.GAIN if own is None else own)
    back = (usual, radio.GAIN if to.gain is None else to.gain)
    if sum(back) < sum(out):
        return (*back, " by the camera (usual)")
    return (*out, " (usual)" * (to.power is None))


def _walls(crossed: tuple[Crossing, ...], mhz: float, q: Query) -> tuple[Range, tuple[str, ...], tuple[Unknown, ...]]:
    """What is lost in all that is gone through, low, usual and high dB; a line for each; what is not said."""
    each = [(one, *_one(one, mhz, q)) for one in crossed]
    low, usual, high = (min(sum(lost[i] for _, lost, _, _ in each), radio.OPAQUE) for i in range(3))
    lines = tuple(
        f"{called(one.at) if one.what != 'floor' else 'a floor'}, {one.angle:.0f}° from straight through: "
        f"{lost[1]:.1f} dB, {how}"
        for one, lost, how, _ in each
    )
    asked = {unknown.ref: unknown for *_, unknown in each if unknown}
    return (low, usual, high), lines, tuple(asked.values())


def _one(one: Crossing, mhz: float, q: Query) -> tuple[Range, str, Unknown | None]:
    if one.what in ("roof", "floor"):
        return (ROOF if one.what == "roof" else FLOOR), "usual (estimate)", None
    if one.what == "window":
        return _built(PANE, mhz, one.angle), "double glazing, more if it is metallised", None
    building = q.get(one.at.thing)
    name = one.at.field.partition(".")[2]
    build: str | None = next(wall.build for wall in building.walls if wall.id == name)
    ref = Ref("building", building.id, "build")
    if build is None:
        return (
            _built(WALL, mhz, one.angle),
            f"taken for a {WALL[1]}",
            Unknown(ref, "what are the walls built of?"),
        )
    try:
        lost = radio.wall_loss(radio.layers(build), mhz, one.angle)
    except radio.LayerError as error:
        return _built(WALL, mhz, one.angle), f"taken for a {WALL[1]}", Unknown(ref, str(error))
    return (lost, lost, lost), build, None


def _built(words: tuple[str, str, str], mhz: float, angle: float) -> Range:
    low, usual, high = sorted(radio.wall_loss(radio.layers(word), mhz, angle) for word in words)
    return low, usual, high


# ------------------------------------------------------------------------ what the stream needs


class Need(Struct, frozen=True):
    """What a stream asks of its link: Mbit/s low, usual, high; the least level for each without margin, dBm; words."""

    mbits: Range
    level: Range
    steps: tuple[str, ...]


def need(camera: Camera) -> Need:
    """The least level at which the rate on the air carries the camera's stream, night included."""
    mbits = streams.peak(camera)
    width, kind = channel(camera)
    low, usual, high = (_least(rate / airtime.EFFICIENCY[1], width, kind) for rate in mbits)
    on_air = mbits[1] / airtime.EFFICIENCY[1]
    said = f"{mbits[1]:.2g} Mbit/s want {on_air:.2g} on the air ({airtime.EFFICIENCY[1]:.0%} of that carries data)"
    return Need(
        mbits,
        (low, usual, high),
        (streams.said(camera), f"{said}: {usual:.0f} dBm or more, 802.11{kind} at {width} MHz"),
    )


def channel(camera: Camera) -> tuple[int, radio.Generation]:
    """Width, MHz, and generation; the least that is met with where the plan does not say."""
    own = camera.wireless
    width = (own.width if own else None) or WIDTH
    kind: radio.Generation = (own.standard if own else None) or ("n" if width <= 40 else "ac")
    return (min(width, 40) if kind == "n" else width), kind


def _least(on_air: float, width: int, kind: radio.Generation) -> float:
    """The level for a rate on the air; past the fastest rate, so much above its level as the rate is above it, dB."""
    level = radio.level_for(on_air, width, kind)
    rates = radio.rates(width, kind)
    return radio.SENSITIVITY[width][len(rates) - 1] + 10.0 * math.log10(on_air / rates[-1]) if level is None else level


def margin(level: Range, least: Range) -> Range:
    """How far a level is above what is needed, dB low, usual and high; the doubts of both are taken as independent."""
    usual = level[1] - least[1]
    down = math.hypot(level[1] - level[0], least[2] - least[1])
    up = math.hypot(level[2] - level[1], least[1] - least[0])
    return usual - down, usual, usual + up


def through(path: Path) -> Iterator[str]:
    """What a way goes through, in words, each once."""
    floors = sum(one.what == "floor" for one in path.crossed)
    yield from dict.fromkeys(called(one.at) for one in path.crossed if one.what != "floor")
    if floors:
        yield "a floor" if floors == 1 else f"{floors} floors"
