"""RECORD-03 and RECORD-10: a card that wears out, holds little, or is the only copy."""

from __future__ import annotations

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.record.card_wear import CardWear
from oneclimb_rules.record.only_on_card import OnlyOnCard

RATE = "bitrate: 4 Mbit/s, night-bitrate: 4 Mbit/s"


def plan(
    card: str = "size: 64 GB, endurance: 12 TB", *, records: str = "continuous", height: float = 3.5,
    keys: str = RATE, more: str = "",
) -> str:  # fmt: skip
    """One camera with a card."""
    return f"""
house: {{front: {{faces: 180, width: 20}}, depth: 7, height: 5}}
cameras:
  - id: cam
    mount: {{wall: front, along: 5, height: {height}}}
    night: none
    {f"records: {records}" if records else ""}
    {keys.replace(", ", chr(10) + "    ")}
    card: {{{card}}}
    {more}
"""


NVR = "recorder: nvr\nrecorders: [{id: nvr}]"


def figures(text: str, code: str = "RECORD-03") -> dict[str, float]:
    return {reading.key: reading.figure.value for reading, _ in kit.readings(text, code)}


def told(text: str, code: str = "RECORD-03") -> dict[str, str]:
    return {finding.key: finding.level for finding in kit.look(text).findings if finding.code == code}


def asked(text: str) -> set[str]:
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == "RECORD-03"}


@pytest.mark.parametrize("rule", [CardWear, OnlyOnCard])
def test_the_page_holds(rule: type[CardWear | OnlyOnCard]) -> None:
    kit.hold_page(rule)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    """4 Mbit/s for 365 days, counted in bits: 4e6 x 86400 x 365 / 8 = 15.768e12 bytes."""
    written = 4e6 * 86400 * 365 / 8 / 1e12
    page = " ".join(page_path(CardWear).read_text(encoding="utf-8").split())
    got = figures(plan())
    assert got["wear"] == pytest.approx(12 / written)
    assert f"are {written:.1f} TB a year" in page
    assert f"lasts {got['wear']:.2f} years, a warning, and holds {got['days']:.1f} days" in page
    assert f"Rated for 60 TB it lasts {60 / written:.1f}" in page
    assert told(plan()) == {"wear": "warning", "days": "warning"}


def test_a_tougher_card_never_lasts_less_long() -> None:
    swept = kit.sweep(
        "RECORD-03", lambda tera: plan(f"size: 64 GB, endurance: {tera} TB"), [4, 7, 8, 15, 16, 47, 48, 99], key="wear"
    )
    assert [level for _, level in swept] == ["error", "error", "warning", "warning", "note", "note", None, None]


def test_a_larger_card_never_holds_fewer_days() -> None:
    swept = kit.sweep(
        "RECORD-03", lambda size: plan(f"size: {size} GB, endurance: 99 TB"), [32, 64, 128, 256, 512], key="days"
    )
    assert [level for _, level in swept] == ["warning", "warning", "note", "note", None]


def test_an_unknown_endurance_is_estimated_doubted_and_asked_for() -> None:
    text = plan("size: 64 GB")
    assert told(text)["wear"] == "note"
    assert asked(text) == {"camera/cam/card.endurance".replace(".", "/")}
    assert asked(plan("size: 1024 GB", keys="bitrate: 1 Mbit/s, night-bitrate: 1 Mbit/s")) == set()


def test_what_must_be_known_is_asked() -> None:
    assert asked(plan(records="")) == {"camera/cam/records"}
    assert asked(plan("endurance: 12 TB")) == {"camera/cam/card/size"}
    assert told(plan("endurance: 12 TB")) == {}
    assert told(plan("endurance: 12 TB", more=NVR)) == {"wear": "note"}


def test_a_camera_that_records_nothing_wears_no_card() -> None:
    assert figures(plan(records="none")) == {}
    assert figures(plan(records="none"), "RECORD-10") == {}


def test_beside_a_recorder_the_wear_is_a_note_and_the_days_are_not_told() -> None:
    assert told(plan("size: 64 GB, endurance: 4 TB", more=NVR)) == {"wear": "note"}


@pytest.mark.parametrize("card", ["size: 64 GB, endurance: 12 TB", "size: 32 GB"])
def test_what_is_tried_clears_or_lessens(card: str) -> None:
    assert kit.hold_remedies(plan(card), "RECORD-03") >= 3


def test_the_only_copy_is_a_warning_in_reach_and_a_note_above() -> None:
    levels = [told(plan(height=height), "RECORD-10").get("") for height in (2.2, 2.45, 2.7, 4.0)]
    assert levels == ["warning", "warning", "note", "note"]
    assert told(plan(height=2.2, more="sits: indoors"), "RECORD-10") == {"": "note"}


def test_with_a_recorder_a_copy_is_left() -> None:
    assert figures(plan(height=2.2, more=NVR), "RECORD-10") == {"": 1.0}
    assert told(plan(height=2.2, more=NVR), "RECORD-10") == {}
    page = " ".join(page_path(OnlyOnCard).read_text(encoding="utf-8").split())
    assert "a camera at 2.2 m with a card and no recorder: 0 copies left, a warning; at 3.5 m a note" in page
