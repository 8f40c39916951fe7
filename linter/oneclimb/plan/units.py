"""Quantities as people write them, in SI.

A length may be a bare number (in the plan's units), ``2.7 m``, ``80 mm``, ``9 ft``,
``8 ft 10 in`` or ``8' 10"``; other quantities are a bare number or a number with its unit.
A data size and a conductor's size always carry their unit: a bare one could be meant in several.
Factors: the international foot is 0.3048 m and the inch 0.0254 m exactly (international
yard and pound agreement, 1959).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from oneclimb.trade import copper

Units = Literal["metres", "feet"]
FOOT = 0.3048
INCH = 0.0254
_LARGEST = 1e9

_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_FACTORS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "length": {"mm": 0.001, "cm": 0.01, "m": 1.0, "km": 1000.0, "ft": FOOT, "'": FOOT, "in": INCH, '"': INCH},
        "angle": {"": 1.0, "deg": 1.0, "°": 1.0},
        "share": {"": 1.0, "%": 0.01},
        "power": {"": 1.0, "W": 1.0, "mW": 0.001},
        "energy": {"": 1.0, "Wh": 1.0, "kWh": 1000.0, "mWh": 0.001},
        "temperature": {"": 1.0, "C": 1.0, "°C": 1.0, "F": 1.0, "°F": 1.0},
        "rate": {"": 1.0, "Mbit/s": 1.0, "kbit/s": 0.001, "Gbit/s": 1000.0},
        "flux": {"": 1.0, "lm": 1.0},
        "wavelength": {"": 1.0, "nm": 1.0},
        "volts": {"": 1.0, "V": 1.0, "mV": 0.001},
        "data": {"MB": 0.001, "GB": 1.0, "TB": 1000.0},
        "bulk data": {"MB": 1e-6, "GB": 0.001, "TB": 1.0, "PB": 1000.0},
        "days": {"": 1.0, "day": 1.0, "days": 1.0, "week": 7.0, "weeks": 7.0},
        "seconds": {"": 1.0, "ms": 0.001, "s": 1.0, "min": 60.0},
        "speed": {"": 1.0, "m/s": 1.0, "km/h": 1 / 3.6, "mph": 5280 * FOOT / 3600, "ft/s": FOOT},
        "light": {"": 1.0, "lx": 1.0, "lux": 1.0},
        "decibels": {"": 1.0, "dB": 1.0, "dBm": 1.0, "dBi": 1.0},
        "cross-section": {"mm2": 1.0, "mm²": 1.0, "AWG": 1.0},
    }
)
SHOWN: Mapping[str, str] = MappingProxyType(
    {
        "length": "a length, such as 2.7, 2.7 m, 80 mm, 9 ft or 8 ft 10 in",
        "angle": "an angle, such as 15 or 15 deg",
        "share": "a share, such as 0.2 or 20 %",
        "power": "a power, such as 7 W",
        "energy": "an energy, such as 20 Wh",
        "temperature": "a temperature, such as -8 C or 18 F",
        "rate": "a rate, such as 4 Mbit/s",
        "flux": "a light output, such as 800 lm",
        "wavelength": "a wavelength, such as 850 nm",
        "volts": "a voltage, such as 12 V",
        "data": "a data size with its unit, such as 128 GB",
        "bulk data": "a data size with its unit, such as 4 TB",
        "days": "a number of days, such as 14 or 14 days",
        "seconds": "a time, such as 20 s or 1/30 s",
        "speed": "a speed, such as 1.4 m/s, 5 km/h or 3 mph",
        "light": "an illuminance, such as 2 lx",
        "decibels": "decibels, such as -61 dBm or 2 dBi",
        "cross-section": "a conductor's size with its unit, such as 24 AWG or 0.5 mm2",
    }
)
"""What to write, for each kind of quantity."""

_ONE = re.compile(rf"(-?{_NUMBER})(?:\s*([^\s0-9.][^\s.]*))?")
_PART = re.compile(rf"([0-9]+)\s*/\s*({_NUMBER})(\s*s)?")
"""an exposure as cameras show it: 1/30 s"""
_FEET = re.compile(rf"(-?)([0-9]+)\s*(?:ft|')\s*({_NUMBER})\s*(?:in|\")")


class BadQuantity(ValueError):  # noqa: N818 - the word people would use
    """A quantity that can't be read: the fault's code, and the reason in plain words."""

    def __init__(self, text: str, code: str = "PLAN-15") -> None:
        super().__init__(text)
        self.code = code


@lru_cache(maxsize=8192)
def quantity(value: str | float, kind: str, units: Units = "metres") -> float:
    """A quantity in SI, but angles in degrees, temperature in degrees C, rate in Mbit/s, wavelength in nm, energy in
    Wh, data in GB (bulk data in TB; both decimal), days in days, cross-section in mm².

    Raises ``BadQuantity`` where it is not one or not finite.
    """
    if not isinstance(value, str):
        result = _finite(float(value), str(value))
        if kind != "length" and "" not in _FACTORS[kind]:
            raise BadQuantity(f"{value} is not {SHOWN[kind]}")
        return result * FOOT if kind == "length" and units == "feet" else result
    feet = _FEET.fullmatch(value.strip()) if kind == "length" else None
    if feet:
        size = float(feet[2]) * FOOT + float(feet[3]) * INCH
        return _finite(-size if feet[1] else size, value)
    part = _PART.fullmatch(value.strip()) if kind == "seconds" else None
    if part and float(part[2]):
        return _finite(float(part[1]) / float(part[2]), value)
    return _single(value, kind, units)


def _single(text: str, kind: str, units: Units) -> float:
    match = _ONE.fullmatch(text.strip())
    factors = _FACTORS[kind]
    unit = (match[2] or "") if match else ""
    if not match or not (unit in factors or (kind == "length" and not unit)):
        raise BadQuantity(_with_comma(f"{text!r} is not {SHOWN[kind]}", text))
    number = _finite(float(match[1]), text)
    if kind == "length" and not unit:
        return number * (FOOT if units == "feet" else 1.0)
    if unit.endswith("F"):
        return (number - 32.0) / 1.8
    if unit == "AWG":
        return copper.area(copper.awg_mm(_gauge(number, text)))
    return _finite(number * factors[unit], text)


def _gauge(number: float, text: str) -> int:
    if number not in range(41):
        raise BadQuantity(f"{text[:40]} is not a gauge from 0 AWG to 40 AWG", "PLAN-16")
    return int(number)


def awg(text: str) -> float | None:
    """The American gauge a conductor's size is written in; ``None`` where it is written in mm²."""
    match = _ONE.fullmatch(text.strip())
    return float(match[1]) if match and match[2] == "AWG" else None


