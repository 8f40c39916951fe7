"""What a camera's side view says of each place and line: labels, and sentences the picture and its words share."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from oneclimb.api import as_written
from oneclimb.draw.callouts import Callout
from oneclimb.draw.ink import MARK
from oneclimb.report.quote import quote
from oneclimb.report.words import listed
from oneclimb.trade.face import FACE, PREFERRED, USABLE

if TYPE_CHECKING:
    from oneclimb.plan.say import Tape
    from oneclimb.study.side import Side, Watched
    from oneclimb.study.side_cut import Stretch
    from oneclimb.study.side_rays import Ray

SLIVER = 0.25
"""m: stretches and gaps shorter than a person is wide are not told one by one"""
HAIR = 0.025
"""m behind the lens that are as good as under it"""
LEVEL_BACK = 90.5
"""degrees from the level ahead beyond which a line of sight leads back"""


class Figure(NamedTuple):
    """Someone who stands in the drawing, ``along`` m out, and what is said of the place."""

    along: float
    base: float
    said: str


def told(stretches: Sequence[Stretch]) -> list[Stretch]:
    """Stretches with short gaps closed and slivers left out."""
    joined: list[Stretch] = []
    for near, far in stretches:
        if joined and near - joined[-1][1] < SLIVER:
            joined[-1] = (joined[-1][0], far)
        else:
            joined.append((near, far))
    return [one for one in joined if one[1] - one[0] >= SLIVER]


def spans(stretches: Sequence[Stretch], end: float, say: Tape) -> str:
    """``from 1.10 m to 7.25 m``; a stretch that goes on at the section's end says so."""
    return listed(
        [
            f"from {out(near, say)} to {out(far, say)}{' and farther' if far >= end else ''}"
            for near, far in told(stretches)
        ]
    )


def out(along: float, say: Tape) -> str:
    """How far out, or behind the lens."""
    return f"{say.tape(-along)} behind it" if along < -HAIR else say.tape(max(along, 0.0))


def steep(side: Side, near: float = -math.inf, far: float = math.inf, base: float = 0.0) -> float:
    """How near, m, a face is looked down on too steeply; 0 where none that shows between ``near`` and ``far`` is."""
    within = side.steep_within(USABLE, base)
    parts = (min(b, far, within) - max(a, near, -within) for a, b in side.stood)
    return within if max(parts, default=0.0) >= SLIVER else 0.0


def sky(side: Side, say: Tape) -> str:
    """Where the sky begins in the picture, along this line of it."""
    found = side.sky
    if found.share <= 0.0:
        return "no sky"
    if found.top and upright(side):
        return f"sky begins {say.share(found.share)} below the top"
    return f"sky: {say.share(found.share)} of this line of the picture"


def upright(side: Side) -> bool:
    """Whether the section's upper edge is the picture's top."""
    ray = side.plane.rays(side.fan.down[:1])[0]
    x, y = (float(abs(ray @ way)) for way in (side.sight.eye.right, side.sight.eye.up))
    return y >= x and float(ray @ side.sight.eye.up) > 0.0


def edge(name: str, ray: Ray, say: Tape) -> str:
    """What one line of sight does: ``upper edge 12° up: sky``."""
    back = " and back" if abs(ray.down) > LEVEL_BACK else ""
    tilt = round(math.degrees(math.asin(math.sin(math.radians(ray.down)))))
    steep = (f"{abs(tilt)}° {'down' if tilt > 0 else 'up'}" if tilt else "level") + back
    if ray.met is None:
        return f"{name} {steep}: sky"
    what = "ground" if ray.met.kind == "site" else quote(as_written(ray.met.id))
    return f"{name} {steep}: {what} at {out(ray.along, say)}"


