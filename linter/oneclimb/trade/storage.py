"""What recording amounts to: gigabytes a day, and the hours a battery carries it."""

from __future__ import annotations

GB_PER_DAY = 86400 / 8000
"""gigabytes (10⁹ bytes) a day for each Mbit/s: seconds a day / (bits a byte × Mbit a Gbit) = 10.8"""

MBITS_PER_MEGAPIXEL = (0.4, 1.0, 1.9)
"""low, usual, high recorded stream of a fixed camera (estimate, from memory, check against the camera:
H.264 1.5 to 4 Mbit/s for 2 megapixels, 3 to 6 for 4, 6 to 12 for 8; H.265 half to two thirds of it)"""

WATTS = (2.0, 4.0, 7.0)
"""low, usual, high draw of a camera that records all the time, its night light included (estimate)"""
WATT_HOURS = (10.0, 20.0, 40.0)
"""low, usual, high capacity of a camera's own battery (estimate: two to eight 18650 cells)"""


def gigabytes_a_day(mbits: float) -> float:
    """Decimal gigabytes a day of a continuous stream of ``mbits`` Mbit/s: 10.8 × Mbit/s."""
    return GB_PER_DAY * mbits


def usual_stream(pixels: tuple[int, int]) -> tuple[float, float, float]:
    """Low, usual and high recorded stream (Mbit/s) of a camera of this many pixels (estimate)."""
    megapixels = pixels[0] * pixels[1] / 1e6
    low, usual, high = MBITS_PER_MEGAPIXEL
    return low * megapixels, usual * megapixels, high * megapixels


def hours(capacity: float, watts: float) -> float:
    """Hours a battery of ``capacity`` Wh carries a steady load of ``watts`` W (> 0), warm and new."""
    return capacity / watts
