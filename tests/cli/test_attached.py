"""``oneclimb check --format sarif --frames``: what cameras see goes with their findings."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import numpy as np
import pytest
from matplotlib.figure import Figure
from PIL import Image

from cli.calls import PLAN, oneclimb
from oneclimb import cli, draw
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, ink, named
from report.hosts import hold

KINDS = {"night": f"{__name__}:nights", "day": f"{__name__}:days", "site": f"{__name__}:site"}


def nights(sitting: Sitting) -> Iterator[Picture]:
    """A night of our own for each camera: quick, and none of it real."""
    for camera in sitting.world.plan.cameras:
        words = f"{camera.id} by night [x](http://b.example)"
        yield Picture(named("night", camera.id), "night", "Night", words, Ref("camera", camera.id), blank)


def days(sitting: Sitting) -> Iterator[Picture]:
    """The same by day."""
    for camera in sitting.world.plan.cameras:
        yield Picture(named("day", camera.id), "day", "Day", f"{camera.id} by day", Ref("camera", camera.id), blank)


def site(_sitting: Sitting) -> Iterator[Picture]:
    """What is no camera's frame."""
    yield Picture("site", "site", "The site", "Nothing.", Ref("site", "site"), blank)


def blank() -> Figure:
    """An empty sheet."""
    return ink.sheet(40, 30)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a plan in it, worked in; pictures are ours."""
    monkeypatch.setattr(draw, "KINDS", KINDS)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "heron.plan.yaml").write_text(PLAN, encoding="utf-8")
    return tmp_path


def log(capsys: pytest.CaptureFixture[str], *args: str) -> dict[str, Any]:
    """The one run of a valid log."""
    status = cli.main(["check", "--fail-at", "never", "--format", "sarif", *args])
    out, err = capsys.readouterr()
    assert (status, err) == (0, "")
    return hold(json.loads(out))


def attachments(one: dict[str, Any]) -> list[str]:
    """The address of every attachment of a run, once each."""
    every = [told for result in one["results"] for told in result.get("attachments", ())]
    return list(dict.fromkeys(told["artifactLocation"]["uri"] for told in every))


def test_a_camera_s_frames_go_with_each_finding_about_it(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = log(capsys, "--frames", "seen/frames", "heron.plan.yaml")
    files = ["seen/frames/night-drive-cam-heron.png", "seen/frames/day-drive-cam-heron.png"]
    about = [r for r in one["results"] if r.get("kind", "fail") == "fail"]
    cameras = [r for r in about if r["locations"][0]["logicalLocations"][0]["fullyQualifiedName"].startswith("camera/")]
    assert cameras
    for result in cameras:
        assert [told["artifactLocation"]["uri"] for told in result["attachments"]] == files
        assert result["attachments"][1]["description"]["text"] == "drive-cam by day"
    assert all("attachments" not in result for result in one["results"] if result not in cameras)
    assert sorted(path.relative_to(here).as_posix() for path in here.rglob("*.png")) == sorted(files)
    attached = [artifact for artifact in one["artifacts"] if artifact.get("roles") == ["attachment"]]
    assert [artifact["location"]["uri"] for artifact in attached] == files
    for file in files:
        with Image.open(file) as picture:
            assert (picture.format, picture.size) == ("PNG", (251, 188))


def test_two_plans_of_one_name_do_not_share_a_frame(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "b").mkdir()
    (here / "b" / "Heron.plan.yaml").write_text(PLAN, encoding="utf-8")
    one = log(capsys, "--frames", "seen", ".")
    assert sorted(attachments(one)) == [
        "seen/day-drive-cam-Heron.png",
        "seen/day-drive-cam-heron-2.png",
        "seen/night-drive-cam-Heron.png",
        "seen/night-drive-cam-heron-2.png",
    ]
    assert all(Path(unquote(file)).is_file() for file in attachments(one))


def test_without_the_word_nothing_is_attached(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = log(capsys, "heron.plan.yaml")
    assert attachments(one) == []
    assert all("roles" not in artifact for artifact in one["artifacts"])
    assert [path.name for path in here.iterdir()] == ["heron.plan.yaml"]


def test_a_plan_that_cannot_be_used_has_none(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "heron.plan.yaml").write_text(PLAN.replace("aim: gate", "aim: gatte"), encoding="utf-8")
    assert cli.main(["check", "--format", "sarif", "--frames", "seen", "heron.plan.yaml"]) == 2
    assert attachments(hold(json.loads(capsys.readouterr().out))) == []


@pytest.mark.parametrize("form", ["text", "json"])
def test_frames_are_for_sarif_only(here: Path, form: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check", "--format", form, "--frames", "seen", "heron.plan.yaml"]) == 2
    assert "--format sarif" in capsys.readouterr().err
    assert not (here / "seen").exists()


def test_a_folder_that_cannot_be_made_is_said(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "seen").write_text("a file", encoding="utf-8")
    assert cli.main(["check", "--format", "sarif", "--frames", "seen", "heron.plan.yaml"]) == 2
    assert "'seen'" in capsys.readouterr().err


def test_the_attached_night_is_the_drawn_one(tmp_path: Path) -> None:
    (tmp_path / "heron.plan.yaml").write_text(PLAN, encoding="utf-8")
    checked = oneclimb(
        "check", "--fail-at", "never", "--format", "sarif", "--frames", "f", "heron.plan.yaml", cwd=tmp_path
    )
    assert checked.returncode == 0, checked.stderr
    assert attachments(hold(json.loads(checked.stdout))) == [
        "f/night-drive-cam-heron.png",
        "f/day-drive-cam-heron.png",
    ]
    drawn = oneclimb("draw", "--kind", "night", "--form", "png", "--to", "d", "heron.plan.yaml", cwd=tmp_path)
    assert drawn.returncode == 0, drawn.stderr
    night = tmp_path / "f" / "night-drive-cam-heron.png"
    assert night.read_bytes() == (tmp_path / "d" / "night-drive-cam.png").read_bytes()
    with Image.open(night) as picture:
        assert np.ptp(np.asarray(picture.convert("L"))) > 200