def people(side: Side, say: Tape) -> Iterator[Figure]:
    """Who stands in the drawing: where its light is most, and at the near and far edges of what it watches."""
    if side.brightest is not None:
        yield Figure(side.brightest.along, 0.0, f"brightest here: {out(side.brightest.along, say)}")
    if side.watched:
        first, last = side.watched[0], max(side.watched, key=lambda one: one.far)
        if first.spot is None:
            yield Figure(first.near, first.area.base, f"near edge of {first.area.id}: {out(first.near, say)}")
        if last.spot is None:
            yield Figure(last.far, last.area.base, f"far edge of {last.area.id}: {say.tape(last.far)}")
        for one in dict.fromkeys((first, last)):
            if one.spot is not None:
                yield Figure(one.spot, one.area.base, f"{one.area.id}: {out(one.spot, say)}")


def place(one: Watched, say: Tape) -> str:
    """Where along the section a wanted area lies: ``from 2.35 m to 10.60 m``, or ``at 1.15 m``."""
    return f"from {out(one.near, say)} to {say.tape(one.far)}" if one.spot is None else f"at {out(one.spot, say)}"


def callouts(side: Side, say: Tape) -> Iterator[Callout]:
    """What is said under the ground, each of its place."""
    for one in people(side, say):
        yield Callout(one.along, one.said + standing(side, one.along))
    near = steep(side)
    if near > 0.0:
        yield Callout(near, f"too steep for a face (over {USABLE:g}°) nearer than {say.tape(near)}", high=FACE[1])
    for name, ray in edges(side):
        if below(ray):
            yield Callout(ray.along, edge(name, ray, say), MARK, max(0.0, side.at(ray)))
    if not on_ground(side.lower) and side.blind > 0.0:
        yield Callout(0.0, blind(side, say))


def edges(side: Side) -> tuple[tuple[str, Ray], ...]:
    """The lines of sight that are drawn, by name."""
    return ("upper edge", side.upper), ("axis", side.axis), ("lower edge", side.lower)


def below(ray: Ray) -> bool:
    """Whether a line of sight leads down to something ahead, so that it is told under the ground."""
    return ray.met is not None and ray.down >= 0.0 and ray.along >= 0.0


def on_ground(ray: Ray) -> bool:
    """Whether a line of sight meets the ground ahead."""
    return below(ray) and ray.met is not None and ray.met.kind == "site"


def standing(side: Side, along: float) -> str:
    """What is wrong with standing there: nobody shows, or is lost by night."""
    at = np.array([along])
    if not side.shows(at)[0]:
        return ", not shown"
    return "" if side.night is None or side.usable_at(at)[0] else ", lost by night"


def light_name(side: Side) -> str:
    """What its own light is called."""
    own = side.night.own_ref if side.night else None
    return "infrared" if own is not None and own.field == "infrared" else "light"


def night(side: Side, say: Tape) -> str:
    """Where a person is usable by night."""
    if side.night is None:
        return f"By night cannot tell: {quote(side.unknown)}"
    where = spans(side.usable, side.along[-1], say)
    if not where:
        return "By night, every lamp out, nobody is likely usable along this line"
    return f"By night, every lamp out, a person is likely usable {where}"


def steepness(side: Side, say: Tape) -> str:
    """How steeply a face is looked down on along the way."""
    bad, fair = side.steep_within(USABLE), side.steep_within(PREFERRED)
    if not fair:
        return f"A face ({say.fine(FACE[1])} up) is looked down on nowhere: the lens hangs no higher"
    return (
        f"A face ({say.fine(FACE[1])} up) is looked down on at more than {USABLE:g}°, too steep, nearer than "
        f"{say.tape(bad)}; at more than {PREFERRED:g}° nearer than {say.tape(fair)}"
    )


def blind(side: Side, say: Tape) -> str:
    """What of the ground under the camera it does not show."""
    if math.isinf(side.blind):
        return "no ground shows along this line"
    return (
        f"no ground shows nearer than {say.tape(side.blind)}" if side.blind else "ground shows from under the lens on"
    )


def unlit(side: Side) -> str:
    """Why its own light is nowhere along the section."""
    if side.night is None or not side.night.own_lit:
        return "It has no light of its own"
    return f"Its own {light_name(side)} reaches nobody along this line"
