"""What stands about, what is wanted or unwanted, what gives light."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from oneclimb.plan.model.base import Spot, Vec, Vec2

Task = Literal["monitor", "detect", "observe", "recognise", "identify", "inspect", "avoid"]
Shape = Literal["cylinder", "box", "crown", "panel"]


class Object(Struct, frozen=True):
    """A solid thing. ``kind`` is the plan's word (downpipe, car, hedge…), ``shape`` what it is made of.

    cylinder: ``diameter`` about a vertical axis from ``spot.z`` to ``spot.z + tall``
    (or along ``to`` when a pipe runs from spot to spot).
    box, panel: ``wide`` by ``deep`` by ``tall`` standing on ``spot`` (centre of the base), its
    wide side turned to ``yaw`` degrees anticlockwise from +x. A fence, wall or hedge drawn
    as a line is such a box.
    crown: an ellipsoid ``diameter`` across and ``tall`` high with its lowest point at ``spot.z``;
    a tree's stands on its ``trunk`` (height and diameter), whose foot is at ``spot``.
    """

    id: str
    kind: str
    shape: Shape
    spot: Spot
    surface: str
    tall: float
    wide: float = 0.0
    deep: float = 0.0
    diameter: float = 0.0
    yaw: float = 0.0
    to: Spot | None = None
    trunk: Vec2 | None = None
    there: Literal["always", "sometimes"] = "always"
    wanted: bool = False
    """meant to be seen: it is not foliage or wall in the way"""
    stand: bool = False
    """someone can stand on it (steps, a low wall, a flat roof)"""
    grows: float = 0.0
    """growth, m a year"""
    fixed_by: Literal["own", "others", "never"] = "own"
    """``others``: not the owner's to touch; ``never``: gas pipe, flue, vent, meter, lightning conductor"""


class Area(Struct, frozen=True):
    """Ground that matters. ``outline`` is one point (a spot), two (a line) or a polygon, on the
    ground; ``height`` is the target's height above it that matters, m (0: the ground itself).
    ``avoid`` areas are unwanted.
    """

    id: str
    task: Task
    outline: tuple[Vec2, ...]
    height: float = 1.5
    when: Literal["day", "night", "both"] = "both"
    base: float = 0.0
    private: bool = False
    """a bed, bath or guest room: no camera may see it"""
    pace: float | None = None
    """how fast what is wanted moves there, m/s"""


LampKind = Literal["white LED", "halogen", "incandescent", "fluorescent", "sodium", "infrared"]


class Lamp(Struct, frozen=True):
    """A light. ``beam`` is the full angle at half intensity (None: all round, 4 pi sr)."""

    id: str
    spot: Spot
    lumens: float | None
    kind: LampKind | None = None
    beam: float | None = None
    aim: Vec | None = None
    """point the beam is aimed at, site coordinates; straight down by default if it has a beam"""
    lit: Literal["always", "dusk", "motion", "switched"] | None = None
    range: float | None = None
    """an infrared lamp's rated range, m (in place of lumens)"""
    shade: bool = False
    """a shade keeps its light from going above the horizontal"""
