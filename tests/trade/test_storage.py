"""What recording amounts to."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oneclimb.trade import storage
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


@pytest.mark.parametrize(
    ("pixels", "low", "high"), [((1920, 1080), 1.5, 4.0), ((2560, 1440), 3.0, 6.0), ((3840, 2160), 6.0, 12.0)]
)
def test_each_codec_stays_within_the_estimate_that_knows_none(pixels: tuple[int, int], low: float, high: float) -> None:
    # H.264 from memory; H.265 takes half to two thirds of it
    older, newer, either = (usual_stream(pixels, codec) for codec in ("H.264", "H.265", None))
    assert older[0] <= low
    assert older[2] >= high * 0.98
    assert newer[0] <= low / 2 * 1.2
    assert newer[2] >= high * 0.65
    assert either[0] == newer[0]
    assert either[2] == older[2]
    assert newer[1] < either[1] < older[1]
    assert all(0.5 <= a / b <= 0.7 for a, b in zip(newer, older, strict=True))


def test_fewer_pictures_a_second_never_take_more() -> None:
    at = [usual_stream((1920, 1080), None, frames) for frames in (5.0, 10.0, 15.0, 25.0, 30.0)]
    assert at[2] == usual_stream((1920, 1080))
    assert [list(ends) for ends in zip(*at, strict=True)] == [sorted(ends) for ends in zip(*at, strict=True)]
    assert all(low < usual < high for low, usual, high in at)
    # doubled pictures: between half as much again (the rate by the root of them) and twice as much
    (low, _, high), (least, _, most) = at[4], at[2]
    assert low / least == pytest.approx(2**0.5)
    assert high / most == pytest.approx(2.0)


def test_the_estimates_are_in_order() -> None:
    assert list(MBITS_PER_MEGAPIXEL) == sorted(MBITS_PER_MEGAPIXEL)


def test_twenty_watt_hours_carry_four_watts_for_five_hours() -> None:
    assert hours(20.0, 4.0) == 5.0


def test_an_array_holds_what_its_level_leaves() -> None:
    # a worked array in print: eight disks of 18 TB in RAID 5 hold 126 TB of 144
    assert storage.raid_terabytes(8, 18.0, "5") == 126.0
    assert storage.raid_terabytes(8, 18.0) == storage.raid_terabytes(8, 18.0, "0") == 144.0
    assert storage.raid_terabytes(8, 18.0, "6") == 108.0
    assert storage.raid_terabytes(8, 18.0, "10") == 72.0
    assert storage.raid_terabytes(2, 4.0, "1") == storage.raid_terabytes(3, 4.0, "1") == 4.0


@pytest.mark.parametrize(("disks", "kind"), [(0, "none"), (1, "1"), (2, "5"), (3, "6"), (3, "10"), (5, "10")])
def test_too_few_disks_make_no_array(disks: int, kind: str) -> None:
    with pytest.raises(ValueError, match=f"RAID {kind} wants"):
        storage.raid_terabytes(disks, 4.0, kind)


def test_five_terabytes_keep_four_cameras_for_thirty_days() -> None:
    assert storage.days_kept(5.184, 16.0, usable=1.0) == pytest.approx(30.0)
    assert storage.days_kept(5.184, 16.0, usable=1.0, recorded=0.25) == pytest.approx(120.0)


@given(st.floats(1.0, 90.0), st.floats(0.5, 200.0), st.floats(0.05, 1.0))
def test_the_disk_that_is_bought_for_days_keeps_them(days: float, mbits: float, recorded: float) -> None:
    disk = storage.terabytes_for(days, mbits, recorded=recorded)
    assert storage.days_kept(disk, mbits, recorded=recorded) == pytest.approx(days)


def test_days_are_a_range_with_the_worst_at_the_low_end() -> None:
    low, usual, high = storage.days_range(4.0, storage.mean_rates(8.0), storage.MOTION)
    assert low < usual < high
    assert low == pytest.approx(storage.days_kept(4.0, 12.0, usable=storage.USABLE[0], recorded=storage.MOTION[2]))
    steady = storage.days_range(4.0, storage.mean_rates(8.0, constant=True))
    assert steady[1] == pytest.approx(storage.days_kept(4.0, 8.0))


def test_noise_at_night_raises_the_mean() -> None:
    # half the day at twice the rate
    assert storage.mean_rate(4.0, 0.5, 2.0) == pytest.approx(6.0)
    assert storage.mean_rate(4.0, 0.0, 2.0) == pytest.approx(4.0)
    assert storage.mean_rates(4.0, constant=True) == (4.0, 4.0, 4.0)
    assert storage.mean_rates(4.0)[2] == pytest.approx(6.0)


def test_what_comes_in_at_a_recorder_is_the_sum() -> None:
    assert storage.recorder_rate([4.0, 6.0, 2.5]) == 12.5


def test_four_megabits_a_second_are_nearly_sixteen_terabytes_a_year() -> None:
    assert storage.terabytes_a_year(4.0) == pytest.approx(15.77, abs=0.01)


@pytest.mark.parametrize(
    ("rated", "mbits", "terabytes"),
    [(10_000, 26.0, 117.0), (60_000, 26.0, 702.0), (20_000, 13.0, 117.0), (12_000, 25.0, 135.0)],
)
def test_hours_of_recording_are_so_many_terabytes(rated: float, mbits: float, terabytes: float) -> None:
    # makers' hours for 128 GB cards and the terabytes worked from them, as compared in print
    assert storage.endurance_of_hours(rated, mbits) == pytest.approx(terabytes)
    assert storage.CARD_RATE == 26.0


def test_a_card_rated_for_ten_thousand_hours_lasts_seven_years_at_four_megabits() -> None:
    assert storage.card_years(storage.endurance_of_hours(10_000), 4.0) == pytest.approx(117.0 / 15.77, rel=1e-3)
    assert storage.card_years(117.0, 4.0, recorded=0.5) == pytest.approx(2 * storage.card_years(117.0, 4.0))


def test_an_ordinary_card_is_written_full_fewer_times_than_one_for_recording() -> None:
    low, usual, high = storage.endurance_of_size(128.0)
    assert low < usual < high
    assert usual < storage.endurance_of_hours(10_000)
