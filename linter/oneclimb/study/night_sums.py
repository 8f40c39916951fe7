"""The values a picture after dark is reckoned from, and the corners of its doubt."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]


class Corner(NamedTuple):
    """One corner of the doubt: which end of glare and reflectance, how it meters, stops taken off the margin."""

    end: str = "usual"
    other_metering: bool = False
    stops: float = 0.0


class Sums(Struct, frozen=True):
    """Signals of one state of the lights at one end of the reflectances: on n pixels, at T targets, and the
    irradiance on the glass from inside and outside the frame; the camera's own light apart from the rest.
    """

    own: Array
    rest: Array
    own_targets: Array
    rest_targets: Array
    own_inside: float
    rest_inside: float
    own_outside: float
    rest_outside: float


class Habits(Struct, frozen=True):
    """How a camera sets itself, and how its glass strays: (low, usual, high) by name of the end."""

    glare_inside: Mapping[str, float]
    glare_outside: Mapping[str, float]
    exposure: float
    full_scale: float
    white: float
    contrast: float
    stops: float
    dim_white: float
    dim_floor: float
    centre: bool
    dims: bool


class Solved(Struct, frozen=True):
    """A picture as the camera takes it: gain k, veil (signal), the share of its own light it keeps, and the
    margins of the T targets in stops.
    """

    gain: float
    veil: float
    dimmed: float
    margins: Array
