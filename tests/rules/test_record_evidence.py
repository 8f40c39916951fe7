"""RECORD-08 and RECORD-09: whether the evidence is still there, and whether it was handed over."""

from __future__ import annotations

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.record.goes_with_recorder import GoesWithRecorder
from oneclimb_rules.record.handed_over import HandedOver

SAFE = "copy: elsewhere, alerts: true"


def plan(recorder: str, *, card: str = "", stage: str = "design", cameras: str = "ab") -> str:
    """Cameras on a wall, and the recorder in the hall behind it."""
    listed = "".join(
        f"  - {{id: {name}, mount: {{wall: front, along: {n * 2 + 3}, height: 3}}, aim: step, watches: [step], "
        f"night: none, recorder: nvr{card}}}\n"
        for n, name in enumerate(cameras)
    )
    return f"""
site: {{stage: {stage}}}
house: {{front: {{faces: 180, width: 20}}, depth: 7, height: 5}}
areas: [{{id: step, for: detect, wall: front, along: 4, out: 1}}]
cameras:
{listed}recorders: [{{id: nvr, wants: 1 days, {recorder}}}]
"""


def built(handling: str, proofs: str = "", stage: str = "as-built", records: str = "motion") -> str:
    """A site and what was handed over."""
    return f"""
site: {{stage: {stage}{handling and f", handling: {{{handling}}}"}}}
house: {{front: {{faces: 180, width: 20}}, depth: 7, height: 5}}
cameras: [{{id: cam, mount: {{wall: front, along: 4, height: 3}}, night: none, records: {records}}}]
proofs: [{proofs}]
"""


def told(text: str, code: str) -> dict[str, str]:
    return {finding.key: finding.level for finding in kit.look(text).findings if finding.code == code}


def asked(text: str, code: str) -> set[str]:
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


@pytest.mark.parametrize("rule", [GoesWithRecorder, HandedOver])
def test_the_page_holds(rule: type[GoesWithRecorder | HandedOver]) -> None:
    kit.hold_page(rule)


@pytest.mark.parametrize(
    ("recorder", "card", "copies", "level"),
    [
        ("copy: none, locked: false, alerts: true", "", 0.0, "warning"),
        ("copy: none, locked: true, alerts: true", "", 0.0, "note"),
        ("copy: none, alerts: true", "", 0.0, "note"),
        (f"{SAFE}, locked: false", "", 1.0, None),
        ("copy: cloud, locked: false, alerts: true", "", 1.0, None),
        ("copy: none, locked: false, alerts: true", ", card: {size: 64 GB}", 1.0, None),
        (f"{SAFE}, locked: false", ", card: {size: 64 GB}", 2.0, None),
    ],
)
def test_copies_left_are_counted(recorder: str, card: str, copies: float, level: str | None) -> None:
    text = plan(recorder, card=card)
    got = {reading.key: reading.figure.value for reading, _ in kit.readings(text, "RECORD-08")}
    assert got["taken"] == copies
    assert told(text, "RECORD-08") == ({"taken": level} if level else {})


def test_the_pages_worked_example_of_copies() -> None:
    page = " ".join(page_path(GoesWithRecorder).read_text(encoding="utf-8").split())
    assert "no copy elsewhere: 0 copies left, a warning if the recorder is not locked away" in page


def test_the_ground_it_films_is_named_where_it_stands_near() -> None:
    near, far = "wall: front, along: 4, out: -1", "wall: front, along: 18, out: -6"
    for where, said in ((near, "it stands 2.00 m from step, which it films"), (far, "takes the evidence")):
        (finding,) = (
            f
            for f in kit.look(plan(f"copy: none, locked: false, alerts: true, {where}, height: 1")).findings
            if f.key == "taken"
        )
        assert finding.text.endswith(said)


def test_what_matters_of_the_copies_is_asked() -> None:
    assert asked(plan("alerts: true"), "RECORD-08") == {"recorder/nvr/copy"}
    assert asked(plan("alerts: true", card=", card: {size: 64 GB}"), "RECORD-08") == set()
    assert asked(plan("copy: none, alerts: true"), "RECORD-08") == {"recorder/nvr/locked"}
    assert asked(plan("copy: elsewhere"), "RECORD-08") == {"recorder/nvr/alerts"}
    assert asked(plan(SAFE, cameras=""), "RECORD-08") == set()


def test_no_alerts_is_a_warning_for_all_its_cameras() -> None:
    text = plan("copy: elsewhere, alerts: false", cameras="abc")
    got = {reading.key: reading.figure.value for reading, _ in kit.readings(text, "RECORD-08")}
    assert got["dies"] == 3
    assert told(text, "RECORD-08") == {"dies": "warning"}


def test_copies_and_alerts_are_tried_while_it_is_a_design() -> None:
    text = "copy: none, locked: false, alerts: false"
    assert kit.hold_remedies(plan(text), "RECORD-08") == 3
    for finding in kit.look(plan(text, stage="as-built")).findings:
        assert finding.code != "RECORD-08" or not any(remedy.edits for remedy in finding.remedies)


# -------------------------------------------------------------------------- handed over

CLIP = "{id: clip, kind: export, when: 2026-05-02, passed: true}"
ALL = "account: owner, labels: true, drawing: true"


@pytest.mark.parametrize(
    ("handling", "proofs", "levels"),
    [
        (ALL, CLIP, {}),
        ("account: installer, labels: true, drawing: true", CLIP, {"handling.account": "warning"}),
        ("account: owner, labels: false, drawing: true", CLIP, {"handling.labels": "note"}),
        ("account: owner, labels: true, drawing: false", CLIP, {"handling.drawing": "note"}),
        (ALL, "", {"export": "warning"}),
        (ALL, "{id: a, kind: day, passed: true}", {"export": "warning"}),
        (ALL, CLIP.replace("true", "false"), {"export": "error"}),
        (ALL, CLIP.replace("true", "false") + ", {id: b, kind: export, when: 2026-05-03, passed: true}", {}),
        (ALL, CLIP + ", {id: b, kind: export, when: 2026-05-03, passed: false}", {"export": "error"}),
    ],
)
def test_each_line_of_the_handover_counts(handling: str, proofs: str, levels: dict[str, str]) -> None:
    assert told(built(handling, proofs), "RECORD-09") == levels


def test_silence_about_the_handover_is_asked_once_it_is_built() -> None:
    silent = {f"site/site/handling/{field}" for field in ("account", "labels", "drawing")}
    assert asked(built("", CLIP), "RECORD-09") == silent
    assert told(built("", CLIP), "RECORD-09") == {}
    assert asked(built(ALL, "{id: clip, kind: export}"), "RECORD-09") == {"proof/clip/passed"}


@pytest.mark.parametrize("stage", ["design", "ready"])
def test_before_it_is_built_nothing_is_asked_or_told(stage: str) -> None:
    text = built("account: installer, labels: false, drawing: false", stage=stage)
    assert told(text, "RECORD-09") == {}
    assert asked(built("", stage=stage), "RECORD-09") == set()


def test_where_nothing_is_recorded_no_clip_is_wanted() -> None:
    assert told(built(ALL, records="none"), "RECORD-09") == {}


def test_no_remedy_writes_what_a_person_has_to_do() -> None:
    text = built("account: installer, labels: false, drawing: false")
    found = [finding for finding in kit.look(text).findings if finding.code == "RECORD-09"]
    assert len(found) == 4
    assert not any(remedy.edits for finding in found for remedy in finding.remedies)
    page = " ".join(page_path(HandedOver).read_text(encoding="utf-8").split())
    assert "the installer holds the account: 2 of 3, a warning" in page
