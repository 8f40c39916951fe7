"""``oneclimb check``, as its own process: what it prints, what it writes, how it ends."""

from __future__ import annotations

import json
import os
import pty
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from cli.calls import COMMAND, PLAN, oneclimb
from report.hosts import hold

BAD = PLAN.replace("width: 11.4", "widht: 11.4")


@pytest.fixture
def site(tmp_path: Path) -> Path:
    (tmp_path / "a.plan.yaml").write_text(PLAN, encoding="utf-8")
    (tmp_path / "bad.plan.yaml").write_text(BAD, encoding="utf-8")
    return tmp_path


def counted_out(said: str) -> str:
    """What a terminal was sent, less the changing line of progress that a slow machine shows."""
    return re.sub(r"\r\x1b\[K(?:working: [^\r]*?looked at)?", "", said)


def test_a_plan_is_reviewed_and_summed_up(site: Path) -> None:
    done = oneclimb("check", "a.plan.yaml", "--fail-at", "never", cwd=site)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert re.search(r"^a\.plan\.yaml: .* in 1 camera", done.stdout, re.MULTILINE)
    assert "The rest of the law of England" in done.stdout


def test_a_plan_that_cannot_be_used_is_2_and_the_others_are_still_reviewed(site: Path) -> None:
    done = oneclimb("check", "bad.plan.yaml", "missing.plan.yaml", "a.plan.yaml", "--fail-at", "never", cwd=site)
    assert done.returncode == 2
    assert "bad.plan.yaml:3:29: error: PLAN-11 no key `widht` here (did you mean `width`?)\n" in done.stdout
    assert "missing.plan.yaml:1:1: error: PLAN-01 there is no such file\n" in done.stdout
    assert re.search(r"^a\.plan\.yaml: .* in 1 camera", done.stdout, re.MULTILINE)


def test_a_folder_means_every_plan_below_it_in_order(site: Path) -> None:
    (site / "z").mkdir()
    (site / ".hidden").mkdir()
    for name in ("z/b.plan.yaml", ".hidden/c.plan.yaml", "notes.yaml"):
        (site / name).write_text(PLAN, encoding="utf-8")
    done = oneclimb("check", ".", "--format", "json", "--fail-at", "never", cwd=site)
    assert [plan["plan"] for plan in json.loads(done.stdout)["plans"]] == [
        "./a.plan.yaml",
        "./bad.plan.yaml",
        "./z/b.plan.yaml",
    ]


def test_a_folder_without_plans_is_2(tmp_path: Path) -> None:
    done = oneclimb("check", ".", cwd=tmp_path)
    assert done.returncode == 2
    assert "no *.plan.yaml in or below '.'" in done.stderr


def test_the_report_is_written_whole_to_a_file(site: Path) -> None:
    done = oneclimb(
        "check", "a.plan.yaml", "--format", "sarif", "--output", "out.sarif", "--fail-at", "never", cwd=site
    )
    assert (done.returncode, done.stdout) == (0, "")
    run = hold(json.loads((site / "out.sarif").read_text(encoding="utf-8")))
    assert run["invocations"][0]["executionSuccessful"] is True
    assert run["artifacts"] == [{"location": {"uri": "a.plan.yaml"}, "sourceLanguage": "yaml"}]
    assert sorted(p.name for p in site.iterdir()) == ["a.plan.yaml", "bad.plan.yaml", "out.sarif"]


def test_the_report_never_goes_over_a_plan(site: Path) -> None:
    os.link(site / "a.plan.yaml", site / "link.txt")
    (site / "soft.txt").symlink_to("a.plan.yaml")
    for output in ("a.plan.yaml", "new.plan.yaml", "link.txt", "soft.txt"):
        done = oneclimb("check", "a.plan.yaml", "--output", output, cwd=site)
        assert done.returncode == 2, output
        assert "never writes over" in done.stderr
    assert (site / "a.plan.yaml").read_text(encoding="utf-8") == PLAN


def test_a_limit_can_be_lowered_and_an_unknown_one_is_2(site: Path) -> None:
    low = oneclimb("check", "a.plan.yaml", "--limit", "file-bytes=10", cwd=site)
    assert low.returncode == 2
    assert "PLAN-02" in low.stdout
    unknown = oneclimb("check", "a.plan.yaml", "--limit", "speed=3", cwd=site)
    assert unknown.returncode == 2
    assert "no limit is called 'speed'" in unknown.stderr


def test_timing_goes_to_standard_error(site: Path) -> None:
    done = oneclimb("check", "a.plan.yaml", "--timing", "--format", "json", cwd=site)
    json.loads(done.stdout)
    stages = [line.split(" ms  ")[1].strip() for line in done.stderr.splitlines()]
    assert stages == ["load", "plans", "read", "check", "report", "in all"]


