"""Quantities against exact definitions and arithmetic done by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.plan.units import BadQuantity, any_quantity, awg, comma_hint, quantity, span


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        (2.7, 2.7),
        ("2.7", 2.7),
        ("2.7 m", 2.7),
        ("80 mm", 0.08),
        ("45cm", 0.45),
        ("0.4 km", 400.0),
        # the international foot and inch: 0.3048 m and 0.0254 m exactly (1959 agreement)
        ("9 ft", 2.7432),
        ("10 in", 0.254),
        ("8 ft 10 in", 8 * 0.3048 + 10 * 0.0254),
        ("8' 10\"", 8 * 0.3048 + 10 * 0.0254),
        ("-1 ft 6 in", -0.4572),
        (".5 m", 0.5),
    ],
)
def test_a_length_is_read_in_its_unit(text: str | float, metres: float) -> None:
    assert quantity(text, "length") == pytest.approx(metres, rel=1e-12)


def test_a_bare_length_is_in_the_plans_units() -> None:
    assert quantity(9, "length", "feet") == pytest.approx(2.7432)
    assert quantity("9", "length", "feet") == pytest.approx(2.7432)
    assert quantity("9 m", "length", "feet") == 9.0


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("15 deg", "angle", 15.0),
        ("20 %", "share", 0.2),
        (0.2, "share", 0.2),
        ("7 W", "power", 7.0),
        ("20 Wh", "energy", 20.0),
        ("1.5 kWh", "energy", 1500.0),
        ("-8 C", "temperature", -8.0),
        ("212 F", "temperature", 100.0),  # water boils at 212 F = 100 C
        ("-40 F", "temperature", -40.0),  # where both scales meet
        ("4 Mbit/s", "rate", 4.0),
        ("512 kbit/s", "rate", 0.512),
        ("800 lm", "flux", 800.0),
        ("850 nm", "wavelength", 850.0),
        ("12 V", "volts", 12.0),
        ("128 GB", "data", 128.0),
        ("4 TB", "data", 4000.0),  # decimal, as makers count
        ("4 TB", "bulk data", 4.0),
        ("600 GB", "bulk data", 0.6),
        ("14 days", "days", 14.0),
        (14, "days", 14.0),
        ("2 weeks", "days", 14.0),
        ("1/30 s", "seconds", 1 / 30),
        ("1/25", "seconds", 0.04),
        ("20 s", "seconds", 20.0),
        ("40 ms", "seconds", 0.04),
        ("1.4 m/s", "speed", 1.4),
        ("36 km/h", "speed", 10.0),
        ("5 mph", "speed", 2.2352),  # the international mile is 1609.344 m
        ("2 lx", "light", 2.0),
        ("-61 dBm", "decibels", -61.0),
        ("2 dBi", "decibels", 2.0),
        ("0.5 mm2", "cross-section", 0.5),
        ("1.5 mm²", "cross-section", 1.5),
        # printed wire tables: 24 AWG 0.205 mm², 18 AWG 0.823 mm²
        ("24 AWG", "cross-section", pytest.approx(0.205, abs=5e-4)),
        ("18 AWG", "cross-section", pytest.approx(0.823, abs=5e-4)),
    ],
)
def test_other_quantities_are_read_in_their_units(text: str | float, kind: str, value: float) -> None:
    assert quantity(text, kind) == (value if not isinstance(value, float) else pytest.approx(value))


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("1/0 s", "seconds"),
        ("1/0", "seconds"),
        ("128", "data"),
        (4, "bulk data"),
        ("24", "cross-section"),
        (0.5, "cross-section"),
        ("2.5 AWG", "cross-section"),
        ("99 AWG", "cross-section"),
        ("1/2 V", "volts"),
    ],
)
def test_a_size_that_could_be_meant_in_several_units_or_is_nonsense_is_refused(text: str | float, kind: str) -> None:
    with pytest.raises(BadQuantity):
        quantity(text, kind)


@pytest.mark.parametrize(("text", "gauge"), [("24 AWG", 24.0), ("24AWG", 24.0), ("0.5 mm2", None)])
def test_a_gauge_is_told_from_a_cross_section(text: str, gauge: float | None) -> None:
    assert awg(text) == gauge


@pytest.mark.parametrize("text", ["", "m", "two m", "2,7 m", "1:30", "2.7 furlongs", "1e3 m", "0x10", "inf", "8 to 11"])
def test_what_is_not_a_length_is_refused_in_words(text: str) -> None:
    with pytest.raises(BadQuantity, match="is not a length, such as"):
        quantity(text, "length")


def test_a_size_that_is_not_finite_or_absurd_is_refused_after_its_unit_too() -> None:
    with pytest.raises(BadQuantity, match="not a finite size") as no_end:
        quantity("9" * 400 + " km", "length")
    assert no_end.value.code == "PLAN-10"
    with pytest.raises(BadQuantity, match="not a finite size"):
        quantity(math.inf, "length")
    with pytest.raises(BadQuantity, match="too large a size") as far:
        quantity("9999999999 km", "length")
    assert far.value.code == "PLAN-16"


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("8 to 11", (8.0, 11.0)),
        (3, (3.0, 3.0)),
        ("8 ft to 11 ft", (2.4384, 3.3528)),
        ("0 to 210 cm", (0.0, 2.1)),
        ("-1 to 2.1 m", (-1.0, 2.1)),
        ("6' 1\" to 7' 2\"", (73 * 0.0254, 86 * 0.0254)),
        ("11 to 8", (11.0, 8.0)),
    ],
)
def test_a_range_keeps_its_order_and_the_last_unit_serves_both(text: str | float, ends: tuple[float, float]) -> None:
    assert span(text) == pytest.approx(ends)


def test_a_range_in_feet_takes_bare_numbers_as_feet() -> None:
    assert span("8 to 11", "length", "feet") == pytest.approx((8 * 0.3048, 11 * 0.3048))


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("2,8", "a decimal point, not a comma: `2.8`"),
        ("-2,8 m", "a decimal point, not a comma: `-2.8 m`"),
        ("1,5 to 7,25", "a decimal point, not a comma: `1.5 to 7.25`"),
        ("2,800 mm", "a decimal point, not a comma: `2.800 mm`; or, if thousands are meant, `2800 mm`"),
        ("2.8", ""),
        ("1,2,3", ""),
        ("a,b", ""),
        ("2, 8", ""),
    ],
)
def test_a_decimal_comma_is_told_with_what_to_write(text: str, hint: str) -> None:
    assert comma_hint(text) == hint


def _share(text: str) -> float:
    return quantity(text, "share")


@pytest.mark.parametrize("read", [any_quantity, _share])
def test_a_quantity_with_a_decimal_comma_says_so(read: Callable[[str], float]) -> None:
    with pytest.raises(BadQuantity, match=r"not a comma: `2\.5 %`"):
        read("2,5 %")


@pytest.mark.parametrize("text", ["8 to", "to 8", "1 to 2 to 3", "a to b"])
def test_what_is_not_a_range_is_refused(text: str) -> None:
    with pytest.raises(BadQuantity):
        span(text)


LIMITS = [
    ("20 %", 0.2),
    ("2 ft", 0.6096),
    ("15 deg", 15.0),
    (0.5, 0.5),
    ("3", 3.0),
    ("14 days", 14.0),
    ("1/25 s", 0.04),
]


@pytest.mark.parametrize(
    ("text", "value"), [*LIMITS, ("-67 dBm", -67.0), ("2 TB", 2000.0), ("3 V", 3.0), ("2 lx", 2.0)]
)
def test_a_limits_unit_tells_what_it_is_a_quantity_of(text: str | float, value: float) -> None:
    assert any_quantity(text) == pytest.approx(value)


def test_a_limit_in_no_known_unit_is_refused() -> None:
    with pytest.raises(BadQuantity, match="is not a quantity"):
        any_quantity("3 furlongs")


@given(st.floats(0, 9000, allow_nan=False), st.sampled_from(["mm", "cm", "m", "km", "ft", "in"]))
def test_a_printed_length_reads_back(number: float, unit: str) -> None:
    """Factors as ratios of the exact definitions, apart from the table's own."""
    metres = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "km": 1e3, "ft": 12 * 0.0254, "in": 0.0254}[unit]
    assert quantity(f"{number:.6f} {unit}", "length") == pytest.approx(round(number, 6) * metres, rel=1e-9, abs=1e-12)
