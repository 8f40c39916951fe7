"""Days kept and batteries as drawn: hand arithmetic, the studies' own figures, and the findings told of them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axis import Axis
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, battery_life, ink, pictures, storage
from oneclimb.draw.charts import APART, spread
from oneclimb.review import check, world_of
from oneclimb.study import SHADE, STORE
from oneclimb.trade.months import MONTHS
from oneclimb.web.tables import tables

EXAMPLES = Path(__file__).parents[2] / "examples"
KEPT = """
site: {name: Barn, stage: design, temperature: "-10 to 28 C", handling: {keeps: 14 days, most: 31 days}}
recorders: [{id: nvr, disks: [2 TB, 2 TB], mirrored: true, wants: 14 days}]
cameras:
  - {id: one, shape: box, pixels: 1920 x 1080, view: 84 deg, night: none, records: continuous, bitrate: 4 Mbit/s,
     night-bitrate: 6 Mbit/s, recorder: nvr, mount: {at: [0, 0], height: 3, to: pole}, aim: {bearing: 0, tilt: 10}}
  - {id: two, shape: box, pixels: 1920 x 1080, view: 84 deg, night: none, records: motion, motion: 10 %,
     bitrate: 10 Mbit/s, night-bitrate: 10 Mbit/s, recorder: nvr, mount: {at: [3, 0], height: 3, to: pole},
     aim: {bearing: 0, tilt: 10}}
  - {id: mute, shape: box, pixels: 1920 x 1080, view: 84 deg, night: none, recorder: nvr,
     mount: {at: [6, 0], height: 3, to: pole}, aim: {bearing: 0, tilt: 10}}
  - {id: cell, shape: box, pixels: 1920 x 1080, view: 84 deg, night: none, records: motion, sits: indoors,
     power: {source: battery, capacity: 20 Wh, chemistry: lithium, daily: 1 Wh},
     mount: {at: [9, 0], height: 3, to: pole}, aim: {bearing: 0, tilt: 10}}
