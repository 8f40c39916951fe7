"""``oneclimb guide``: a folder of its own, whole or not at all, and nothing of anybody else's touched."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

import pytest
from msgspec.structs import replace

from cli.calls import COMMAND
from oneclimb import cli, packs
from oneclimb.cli import progress
from oneclimb.packs import PackCrash, Packs
from oneclimb.web import guide
from oneclimb.web.guide import Book
from web.guides import pack, page_of, plan

PAGES = ["SEAL-90.html", "index.html"]
FOREIGN = "notes of years"
STOPPED = "\noneclimb: stopped\n"


@pytest.fixture
def loaded(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Packs:
    """One pack is installed, with one rule, whose page has no pictures."""
    brought = tmp_path / "pack"
    brought.mkdir()
    made = pack(monkeypatch, brought, page_of("a: [\n", plan(tilt=20)))
    monkeypatch.setattr(packs, "load_packs", lambda: made)
    return made


@pytest.fixture
def shelf(loaded: Packs, tmp_path: Path) -> Path:
    """Where the guide is to go: a folder with nothing in it."""
    del loaded
    where = tmp_path / "shelf"
    where.mkdir()
    return where


def call(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    status = cli.main(["guide", *map(str, args)])
    shown = capsys.readouterr()
    return status, shown.out, shown.err


def contents(folder: Path) -> Mapping[str, bytes]:
    """Every file below a folder, hidden ones too."""
    return {str(one.relative_to(folder)): one.read_bytes() for one in sorted(folder.rglob("*")) if one.is_file()}


def test_a_guide_is_written_where_one_says_and_its_first_page_named(
    shelf: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = shelf / "a" / "book"
    assert call(capsys, where) == (0, f"{where / 'index.html'}\n", "")
    assert sorted(contents(where)) == PAGES
    assert sorted(one.name for one in where.parent.iterdir()) == ["book"]
    assert all(page.startswith(b"<!doctype html>") for page in contents(where).values())


def test_a_guide_written_before_is_replaced_whole(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = shelf / "book"
    call(capsys, where)
    first = contents(where)
    (where / "SEAL-91.html").write_bytes(first["SEAL-90.html"])
    (where / "index.html").write_bytes(first["index.html"] + b"<!-- older -->")
    assert call(capsys, where)[0] == 0
    assert contents(shelf) == {f"book/{name}": page for name, page in first.items()}


def test_an_empty_folder_is_as_good_as_a_new_one(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(capsys, shelf)[0] == 0
    assert sorted(contents(shelf)) == PAGES


@pytest.mark.parametrize("name", ["notes.txt", "index.html", "SEAL-90.html", ".hidden"])
def test_a_folder_that_holds_anything_else_is_left_as_it_is_before_any_work_is_done(
    name: str, shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    call(capsys, shelf)
    (shelf / name).write_text(FOREIGN, encoding="utf-8")
    before = contents(shelf)
    monkeypatch.setattr(guide, "book", None)
    status, out, err = call(capsys, shelf)
    assert (status, out) == (2, "")
    assert f"holds what is no page of a field guide: '{name}'" in err
    assert contents(shelf) == before


def test_a_link_to_a_page_elsewhere_and_a_folder_are_not_the_guide_s(
    shelf: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, shelf / "one")
    linked, nested = shelf / "linked", shelf / "nested"
    linked.mkdir()
    (linked / "index.html").symlink_to(shelf / "one" / "index.html")
    (nested / "SEAL-90.html").mkdir(parents=True)
    before = contents(shelf)
    assert [call(capsys, where)[0] for where in (linked, nested)] == [2, 2]
    assert contents(shelf) == before


def test_a_file_is_not_taken_for_a_folder_and_no_work_is_done_for_it(
    shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guide, "book", None)
    file = shelf / "book"
    file.write_text(FOREIGN, encoding="utf-8")
    status, out, err = call(capsys, file)
    assert (status, out) == (2, "")
    assert "is a file, and a folder is to be written" in err
    assert file.read_text(encoding="utf-8") == FOREIGN
    status, _, err = call(capsys, file / "below")
    assert status == 2
    assert f"'{file}' is no folder that can be written in" in err


def test_what_is_put_there_meanwhile_is_not_lost(
    shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    call(capsys, shelf)
    before = contents(shelf)

    def slow(*_: Any) -> Book:
        (shelf / "notes.txt").write_text(FOREIGN, encoding="utf-8")
        return Book({"index.html": "new"}, ())

    monkeypatch.setattr(guide, "book", slow)
    assert call(capsys, shelf)[0] == 2
    assert contents(shelf) == {**before, "notes.txt": FOREIGN.encode()}
    assert [one.name for one in shelf.parent.iterdir() if one.name.startswith(".")] == []


def test_what_is_put_there_at_the_last_moment_is_not_lost(
    shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    call(capsys, shelf)
    real = Path.rename

    def rename(self: Path, to: Path) -> Path:
        if self == shelf:
            (shelf / "notes.txt").write_text(FOREIGN, encoding="utf-8")
        return real(self, to)

    monkeypatch.setattr(Path, "rename", rename)
    assert call(capsys, shelf)[0] == 0
    assert sorted(contents(shelf)) == sorted([*PAGES, "notes.txt"])
    assert (shelf / "notes.txt").read_text(encoding="utf-8") == FOREIGN


@pytest.mark.parametrize("written_before", [True, False])
@pytest.mark.parametrize("fails", ["write_bytes", "rename"])
def test_one_that_cannot_be_written_leaves_all_as_it_was(
    fails: str,
    written_before: bool,
    shelf: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    where = shelf / "book"
    if written_before:
        call(capsys, where)
    before, real = contents(shelf), getattr(Path, fails)

    def full(self: Path, *args: Any) -> Any:
        if self.name in {"SEAL-90.html", "new"}:
            raise OSError(28, "No space left on device")
        return real(self, *args)

    monkeypatch.setattr(Path, fails, full)
    status, out, err = call(capsys, where)
    assert (status, out) == (2, "")
    assert "cannot write" in err
    assert "No space left on device" in err
    assert contents(shelf) == before
    assert [one.name for one in shelf.iterdir()] == (["book"] if written_before else [])


@pytest.mark.parametrize("when", ["at work", "at the swap"])
def test_stopped_with_ctrl_c_it_leaves_all_as_it_was(
    when: str, shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    where = shelf / "book"
    call(capsys, where)
    before, real = contents(shelf), Path.rename

    def stop(*_: Any) -> NoReturn:
        raise KeyboardInterrupt

    def rename(self: Path, to: Path) -> Path:
        if self.name == "new":
            stop()
        return real(self, to)

    if when == "at work":
        monkeypatch.setattr(guide, "book", stop)
    else:
        monkeypatch.setattr(Path, "rename", rename)
    assert call(capsys, where) == (130, "", STOPPED)
    assert contents(shelf) == before
    assert [one.name for one in shelf.iterdir()] == ["book"]


def test_the_real_command_stopped_at_work_writes_nothing(tmp_path: Path) -> None:
    run = subprocess.Popen(
        [COMMAND, "guide", "book"], cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    time.sleep(2.5)
    assert run.poll() is None
    run.send_signal(signal.SIGINT)
    out, err = run.communicate(timeout=30)
    assert (run.returncode, out, err) == (130, "", STOPPED)
    assert list(tmp_path.iterdir()) == []


def test_a_fault_is_told_and_the_rest_is_written(
    loaded: Packs, shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = replace(loaded, crashes=(PackCrash("gone", "no luck\x1b[31m", ""),))
    monkeypatch.setattr(packs, "load_packs", lambda: broken)
    status, out, err = call(capsys, shelf)
    assert (status, out) == (3, f"{shelf / 'index.html'}\n")
    assert err == "oneclimb: gone: no luck\\u{1b}[31m\n"
    assert sorted(contents(shelf)) == PAGES


def test_one_waits_with_a_counter_on_a_terminal(
    shelf: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "PATIENCE", 0.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    err = call(capsys, shelf)[2]
    assert "working: 1 of 1 pages begun" in err
    assert err.endswith("\r\x1b[K")
