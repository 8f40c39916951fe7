"""Figures in the plan's own units, rounded as a tape reads: 5 cm, one inch, one degree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from oneclimb.plan.units import FOOT, INCH, Units

if TYPE_CHECKING:
    from oneclimb.api import Figure

_DECIMALS = {"px/m": 0, "deg": 0, "stops": 1, "days": 0, "min": 0}
"""the most decimals that make sense in a unit, where that is fewer than two"""
_SINGLE = {
    "cameras": "camera", "copies": "copy", "days": "day", "numerals": "numeral", "places": "place", "stops": "stop",
    "views": "view", "years": "year",
}  # fmt: skip
"""the units that are words, of one"""


SMALL = 0.1
"""m: what is smaller is told as it is"""
LONG = 9.975
"""m: from here on whole metres are told as such"""


class Tape(Struct, frozen=True):
    """``oneclimb.api.Say`` for a plan's units."""

    units: Units = "metres"

    def tape(self, metres: float) -> str:
        """A length to the nearest 5 cm (``2.35 m``, ``121 m``) or inch (``7 ft 9 in``)."""
        if self.units == "metres":
            shown = f"{_zero(round(metres * 20) / 20):.2f}"
            return f"{shown.removesuffix('.00') if abs(metres) >= LONG else shown} m"
        inches = round(metres / INCH)
        sign = "-" if inches < 0 else ""
        feet, rest = divmod(abs(inches), 12)
        if not feet:
            return f"{sign}{rest} in"
        return f"{sign}{feet} ft {rest} in" if rest else f"{sign}{feet} ft"

    def fine(self, metres: float) -> str:
        """A length as it is, for sizes too small to round: ``80 mm``, ``2.7 m``, ``3.1 in``."""
        if self.units == "feet":
            return self.tape(metres) if abs(metres) >= FOOT else f"{round(metres / INCH, 1) + 0.0:g} in"
        if 0 < abs(metres) < 0.3:
            return f"{round(metres * 1000, 1):g} mm"
        return f"{round(metres, 3) + 0.0:g} m"

    def span(self, low: float, high: float) -> str:
        """A range of lengths, as coarse as a range deserves: ``4 to 7 m``.

        Whole metres from 10 m, half metres from 3 m, else 5 cm; feet from 3 ft, else inches.
        """
        unit, (first, last) = self._marked(high, low, high)
        return f"{first} to {last} {unit}" if first != last else f"about {first} {unit}"

    def reach(self, low: float, high: float) -> str:
        """How far something serves, where that is in doubt, as coarse as ``span``: ``5 m, at best 16 m``."""
        unit, (first, last) = self._marked(high, low, high)
        if first != last:
            return f"{first} {unit}, at best {last} {unit}"
        return f"about {first} {unit}" if first != "0" else f"0 {unit}"

    def _marked(self, high: float, *lengths: float) -> tuple[str, list[str]]:
        """Lengths as coarse as a range up to ``high`` deserves: the unit, and the numbers."""
        if self.units == "feet":
            unit, one = ("in", INCH) if high < 3 * FOOT else ("ft", FOOT)
            return unit, [f"{round(length / one)}" for length in lengths]
        step = 1.0 if high >= 10.0 else 0.5 if high >= 3.0 else 0.05
        return "m", [f"{_zero(round(length / step) * step):.2f}".rstrip("0").rstrip(".") for length in lengths]

    def share(self, ratio: float) -> str:
        """A ratio as a whole per cent; a little more than nothing is ``under 1 %``."""
        if 0.0 < ratio < 0.005:
            return "under 1 %"
        return f"{_zero(round(ratio * 100)):.0f} %"

    def figure(self, figure: Figure) -> str:
        """A figure with its unit and, where it has one, its doubt: ``35 % (20 to 50 %)``, ``22 GB a day (9 to 43)``."""
        value = self._one(figure.value, figure.unit)
        low, high = (self._one(end, figure.unit) for end in (figure.low, figure.high))
        if low == high:
            return value
        if figure.unit == "m":
            unit, (middle,) = self._marked(figure.high, figure.value)
            return f"{middle} {unit} ({self.span(figure.low, figure.high)})"
        if figure.unit == "":
            return f"{value} ({low.removesuffix(' %')} to {high})"
        unit = f" {figure.unit}"
        return f"{value} ({low.removesuffix(unit)} to {high.removesuffix(unit)})"

    def _one(self, value: float, unit: str) -> str:
        if unit == "m":
            return self.tape(value) if abs(value) >= SMALL else self.fine(value)
        if unit == "":
            return self.share(value)
        shown = _coarse(value, _DECIMALS.get(unit, 2))
        return f"{shown} {_SINGLE.get(unit, unit) if shown == '1' else unit}"


def _coarse(value: float, most: int) -> str:
    """A number to two digits or so, no finer than ``most`` decimals; a little more than nothing says so."""
    size = abs(value)
    decimals = min(most, 0 if size >= 9.95 else 1 if size >= 0.995 else 2)
    if 0.0 < value < 0.5 * 10.0**-decimals:
        return f"under {10.0**-decimals:g}"
    shown = f"{_zero(round(value, decimals)):.{decimals}f}"
    return shown.rstrip("0").rstrip(".") if decimals else shown


def _zero(number: float) -> float:
    """Without the minus sign of a rounded ``-0``."""
    return number + 0.0
