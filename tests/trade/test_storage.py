"""What recording amounts to."""

import pytest

from oneclimb.trade.storage import MBITS_PER_MEGAPIXEL, gigabytes_a_day, hours, usual_stream


def test_four_megabits_a_second_are_43_gigabytes_a_day() -> None:
    # arithmetic: 4e6 bit/s * 86400 s / 8 bit / 1e9
    assert gigabytes_a_day(4.0) == pytest.approx(4e6 * 86400 / 8 / 1e9) == pytest.approx(43.2)


def test_four_cameras_for_thirty_days_want_five_terabytes() -> None:
    assert 4 * 30 * gigabytes_a_day(4.0) == pytest.approx(5184.0)


@pytest.mark.parametrize(
    ("pixels", "low", "high"), [((1920, 1080), 1.5, 4.0), ((2560, 1440), 3.0, 6.0), ((3840, 2160), 6.0, 12.0)]
)
def test_the_usual_stream_covers_what_cameras_of_that_size_send(
    pixels: tuple[int, int], low: float, high: float
) -> None:
    # H.264 figures for fixed cameras, from memory; H.265 takes half of them at least
    least, usual, most = usual_stream(pixels)
    assert least <= low <= most
    assert least <= usual <= most
    assert most >= high * 0.98
    assert least <= 0.6 * low


def test_the_estimates_are_in_order() -> None:
    assert list(MBITS_PER_MEGAPIXEL) == sorted(MBITS_PER_MEGAPIXEL)


def test_twenty_watt_hours_carry_four_watts_for_five_hours() -> None:
    assert hours(20.0, 4.0) == 5.0
