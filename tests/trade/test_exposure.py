"""Exposure: the solver against bisection, dimming, and the three headrooms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import exposure

FULL = 1000.0


def _clipped_mean(gain: float, signals: np.ndarray, weights: np.ndarray | None) -> float:
    return float(np.average(np.minimum(gain * signals, 1.0), weights=weights))


def _bisected(signals: np.ndarray, aim: float, weights: np.ndarray | None) -> float:
    low, high = 0.0, 1.0 / FULL
    if _clipped_mean(high, signals, weights) <= aim:
        return high
    for _ in range(200):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _clipped_mean(middle, signals, weights) < aim else (low, middle)
    return high


@given(st.integers(0, 10_000), st.floats(0.05, 0.6), st.floats(0.0, 4.0), st.booleans())
def test_gain_agrees_with_bisection(seed: int, aim: float, spread: float, weighted: bool) -> None:
    random = np.random.default_rng(seed)
    signals = np.exp(random.normal(5.0, spread, 500))
    weights = random.uniform(0.1, 1.0, 500) if weighted else None
    assert exposure.gain(signals, aim, FULL, weights) == pytest.approx(_bisected(signals, aim, weights), rel=1e-6)


def test_dim_scene_is_taken_at_full_gain() -> None:
    assert exposure.gain(np.full(100, 20.0), 0.18, FULL) == 1.0 / FULL


def test_black_frame_is_taken_at_full_gain() -> None:
    assert exposure.gain(np.zeros(100), 0.18, FULL) == 1.0 / FULL


def test_pixel_a_thousand_times_too_bright_counts_once() -> None:
    """A tenth of the frame white leaves 0.08 for the rest, however bright the white is."""
    signals = np.where(np.arange(1000) < 100, 2e4, 900.0)
    brighter = np.where(np.arange(1000) < 100, 1e7, 900.0)
    assert exposure.gain(signals, 0.18, FULL) == pytest.approx(0.08 / (0.9 * 900.0))
    assert exposure.gain(brighter, 0.18, FULL) == pytest.approx(0.08 / (0.9 * 900.0))


def test_centre_weighting_cares_less_for_a_bright_edge() -> None:
    signals = np.full((90, 160), 5.0)
    signals[:, :30] = 1e5
    weights = exposure.centre_weights(160, 90)
    assert exposure.gain(signals.ravel(), 0.18, FULL, weights) > exposure.gain(signals.ravel(), 0.18, FULL)


def test_camera_dims_until_the_near_object_is_no_longer_white() -> None:
    own = np.where(np.arange(1000) < 200, 4000.0, 4.0)
    share = exposure.dimmed(lambda f: f * own, FULL, 0.02, 0.05)
    assert share == pytest.approx(0.25, rel=0.02)
    assert exposure.dimmed(lambda f: f * own, FULL, 0.3, 0.05) == 1.0
    assert exposure.dimmed(lambda f: f * own * 1000, FULL, 0.02, 0.05) == 0.05


@pytest.mark.parametrize(
    ("signal", "veil", "stops"),
    [(8.0, 0.0, 3.0), (8.0, 8.0, 1.0), (980.0, 0.0, 0.0), (500.0, 480.0, 0.0), (0.5, 0.0, -1.0)],
)
def test_margin_is_the_least_of_three_headrooms(signal: float, veil: float, stops: float) -> None:
    """At full gain a target of 8 stands 3 stops above the noise; a veil of 8 leaves 1; 980 in all is just white."""
    margins = exposure.margins(np.array([signal]), veil, gain=1 / FULL, full_scale=FULL, white=0.98, contrast=0.5)
    assert margins == pytest.approx([stops], abs=1e-9)


def test_unlit_target_is_never_usable() -> None:
    assert exposure.margins(np.zeros(1), 0.0, gain=1 / FULL, full_scale=FULL, white=0.98, contrast=0.5)[0] < -10
