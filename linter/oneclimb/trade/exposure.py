"""How a camera sets itself: gain from the clipped picture, infrared dimmed to save what is white.

A pixel's value is min(1, k S): full scale is 1, S the signal in threshold units, k the
gain. At full gain the threshold signal is 1/D of full scale, so k goes up to 1/D.
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    Array = npt.NDArray[np.float64]

_STEPS = 60


def gain(signals: Array, exposure: float, full_scale: float, weights: Array | None = None) -> float:
    """Gain k at which the mean of min(1, k S) is ``exposure``, never above 1/``full_scale``.

    The mean is concave and piecewise linear in k, so Newton's steps from the left end in
    the root without passing it.
    """
    share = np.full(signals.shape, 1.0 / signals.size) if weights is None else weights / weights.sum()
    most = 1.0 / full_scale
    weighted = signals * share
    slope = float(weighted.sum())
    k = exposure / slope if slope * most > exposure else most
    for _ in range(_STEPS):
        if k >= most:
            return most
        lit = signals * k < 1.0
        slope = float(weighted[lit].sum())
        if slope <= 0.0:
            return k
        new = (exposure - 1.0 + float(share[lit].sum())) / slope
        if new <= k * (1.0 + 1e-9):
            return k
        k = new
    return k


@functools.lru_cache(maxsize=16)
def centre_weights(cols: int, rows: int) -> Array:
    """Weights (rows·cols,) of centre-weighted metering: a bell falling to 1/e at half the frame's width and height.

    An estimate: makers don't publish theirs.
    """
    x = (np.arange(cols) + 0.5) / cols * 2.0 - 1.0
    y = (np.arange(rows) + 0.5) / rows * 2.0 - 1.0
    made = np.exp(-4.0 * (x[None, :] ** 2 + y[:, None] ** 2)).ravel()
    made.flags.writeable = False
    return made


def dimmed(signals_at: Callable[[float], Array], full_scale: float, white: float, floor: float) -> float:
    """Share of its infrared a camera keeps when it dims until no more than ``white`` of the frame is white.

    ``signals_at(f)`` are the frame's signals with its own light at the share f; full gain
    is taken, as cameras dim before they lower the gain. Between ``floor`` and 1, to 1 %.
    """

    def blown(share: float) -> bool:
        return float((signals_at(share) >= full_scale).mean()) > white

    if not blown(1.0):
        return 1.0
    low, high = floor, 1.0
    if blown(low):
        return low
    while high / low > 1.01:
        middle = (low * high) ** 0.5
        low, high = (low, middle) if blown(middle) else (middle, high)
    return low


def margins(target: Array, veil: float, *, gain: float, full_scale: float, white: float, contrast: float) -> Array:
    """Usable margin of targets in stops: the least of three headrooms, usable where positive."""
    noise, blown, clear = headrooms(target, veil, gain=gain, full_scale=full_scale, white=white, contrast=contrast)
    return np.asarray(np.minimum(np.minimum(noise, blown), clear))


def headrooms(
    target: Array, veil: float, *, gain: float, full_scale: float, white: float, contrast: float
) -> tuple[Array, Array, Array]:
    """Headrooms of targets in stops: above the noise, log₂(k S D); below white, log₂(white/(k (S + veil))); clear of
    the veil, log₂(S/(contrast · veil)).
    """
    light = np.maximum(target, 1e-12)
    noise = np.log2(gain * light * full_scale)
    blown = np.log2(white / (gain * (light + veil)))
    clear = np.log2(light / max(contrast * veil, 1e-12))
    return noise, blown, clear
