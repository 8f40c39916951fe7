"""A plan followed through its edits: the answer in haste is what a review gives that tries no remedies."""

from __future__ import annotations

import gc
import random
import re
import weakref
from pathlib import Path

import pytest

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Sitting
from oneclimb.engine.again import difference
from oneclimb.follow import Follower
from oneclimb.plan.read import Loaded, load
from oneclimb.review import review, world_of
from oneclimb.study import RASTER
from oneclimb.web.page import page

EXAMPLES = Path(__file__).parents[2] / "examples"
HARBOUR = (EXAMPLES / "harbour-house/as-drawn.plan.yaml").read_text(encoding="utf-8")
COTTAGE = (EXAMPLES / "two-cameras/cottage.plan.yaml").read_text(encoding="utf-8")
PIPE = "  - {id: downpipe, kind: downpipe, wall: front, along: 0.85, surface: white plastic}\n"
DEVIATION = """deviations:
  - {code: GLARE-01, at: camera/parking-cam, reason: it stays, agreed: the owner, until: 2040-01-01}
"""
EDITS = {
    "a camera moved": {"mount: {wall: back, along: 6.8": "mount: {wall: back, along: 6.3"},
    "a lamp brighter": {"lumens: 600": "lumens: 900"},
    "the pipe gone, a longer cable": {PIPE: "", "length: 21, sits: open": "length: 95, sits: box"},
    "a camera renamed, another country": {"id: garden-cam": "id: lawn-cam", "country: England": "country: Wales"},
    "a fence of brick, a new area": {
        "fence, wall: left": "fence, wall: left, surface: red brick",
        "areas:\n": "areas:\n  - {id: slip, for: detect, wall: right, along: 2 to 5, out: 1 to 3}\n",
    },
    "a new lamp": {
        "lamps:\n": "lamps:\n  - {id: spot, wall: right, along: 4, height: 3, lumens: 900, kind: halogen, lit: dusk}\n"
    },
    "a wall of brick": {"surface: white render": "surface: red brick"},
    "a nearer boundary": {"boundary: {front: 19": "boundary: {front: 17"},
    "a default written out": {"out: 6 to 22}": "out: 6 to 22, when: both}"},
    "a deviation, a name": {"switches:\n": f"{DEVIATION}switches:\n", "Samphire House": "Samphire Lodge"},
    "a lawn the sun is not near": {"out: 6 to 22, when: both}": "out: 6 to 7, when: both}"},
    "a comment": {"# down the side": "# along the side"},
}


def read(text: str, folder: Path) -> Loaded:
    file = folder / "a.plan.yaml"
    file.write_text(text, encoding="utf-8")
    return load(str(file), kit.packs().kinds, kit.schemas(), None)


def follower() -> Follower:
    return Follower(kit.packs(), None, kit.DAY)


def hold(one: Follower, loaded: Loaded, what: str) -> None:
    """The answer in haste, and its page but for the pictures, against those of a review from nothing."""
    hasty, full = one.hasten(loaded), review(loaded, kit.packs(), today=kit.DAY)
    assert hasty.findings == full.findings, what
    assert hasty.cannot_tell == full.cannot_tell, what
    assert hasty.accepted == full.accepted, what
    assert (hasty.crashes, full.crashes) == ((), ()), what
    if full.loaded.plan is None:
        assert hasty.loaded.faults == full.loaded.faults
        return
    assert one.world is not None
    fresh = Sitting(full, world_of(loaded, kit.packs(), kit.DAY))
    assert page(hasty, kit.packs(), Sitting(hasty, one.world)) == page(full, kit.packs(), fresh), what


@pytest.fixture
def untried(monkeypatch: pytest.MonkeyPatch) -> None:
    """No trials for anybody, so that a full review offers what haste may."""
    monkeypatch.setattr("oneclimb.review.MOST", 0)


@pytest.mark.usefixtures("untried")
def test_each_edit_in_haste_is_answered_as_a_review_from_nothing_would(tmp_path: Path) -> None:
    one, text = follower(), HARBOUR
    one.hasten(read(text, tmp_path))
    for what, edit in EDITS.items():
        for old, new in edit.items():
            assert old in text, what
            text = text.replace(old, new, 1)
        loaded = read(text, tmp_path)
        assert not loaded.faults, (what, loaded.faults)
        hold(one, loaded, what)


def _scaled(text: str, pick: random.Random) -> str:
    """A number somewhere, larger or smaller."""
    numbers = list(re.finditer(r"(?<=[ \[])\d+(\.\d+)?(?=[ ,}\]\n])", text))
    at = pick.choice(numbers)
    by = float(at[0]) * pick.choice((0.5, 0.9, 0.97, 1.03, 1.1, 2.0))
    return text[: at.start()] + (f"{by:.2f}" if at[1] else f"{by:.0f}") + text[at.end() :]


def _entry(text: str, pick: random.Random) -> str:
    """An entry of a list gone, doubled, or before its neighbour."""
    entries = list(re.finditer(r"^  - .*\n(?:    .*\n)*", text, re.MULTILINE))
    n = pick.randrange(len(entries) - 1)
    one, then = entries[n], entries[n + 1]
    twin = re.sub(r"id: ([\w-]+)", r"id: \1-two", one[0])
    swapped = then[0] + one[0] if one.end() == then.start() else one[0] + then[0]
    new = pick.choice((then[0], one[0] + twin + then[0], swapped))
    return text[: one.start()] + new + text[one.end() : then.start()] + text[then.end() :]


