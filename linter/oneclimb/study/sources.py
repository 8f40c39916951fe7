"""Sources of light as arrays: how much each sends which way, in threshold units."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import numpy.typing as npt

    from oneclimb.api import Ref, Unknown
    from oneclimb.plan.model import Vec

    Array = npt.NDArray[np.float64]


class Light(Struct, frozen=True):
    """One source. ``peak`` axial intensity, threshold units; ``exponent`` of cosᵐθ, 0 all round.

    ``column`` the reflectances its light meets (nm), ``seen`` whether a camera that keeps
    infrared out (colour by white light) sees it; ``steady`` a lamp lit whenever it is dark;
    ``shade`` a lamp that sends nothing above the horizontal.
    """

    ref: Ref
    spot: Vec
    axis: Vec
    peak: float
    exponent: float
    column: int
    seen: bool
    steady: bool = False
    shade: bool = False
    weak: float = 1.0
    """how much less it could be, as a factor: the doubt of what its lumens are worth"""
    strong: float = 1.0
    """how much more"""

    def burns(self, state: str, whole: tuple[str, str]) -> bool:
        """Whether it is lit in a state: cameras' lights always, lamps not in the first of ``whole``, all in the
        second, and else the one the state is named after and those lit all night.
        """
        dark, everything = whole
        if self.ref.kind != "lamp" or state == everything:
            return True
        return state != dark and (self.steady or self.ref.id == state)

    def strength(self, end: str) -> float:
        """Its strength at the low, usual or high end of the doubt, over the usual."""
        return {"low": self.weak, "usual": 1.0, "high": self.strong}[end]


class Ways(Struct, frozen=True):
    """Straight ways from p places to k sources: unit vectors by coordinate, each (k, p), and distances, m."""

    x: Array
    y: Array
    z: Array
    apart: Array

    def along(self, vectors: Array) -> Array:
        """(k, p) cosines to unit vectors (p, 3), one a place."""
        return self.x * vectors[:, 0] + self.y * vectors[:, 1] + self.z * vectors[:, 2]


class Lights(Struct, frozen=True, dict=True):
    """All sources of the site. n = len(lights)."""

    lights: tuple[Light, ...]
    unknown: Mapping[Ref, Unknown]
    """sources the plan does not describe well enough, with the question; not among ``lights``"""
    spots: Array
    """(n, 3) m, site coordinates"""
    axes: Array
    """(n, 3) unit vectors of the beams"""
    peaks: Array
    exponents: Array
    shades: npt.NDArray[np.bool_]
    columns: npt.NDArray[np.intp]
    seen: npt.NDArray[np.bool_]
    lamps: npt.NDArray[np.bool_]
    """(n,) whether it is a lamp, not a camera's"""
    index: Mapping[Ref, int]

    def ways(self, which: npt.NDArray[np.intp], places: Array) -> Ways:
        """From places (p, 3) to sources ``which`` (k,)."""
        x, y, z = (self.spots[which, i, None] - places[None, :, i] for i in range(3))
        apart = np.maximum(np.sqrt(x * x + y * y + z * z), 1e-6)
        return Ways(x / apart, y / apart, z / apart, apart)

    def sent(self, which: npt.NDArray[np.intp], ways: Ways) -> Array:
        """Intensity (k, p) that sources ``which`` (k,) send down those ways."""
        axis = self.axes[which]
        cosine = -(ways.x * axis[:, 0, None] + ways.y * axis[:, 1, None] + ways.z * axis[:, 2, None])
        beam = np.power(np.maximum(cosine, 0.0), self.exponents[which, None])
        if self.shades[which].any():
            beam[(ways.z < 0.0) & self.shades[which, None]] = 0.0
        return np.asarray(beam * self.peaks[which, None])


def lights_of(lights: Iterable[Light], unknown: Mapping[Ref, Unknown]) -> Lights:
    """Sources as arrays."""
    listed = tuple(lights)
    return Lights(
        listed,
        unknown,
        np.array([s.spot for s in listed], dtype=np.float64).reshape(-1, 3),
        np.array([s.axis for s in listed], dtype=np.float64).reshape(-1, 3),
        np.array([s.peak for s in listed], dtype=np.float64),
        np.array([s.exponent for s in listed], dtype=np.float64),
        np.array([s.shade for s in listed], dtype=np.bool_),
        np.array([s.column for s in listed], dtype=np.intp),
        np.array([s.seen for s in listed], dtype=np.bool_),
        np.array([s.ref.kind == "lamp" for s in listed], dtype=np.bool_),
        {s.ref: i for i, s in enumerate(listed)},
    )
