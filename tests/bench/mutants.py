"""Are the tests awake? Each slip of the tables is made in a copy of the source, and a test must fail.

    .venv/bin/python tests/bench/mutants.py [WORD …]

With words, only the mutants whose slip or file has one of them. Exit status 1 if any survives,
2 if the tests do not run as they should.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from mutant_table import MUTANTS, Mutant
from mutant_table_more import MORE

ROOT = Path(__file__).parents[2]
PARTS = ("linter", "rules", "schemas", "tests", "examples", "pyproject.toml")
CAUGHT, PASSED = 1, 0
"""pytest's exit status when a test failed, and when none did"""
WITNESS = '''\
"""That what is tested is the copy."""
import pathlib, oneclimb, oneclimb_rules, oneclimb.{modules}
here = pathlib.Path(__file__).resolve().parent
for module in (oneclimb, oneclimb_rules, {names}):
    assert here in pathlib.Path(module.__file__).resolve().parents, module.__file__
'''


def copied(folder: Path) -> Path:
    """A copy of the source, with a plugin that makes pytest refuse to test any other."""
    for part in PARTS:
        source = ROOT / part
        if source.is_dir():
            shutil.copytree(source, folder / part, ignore=shutil.ignore_patterns("__pycache__", ".hypothesis"))
        else:
            shutil.copy(source, folder / part)
    rooms = ("trade.light", "place.lens", "study.night", "plan.units")
    modules = ", oneclimb.".join(rooms)
    names = ", ".join(f"oneclimb.{room}" for room in rooms)
    (folder / "witness.py").write_text(WITNESS.format(modules=modules, names=names), encoding="utf-8")
    return folder


def run(folder: Path, tests: tuple[str, ...]) -> tuple[int, str]:
    """Run test files on the copy up to the first failure; pytest's exit status and the last of its words."""
    path = os.pathsep.join(str(folder / part) for part in (".", "linter", "rules"))
    environment = {**os.environ, "PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "pytest", "-x", "-p", "no:cacheprovider", "-p", "witness", "--tb=no", *tests]
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    return done.returncode, (done.stdout + done.stderr)[-2000:]


def tried(folder: Path, mutant: Mutant) -> bool:
    """Whether a test notices. Raises ``SystemExit(2)`` where the tests could not be run."""
    file = folder / mutant.file
    text = file.read_text(encoding="utf-8")
    if text.count(mutant.original) != 1:
        raise SystemExit(f"{mutant.file}: not exactly once: {mutant.original}")
    file.write_text(text.replace(mutant.original, mutant.mutated), encoding="utf-8")
    try:
        status, words = run(folder, mutant.noticed_by)
    finally:
        file.write_text(text, encoding="utf-8")
    if status not in (CAUGHT, PASSED):
        print(words)
        raise SystemExit(2)
    return status == CAUGHT


def main(words: list[str]) -> int:
    """Try every mutant, print what became of it."""
    chosen = [m for m in (*MUTANTS, *MORE) if not words or any(word in f"{m.slip} {m.file}" for word in words)]
    survived = []
    with tempfile.TemporaryDirectory() as name:
        folder = copied(Path(name))
        status, said = run(folder, tuple(dict.fromkeys(test for m in chosen for test in m.noticed_by)))
        if status != PASSED:
            print(f"the tests must pass before anything is changed:\n{said}")
            return 2
        for mutant in chosen:
            start = time.perf_counter()
            caught = tried(folder, mutant)
            taken = time.perf_counter() - start
            print(f"{'caught  ' if caught else 'SURVIVED'} {taken:5.1f} s  {mutant.slip} ({mutant.file})", flush=True)
            survived += [] if caught else [mutant]
    print(f"{len(chosen) - len(survived)} of {len(chosen)} caught")
    return 1 if survived else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
