"""What a camera's side view says in words: its title with the verdict, its labels, and all of its figures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from oneclimb.draw.callouts import Callout
from oneclimb.draw.ink import MARK
from oneclimb.report.quote import quote
from oneclimb.report.words import listed
from oneclimb.study.night_targets import PERSON
from oneclimb.trade.face import FACE, PREFERRED, USABLE

if TYPE_CHECKING:
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.study.side import Ray, Side, Watched
    from oneclimb.study.side_cut import Stretch

FACES = ("recognise", "identify", "inspect")
"""tasks that are about faces"""
SLIVER = 0.25
"""m: stretches and gaps shorter than a person is wide are not told one by one"""
HAIR = 0.025
"""m behind the lens that are as good as under it"""
LEVEL_BACK = 90.5
"""degrees from the level ahead beyond which a line of sight leads back"""
OVER = 0.1
"""share of a wanted stretch that may be missed before the title says so"""


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


def title(camera: Camera, side: Side, say: Tape) -> str:
    """The picture's title with its verdict: by night, and for faces."""
    told = f"{_by_night(side, say)}; {_for_faces(side, say)}" if side.stood else "nobody shows along this line"
    return f"{camera.id} from the side: {told}"


def _by_night(side: Side, say: Tape) -> str:
    usable = told(side.usable)
    if side.night is None:
        return "by night cannot tell"
    if not usable:
        return "nobody is usable by night"
    missed = [one.area.id for one in side.watched if _share(one, usable) < 1.0 - OVER]
    if side.watched and not missed:
        return f"all of {listed([one.area.id for one in side.watched])} usable by night"
    where = listed([_coarse(near, far, say) for near, far in usable])
    return f"usable by night {where}" + (f", not all of {listed(missed)}" if missed else "")


def _coarse(near: float, far: float, say: Tape) -> str:
    """A stretch as coarse as the night deserves: ``1 to 7 m out``."""
    if near >= -SLIVER:
        return f"{say.span(max(near, 0.0), far)} out"
    if far <= SLIVER:
        return f"{say.span(max(-far, 0.0), -near)} behind it"
    return f"from {say.tape(-near)} behind it to {say.tape(far)} out"


def _share(one: Watched, usable: Sequence[Stretch]) -> float:
    """Share of a wanted stretch that lies in others, 0 to 1."""
    met = sum(max(0.0, min(one.far, far) - max(one.near, near)) for near, far in usable)
    return met / max(one.far - one.near, 1e-6)


def _for_faces(side: Side, say: Tape) -> str:
    wanted = [one for one in side.watched if one.area.task in FACES]
    for one in wanted:
        near = steep(side, one.near, one.far, one.area.base)
        if near > 0.0:
            return f"too steep for a face nearer than {say.tape(near)} in {one.area.id}"
    if wanted:
        return "no wanted face too steep"
    near = steep(side)
    return f"too steep for a face nearer than {say.tape(near)}" if near > 0.0 else "no face too steep"


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
    what = "ground" if ray.met.kind == "site" else quote(ray.met.id)
    return f"{name} {steep}: {what} at {out(ray.along, say)}"


def people(side: Side, say: Tape) -> Iterator[Figure]:
    """Who stands in the drawing: where its light is most, and at the near and far edges of what it watches."""
    if side.brightest is not None:
        yield Figure(side.brightest.along, 0.0, f"brightest here: {out(side.brightest.along, say)}")
    if side.watched:
        first, last = side.watched[0], max(side.watched, key=lambda one: one.far)
        yield Figure(first.near, first.area.base, f"near edge of {first.area.id}: {out(first.near, say)}")
        yield Figure(last.far, last.area.base, f"far edge of {last.area.id}: {say.tape(last.far)}")


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
        return "By night, every lamp out, nobody is usable along this line"
    return f"By night, every lamp out, a person is usable {where}"


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


def words(camera: Camera, side: Side, say: Tape) -> str:
    """All of it in sentences."""
    rays = [edge(*one, say) for one in edges(side)]
    parts = [
        f"{camera.id} from the side, cut along its heading, {say.tape(side.height)} up: {'; '.join(rays)}",
        f"Of the picture along this line: {sky(side, say)}; {blind(side, say)}",
        *_light(side, say),
        night(side, say),
        steepness(side, say),
        *_wanted(side, say),
    ]
    return " ".join(quote(one if one.endswith((".", "?")) else f"{one}.") for one in parts)


def _light(side: Side, say: Tape) -> Iterator[str]:
    most = side.brightest
    if most is not None:
        yield (
            f"Its own {light_name(side)} is brightest on a person's chest ({say.fine(PERSON)} up) at "
            f"{say.tape(most.along)}{'' if most.shown else ' (not shown)'}: {times(most.light)} what it gives "
            "straight ahead at its rated range"
        )
    elif side.night is not None:
        yield unlit(side)


def unlit(side: Side) -> str:
    """Why its own light is nowhere along the section."""
    if side.night is None or not side.night.own_lit:
        return "It has no light of its own"
    return f"Its own {light_name(side)} reaches nobody along this line"


def times(value: float) -> str:
    """``2.5 times``, ``150 times``: two digits."""
    digits = 1 - math.floor(math.log10(value))
    return f"{round(value, digits):.{max(digits, 0)}f} times"


def _wanted(side: Side, say: Tape) -> Iterator[str]:
    if side.watched:
        crossed = [
            f"{one.area.id} ({one.area.task}) from {out(one.near, say)} to {say.tape(one.far)}" for one in side.watched
        ]
        yield f"It watches along this line {listed(crossed)}"
    if side.aside:
        yield f"Beside this line lies what else it watches: {listed(side.aside)}"
