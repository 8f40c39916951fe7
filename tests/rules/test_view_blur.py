"""VIEW-09: what moves smears by night."""

import math

import pytest

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.world import NOUNS, Shared, World
from oneclimb.register import page_path
from oneclimb.study import NIGHT
from oneclimb.study.night_view import NightView
from oneclimb.trade import blur
from oneclimb_rules.view.motion_blur import MotionBlur

CODE = "VIEW-09"


def plan(
    shutter: str = "shutter: 1/25 s", *, task: str = "recognise", pace: str = ", pace: 1.4 m/s", infrared: int = 30,
    when: str = "both", pixels: str = "2560 x 1440",
) -> str:  # fmt: skip
    """A camera before a gate six metres off."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
areas: [{{id: gate, for: {task}, wall: front, along: 4 to 6, out: 6, when: {when}{pace}}}]
cameras:
  - id: cam
    mount: {{wall: front, along: 5, height: 2.6}}
    aim: {{bearing: 180, tilt: 18}}
    view: 60 deg
    pixels: {pixels}
    night: infrared
    infrared: {infrared} m
    {shutter}
"""


def only(text: str) -> tuple[float, str | None]:
    ((reading, level),) = kit.readings(text, CODE)
    return reading.figure.value, level


def asked(text: str) -> set[str]:
    return {c.ref.path for c in kit.look(text).cannot_tell if c.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(MotionBlur)


def test_the_pages_worked_example_is_kinematics() -> None:
    page = " ".join(page_path(MotionBlur).read_text(encoding="utf-8").split())
    assert f"1.4 × 0.04 × 250 = {1.4 * 0.04 * 250:.1f} px" in page
    assert f"2 / (1.4 × 250) = {2 / 350:.4f} s: 1/200 s, log2(200 / 25) = {math.log2(8):.1f} stops" in page
    assert only(plan(task="identify", pixels="7680 x 4320"))[0] == pytest.approx(14.0)


def test_a_longer_shutter_is_never_sharper() -> None:
    swept = kit.sweep(CODE, lambda n: plan(f"shutter: 1/{n:g} s"), [500, 250, 100, 60, 30, 25, 12, 6])
    assert [level for _, level in swept][:3] == [None, None, None]
    assert swept[3][1] == "note"
    assert swept[-1][1] == "warning"


def test_it_counts_at_the_tasks_density_or_the_cameras_own_where_that_is_coarser() -> None:
    assert only(plan())[0] == pytest.approx(only(plan(pixels="3840 x 2160"))[0])
    coarse = only(plan(pixels="640 x 360"))[0]
    per_metre = 640 / (2 * math.tan(math.radians(30))) / 6.0
    assert coarse == pytest.approx(1.4 / 25 * per_metre, rel=0.06)


def test_without_a_pace_it_is_somebody_walking_with_doubt() -> None:
    ((reading, _),) = kit.readings(plan(pace=""), CODE)
    assert reading.figure.value == pytest.approx(only(plan())[0])
    assert reading.figure.low == pytest.approx(0.5 / 25 * 125)
    assert reading.figure.high == pytest.approx(2.0 / 25 * 125)
    found = {f.code: (f.level, f.softened) for f in kit.look(plan(pace="")).findings}
    assert found[CODE] == ("note", True)
    assert {f.code: f.level for f in kit.look(plan()).findings}[CODE] == "warning"


def test_the_shutter_is_asked_for_where_faces_are_wanted_and_never_assumed() -> None:
    assert asked(plan("records: motion")) == {"camera/cam/shutter"}
    assert kit.readings(plan("records: motion"), CODE) == []
    assert asked(plan("records: motion", task="detect")) == set()
    assert asked(plan("records: motion", when="day")) == set()


def test_by_day_there_is_none() -> None:
    assert kit.readings(plan(when="day"), CODE) == []


def test_the_shorter_shutter_is_tried_where_the_night_bears_it() -> None:
    assert kit.hold_remedies(plan(), CODE) == 1
    (finding,) = (f for f in kit.look(plan()).findings if f.code == CODE)
    longest = blur.longest_shutter(1.4, 125.0)
    assert 1 / 100 < longest < 1 / 60
    stops = blur.stops_lost(1 / 100, 1 / 25)
    assert f"to 1/100 s; it costs {stops:.1f} stops of light" in finding.remedies[0].text


def test_where_the_night_does_not_bear_it_the_light_it_takes_is_said() -> None:
    weak = plan(infrared=8)
    assert kit.hold_remedies(weak, CODE) == 0
    (finding,) = (f for f in kit.look(weak).findings if f.code == CODE)
    assert "add 4.0 times the light there first" in finding.remedies[0].text


OTHER = """  - id: other
    mount: {wall: front, along: 3.2, height: 2.6}
    aim: {bearing: 180, tilt: 18}
    view: 60 deg
    pixels: 2560 x 1440
    night: infrared
    infrared: 30 m
    shutter: 1/25 s
"""


def judged(text: str) -> set[str]:
    return {reading.at.id for reading, _ in kit.readings(text, CODE)}


def test_an_area_is_judged_where_it_is_named_or_shown_best_not_wherever_it_shows() -> None:
    assert judged(plan() + OTHER) == {"cam"}
    assert judged(plan() + OTHER + "    watches: [gate]\n") == {"cam", "other"}
    silent = (plan() + OTHER).replace("    shutter: 1/25 s\n", "    records: motion\n")
    assert asked(silent) == {"camera/cam/shutter"}


def night(text: str) -> NightView:
    review = kit.look(text)
    world = World(review.loaded, Shared(NOUNS, kit.DAY))
    return world.of(NIGHT, world.get(Ref("camera", "cam"))).view()


@pytest.mark.parametrize("rated", [10, 16, 24])
def test_two_stops_less_light_is_a_lamp_of_half_the_range(rated: int) -> None:
    """Inverse square: a quarter of the light serves half as far, where no gain is left to make up for it."""
    before, after = night(plan(infrared=rated)), night(plan(infrared=rated // 2))
    assert before.gain == after.gain
    assert before.usable_after("gate", 2.0) == pytest.approx(after.usable["gate"].value, abs=1e-9)
    assert before.usable_after("gate", 0.0) == before.usable["gate"].value


def test_gain_that_is_left_makes_up_for_it_first() -> None:
    bright = night(plan(infrared=400))
    left = math.log2(1 / (1000 * bright.gain))
    assert left > 0.5
    assert bright.usable_after("gate", left - 0.01) == bright.usable["gate"].value
