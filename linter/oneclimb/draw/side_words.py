"""What a camera's side view says in words: its title with the verdict, its labels, and all of its figures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

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
            f"from {say.tape(near)} to {say.tape(far)}{' and farther' if far >= end else ''}"
            for near, far in told(stretches)
        ]
    )


def title(camera: Camera, side: Side, say: Tape) -> str:
    """The picture's title with its verdict: by night, and for faces."""
    return f"{camera.id} from the side: {_by_night(side, say)}; {_for_faces(side, say)}"


def _by_night(side: Side, say: Tape) -> str:
    usable = told(side.usable)
    if side.night is None:
        return "by night cannot tell"
    if not usable:
        return "nobody is usable by night"
    missed = [one.area.id for one in side.watched if _share(one, usable) < 1.0 - OVER]
    if missed:
        return f"usable by night {spans(side.usable, side.along[-1], say)}, which is not all of {listed(missed)}"
    whole = f"all of {listed([one.area.id for one in side.watched])} " if side.watched else ""
    return f"{whole}usable by night" if whole else f"usable by night {spans(side.usable, side.along[-1], say)}"


def _share(one: Watched, usable: Sequence[Stretch]) -> float:
    """Share of a wanted stretch that lies in others, 0 to 1."""
    met = sum(max(0.0, min(one.far, far) - max(one.near, near)) for near, far in usable)
    return met / max(one.far - one.near, 1e-6)


def _for_faces(side: Side, say: Tape) -> str:
    wanted = [one for one in side.watched if one.area.task in FACES]
    steep = [one for one in wanted if side.steep_within(USABLE, one.area.base) > one.near]
    if steep:
        one = steep[0]
        return f"too steep for a face nearer than {say.tape(side.steep_within(USABLE, one.area.base))} in {one.area.id}"
    if wanted:
        return "nowhere too steep for a face where one is wanted"
    return faces(side, say)


def faces(side: Side, say: Tape) -> str:
    """How near a face is looked down on too steeply."""
    near = side.steep_within(USABLE)
    return f"too steep for a face nearer than {say.tape(near)}" if near > 0.0 else "nowhere too steep for a face"


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
    tilt = round(ray.down)
    steep = f"{abs(tilt)}° {'down' if tilt > 0 else 'up'}" if tilt else "level"
    if ray.met is None:
        return f"{name} {steep}: sky"
    what = "ground" if ray.met.kind == "site" else quote(ray.met.id)
    behind = " behind it" if ray.along < 0.0 else ""
    return f"{name} {steep}: {what} at {say.tape(abs(ray.along))}{behind}"


def people(side: Side, say: Tape) -> Iterator[Figure]:
    """Who stands in the drawing: at the near and far edges of what it watches, and where its light is most."""
    if side.brightest is not None:
        yield Figure(side.brightest.along, 0.0, f"brightest here: {say.tape(side.brightest.along)}")
    if side.watched:
        first, last = side.watched[0], max(side.watched, key=lambda one: one.far)
        yield Figure(last.far, last.area.base, f"far edge of {last.area.id}: {say.tape(last.far)}")
        yield Figure(first.near, first.area.base, f"near edge of {first.area.id}: {say.tape(first.near)}")


def light_name(side: Side) -> str:
    """What its own light is called."""
    own = side.night.own_ref if side.night else None
    return "infrared" if own is not None and own.field == "infrared" else "light"


def night(side: Side, say: Tape) -> str:
    """Where a person is usable by night."""
    if side.night is None:
        return f"By night cannot tell: {quote(side.unknown)}"
    where = spans(side.usable, side.along[-1], say)
    return f"By night, every lamp out, a person is usable {where or 'nowhere along this line'}"


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
    return f"ground first shows at {say.tape(side.blind)}" if side.blind else "ground shows from under the lens on"


def words(camera: Camera, side: Side, say: Tape) -> str:
    """All of it in sentences."""
    rays = [edge(*one, say) for one in (("upper edge", side.upper), ("axis", side.axis), ("lower edge", side.lower))]
    parts = [
        f"{camera.id} from the side, cut along its heading, {say.tape(side.height)} up: {'; '.join(rays)}",
        f"Of the picture along this line: {sky(side, say)}; {blind(side, say)}",
        *_light(side, say),
        night(side, say),
        steepness(side, say),
        *_wanted(side, say),
    ]
    return " ".join(f"{quote(one).removesuffix('.')}." for one in parts)


def _light(side: Side, say: Tape) -> Iterator[str]:
    most = side.brightest
    if most is not None:
        yield (
            f"Its own {light_name(side)} is brightest on a person's chest ({say.fine(PERSON)} up) at "
            f"{say.tape(most.along)}{'' if most.shown else ', where nobody shows'}: {times(most.light)} what it gives "
            "straight ahead at its rated range"
        )
    elif side.night is not None:
        yield "It has no light of its own along this line"


def times(value: float) -> str:
    """``2.5 times``, ``150 times``: two digits."""
    digits = 1 - math.floor(math.log10(value))
    return f"{round(value, digits):.{max(digits, 0)}f} times"


def _wanted(side: Side, say: Tape) -> Iterator[str]:
    if side.watched:
        crossed = [
            f"{one.area.id} ({one.area.task}) from {say.tape(one.near)} to {say.tape(one.far)}" for one in side.watched
        ]
        yield f"It watches along this line {listed(crossed)}"
    if side.aside:
        yield f"Beside this line lies what else it watches: {listed(side.aside)}"
