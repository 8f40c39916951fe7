"""What `oneclimb check` says of every example, and the files beside the plans that hold it.

After a change that alters reports on purpose, write the files anew and read the difference:

    python tests/examples/expected.py

Each plan is copied to an empty folder and checked there by its bare name, so that nothing in a
report depends on where the checkout lies. An `owner.yaml` beside a plan is used with it.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANS = tuple(sorted(EXAMPLES.rglob("*.plan.yaml")))
OWNER = "owner.yaml"
COMMAND = str(Path(sysconfig.get_path("scripts")) / "oneclimb")
AS_DRAWN = EXAMPLES / "harbour-house" / "as-drawn.plan.yaml"
CORRECTED = (EXAMPLES / "harbour-house" / "corrected.plan.yaml", EXAMPLES / "hill-farm" / "corrected.plan.yaml")
SUFFIX = {"text": ".expected.txt", "sarif": ".expected.sarif"}
FORMS: dict[Path, tuple[str, ...]] = dict.fromkeys(PLANS, ("text",)) | {AS_DRAWN: ("text", "sarif")}


@dataclass(frozen=True)
class Report:
    """What the command gave for one plan."""

    out: str
    errors: str
    status: int


def name(plan: Path) -> str:
    """A plan by its place below the examples, for messages."""
    return plan.relative_to(EXAMPLES).as_posix()


def file(plan: Path, form: str) -> Path:
    """The file beside a plan that holds its report."""
    return plan.with_name(plan.name.removesuffix(".plan.yaml") + SUFFIX[form])


def report(plan: Path, form: str) -> Report:
    """The real command on a copy of the plan, in a folder that holds nothing else."""
    with tempfile.TemporaryDirectory() as folder:
        args = [COMMAND, "check", "--format", form]
        shutil.copy(plan, folder)
        if (plan.parent / OWNER).exists():
            shutil.copy(plan.parent / OWNER, folder)
            args += ["--owner", OWNER]
        done = subprocess.run(
            [*args, plan.name],
            cwd=folder,
            env={**os.environ, "COLUMNS": "60"},
            capture_output=True,
            check=False,
            stdin=subprocess.DEVNULL,
            timeout=300,
        )
    return Report(done.stdout.decode(), done.stderr.decode(), done.returncode)


def comparable(sarif: str) -> Any:
    """A log as values, without the tool's version and the rules' pages, which change on their own."""
    log = json.loads(sarif)
    for run in log["runs"]:
        driver = run["tool"]["driver"]
        for key in ("version", "semanticVersion"):
            del driver[key]
        for rule in driver["rules"]:
            rule.pop("help", None)
    return log


def write() -> Iterator[Path]:
    """Every expected file anew; those that changed. A report that is not whole is not written."""
    for plan, forms in FORMS.items():
        for form in forms:
            got, held = report(plan, form), file(plan, form)
            if got.status not in {0, 1}:
                raise SystemExit(f"{name(plan)}: exit status {got.status}\n{got.out}{got.errors}")
            if not held.exists() or held.read_bytes() != got.out.encode():
                held.write_bytes(got.out.encode())
                yield held


if __name__ == "__main__":
    for changed in write():
        sys.stdout.write(f"{changed.relative_to(EXAMPLES.parent)}\n")
