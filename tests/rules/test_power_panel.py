"""POWER-08: what a panel gives in its worst month against what the camera takes."""

import pytest

from oneclimb import kit, review
from oneclimb.api import Reading
from oneclimb.register import page_path
from oneclimb_rules.power.winter_panel import WinterPanel

CODE = "POWER-08"
OPEN = "at: [60, 60], height: 3"


@pytest.fixture
def _no_remedies(monkeypatch: pytest.MonkeyPatch) -> None:
    """Remedies are looked for after the figures are found, and have a test of their own."""
    monkeypatch.setattr(review, "TRIALS", 0)


def plan(
    panel: str = "watts: 3 W, faces: 180, tilt: 30 deg", day: str = "daily: 1.5 Wh", *,
    site: str = "place: [54.6, -3.5], temperature: 2 to 30", at: str = OPEN, more: str = "", records: str = "motion",
) -> str:  # fmt: skip
    """One camera on the north of a house, its panel out in the open."""
    return f"""
site: {{{site}}}
house: {{front: {{faces: 0, width: 12}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 6, height: 3}}
    night: none
    link: wireless
    records: {records}
    power: {{source: solar, chemistry: lithium, {day}, panel: {{{panel}, {at}}}}}
{more}
"""


def one(text: str) -> tuple[Reading, str | None]:
    """The one reading, and its level."""
    ((reading, level),) = kit.readings(text, CODE)
    return reading, level


def asked(text: str) -> set[str]:
    """What the rule could not tell."""
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(WinterPanel)


@pytest.mark.usefixtures("_no_remedies")
def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(WinterPanel).read_text(encoding="utf-8").split())
    south, level = one(plan())
    low, usual, high = (share * 100 for share in (south.figure.low, south.figure.value, south.figure.high))
    assert f"1.5 Wh: {usual:.0f} % ({low:.0f} to {high:.0f} %), a {level} for the doubt" in page
    assert "0.61 peak sun hours a day (0.25 to 1.50" in south.facts["steps"][0]
    assert "= 1.26 Wh a day" in south.facts["steps"][1]
    north, level = one(plan("watts: 3 W, faces: 0, tilt: 30 deg"))
    low, usual, high = (share * 100 for share in (north.figure.low, north.figure.value, north.figure.high))
    assert f"0.33 Wh, {usual:.0f} % ({low:.0f} to {high:.0f} %), an {level}" in page


@pytest.mark.usefixtures("_no_remedies")
def test_a_panels_day_is_that_of_pvwatts_with_its_losses() -> None:
    """PVWatts version 5: rated watts x peak sun hours x (1 - 14.0757 %) at 25 °C; 0.8 out of the battery."""
    reading, _ = one(plan("watts: 10 W, faces: 180, tilt: 30 deg", site="place: [36.1, -79.95], temperature: 2 to 30"))
    hours = float(reading.facts["steps"][0].split(": ")[1].split(" ")[0])
    assert reading.figure.value * 1.5 == pytest.approx(10 * hours * (1 - 0.140757) * 0.8, rel=0.01)
    assert 2.0 < hours < 4.0, "Greensboro, November and December by its weather file: 3.5"


@pytest.mark.usefixtures("_no_remedies")
def test_the_least_the_panel_gives_is_held_against_the_most_the_camera_takes() -> None:
    reading, _ = one(plan(day="capacity: 20 Wh", records="motion\n    events: 40\n    clip: 20 s"))
    (low, _, high), (least, _, most) = reading.facts["given"][reading.facts["worst"]], reading.facts["taken"]
    assert least < most
    assert (reading.figure.low, reading.figure.high) == pytest.approx((low / most, high / least))


@pytest.mark.usefixtures("_no_remedies")
def test_a_larger_panel_is_never_worse() -> None:
    swept = kit.sweep(CODE, lambda w: plan(f"watts: {w} W, faces: 0, tilt: 30 deg"), [3, 8, 17, 20])
    assert [level for _, level in swept] == ["error", "warning", "note", None]


@pytest.mark.usefixtures("_no_remedies")
def test_a_camera_that_takes_more_is_never_better() -> None:
    kit.sweep(CODE, lambda wh: plan(day=f"daily: {wh} Wh"), [0.1, 1, 5])


@pytest.mark.usefixtures("_no_remedies")
def test_a_battery_that_carries_the_winter_leaves_a_note() -> None:
    north = "watts: 4 W, faces: 0, tilt: 30 deg"
    assert one(plan(north))[1] == "error"
    assert one(plan(north, "daily: 1.5 Wh, capacity: 25 Wh"))[1] == "error"
    assert one(plan(north, "daily: 1.5 Wh, capacity: 400 Wh"))[1] == "note"


@pytest.mark.usefixtures("_no_remedies")
def test_what_shades_the_panel_is_named() -> None:
    behind = plan("watts: 3 W, faces: 180, tilt: 60 deg", at="wall: front, along: 3, out: 2, height: 1.5")
    (finding,) = (f for f in kit.look(behind).findings if f.code == CODE)
    assert "wall shades it" in finding.text or "roof shades it" in finding.text
    assert finding.related[0].at.kind == "building"


@pytest.mark.usefixtures("_no_remedies")
def test_a_camera_that_records_all_day_takes_its_watts() -> None:
    reading, level = one(plan(day="watts: 3 W", records="continuous"))
    assert reading.figure.value < 0.05
    assert level == "error"


@pytest.mark.usefixtures("_no_remedies")
def test_one_question_at_a_time() -> None:
    assert asked(plan("faces: 180, tilt: 30 deg")) == {"camera/cam/power/panel/watts"}
    assert asked(plan("watts: 3 W, tilt: 30 deg")) == {"camera/cam/power/panel/faces"}
    assert asked(plan("watts: 3 W, faces: 180")) == {"camera/cam/power/panel/tilt"}
    assert asked(plan(site="temperature: 2 to 30")) == {"site/site/place"}
    assert asked(plan(day="capacity: 20 Wh")) == {"camera/cam/events"}
    no_panel = plan().replace(", panel: {watts: 3 W, faces: 180, tilt: 30 deg, at: [60, 60], height: 3}", "")
    assert asked(no_panel) == {"camera/cam/power/panel"}
    assert kit.readings(no_panel.replace("source: solar", "source: battery"), CODE) == []


def test_turning_tilting_and_a_larger_panel_are_offered_as_tried() -> None:
    text = plan("watts: 3 W, faces: 270, tilt: 10 deg")
    assert kit.hold_remedies(text, CODE) >= 2
    (finding,) = (f for f in kit.look(text).findings if f.code == CODE)
    words = " ".join(remedy.text for remedy in finding.remedies)
    assert "turn the panel to the south and tilt it up to 75°" in words
    assert "fit a panel of" in words
    assert all(remedy.ladder for remedy in finding.remedies if remedy.edits)
