"""``oneclimb draw`` and ``oneclimb report``: what they write, and what they refuse."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from cli.calls import PLAN, oneclimb
from oneclimb import cli, draw, kit
from oneclimb.api import Ref
from oneclimb.cli.write import beside
from oneclimb.draw import Picture, Sitting, ink, named
from oneclimb.engine.round import Crash

FAULTY = PLAN.replace("aim: gate", "aim: gatte")
PNG, SVG = b"\x89PNG\r\n", b"<?xml"


def frames(sitting: Sitting) -> Iterator[Picture]:
    """A kind of our own: a frame a camera, and the site."""
    for ref in (Ref("site", "site"), *map(sitting.world.ref, sitting.world.all("camera"))):
        yield Picture(named("frame", ref.id), "frame", "A frame", "Nothing.", ref, lambda: ink.sheet(40, 30))


def louder(sitting: Sitting) -> Iterator[Picture]:
    """The same, in capitals."""
    return (replace(one, name=one.name.upper()) for one in frames(sitting))


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The plan in a file; two kinds of pictures are known, both ours."""
    monkeypatch.setattr(draw, "KINDS", {"frame": f"{__name__}:frames", "none": f"{__name__}:none"})
    path = tmp_path / "heron.plan.yaml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def none(_sitting: Sitting) -> Iterator[Picture]:
    """A kind of which this plan has no picture."""
    return iter(())