"""


@cache
def barn(text: str = KEPT) -> Sitting:
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


@cache
def example(name: str) -> Sitting:
    review = check(str(EXAMPLES / f"{name}.plan.yaml"), kit.packs(), kit.schemas(), today=kit.DAY)
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def drawn(one: Sitting, name: str) -> tuple[Picture, Figure]:
    (picture,) = (each for each in pictures(one, [name.partition("-")[0]]) if each.name == name)
    return picture, ink.drawn(picture)


# ------------------------------------------------------------------------- days kept


def test_days_are_hand_arithmetic() -> None:
    """5 Mbit/s all day and 10 for a tenth of it are 6: 64.8 GB a day (1 Mbit/s is 10.8 GB); two mirrored disks of 2 TB
    hold 2, of which 93 % keeps pictures (88 to 97).
    """
    kept = storage.of(barn().world.get(Ref("recorder", "nvr")), barn())
    assert kept.days == pytest.approx((2000 * 0.88 / 64.8, 2000 * 0.93 / 64.8, 2000 * 0.97 / 64.8))
    assert dict(kept.parts) == {"one": pytest.approx((54.0,) * 3), "two": pytest.approx((10.8,) * 3)}
    assert kept.lines == (("wanted", 14.0), ("stated", 14.0), ("at most", 31.0))
    assert kept.silent == ("mute",)
    picture, _ = drawn(barn(), "storage-nvr")
    assert picture.title == "nvr has room for 29 days (27 to 30), 14 wanted"
    assert "when they record is not said: mute" in picture.words


def test_the_range_and_the_lines_are_drawn_at_their_days() -> None:
    kept = storage.of(barn().world.get(Ref("recorder", "nvr")), barn())
    assert kept.days is not None
    _, figure = drawn(barn(), "storage-nvr")
    above, below = figure.axes
    (band,) = (one for one in above.patches if isinstance(one, Rectangle))
    assert (band.get_x(), band.get_x() + band.get_width()) == pytest.approx((kept.days[0], kept.days[2]))
    at = [float(np.asarray(one.get_xdata())[0]) for one in above.lines]
    assert at == pytest.approx([kept.days[1], 14.0, 14.0, 31.0])
    assert [text.get_text() for text in above.texts] == ["wanted and stated 14", "at most 31"]
    widths = [one.get_width() for one in below.patches if isinstance(one, Rectangle)]
    assert widths == pytest.approx([54.0, 10.8])
    assert [label.get_text() for label in below.get_yticklabels()] == ["one  83 %", "two  17 %"]


@pytest.mark.parametrize("name", ["hill-farm/as-drawn", "harbour-house/as-drawn"])
def test_picture_table_and_finding_tell_the_same_days(name: str) -> None:
    one = example(name)
    (recorder,) = one.world.plan.recorders
    kept = storage.of(recorder, one)
    (finding,) = (each for each in one.review.findings if each.code == "RECORD-01")
    assert finding.figure is not None
    assert kept.days == pytest.approx((finding.figure.low, finding.figure.value, finding.figure.high))
    (row,) = tables(one.review, one.world)["storage"].joined.rows
    assert f"has room for {row[4]}, {row[5]} wanted" in drawn(one, f"storage-{recorder.id}")[0].title


def test_without_disks_the_parts_are_drawn_and_no_days() -> None:
    one = barn(KEPT.replace("disks: [2 TB, 2 TB], mirrored: true, ", ""))
    picture, figure = drawn(one, "storage-nvr")
    assert picture.title == "nvr keeps 2 cameras; its disks are not said, 14 wanted"
    assert len(figure.axes) == 1


# -------------------------------------------------------------------------- batteries


def test_a_battery_alone_is_hand_arithmetic() -> None:
    """20 Wh, of which 80 % is taken, at 20 °C, 1 Wh a day: 16 days (95 % to all of the capacity: 15.2 to 16)."""
    life = battery_life.of(barn().world.get(Ref("camera", "cell")), barn().world)
    assert life is not None
    assert life.alone == pytest.approx((15.2, 16.0, 16.0))
    picture, figure = drawn(barn(), "battery-cell")
    assert picture.title == "cell's battery lasts 16 days (15 to 16) on a charge at 20 °C"
    usual = figure.axes[0].lines[0]
    assert list(np.asarray(usual.get_xdata())) == pytest.approx([0.0, 16.0])
    assert list(np.asarray(usual.get_ydata())) == [1.0, 0.0]
    assert picture.about == Ref("camera", "cell", "power")


def test_an_empty_battery_is_not_drawn() -> None:
    assert list(pictures(barn(KEPT.replace("capacity: 20 Wh", "capacity: 0 Wh")), ["battery"])) == []


def test_the_years_charge_is_the_studys_at_the_end_of_each_month() -> None:
    one = example("hill-farm/as-drawn")
    camera = one.world.get(Ref("camera", "gate-cam"))
    life, store = battery_life.of(camera, one.world), one.world.of(STORE, camera)
    assert life is not None
    given = store.given(one.world.of(SHADE, camera).months)
    for drawn_, whole in zip(life.year, store.year(given, store.day()), strict=True):
        assert drawn_[battery_life.PARTS - 1 :: battery_life.PARTS] == pytest.approx(whole, abs=1e-9)
    assert MONTHS[life.first] == "June"
    assert life.empty(battery_life.BEST) == []
    assert set(life.empty(battery_life.USUAL)) < set(life.empty(battery_life.WORST))
    assert 16.0 + (given[10][1] - life.taken[1]) * 30.4 < 0, "November takes more than the 16 Wh that may be used"
    assert life.empty(battery_life.USUAL)[:2] == ["November", "December"]


def test_the_months_and_the_days_are_the_findings() -> None:
    one = example("hill-farm/as-drawn")
    picture, figure = drawn(one, "battery-gate-cam")
    by = {each.code: each for each in one.review.findings if each.at.id == "gate-cam"}
    panel, alone = by["POWER-08"], by["POWER-06"]
    assert panel.figure is not None
    assert alone.figure is not None
    life = battery_life.of(one.world.get(Ref("camera", "gate-cam")), one.world)
    assert life is not None
    assert life.given[life.worst_month][1] / life.taken[1] == pytest.approx(panel.figure.value)
    assert life.alone == pytest.approx((alone.figure.low, alone.figure.value, alone.figure.high))
    assert picture.title == "gate-cam: its panel gives 0.32 Wh a day in December, it takes 1.3"
    assert f"about {life.given[11][1]:.2g} Wh a day" in panel.text
    year, months, discharge = figure.axes
    dots = [one_ for one_ in months.lines if one_.get_marker() == "o"]
    assert [float(np.asarray(dot.get_ydata())[0]) for dot in dots] == pytest.approx([each[1] for each in life.given])
    assert list(np.asarray(year.lines[0].get_ydata())) == [1.0, *life.year[battery_life.USUAL]]
    assert float(np.asarray(discharge.lines[0].get_xdata())[1]) == pytest.approx(alone.figure.value)


def test_a_battery_that_records_all_day_has_no_chart_of_days() -> None:
    """Its hours are told by the rule on recording all day; POWER-06 leaves it alone too."""
    assert list(pictures(example("harbour-house/as-drawn"), ["battery"])) == []


# ------------------------------------------------------------------- what all have in common


def ticks(axis: Axis) -> list[Text]:
    """The labels of the ticks that are seen."""
    low, high = sorted(axis.get_view_interval())
    return [label for at, label in zip(axis.get_ticklocs(), axis.get_ticklabels(), strict=True) if low <= at <= high]


@pytest.mark.parametrize("name", ["hill-farm/as-drawn", "harbour-house/as-drawn", "two-cameras/cottage"])
def test_no_words_lie_over_others_or_off_the_sheet(name: str) -> None:
    one = example(name)
    for picture in pictures(one, ["volts", "budget", "battery", "storage"]):
        figure = ink.drawn(picture)
        figure.draw_without_rendering()
        boxes = []
        for axes in figure.axes:
            words = [*axes.texts, axes.xaxis.label, axes.yaxis.label, *ticks(axes.xaxis), *ticks(axes.yaxis)]
            boxes += [(text.get_text(), text.get_window_extent()) for text in words if text.get_text()]
        for i, (said, box) in enumerate(boxes):
            assert -1.0 <= box.x0 <= box.x1 <= figure.bbox.x1 + 1.0, said
            for other, there in boxes[:i]:
                over = min(box.x1, there.x1) - max(box.x0, there.x0), min(box.y1, there.y1) - max(box.y0, there.y0)
                assert min(over) < 0.5, (picture.name, said, other)


def test_the_same_plan_gives_the_same_drawing() -> None:
    for picture in pictures(example("hill-farm/as-drawn"), ["volts", "budget", "battery", "storage"]):
        assert ink.svg(picture) == ink.svg(picture)
        assert picture.words
        assert "  " not in picture.words


def test_labels_keep_apart_and_as_near_as_they_can() -> None:
    assert spread([10.0, 30.0], [1.0, 1.0]) == [10.0, 30.0]
    low, high = spread([10.0, 10.0], [1.0, 2.0])
    assert high - low == pytest.approx(1.5 * APART)
    assert (low + high) / 2 == pytest.approx(10.0, abs=APART)
    three = spread([5.0, 5.1, 30.0], [1.0, 1.0, 1.0])
    assert three[2] == 30.0
