"""What a frame is spent on, and the turn that wins most of it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.api import Ref
from oneclimb.trade.clutter import FENCES, NEAR

if TYPE_CHECKING:
    from oneclimb.api import Query
    from oneclimb.study.raster import Raster
    from oneclimb.study.turns import Turns

SKY = Ref("sky", "sky")
LOST = 0.02
"""share of an area's samples that a turn may lose and still be said to lose nothing; of the frame, that
is not worth a turn"""
ALIKE = 0.03
"""turns that win back as much as the best but for this share of the frame (about a row of its rays) count alike"""


class Turn(Struct, frozen=True):
    """A turn: ``pan`` degrees to the right, ``tilt`` degrees further down, and what it wins back."""

    pan: int
    tilt: int
    won: float

    @property
    def degrees(self) -> int:
        """The larger of the two."""
        return max(abs(self.pan), abs(self.tilt))

    @property
    def parts(self) -> tuple[str, ...]:
        """``12° to the left``, ``5° down``."""
        pan = f"{abs(self.pan)}° to the {'right' if self.pan > 0 else 'left'}"
        tilt = f"{abs(self.tilt)}° {'down' if self.tilt > 0 else 'up'}"
        return (pan,) * bool(self.pan) + (tilt,) * bool(self.tilt)

    @property
    def words(self) -> str:
        """As a condition: ``turned 12° to the left and tilted 5° down``."""
        verbs = ("turned",) * bool(self.pan) + ("tilted",) * bool(self.tilt)
        return " and ".join(f"{verb} {part}" for verb, part in zip(verbs, self.parts, strict=True))

    def order(self, camera: str) -> str:
        """As something to do: ``turn drive-cam 12° to the left, tilt it 5° down``."""
        pan = (f"turn {camera} {self.parts[0]}",) if self.pan else ()
        tilt = (f"tilt {'it' if self.pan else camera} {self.parts[-1]}",) if self.tilt else ()
        return ", ".join(pan + tilt)


def could_be_spent(raster: Raster, q: Query) -> float:
    """At most this share of the frame is unwanted: sky, leaves, buildings and fences near enough; all of it
    where there are areas to avoid.
    """
    if any(area.task == "avoid" for area in q.plan.areas):
        return 1.0
    return raster.foliage + sum(
        share
        for ref, share in raster.shares().items()
        if ref.kind == "sky"
        or (
            (ref.kind == "building" or (ref.kind == "object" and q.get(ref).kind in FENCES))
            and raster.nearest(ref) <= NEAR
        )
    )


def spent_on(turns: Turns, raster: Raster) -> tuple[float, tuple[tuple[str, float], ...]]:
    """The share of the frame spent now, and on what, most first; the sky by the finer raster."""
    tilt, pan = turns.waste.shape[0] // 2, turns.waste.shape[1] // 2
    kinds = (("leaves", turns.foliage), ("near walls", turns.walls), ("ground to be avoided", turns.avoid))
    shares = [("sky", raster.shares().get(SKY, 0.0)), *((name, float(share[tilt, pan])) for name, share in kinds)]
    named = sorted(((name, share) for name, share in shares if share >= 0.005), key=lambda one: -one[1])
    return sum(share for _, share in shares), tuple(named)


def best_turn(turns: Turns) -> Turn | None:
    """The least turn, of those that lose no wanted ground, that wins back about as much as any of them."""
    here = turns.waste.shape[0] // 2, turns.waste.shape[1] // 2
    won = turns.waste[here] - turns.waste
    for area in turns.watched:
        won = won * (turns.seen[area] >= turns.seen[area][here] - LOST)
    rows, cols = (won >= max(float(won.max()) - ALIKE, LOST)).nonzero()
    found = [
        Turn(int(turns.pans[col]), int(turns.tilts[row]), float(won[row, col]))
        for row, col in zip(rows, cols, strict=True)
    ]
    return min(found, key=lambda turn: (abs(turn.pan) + abs(turn.tilt), turn.pan), default=None)
