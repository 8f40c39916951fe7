"""A plan followed through its edits: the answer in haste finds what a full review finds."""

from __future__ import annotations

from pathlib import Path

import pytest

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.engine.again import difference
from oneclimb.follow import Follower
from oneclimb.plan.read import Loaded, load
from oneclimb.review import Review, review
from oneclimb.study import RASTER

HARBOUR = (Path(__file__).parents[2] / "examples/harbour-house/as-drawn.plan.yaml").read_text(encoding="utf-8")
PIPE = "  - {id: downpipe, kind: downpipe, wall: front, along: 0.85, surface: white plastic}\n"
EDITS = (
    ("mount: {wall: back, along: 6.8", "mount: {wall: back, along: 6.3"),
    ("lumens: 600", "lumens: 900"),
    (PIPE, ""),
    ("id: garden-cam", "id: lawn-cam"),
    ("country: England", "country: Wales"),
    ("fence, wall: left", "fence, wall: left, surface: red brick"),
    ("areas:\n", "areas:\n  - {id: slip, for: detect, wall: right, along: 2 to 5, out: 1 to 3}\n"),
    ("lamps:\n", "lamps:\n  - {id: spot, wall: right, along: 4, height: 3, lumens: 900, kind: halogen, lit: dusk}\n"),
    ("surface: white render", "surface: red brick"),
    ("boundary: {front: 19", "boundary: {front: 17"),
    ("length: 21, sits: open", "length: 95, sits: box"),
    (PIPE.replace("0.85", "0.9"), PIPE.replace("0.85", "0.9")),
)


def read(text: str, folder: Path) -> Loaded:
    file = folder / "a.plan.yaml"
    file.write_text(text, encoding="utf-8")
    return load(str(file), kit.packs().kinds, kit.schemas(), None)


def told(answer: Review) -> list[tuple[object, ...]]:
    return [(one.path, one.level, one.figure, one.related, one.softened) for one in answer.findings]


def test_each_edit_in_haste_finds_what_a_review_from_nothing_finds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("oneclimb.review.MOST", 0)
    follower, text = Follower(kit.packs(), None, kit.DAY), HARBOUR
    follower.hasten(read(text, tmp_path))
    for old, new in EDITS:
        text = text.replace(old, new, 1)
        loaded = read(text, tmp_path)
        assert not loaded.faults, (old, loaded.faults)
        hasty, full = follower.hasten(loaded), review(loaded, kit.packs(), today=kit.DAY)
        assert told(hasty) == told(full), old
        assert hasty.cannot_tell == full.cannot_tell, old
        assert not hasty.crashes


def test_what_is_as_it_was_keeps_its_remedies_and_the_rest_waits_for_them(tmp_path: Path) -> None:
    follower = Follower(kit.packs(), None, kit.DAY)
    page = kit.plans(kit.packs().page("GLARE-01"))[0]
    loaded = read(page, tmp_path)
    full = review(loaded, kit.packs(), today=kit.DAY)
    assert full.findings[0].remedies
    follower.hasten(loaded)
    follower.settle(full.findings)
    again = follower.hasten(read(page.replace("name: Lane End", "name: Lane Top"), tmp_path))
    assert again.findings == full.findings
    moved = follower.hasten(read(page.replace("along: 9.7 m", "along: 9.75 m"), tmp_path))
    assert moved.findings[0].figure != full.findings[0].figure
    assert not [remedy for remedy in moved.findings[0].remedies if remedy.edits]


def test_only_what_changed_is_cast_again(tmp_path: Path) -> None:
    follower = Follower(kit.packs(), None, kit.DAY)
    follower.hasten(read(HARBOUR, tmp_path))
    before = follower.world
    assert before is not None
    follower.hasten(read(HARBOUR.replace("watts: 15 W", "watts: 25 W"), tmp_path))
    after = follower.world
    assert after is not None
    for camera in after.all("camera"):
        ref = Ref("camera", camera.id)
        assert after.known_of(RASTER, ref) is before.known_of(RASTER, ref) is not None


def test_a_long_sitting_holds_one_world(tmp_path: Path) -> None:
    follower = Follower(kit.packs(), None, kit.DAY)
    text = kit.plans(kit.packs().page("GLARE-01"))[1]
    for step in range(12):
        follower.hasten(read(text.replace("along: 8.9 m", f"along: {8.5 + step / 100:.2f} m"), tmp_path))
        assert follower.world is not None
        assert follower.world._before is None


def test_a_plan_with_faults_is_answered_with_them_and_the_last_good_one_is_kept(tmp_path: Path) -> None:
    follower = Follower(kit.packs(), None, kit.DAY)
    text = kit.plans(kit.packs().page("GLARE-01"))[1]
    follower.hasten(read(text, tmp_path))
    good = follower.world
    broken = follower.hasten(read(text.replace("site:", "sitte:"), tmp_path))
    assert [fault.code for fault in broken.loaded.faults]
    assert follower.world is good
    assert follower.hasten(read(text, tmp_path)).loaded.plan is not None


def test_the_difference_names_each_thing_once(tmp_path: Path) -> None:
    old = read(HARBOUR, tmp_path).plan
    new = read(HARBOUR.replace("id: garden-cam", "id: lawn-cam").replace("lumens: 600", "lumens: 900"), tmp_path).plan
    assert old is not None
    assert new is not None
    changes = difference(old, new)
    assert changes is not None
    at = [change.at for change in changes]
    assert len(at) == len(set(at))
    assert {Ref("camera", "garden-cam"), Ref("camera", "lawn-cam"), Ref("lamp", "porch")} <= set(at)
    assert Ref("camera", "step-cam") not in at
    assert difference(old, old) == ()
