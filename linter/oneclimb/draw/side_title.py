"""What a camera's side view comes to: its title with the verdict, and all of its figures in sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from oneclimb.draw.side_words import (
    SLIVER,
    blind,
    edge,
    edges,
    light_name,
    night,
    place,
    sky,
    steep,
    steepness,
    told,
    unlit,
)
from oneclimb.report.quote import quote
from oneclimb.report.words import listed
from oneclimb.study.night_targets import PERSON

if TYPE_CHECKING:
    from oneclimb.plan.model import Camera
    from oneclimb.plan.say import Tape
    from oneclimb.study.side import Side, Watched
    from oneclimb.study.side_cut import Stretch

FACES = ("recognise", "identify", "inspect")
"""tasks that are about faces"""
OVER = 0.02
"""share of a wanted stretch that may be missed before the title says so"""


def title(camera: Camera, side: Side, say: Tape) -> str:
    """The picture's title with its verdict: by night, and for faces."""
    told = f"{_by_night(side, say)}; {_for_faces(side, say)}" if side.stood else "nobody shows along this line"
    return f"{camera.id} from the side: {told}"


def _by_night(side: Side, say: Tape) -> str:
    usable = told(side.usable)
    if side.night is None:
        return "by night cannot tell"
    if not usable:
        return "nobody is likely usable by night"
    stood = told(side.stood)
    seen = [one for one in side.watched if _share(one, stood) > 0.0]
    lost = [one.area.id for one in seen if _share(one, usable) < _share(one, stood) - OVER]
    if seen and not lost:
        part = any(_share(one, stood) < 1.0 - OVER for one in side.watched)
        names = listed([one.area.id for one in seen])
        return f"all {'that shows ' * part}of {names} on this line likely usable by night"
    where = listed([_coarse(near, far, say) for near, far in usable])
    where += ", or farther" if usable[-1][1] >= side.along[-1] else ""
    return f"likely usable by night {where}" + (f", not all that shows of {listed(lost)}" if lost else "")


def _coarse(near: float, far: float, say: Tape) -> str:
    """A stretch as coarse as the night deserves: ``1 to 7 m out``."""
    if near >= -SLIVER:
        return f"{say.span(max(near, 0.0), far)} out"
    if far <= SLIVER:
        return f"{say.span(max(-far, 0.0), -near)} behind it"
    return f"from {say.tape(-near)} behind it to {say.tape(far)} out"


def _share(one: Watched, stretches: Sequence[Stretch]) -> float:
    """Share of a wanted stretch that lies in others, 0 to 1; of a spot all or nothing."""
    if one.spot is not None:
        return float(any(near <= one.spot <= far for near, far in stretches))
    met = sum(max(0.0, min(one.far, far) - max(one.near, near)) for near, far in stretches)
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


def words(camera: Camera, side: Side, say: Tape) -> str:
    """All of it in sentences."""
    rays = [edge(*one, say) for one in edges(side)]
    parts = [
        f"{camera.id} from the side, cut along its heading, its lens {say.tape(side.height)} up: {'; '.join(rays)}",
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


def times(value: float) -> str:
    """``2.5 times``, ``150 times``: two digits."""
    digits = 1 - math.floor(math.log10(value))
    return f"{round(value, digits):.{max(digits, 0)}f} times"


def _wanted(side: Side, say: Tape) -> Iterator[str]:
    if side.watched:
        crossed = [f"{one.area.id} ({one.area.task}) {place(one, say)}" for one in side.watched]
        yield f"It watches along this line {listed(crossed)}"
    if side.aside:
        yield f"Beside this line lies what else it watches: {listed(side.aside)}"
