"""VIEW-12: what a microphone hears beyond the boundary."""

import math

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.view.overlap import OPEN, PRIVATE
from oneclimb_rules.view.sound_beyond import SoundBeyond

CODE = "VIEW-12"


def plan(right: float = 5, camera: str = "microphone: true", *, beyond: str = "beyond: {others: neighbour}") -> str:
    """A camera at the right end of a front wall, at mouth height."""
    return f"""
house: {{front: {{faces: 180, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 60, right: {right}, back: 60, left: 60}}
{beyond}
cameras:
  - {{id: cam, mount: {{wall: front, along: 10, height: 1.5}}, aim: {{tilt: 15}}, night: none, {camera}}}
"""


def levels(text: str) -> dict[str, str | None]:
    return {reading.key: level for reading, level in kit.readings(text, CODE)}


def asked(text: str) -> set[str]:
    return {c.ref.path for c in kit.look(text).cannot_tell if c.code == CODE}


def test_the_page_holds() -> None:
    kit.hold_page(SoundBeyond)


def test_the_pages_worked_example_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(SoundBeyond).read_text(encoding="utf-8").split())
    left = 60 - 20 * math.log10(4.0)
    assert f"60 − 20 log10(4.0) = {left:.1f} dB(A), {left - 40:.1f} dB over the background" in page
    assert f"heard from {10 ** (15 / 20):.1f} to {10 ** (25 / 20):.1f} m off" in page
    ((reading, _),) = kit.readings(plan(4.0), CODE)
    assert reading.figure.value == pytest.approx(left - 40, abs=0.01)
    assert reading.figure.high - reading.figure.low == pytest.approx(10.0)


def test_how_high_it_hangs_counts() -> None:
    """3 m over a mouth and 4 m aside: 5 m."""
    ((reading, _),) = kit.readings(plan(4.0).replace("height: 1.5", "height: 4.5"), CODE)
    assert reading.figure.value == pytest.approx(60 - 20 * math.log10(5.0) - 40, abs=0.01)


def test_nearer_is_never_quieter() -> None:
    swept = kit.sweep(CODE, plan, [50, 20, 10.5, 9.5, 5, 3, 1.7, 1, 0.3], key=PRIVATE)
    found = [level for _, level in swept]
    assert found[:3] == [None, None, None]
    assert found[3] == "note"
    assert found[-1] == "warning"


def test_a_public_way_or_a_neighbour_who_agrees_is_never_more_than_a_note() -> None:
    assert levels(plan(0.5, beyond="beyond: {others: public way}")) == {OPEN: "note"}
    agreed = "neighbours: [{id: ash, side: right, agrees: {who: the neighbour, when: 2026-03-01, what: sound}}]"
    assert levels(plan(0.5, beyond=agreed)) == {OPEN: "note"}


def test_it_asks_only_where_the_answer_matters() -> None:
    place = "mount: {wall: front, along: 5, height: 2.5}, aim: {tilt: 20}"
    other = f"  - {{id: other, {place}, night: none, microphone: false}}\n"
    near, far = (plan(right, "records: motion") + other for right in (2, 50))
    assert asked(near) == {"camera/cam/microphone"}
    assert levels(near) == {}
    assert asked(far) == set()
    assert asked(plan(2, "records: motion")) == set()


def test_without_a_boundary_it_cannot_tell() -> None:
    text = plan().replace("boundary: {front: 60, right: 5, back: 60, left: 60}\nbeyond: {others: neighbour}\n", "")
    assert asked(text) == {"site/site/boundary"}


def test_the_boundary_counts_where_nothing_is_told_of_what_lies_past_it() -> None:
    assert levels(plan(1, beyond="")) == {PRIVATE: "warning"}


def test_indoors_or_switched_off_it_is_silent() -> None:
    assert levels(plan(1, "microphone: true, sits: indoors")) == {}
    assert levels(plan(1, "microphone: false")) == {}


def test_switching_it_off_is_tried() -> None:
    assert kit.hold_remedies(plan(1), CODE) == 1
