"""How the command ends, whatever happens in it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import click
import pytest

from cli.calls import PLAN, oneclimb
from oneclimb import cli
from oneclimb.cli.check import status
from oneclimb.cli.root import root
from report.reviews import BROKEN, FOUND, RISKY, SOFT, Folder


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return Folder(tmp_path)


@pytest.mark.parametrize(
    ("findings", "fail_at", "expected"),
    [
        ((), "note", 0),
        ((SOFT,), "warning", 0),
        ((SOFT,), "note", 1),
        ((RISKY,), "error", 0),
        ((RISKY,), "warning", 1),
        ((FOUND,), "error", 1),
        ((FOUND,), "never", 0),
    ],
)
def test_findings_at_or_above_the_chosen_level_are_1(
    folder: Folder, findings: Any, fail_at: str, expected: int
) -> None:
    assert status([folder.review(findings=findings)], fail_at) == expected


def test_a_plan_that_cannot_be_used_outranks_findings_and_a_crash_outranks_both(folder: Folder) -> None:
    bad, found = folder.review("cameras: 3\n", name="b.plan.yaml"), folder.review(findings=(FOUND,))
    assert status([bad, found], "never") == 2
    assert status([bad, folder.review(crashes=(BROKEN,))], "never") == 3


def ending(monkeypatch: pytest.MonkeyPatch, error: BaseException, *args: str) -> int:
    """The exit status when a verb raises ``error``."""

    @click.command()
    def command() -> None:
        raise error

    monkeypatch.setattr(root, "get_command", lambda _, name: command if name == "check" else None)
    return cli.main([*args, "check"])


def test_an_internal_fault_is_3_and_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ending(monkeypatch, RuntimeError("no \x1b[2J luck\n::error::x")) == 3
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(shown.err.splitlines()) == 1
    assert shown.err.startswith(
        "oneclimb: internal fault: RuntimeError: no \\u{1b}[2J luck\\n::error::x. Please report"
    )


def test_debug_adds_where_it_happened(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert ending(monkeypatch, RuntimeError("no luck"), "--debug") == 3
    assert "Traceback" in capsys.readouterr().err


def test_ctrl_c_is_130(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert ending(monkeypatch, KeyboardInterrupt()) == 130
    assert capsys.readouterr().err.strip() == "oneclimb: stopped"


def test_a_wrong_call_is_2(tmp_path: Path) -> None:
    for args in (["chek"], ["check"], ["check", "x", "--fail-at", "fatal"], ["explain", "NONE-99"], ["--what"]):
        done = oneclimb(*args, cwd=tmp_path)
        assert done.returncode == 2, args
        assert done.stdout == ""
        assert "Traceback" not in done.stderr


def test_help_and_version_are_0_and_import_nothing_heavy(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom oneclimb import cli\nstatus = cli.main(['--help'])\n"
        "heavy = {'numpy', 'yaml', 'jsonschema', 'shapely', 'pluggy', 'embreex', 'oneclimb.api'} & set(sys.modules)\n"
        "sys.exit(status or ', '.join(sorted(heavy)) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    for verb in ("check", "report", "draw", "guide", "explain", "rules", "schema", "new"):
        assert f"\n  {verb} " in done.stdout
    assert oneclimb("--version", cwd=tmp_path).stdout.startswith("oneclimb ")


@pytest.mark.parametrize("verb", ["rules", "explain"])
def test_reading_about_rules_imports_neither_numbers_nor_schemas(verb: str) -> None:
    code = (
        "import sys\nfrom oneclimb import cli\n"
        f"status = cli.main({['explain', 'GLARE-01'] if verb == 'explain' else ['rules']})\n"
        "heavy = {'numpy', 'jsonschema', 'shapely', 'embreex'} & set(sys.modules)\n"
        "sys.exit(status or ', '.join(sorted(heavy)) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("form", ["text", "sarif", "json"])
def test_checking_imports_nothing_that_draws(tmp_path: Path, form: str) -> None:
    (tmp_path / "heron.plan.yaml").write_text(PLAN, encoding="utf-8")
    code = (
        "import sys\nfrom oneclimb import cli\n"
        f"status = cli.main(['check', '--fail-at', 'never', '--format', '{form}', 'heron.plan.yaml'])\n"
        "tops = ('matplotlib', 'PIL', 'jinja2', 'markdown_it', 'oneclimb.draw', 'oneclimb.web')\n"
        "drawing = sorted(m for m in sys.modules if any(m == top or m.startswith(top + '.') for top in tops))\n"
        "sys.exit(status or ', '.join(drawing) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_help_of_check_lists_how_it_can_end(tmp_path: Path) -> None:
    shown = oneclimb("check", "--help", cwd=tmp_path).stdout
    for line in ("0  nothing at or above --fail-at", "3  a rule or a pack failed, or oneclimb itself did"):
        assert line in [one.strip() for one in shown.splitlines()]
