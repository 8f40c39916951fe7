"""Kinds of object with their usual sizes, for what the plan leaves out. Common practice throughout.

Lengths in m. A thing placed by a wall without ``out`` touches it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from oneclimb.plan.model import Shape


class Usual(Struct, frozen=True):
    """What a kind of object is made of, where the plan doesn't say."""

    shape: Shape
    surface: str
    tall: float | None = None
    wide: float | None = None
    deep: float | None = None
    diameter: float | None = None
    height: float = 0.0
    """of its lowest point above the ground"""
    to_eave: bool = False
    """it goes up to the eave, or the top of the wall; drawn as a line it runs along it"""
    drawn: bool = False
    """it is drawn as a line"""
    trunk: tuple[float, float] | None = None
    """height and diameter of the trunk below a crown"""
    there: Literal["always", "sometimes"] = "always"
    stand: bool = False
    fixed_by: Literal["own", "others", "never"] = "own"


KINDS: Mapping[str, Usual] = MappingProxyType(
    {
        "downpipe": Usual("cylinder", "white plastic", diameter=0.08, to_eave=True),
        "pipe": Usual("cylinder", "white plastic", diameter=0.05, to_eave=True),
        "gas-pipe": Usual("cylinder", "white paint", diameter=0.03, tall=1.0, fixed_by="never"),
        "flue": Usual("cylinder", "white plastic", diameter=0.1, tall=0.3, height=2.0, fixed_by="never"),
        "vent": Usual("panel", "white plastic", wide=0.25, deep=0.05, tall=0.25, height=0.3, fixed_by="never"),
        "meter": Usual("box", "white plastic", wide=0.4, deep=0.2, tall=0.6, height=0.5, fixed_by="never"),
        "lightning-conductor": Usual("cylinder", "aluminium", diameter=0.02, to_eave=True, fixed_by="never"),
        "post": Usual("cylinder", "weathered wood", diameter=0.09, tall=2.4),
        "pole": Usual("cylinder", "galvanised steel", diameter=0.1, tall=4.0),
        "tree": Usual("crown", "green leaves", diameter=4.0, tall=4.0, trunk=(2.0, 0.3)),
        "bush": Usual("crown", "green leaves", diameter=1.0, tall=1.0),
        "hedge": Usual("box", "green leaves", deep=0.6, tall=1.8, drawn=True),
        "fence": Usual("box", "weathered wood", deep=0.05, tall=1.8, drawn=True),
        "garden-wall": Usual("box", "red brick", deep=0.2, tall=1.2, drawn=True, stand=True),
        "gate": Usual("box", "weathered wood", deep=0.05, tall=1.2, drawn=True),
        "sign": Usual("panel", "white plastic", wide=0.4, deep=0.01, tall=0.3, height=1.5),
        "car": Usual("box", "car paint", wide=4.4, deep=1.8, tall=1.5, there="sometimes", fixed_by="others"),
        "van": Usual("box", "white paint", wide=5.4, deep=2.0, tall=2.4, there="sometimes", fixed_by="others"),
        "bin": Usual("box", "paint", wide=0.6, deep=0.7, tall=1.1, there="sometimes"),
        "parasol": Usual("crown", "dark cloth", diameter=3.0, tall=0.5, height=2.0, there="sometimes"),
        "shed": Usual("box", "weathered wood", wide=2.4, deep=1.8, tall=2.2),
        "steps": Usual("box", "concrete", wide=1.2, deep=0.9, tall=0.5, stand=True),
        "gutter": Usual("box", "white plastic", deep=0.12, tall=0.1, to_eave=True, drawn=True),
        "number-plate": Usual(
            "panel", "number plate", wide=0.52, deep=0.01, tall=0.11, height=0.4, there="sometimes", fixed_by="others"
        ),
        "road-sign": Usual(
            "panel", "reflective sheeting", wide=0.6, deep=0.01, tall=0.6, height=2.1, fixed_by="others"
        ),
        "service-drop": Usual("cylinder", "matt black paint", diameter=0.02, height=4.5, fixed_by="never"),
        "box": Usual("box", "light render"),
        "cylinder": Usual("cylinder", "light render"),
        "panel": Usual("panel", "light render", deep=0.01),
        "crown": Usual("crown", "green leaves"),
    }
)
"""By the plan's word. A size that is ``None`` must be written."""