def test_a_reader_who_leaves_is_no_fault(site: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [COMMAND, "check", "a.plan.yaml", "--fail-at", "never"],
        cwd=site,
        stdout=write,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


def test_ctrl_c_is_130_and_one_line(site: Path) -> None:
    many = [str(site / f"{n}.plan.yaml") for n in range(200)]
    for name in many:
        Path(name).write_text(PLAN, encoding="utf-8")
    heard = (  # a shell starts its background jobs deaf to Ctrl-C
        "import signal, sys; from oneclimb.cli import main; "
        "signal.signal(signal.SIGINT, signal.default_int_handler); sys.exit(main())"
    )
    command = [sys.executable, "-c", heard, "check", *many, "--output", "o.txt"]
    with subprocess.Popen(command, cwd=site, stderr=subprocess.PIPE) as run:
        assert run.stderr is not None
        with pytest.raises(subprocess.TimeoutExpired):
            run.wait(1.0)
        run.send_signal(signal.SIGINT)
        assert run.stderr.read().strip() == b"oneclimb: stopped"
        assert run.wait() == 130
    assert not list(site.glob("*o.txt*"))


def terminal(site: Path, *args: str, env: dict[str, str] | None = None) -> str:
    """What the command shows on a terminal."""
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [COMMAND, *args],
        cwd=site,
        stdout=theirs,
        stderr=theirs,
        check=False,
        env={**os.environ, "TERM": "xterm", **(env or {})},
    )
    os.close(theirs)
    shown = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:
            break
        if not part:
            break
        shown += part
    os.close(ours)
    assert done.returncode in {0, 1}, shown
    return shown.decode()


def test_a_terminal_gets_the_sheet_in_colour(site: Path) -> None:
    shown = terminal(site, "check", "a.plan.yaml")
    assert "\x1b[1ma.plan.yaml\x1b[0m  Heron Cottage" in shown
    assert "a.plan.yaml:" not in shown


def test_no_color_is_honoured_on_a_terminal(site: Path) -> None:
    assert "\x1b[" not in counted_out(terminal(site, "check", "a.plan.yaml", env={"NO_COLOR": "1"}))


def test_the_same_plan_gives_the_same_bytes(site: Path) -> None:
    for form in ("text", "sarif", "json"):
        first, second = (oneclimb("check", "a.plan.yaml", "--format", form, cwd=site).stdout for _ in range(2))
        assert first == second


def test_an_owner_s_file_that_cannot_be_used_stops_the_call(site: Path) -> None:
    (site / "owner.yaml").write_text("settings: {NONE-99: {note: 3}}\n", encoding="utf-8")
    for name, place in (("owner.yaml", "owner.yaml:1:"), ("none.yaml", "none.yaml:1:1: error: PLAN-01")):
        done = oneclimb("check", "a.plan.yaml", "--owner", name, cwd=site)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.startswith(place)
        assert "no plan was reviewed" in done.stderr


def test_a_plan_given_as_the_owner_s_file_is_told_in_one_line(site: Path) -> None:
    done = oneclimb("check", "a.plan.yaml", "--owner", "a.plan.yaml", cwd=site)
    assert done.returncode == 2
    told, end = done.stderr.splitlines()
    assert "error: PLAN-11 this is a plan, not an owner's file" in told
    assert "no plan was reviewed" in end


def test_the_report_never_goes_over_the_owner_s_file(site: Path) -> None:
    (site / "owner.yaml").write_text("settings: {}\n", encoding="utf-8")
    done = oneclimb("check", "a.plan.yaml", "--owner", "owner.yaml", "--output", "owner.yaml", cwd=site)
    assert done.returncode == 2
    assert (site / "owner.yaml").read_text(encoding="utf-8") == "settings: {}\n"


WIRELESS = PLAN.replace(
    "aim: gate}", "aim: gate, link: wireless, records: continuous, power: {source: adapter, watts: 7}}"
)


def test_the_owner_s_file_sets_a_level_that_the_plan_cannot_lower(site: Path) -> None:
    own = f"{WIRELESS}settings: {{LINK-01: {{level: none}}}}\n"
    (site / "wireless.plan.yaml").write_text(own, encoding="utf-8")
    (site / "owner.yaml").write_text("settings: {LINK-01: {level: error}}\n", encoding="utf-8")
    alone = oneclimb("check", "wireless.plan.yaml", cwd=site).stdout
    assert not re.search(r": (note|warning|error): LINK-01", alone)
    done = oneclimb("check", "wireless.plan.yaml", "--owner", "owner.yaml", "--fail-at", "error", cwd=site)
    assert done.returncode == 1
    assert re.search(r"^wireless\.plan\.yaml:8:\d+: error: LINK-01 ", done.stdout, re.MULTILINE)
    assert re.search(r": note: PLAN-92 .*the plan's own level is not used", done.stdout)


def test_a_deviation_in_the_owner_s_file_is_external_to_the_plan(site: Path) -> None:
    (site / "wireless.plan.yaml").write_text(WIRELESS, encoding="utf-8")
    terms = "reason: the wall is listed, agreed: the owner"
    (site / "owner.yaml").write_text(
        f"deviations: [{{code: LINK-01, at: camera/drive-cam, {terms}}}]\n", encoding="utf-8"
    )
    args = ("--owner", "owner.yaml", "--fail-at", "never")
    shown = oneclimb("check", "wireless.plan.yaml", *args, cwd=site)
    assert "; the wall is listed (agreed by the owner)\n" in shown.stdout
    log = hold(json.loads(oneclimb("check", "wireless.plan.yaml", *args, "--format", "sarif", cwd=site).stdout))
    (result,) = [one for one in log["results"] if "suppressions" in one]
    assert result["ruleId"] == "LINK-01"
    assert result["suppressions"][0]["kind"] == "external"
