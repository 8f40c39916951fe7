"""The second process's answers: what is taken from the last one is what would be drawn anew, and nothing is lost."""

from __future__ import annotations

import multiprocessing
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import Change, Ref
from oneclimb.draw import Picture, Sitting, ink, pictures
from oneclimb.follow import Follower
from oneclimb.plan.limits import Limits
from oneclimb.plan.read import load
from oneclimb.review import Review, review, world_of
from oneclimb.web import whole
from oneclimb.web.page import DRAWING, page
from oneclimb.web.plate import plate
from oneclimb.web.serve import Page
from oneclimb.web.watch import Watch
from oneclimb.web.whole import Asked, Failed, State, Tried, Whole

PLAN = kit.plans(kit.packs().page("GLARE-01"))[0]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    one = tmp_path / "lane.plan.yaml"
    one.write_text(PLAN, encoding="utf-8")
    return one


@pytest.fixture(autouse=True)
def one_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(whole, "hands", lambda: 1)


def looked_at(file: Path, changed: Change | None = None) -> Sitting:
    loaded = load(str(file), kit.packs().kinds, kit.schemas(), None)
    world = world_of(loaded, kit.packs(), kit.DAY)
    return Sitting(Review(str(file), loaded), world.vary(changed) if changed else world)


def keys(sitting: Sitting) -> dict[str, str]:
    return {one.name: whole.key(one, ink.drawn(one)) for one in pictures(sitting)}


# ------------------------------------------------------------------------ the pictures


def test_a_picture_of_the_very_same_has_the_same_key_and_any_other_another(file: Path) -> None:
    first = keys(looked_at(file))
    assert len(set(first.values())) == len(first)
    file.write_text(PLAN.replace("cameras:", "# a comment\ncameras:"), encoding="utf-8")
    assert keys(looked_at(file)) == first


def test_what_an_edit_does_to_a_picture_shows_in_its_key(file: Path) -> None:
    """Held against the bytes: keys differ exactly where the drawn pictures do."""
    weaker = PLAN.replace("infrared: 30 m", "infrared: 24 m")
    assert weaker != PLAN
    seen = []
    for text in (PLAN, weaker):
        file.write_text(text, encoding="utf-8")
        sitting = looked_at(file)
        seen.append((keys(sitting), {one.name: plate(one) for one in pictures(sitting)}))
    (old, drawn), (new, redrawn) = seen
    assert old.keys() == new.keys()
    differs = {name for name in old if old[name] != new[name]}
    assert differs >= {name for name in drawn if drawn[name] != redrawn[name]}
    assert any(name.startswith("night") for name in differs)
    assert not any(name.startswith("day") for name in differs)


def test_a_kept_plate_is_taken_and_is_what_would_be_drawn(file: Path) -> None:
    one = next(picture for picture in pictures(looked_at(file)) if picture.kind == "day")
    made, new = whole.again(one, {})
    assert new == plate(one)
    kept = replace(new, name="as it was")
    assert whole.again(one, {made: kept}) == (made, kept)


@pytest.mark.parametrize("field", ["name", "title", "said"])
def test_what_a_picture_says_is_part_of_its_key(file: Path, field: str) -> None:
    one = next(pictures(looked_at(file), ["day"]))
    figure = ink.drawn(one)
    assert whole.key(one, figure) != whole.key(replace(one, **{field: "other"}), figure)
    assert whole.key(one, figure) != whole.key(replace(one, about=Ref("camera", "other")), figure)
    assert whole.key(one, figure) != whole.key(replace(one, finding=7), figure)


# ------------------------------------------------------------------------- the answers

Ask = Callable[..., list[Any]]


@pytest.fixture
def ask(file: Path) -> Ask:
    """Ask for states of the plan, the last of them the newest, and let go; gives all answers."""

    def asked(*numbers: int) -> list[Any]:
        newest: Any = multiprocessing.get_context("spawn").Value("i", numbers[-1])
        link: Any = _Link([State(number, kit.DAY) for number in numbers])
        with pytest.raises(EOFError):
            whole.answer_all(Asked(str(file), None, Limits()), kit.packs(), kit.schemas(), newest, link)
        answers: list[Any] = link.answers
        return answers

    return asked


class _Link:
    """A link whose other end asks, takes every answer, and lets go."""

    def __init__(self, asked: list[State]) -> None:
        self.asked, self.answers = asked, list[Any]()
        self.send = self.answers.append

    def recv(self) -> State:
        if not self.asked:
            raise EOFError
        return self.asked.pop(0)


def test_remedies_come_first_and_then_the_page_that_the_report_writes(ask: Ask, file: Path) -> None:
    tried, answer = ask(4)
    assert isinstance(tried, Tried)
    assert isinstance(answer, Whole)
    loaded = load(str(file), kit.packs().kinds, kit.schemas(), None)
    full = review(loaded, kit.packs(), today=kit.DAY)
    assert tried == Tried(4, full.findings)
    sitting = Sitting(full, world_of(loaded, kit.packs(), kit.DAY))
    shown = list(pictures(sitting))
    assert answer.html == page(full, kit.packs(), sitting, shown, scripts=whole.SCRIPTS, connect=whole.CONNECT)
    assert {one.name for one in answer.plates} == {one.name for one in pictures(sitting) if one.kind != DRAWING}
    assert answer.of == {number: one.finding.path for number, one in sitting.numbered}


def test_what_is_not_the_newest_is_not_answered(ask: Ask) -> None:
    assert {one.number for one in ask(1, 2, 3)} == {3}


def test_a_plan_that_was_broken_meanwhile_is_left_to_who_asked(ask: Ask, file: Path) -> None:
    file.write_text("site: [", encoding="utf-8")
    assert ask(1) == []


def test_what_fails_is_said_and_the_next_is_answered(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    fine, calls = pictures, []

    def once(sitting: Sitting) -> Iterator[Picture]:
        calls.append(sitting)
        if len(calls) == 1:
            raise ValueError("no ink")
        return fine(sitting)

    monkeypatch.setattr(whole, "pictures", once)
    said = [type(one) for one in ask(5, 5)]
    assert said == [Tried, Failed, Tried, Whole]


# -------------------------------------------------------------------- what goes wrong


@pytest.fixture
def followed(file: Path) -> Iterator[Watch]:
    one = Watch(Asked(str(file), None, Limits()), kit.packs(), kit.schemas())
    yield one
    one.close()


def _until_whole(one: Watch) -> Page:
    """The first page with nothing still to come; a slow machine is given some beats of the watch."""
    version = 0
    for _ in range(12):
        found = one.after(version)
        if found and not found.hasty:
            return found
        version = found.version if found else version
    raise AssertionError("no whole page came")


def test_where_the_first_answer_fails_the_whole_one_stands(followed: Watch, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*_: object) -> None:
        raise ValueError("a slip")

    monkeypatch.setattr(Follower, "hasten", failing)
    threading.Thread(target=followed.follow, daemon=True).start()
    first = followed.after(0)
    assert first is not None
    assert "a slip" in first.said
    assert "Everything is up to date" in _until_whole(followed).said


def test_a_second_process_that_is_gone_ends_the_watch_and_says_so(followed: Watch) -> None:
    threading.Thread(target=followed.follow, daemon=True).start()
    followed.wait(first=True)
    followed._second.kill()
    with pytest.raises(RuntimeError, match="the process that tries remedies"):
        followed.wait(first=False)
