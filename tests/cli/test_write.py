"""Files are written whole or not at all; the counter shows itself only to who waits."""

from __future__ import annotations

import io
import os
import sys
import time
from pathlib import Path

import click
import pytest

from oneclimb.cli.find import plans
from oneclimb.cli.progress import Progress
from oneclimb.cli.write import put


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_new_file_has_the_usual_permissions_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    new, old = tmp_path / "new.txt", tmp_path / "old.txt"
    old.touch()
    old.chmod(0o640)
    mask = os.umask(0o027)
    try:
        put(str(new), "text\n")
        put(str(old), "text\n")
    finally:
        os.umask(mask)
    assert (new.stat().st_mode & 0o777, old.stat().st_mode & 0o777) == (0o640, 0o640)
    assert new.read_bytes() == old.read_bytes() == b"text\n"
    assert sorted(tmp_path.iterdir()) == [new, old]


def test_a_write_that_fails_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out.txt"
    target.write_text("old", encoding="utf-8")

    def full(_self: Path, _target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(click.ClickException, match="No space left on device"):
        put(str(target), "new")
    assert target.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_that_is_not_there_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(click.ClickException, match="No such file or directory"):
        put(str(tmp_path / "none" / "out.txt"), "text")


def test_a_link_is_replaced_and_what_it_points_to_is_left(tmp_path: Path) -> None:
    (tmp_path / "kept.txt").write_text("kept", encoding="utf-8")
    (tmp_path / "link.txt").symlink_to("kept.txt")
    put(str(tmp_path / "link.txt"), "new")
    assert (tmp_path / "kept.txt").read_text(encoding="utf-8") == "kept"
    assert (tmp_path / "link.txt").read_text(encoding="utf-8") == "new"


def test_a_plan_named_twice_is_reviewed_once_and_missing_ones_are_kept(tmp_path: Path) -> None:
    (tmp_path / "b.plan.yml").touch()
    (tmp_path / "a.plan.yaml").touch()
    here = str(tmp_path)
    assert plans([f"{here}/b.plan.yml", here, "gone.plan.yaml"]) == [
        f"{here}/b.plan.yml",
        f"{here}/a.plan.yaml",
        "gone.plan.yaml",
    ]


def counted(monkeypatch: pytest.MonkeyPatch, times: list[float], stream: io.StringIO) -> str:
    """What the counter writes when its steps come at these times."""
    monkeypatch.setattr(sys, "stderr", stream)
    ticks = iter([0.0, *times])
    monkeypatch.setattr(time, "monotonic", lambda: next(ticks))
    counter = Progress(2)
    counter.begin()
    for number, _ in enumerate(times, 1):
        counter.step(number, len(times))
    counter.end()
    return stream.getvalue()


def test_the_counter_is_silent_for_a_second(monkeypatch: pytest.MonkeyPatch) -> None:
    assert counted(monkeypatch, [0.2, 0.9], Terminal()) == ""


def test_the_counter_shows_where_it_is_and_wipes_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    shown = counted(monkeypatch, [0.5, 1.5, 1.55, 1.7], Terminal())
    lines = ["working: plan 1 of 2, 2 of 4 things looked at", "working: plan 1 of 2, 4 of 4 things looked at", ""]
    assert shown.split("\r\x1b[K")[1:] == lines


def test_the_counter_is_silent_in_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    assert counted(monkeypatch, [5.0, 9.0], io.StringIO()) == ""