_COMMA = re.compile(r"(?<![0-9,.])([0-9]{1,9}),([0-9]{1,3})(?![0-9,.])")


def comma_hint(text: str) -> str:
    """What to write where a comma stands in a number; nothing where none does."""
    text = text[:200]
    found = _COMMA.search(text)
    if not found:
        return ""
    point, joined = _COMMA.sub(r"\1.\2", text), _COMMA.sub(r"\1\2", text)
    thousands = f"; or, if thousands are meant, `{joined}`" if len(found[2]) == 3 else ""
    return f"a decimal point, not a comma: `{point}`{thousands}"


def _with_comma(message: str, text: str) -> str:
    hint = comma_hint(text)
    return f"{message} ({hint})" if hint else message


def _finite(number: float, text: str) -> float:
    if not math.isfinite(number):
        raise BadQuantity(f"{text[:40]} is not a finite size", "PLAN-10")
    if abs(number) > _LARGEST:
        raise BadQuantity(f"{text[:40]} is too large a size", "PLAN-16")
    return number


@lru_cache(maxsize=8192)
def span(value: str | float, kind: str = "length", units: Units = "metres") -> tuple[float, float]:
    """A range such as ``8 to 11``, ``8 ft to 11 ft`` or ``0 to 2.1 m`` (the last unit serves both).

    A single value is a range of no width. The ends come back as written, even where the first is
    the larger. Raises ``BadQuantity``.
    """
    low, to, high = value.partition(" to ") if isinstance(value, str) else ("", "", "")
    if not to:
        one = quantity(value, kind, units)
        return one, one
    unit = _ONE.fullmatch(high.strip())
    if unit and unit[2] and re.fullmatch(rf"-?{_NUMBER}", low.strip()):
        low = f"{low} {unit[2]}"
    return quantity(low, kind, units), quantity(high, kind, units)


def any_quantity(value: str | float, units: Units = "metres") -> float:
    """A limit's value as ``quantity`` gives it, whatever it is one of: told by its unit; a bare number stands.

    A data size comes in GB.
    """
    if not isinstance(value, str):
        return _finite(float(value), str(value))
    unit = _ONE.fullmatch(value.strip())
    if _PART.fullmatch(value.strip()):
        return quantity(value, "seconds", units)
    for kind in _FACTORS:
        if not unit or (unit[2] or "") in _FACTORS[kind]:
            return quantity(value, kind, units)
    raise BadQuantity(_with_comma(f"{value!r} is not a quantity, such as 20 %, 0.5 m or 15 deg", value))
