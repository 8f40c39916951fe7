"""Figures in the plan's own units, rounded as a tape reads: 5 cm, one inch, one degree."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from oneclimb.plan.units import FOOT, INCH, Units

if TYPE_CHECKING:
    from oneclimb.api import Figure


@dataclass(frozen=True, slots=True)
class Tape:
    """``oneclimb.api.Say`` for a plan's units."""

    units: Units = "metres"

    def tape(self, metres: float) -> str:
        """A length to the nearest 5 cm (``2.35 m``) or inch (``7 ft 9 in``)."""
        if self.units == "metres":
            return f"{_zero(round(metres * 20) / 20):.2f} m"
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
        if self.units == "feet" and high < 3 * FOOT:
            ends = [f"{round(end / INCH)}" for end in (low, high)]
            unit = "in"
        elif self.units == "feet":
            ends = [f"{round(end / FOOT)}" for end in (low, high)]
            unit = "ft"
        else:
            step = 1.0 if high >= 10.0 else 0.5 if high >= 3.0 else 0.05
            ends = [f"{_zero(round(end / step) * step):.2f}".rstrip("0").rstrip(".") for end in (low, high)]
            unit = "m"
        return f"{ends[0]} to {ends[1]} {unit}" if ends[0] != ends[1] else f"about {ends[0]} {unit}"

    def share(self, ratio: float) -> str:
        """A ratio as a whole per cent; a little more than nothing is ``under 1 %``."""
        if 0.0 < ratio < 0.005:
            return "under 1 %"
        return f"{_zero(round(ratio * 100)):.0f} %"

    def figure(self, figure: Figure) -> str:
        """A figure with its unit and, where it has one, its doubt: ``35 % (20 to 50 %)``."""
        value = self._one(figure.value, figure.unit)
        low, high = (self._one(end, figure.unit) for end in (figure.low, figure.high))
        if low == high:
            return value
        if figure.unit == "m":
            return f"{value} ({self.span(figure.low, figure.high)})"
        unit = " %" if figure.unit == "" else f" {figure.unit}"
        return f"{value} ({low.removesuffix(unit)} to {high})"

    def _one(self, value: float, unit: str) -> str:
        if unit == "m":
            return self.tape(value)
        if unit == "":
            return self.share(value)
        if unit == "deg":
            return f"{_zero(round(value)):.0f} deg"
        return f"{value:.3g} {unit}" if abs(value) < 100 else f"{_zero(round(value)):.0f} {unit}"


def _zero(number: float) -> float:
    """Without the minus sign of a rounded ``-0``."""
    return number + 0.0
