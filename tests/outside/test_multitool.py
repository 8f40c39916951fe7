"""The SARIF form, checked by the multitool of the SARIF SDK (npm @microsoft/sarif-multitool-linux 5.7.0).

Needs npm: without it these tests are left out by the marker ``npm``, except where CI=true.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from oneclimb.report.sarif import Frame, sarif
from report.reviews import CRASH, PACKS, PLAN, Folder

PACKAGE = "@microsoft/sarif-multitool-linux@5.7.0"
NO_HOME = "Warning_ProvideToolnformationUri"
"""the multitool asks for the tool's address on the web, which the project has not got"""
pytestmark = pytest.mark.npm


@pytest.fixture(scope="module")
def multitool() -> Iterator[Path]:
    """The multitool's binary, installed for this run and removed after it (95 MB)."""
    npm = shutil.which("npm")
    assert npm, "npm is not on this machine, and CI=true asks for every check: install npm"
    with tempfile.TemporaryDirectory() as folder:
        call = [npm, "install", "--prefix", folder, "--ignore-scripts", "--no-save", "--no-audit", "--no-fund", PACKAGE]
        done = subprocess.run(call, capture_output=True, text=True, check=False, cwd=folder)
        assert done.returncode == 0, done.stderr
        binary = Path(folder) / "node_modules" / "@microsoft" / "sarif-multitool-linux" / "Sarif.Multitool"
        binary.chmod(0o755)
        yield binary


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    monkeypatch.chdir(tmp_path)
    return Folder(Path())


def complaints(multitool: Path, log: str) -> list[str]:
    """What the multitool has against a log: errors and warnings (its exit status is 0 even then)."""
    Path("log.sarif").write_text(log, encoding="utf-8")
    call = [str(multitool), "validate", "log.sarif", "--rule-kind", "Sarif;Ghas", "--level", "Error;Warning"]
    done = subprocess.run(
        [*call, "-o", "report.sarif", "--log", "ForceOverwrite"],
        env={**os.environ, "DOTNET_SYSTEM_GLOBALIZATION_INVARIANT": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert Path("report.sarif").exists(), done.stdout + done.stderr
    (run,) = json.loads(Path("report.sarif").read_text(encoding="utf-8-sig"))["runs"]
    said = [(result["ruleId"], result["message"]) for result in run.get("results", [])]
    return [f"{code} {message.get('arguments')}" for code, message in said if message["id"] != NO_HOME]


@pytest.mark.parametrize("which", ["clean", "full", "broken plan", "crash"])
def test_the_multitool_has_nothing_against_a_report(which: str, multitool: Path, folder: Folder) -> None:
    reviews = {
        "clean": folder.review(),
        "full": folder.full(),
        "broken plan": folder.review(PLAN.replace("shape: turret", "shape: turet")),
        "crash": folder.review(crashes=(CRASH,)),
    }
    assert complaints(multitool, sarif([reviews[which]], PACKS)) == []


def test_the_multitool_has_nothing_against_frames(multitool: Path, folder: Folder) -> None:
    review = folder.full()
    Path("drive-cam by night.png").write_bytes(b"")
    frames = {(review.path, "drive-cam"): [Frame("drive-cam by night.png", "drive-cam by night [x](http://b.example)")]}
    log = sarif([review], PACKS, frames)
    assert any("attachments" in result for result in json.loads(log)["runs"][0]["results"])
    assert complaints(multitool, log) == []


def test_the_multitool_is_awake(multitool: Path, folder: Folder) -> None:
    log = json.loads(sarif([folder.full()], PACKS))
    del log["runs"][0]["results"][0]["locations"]
    del log["runs"][0]["columnKind"]
    assert complaints(multitool, json.dumps(log))