def call(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    status = cli.main([*map(str, args)])
    shown = capsys.readouterr()
    return status, shown.out, shown.err


def test_pictures_go_to_a_folder_beside_the_plan_and_are_listed(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = call(capsys, "draw", plan)
    folder = plan.parent / "heron-pictures"
    files = [folder / "frame-site.svg", folder / "frame-drive-cam.svg"]
    assert (status, out.splitlines(), err) == (0, [*map(str, files)], "")
    assert sorted(folder.iterdir()) == sorted(files)
    assert all(file.read_bytes().startswith(SVG) for file in files)
    assert plan.read_text(encoding="utf-8") == PLAN


def test_pictures_whose_names_differ_by_capitals_only_are_told_apart(
    plan: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(draw, "KINDS", {kind: f"{__name__}:{kind}" for kind in ("frames", "louder")})
    _, out, _ = call(capsys, "draw", plan, "--about", "site")
    assert [Path(one).name for one in out.splitlines()] == ["frame-site.svg", "FRAME-SITE-2.svg"]


def test_form_kind_thing_and_folder_are_chosen(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    into = plan.parent / "a" / "b"
    chosen = ("--form", "both", "--kind", "frame", "--about", "drive-cam", "--to", into)
    status, out, _ = call(capsys, "draw", plan, *chosen)
    assert status == 0
    assert out.splitlines() == [str(into / "frame-drive-cam.svg"), str(into / "frame-drive-cam.png")]
    assert (into / "frame-drive-cam.png").read_bytes().startswith(PNG)


def test_the_same_plan_draws_the_same_bytes(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for into in ("one", "two"):
        assert call(capsys, "draw", plan, "--form", "both", "--to", plan.parent / into)[0] == 0
    one, two = ({file.name: file.read_bytes() for file in (plan.parent / into).iterdir()} for into in ("one", "two"))
    assert one == two


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("--kind", "fresco"), "there is no kind 'fresco'; there are: frame, none"),
        (("--about", "gate-cam"), "there is no picture of 'gate-cam'"),
        (("--kind", "none", "--about", "drive-cam"), "there is no picture of 'drive-cam'"),
        (("--limit", "cameras"), "--limit"),
        (("--owner", "gone.yaml"), "the owner's file can't be used"),
    ],
)
def test_a_call_for_what_is_not_there_is_refused_and_writes_nothing(
    plan: Path, capsys: pytest.CaptureFixture[str], given: tuple[str, ...], said: str
) -> None:
    status, out, err = call(capsys, "draw", plan, *given)
    assert (status, out) == (2, "")
    assert said in err
    assert [*plan.parent.iterdir()] == [plan]


def test_a_folder_that_cannot_be_made_is_said_plainly(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = call(capsys, "draw", plan, "--to", plan)
    assert (status, out) == (2, "")
    assert "cannot make the folder" in err
    assert plan.read_text(encoding="utf-8") == PLAN


@pytest.mark.parametrize("verb", ["draw", "report"])
def test_faults_are_told_as_check_tells_them(plan: Path, capsys: pytest.CaptureFixture[str], verb: str) -> None:
    plan.write_text(FAULTY, encoding="utf-8")
    told = call(capsys, "check", plan)[1]
    status, out, _ = call(capsys, verb, plan)
    assert status == 2
    assert out.startswith(told)
    assert "gatte" in told
    page = plan.parent / "heron.html"
    assert out.removeprefix(told) == ("" if verb == "draw" else f"{page}\n")
    assert page.exists() == (verb == "report")


def test_a_failed_rule_is_3_and_the_page_is_written_all_the_same(
    plan: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from oneclimb import review

    seen = replace(kit.look(PLAN), crashes=(Crash("GLARE-01", None, "no luck", ""),))
    monkeypatch.setattr(review, "check", lambda *_, **__: seen)
    assert call(capsys, "report", plan)[0] == 3
    assert "GLARE-01: no luck" in (plan.parent / "heron.html").read_text(encoding="utf-8")
    assert call(capsys, "draw", plan)[0] == 3


def test_the_page_goes_beside_the_plan_and_says_where(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = call(capsys, "report", plan)
    page = plan.parent / "heron.html"
    assert (status, out, err) == (0, f"{page}\n", "")
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert sorted(plan.parent.iterdir()) == [page, plan]


@pytest.mark.parametrize("output", ["heron.plan.yaml", "other.plan.yml", "link.html", "."])
def test_a_page_is_never_written_over_a_plan(plan: Path, capsys: pytest.CaptureFixture[str], output: str) -> None:
    (plan.parent / "link.html").hardlink_to(plan)
    status, out, err = call(capsys, "report", plan, "--output", plan.parent / output)
    assert (status, out) == (2, "")
    assert "never writes over" in err or "is a folder" in err
    assert plan.read_text(encoding="utf-8") == PLAN


def test_a_picture_is_never_written_over_what_is_read(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (plan.parent / "frame-site.svg").hardlink_to(plan)
    status, out, err = call(capsys, "draw", plan, "--to", plan.parent)
    assert (status, out) == (2, "")
    assert "never writes over" in err
    assert plan.read_text(encoding="utf-8") == PLAN


def test_what_is_made_of_a_plan_is_named_after_it() -> None:
    assert beside("a/heron.plan.yaml", ".html") == str(Path("a/heron.html"))
    assert beside("HERON.PLAN.YML", "-pictures") == "HERON-pictures"
    assert beside("heron.txt", ".html") == "heron.html"


def test_one_waits_with_a_counter_on_a_terminal(
    plan: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from oneclimb.cli import progress

    monkeypatch.setattr(progress, "PATIENCE", 0.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    for verb in ("draw", "report"):
        _, _, err = call(capsys, verb, plan)
        assert " of 2 pictures drawn" in err
        assert err.endswith("\r\x1b[K")


def test_the_real_command_draws_and_reports(tmp_path: Path) -> None:
    (tmp_path / "heron.plan.yaml").write_text(PLAN, encoding="utf-8")
    done = oneclimb("report", "heron.plan.yaml", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, "heron.html\n", "")
    drawn = oneclimb("draw", "heron.plan.yaml", "--about", "site", cwd=tmp_path)
    assert drawn.returncode == 0, drawn.stderr
    assert sorted(drawn.stdout.splitlines()) == sorted(
        str(file.relative_to(tmp_path)) for file in (tmp_path / "heron-pictures").iterdir()
    )
