"""RECORD-04, RECORD-05 and RECORD-06: what was stated of the pictures, of others in them, and of their time."""

from __future__ import annotations

import pytest

from oneclimb import kit
from oneclimb.register import page_path
from oneclimb_rules.record.clock_drifts import OFF, PPM, ClockDrifts
from oneclimb_rules.record.kept_too_long import KeptTooLong
from oneclimb_rules.record.others_seen import OthersSeen

KEEPS = "handling: {keeps: 14 days, most: 31 days}"


def kept(recorder: str, handling: str = KEEPS, keys: str = "records: continuous") -> str:
    """Two cameras and their recorder."""
    return f"""
site: {{{handling}}}
house: {{front: {{faces: 180, width: 20}}, depth: 7, height: 5}}
types: {{t: {{night: none, {keys}, bitrate: 4 Mbit/s, night-bitrate: 4 Mbit/s, recorder: nvr}}}}
cameras:
  - {{id: a, type: t, mount: {{wall: front, along: 5, height: 3}}}}
  - {{id: b, type: t, mount: {{wall: front, along: 9, height: 3}}}}
recorders: [{{id: nvr, {recorder}}}]
"""


def seen(
    handling: str = "", *, stage: str = "design", cameras: int = 1, keys: str = "", beyond: str = "public way",
    out: float = 5.0,
) -> str:  # fmt: skip
    """Cameras over a door that look out over the boundary."""
    listed = "".join(
        f"  - {{id: cam-{n}, mount: {{wall: front, along: {4 + n}, height: 2.7}}, night: none, view: 60 deg, "
        f"aim: {{wall: front, along: {4 + n}, out: {out}, height: 1}}{keys}}}\n"
        for n in range(cameras)
    )
    said = f"handling: {{{handling}}}, " if handling else ""
    return f"""
site: {{{said}stage: {stage}}}
house: {{front: {{faces: 200, width: 10}}, depth: 7, height: 5}}
boundary: {{front: 6, right: 6, back: 14, left: 6}}
beyond: {{front: {beyond}, others: neighbour}}
cameras:
{listed}"""


def told(text: str, code: str) -> dict[str, str]:
    return {finding.key: finding.level for finding in kit.look(text).findings if finding.code == code}


def asked(text: str, code: str) -> set[str]:
    return {item.ref.path for item in kit.look(text).cannot_tell if item.code == code}


@pytest.mark.parametrize("rule", [KeptTooLong, OthersSeen, ClockDrifts])
def test_the_page_holds(rule: type[KeptTooLong | OthersSeen | ClockDrifts]) -> None:
    kit.hold_page(rule)


# ------------------------------------------------------------------------ kept too long


def test_more_days_are_never_milder() -> None:
    swept = kit.sweep("RECORD-04", lambda days: kept(f"wants: {days} days"), [7, 14, 15, 31, 56, 57], key="stated")
    assert [level for _, level in swept] == [None, None, "warning", "warning", "warning", "error"]
    swept = kit.sweep("RECORD-04", lambda days: kept(f"wants: {days} days"), [7, 31, 32, 90], key="most")
    assert [level for _, level in swept] == [None, None, "error", "error"]


def test_the_pages_worked_example_of_days_is_what_the_rule_computes() -> None:
    page = " ".join(page_path(KeptTooLong).read_text(encoding="utf-8").split())
    assert f"{30 / 14:.2f} times, a warning" in page
    assert told(kept("wants: 30 days"), "RECORD-04") == {"stated": "warning"}
    assert told(kept("wants: 30 days", KEEPS.replace("31", "21")), "RECORD-04") == {
        "stated": "warning",
        "most": "error",
    }


def test_where_no_days_are_wanted_the_disks_tell_how_long() -> None:
    assert told(kept("disks: [6 TB]"), "RECORD-04") == {"stated": "error", "most": "error"}
    assert told(kept("disks: [1 TB]"), "RECORD-04") == {}
    assert asked(kept("channels: 8"), "RECORD-04") == {"recorder/nvr/wants"}
    assert asked(kept("disks: [1 TB, 1 TB]"), "RECORD-04") == {"recorder/nvr/wants"}


def test_where_nothing_was_stated_nothing_is_held_against_it() -> None:
    assert kit.readings(kept("wants: 300 days", "handling: {sign: up}"), "RECORD-04") == []
    assert kit.readings(kept("wants: 300 days", "clock: 0"), "RECORD-04") == []


def test_erasing_in_time_is_tried() -> None:
    assert kit.hold_remedies(kept("wants: 30 days, disks: [4 TB]"), "RECORD-04") == 1


# ----------------------------------------------------------------------- others are seen


def test_no_sign_where_the_street_shows_is_a_warning() -> None:
    assert told(seen("sign: none, purpose: p, keeps: 7 days"), "RECORD-05") == {"sign": "warning"}
    assert told(seen("sign: up, purpose: p, keeps: 7 days"), "RECORD-05") == {}
    assert told(seen("sign: planned, purpose: p, keeps: 7 days"), "RECORD-05") == {}
    page = " ".join(page_path(OthersSeen).read_text(encoding="utf-8").split())
    assert "one camera over the door shows the street; the plan says there is no sign: 1 camera" in page