def _key(text: str, pick: random.Random) -> str:
    """A key somewhere, not said any more."""
    at = pick.choice(list(re.finditer(r", [\w-]+: [^,{}\[\]\n]+(?=[,}])", text)))
    return text[: at.start()] + text[at.end() :]


def _id(text: str, pick: random.Random) -> str:
    name = pick.choice(re.findall(r"id: ([\w-]+)", text))
    return re.sub(rf"(?<![\w-]){name}(?![\w-])", f"{name}-x", text)


@pytest.mark.usefixtures("untried")
@pytest.mark.parametrize("seed", range(3))
def test_any_edit_in_haste_is_answered_as_a_review_from_nothing_would(tmp_path: Path, seed: int) -> None:
    pick, one, text = random.Random(seed), follower(), COTTAGE  # noqa: S311 - edits, no secrets
    one.hasten(read(text, tmp_path))
    answered = 0
    for step in range(120):
        made = pick.choice((_scaled, _scaled, _scaled, _entry, _key, _id))
        loaded = read(now := made(text, pick), tmp_path)
        if loaded.plan is not None:
            hold(one, loaded, f"seed {seed}, step {step}, {made.__name__}")
            answered, text = answered + 1, now
        if answered == 8:
            break
    assert answered == 8


def test_what_is_as_it_was_keeps_its_remedies_and_the_rest_waits_for_them(tmp_path: Path) -> None:
    one, text = follower(), kit.plans(kit.packs().page("GLARE-01"))[0]
    loaded = read(text, tmp_path)
    full = review(loaded, kit.packs(), today=kit.DAY)
    assert full.findings[0].remedies
    one.hasten(loaded)
    one.settle(full.findings)
    again = one.hasten(read(text.replace("name: Lane End", "name: Lane Top"), tmp_path))
    assert again.findings == full.findings
    moved = one.hasten(read(text.replace("along: 9.7 m", "along: 9.75 m"), tmp_path))
    assert moved.findings[0].figure != full.findings[0].figure
    assert not [remedy for remedy in moved.findings[0].remedies if remedy.edits]


def test_in_haste_no_other_world_is_looked_at_for_a_remedy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def tried(*_: object, **__: object) -> None:
        raise AssertionError("a remedy was tried")

    monkeypatch.setattr("oneclimb.engine.trial.Bench._world", tried)
    assert follower().hasten(read(HARBOUR, tmp_path)).crashes == ()
    assert review(read(HARBOUR, tmp_path), kit.packs(), today=kit.DAY).crashes


def test_only_what_changed_is_cast_again(tmp_path: Path) -> None:
    one = follower()
    one.hasten(read(HARBOUR, tmp_path))
    before = one.world
    assert before is not None
    one.hasten(read(HARBOUR.replace("watts: 15 W", "watts: 25 W"), tmp_path))
    after = one.world
    assert after is not None
    for camera in after.all("camera"):
        ref = Ref("camera", camera.id)
        assert after.known_of(RASTER, ref) is before.known_of(RASTER, ref) is not None


def test_a_long_sitting_holds_one_world(tmp_path: Path) -> None:
    one, text = follower(), kit.plans(kit.packs().page("GLARE-01"))[1]
    held = []
    for step in range(50):
        one.hasten(read(text.replace("along: 8.9 m", f"along: {8.5 + step / 100:.2f} m"), tmp_path))
        assert one.world is not None
        held.append(weakref.ref(one.world))
    gc.collect()
    assert [ref() for ref in held if ref()] == [one.world]


def test_another_day_is_another_world(tmp_path: Path) -> None:
    one = follower()
    loaded = read(HARBOUR, tmp_path)
    one.hasten(loaded)
    one.today = kit.DAY.replace(year=kit.DAY.year + 1)
    one.hasten(loaded)
    assert one.world is not None
    assert one.world.since is None
    assert one.world.today == one.today


def test_a_plan_with_faults_is_answered_with_them_and_the_last_good_one_is_kept(tmp_path: Path) -> None:
    one, text = follower(), kit.plans(kit.packs().page("GLARE-01"))[1]
    one.hasten(read(text, tmp_path))
    good = one.world
    broken = one.hasten(read(text.replace("site:", "sitte:"), tmp_path))
    assert [fault.code for fault in broken.loaded.faults]
    assert one.world is good
    assert one.hasten(read(text, tmp_path)).loaded.plan is not None


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


def test_a_default_that_is_written_out_is_a_difference(tmp_path: Path) -> None:
    """A study may ask whether a thing is said or only taken: the value alone does not tell."""
    old = read(HARBOUR, tmp_path).plan
    new = read(HARBOUR.replace("out: 6 to 22}", "out: 6 to 22, when: both}"), tmp_path).plan
    assert old is not None
    assert new is not None
    assert old.areas == new.areas
    assert [change.at for change in difference(old, new) or ()] == [Ref("area", "lawn")]


@pytest.mark.parametrize("old", ["  place: [50.2, -5.4]", "boundary: {front: 19"])
def test_what_touches_everything_leaves_nothing_of_use_or_changes_the_site(tmp_path: Path, old: str) -> None:
    new = {"  place: [50.2, -5.4]": "  place: [51.2, -5.4]"}.get(old, "boundary: {front: 17")
    plans = [read(text, tmp_path).plan for text in (HARBOUR, HARBOUR.replace(old, new))]
    assert plans[0] is not None
    assert plans[1] is not None
    changes = difference(plans[0], plans[1])
    assert changes is None or [change.at for change in changes] == [Ref("site", "site")]
    assert (changes is None) == (old == "boundary: {front: 19")