def test_a_sign_still_planned_is_late_once_it_is_built() -> None:
    built = seen("sign: planned, purpose: p, keeps: 7 days", stage="as-built")
    assert told(built, "RECORD-05")["sign"] == "warning"


def test_where_nobody_else_shows_nothing_is_asked_or_told() -> None:
    assert kit.readings(seen("sign: none", out=1.0), "RECORD-05") == []
    assert asked(seen(out=1.0), "RECORD-05") == set()


def test_silence_is_asked_about_once_for_the_site() -> None:
    assert asked(seen(cameras=3), "RECORD-05") == {"site/site/handling/sign", "site/site/handling/purpose"}
    assert asked(seen("sign: up, purpose: p"), "RECORD-05") == {"site/site/handling/keeps"}
    assert asked(seen("sign: up, keeps: 7 days", keys=", purpose: who comes"), "RECORD-05") == set()
    assert told(seen(cameras=3), "RECORD-05") == {}


def test_one_purpose_for_several_cameras_is_a_note() -> None:
    said = "sign: up, purpose: p, keeps: 7 days"
    assert told(seen(said, cameras=2), "RECORD-05") == {"purpose": "note"}
    assert told(seen(said, cameras=2, keys=", purpose: who comes"), "RECORD-05") == {}
    assert told(seen(said, cameras=1), "RECORD-05") == {}


@pytest.mark.parametrize("stage", ["design", "ready", "as-built"])
def test_a_neighbours_word_is_left_to_the_rule_on_each_view(stage: str) -> None:
    text = seen("sign: up, purpose: p, keeps: 7 days", beyond="neighbour", stage=stage)
    assert told(text, "RECORD-05") == {}
    (view,) = (finding for finding in kit.look(text).findings if finding.code == "VIEW-02")
    assert any("agree it with them" in remedy.text for remedy in view.remedies)


def test_what_shows_of_others_is_what_the_overlap_rule_finds() -> None:
    text = seen("sign: none, purpose: p, keeps: 7 days", cameras=2)
    (sign,) = (f for f in kit.look(text).findings if f.code == "RECORD-05" and f.key == "sign")
    overlap = {f.at.id: f.figure for f in kit.look(text).findings if f.code == "VIEW-02" and f.figure}
    assert {related.at.id: related.text for related in sign.related} == {
        name: f"shows others at up to {figure.value:.0f} px/m" for name, figure in overlap.items()
    }


def test_a_mask_set_in_the_camera_spares_others() -> None:
    mask = ", masks: [{id: all, outline: [[0, 0], [1, 0], [1, 1], [0, 1]], set: in-camera}]"
    assert kit.readings(seen("sign: none", keys=mask), "RECORD-05") == []


@pytest.mark.parametrize("handling", ["sign: none, purpose: p, keeps: 7 days", "sign: up, purpose: p, keeps: 1 days"])
def test_nothing_is_ever_called_lawful(handling: str) -> None:
    for finding in kit.look(seen(handling, cameras=2, stage="as-built", beyond="neighbour")).findings:
        words = " ".join((finding.text, *(remedy.text for remedy in finding.remedies)))
        assert not finding.code.startswith("RECORD") or "lawful" not in words


# ------------------------------------------------------------------------------- clocks


def clocked(recorder: str, camera: str = "network", stage: str = "design") -> str:
    return kept(
        f"wants: 7 days{recorder and f', clock: {recorder}'}",
        f"stage: {stage}",
        f"records: motion{camera and f', clock: {camera}'}",
    )


def test_drift_is_parts_in_a_million_of_the_time() -> None:
    """20 ppm is 1.7 s a day, and 2 ppm about a minute a year, as data sheets of crystals and clock chips print
    (from memory, check against the document).
    """
    assert pytest.approx(1.7, abs=0.03) == 20e-6 * 86400
    assert pytest.approx(60, abs=4) == 2e-6 * 86400 * 365
    assert pytest.approx(tuple(ppm * 1e-6 * 86400 * 182.5 for ppm in PPM)) == OFF["hand"]
    page = " ".join(page_path(ClockDrifts).read_text(encoding="utf-8").split())
    low, usual, high = OFF["hand"]
    assert f"= {usual:.0f} s, of {low:.0f} to {high:.0f}" in page


@pytest.mark.parametrize(
    ("recorder", "camera", "level"),
    [
        ("network", "network", None),
        ("hand", "network", "note"),
        ("network", "hand", "note"),
        ("none", "hand", "warning"),
    ],
)
def test_the_worst_clock_counts(recorder: str, camera: str, level: str | None) -> None:
    assert told(clocked(recorder, camera), "RECORD-06") == ({"": level} if level else {})


def test_all_clocks_by_the_network_are_tried() -> None:
    assert kit.hold_remedies(clocked("hand", "none"), "RECORD-06") == 1
    (built,) = (f for f in kit.look(clocked("hand", stage="ready")).findings if f.code == "RECORD-06")
    assert not any(remedy.edits for remedy in built.remedies)


def test_recorders_are_asked_for_their_clock_cameras_only_once_it_is_to_be_built() -> None:
    assert asked(clocked(""), "RECORD-06") == {"recorder/nvr/clock"}
    assert asked(clocked("network", ""), "RECORD-06") == set()
    assert asked(clocked("network", "", "ready"), "RECORD-06") == {"camera/a/clock", "camera/b/clock"}
