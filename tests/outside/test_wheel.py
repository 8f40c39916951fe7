"""The wheel, installed in a fresh environment outside the checkout: it is whole, it runs, it is typed.

Dependencies are those of the environment that runs the tests, found by a path file; the code is the wheel's.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest
from mypy import api as mypy

from oneclimb import kit

ROOT = Path(__file__).parents[2]
PLAN = ROOT / "examples" / "two-cameras" / "cottage.plan.yaml"
TYPED = Path(__file__).with_name("typing_example.py")
WRONG = """\
from oneclimb.api import Figure, Info, Limits
from oneclimb.plan.model import Camera
from oneclimb.trade.led import led_exponent

Figure("tilt", "steep", "deg")
Info("LEVEL-90", "Camera level", "no tuple", "level.md")
Limits(note="10")
def bearing(camera: Camera) -> str:
    return camera.aim.bearing
led_exponent("60")
"""
IMPORTED = """\
import json, sys
from click.testing import CliRunner
from oneclimb.cli.root import root
CliRunner().invoke(root, ["check", "--format", "sarif", sys.argv[1]])
print(json.dumps({name.partition(".")[0]: getattr(module, "__file__", None) for name, module in sys.modules.items()}))
"""
CLOSURE = """\
import json, re
from importlib import metadata
def needed(name, seen):
    for line in metadata.requires(name) or ():
        wanted = re.split(r"[ ;<>=!~\\[]", line)[0].lower().replace("_", "-")
        if "extra ==" not in line and wanted not in seen:
            seen.add(wanted)
            try: needed(wanted, seen)
            except metadata.PackageNotFoundError: pass
    return seen
tops = {top: [d.lower().replace("_", "-") for d in ds] for top, ds in metadata.packages_distributions().items()}
print(json.dumps([sorted(needed("oneclimb", {"oneclimb"})), tops]))
"""


@dataclass(frozen=True)
class Installed:
    """The wheel, the sources it was built beside, and where it is installed."""

    wheel: Path
    sdist: Path
    home: Path

    @property
    def bin(self) -> Path:
        return self.home / ("Scripts" if os.name == "nt" else "bin")

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """A command of the environment, from outside the checkout."""
        clean = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
        command = [str(self.bin / words[0]), *words[1:]]
        return subprocess.run(command, cwd=self.home, env=clean, capture_output=True, encoding="utf-8", check=False)


def build(source: Path, into: Path, *targets: str) -> None:
    command = [sys.executable, "-m", "hatchling", "build", "-d", str(into)]
    subprocess.run([*command, *(f"-t{t}" for t in targets)], cwd=source, check=True, capture_output=True)


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Installed:
    built, home = tmp_path_factory.mktemp("built"), tmp_path_factory.mktemp("outside") / "home"
    build(ROOT, built, "wheel", "sdist")
    venv.create(home, with_pip=False, symlinks=os.name != "nt")
    made = Installed(next(built.glob("*.whl")), next(built.glob("*.tar.gz")), home)
    pip = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        str(made.bin / "python"),
        "install",
        "-q",
        "--no-deps",
        "--no-index",
    ]
    subprocess.run([*pip, str(made.wheel)], check=True, capture_output=True)
    packages = made.run("python", "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").stdout.strip()
    paths = dict.fromkeys(sysconfig.get_path(kind) for kind in ("purelib", "platlib"))
    Path(packages, "dependencies.pth").write_text("\n".join(paths), encoding="utf-8")
    shutil.copy(PLAN, home / "cottage.plan.yaml")
    return made


def names(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return {name for name in archive.namelist() if ".dist-info/" not in name}


def test_the_wheel_holds_every_module_page_schema_and_marker_and_nothing_else(installed: Installed) -> None:
    parts = (("linter", ""), ("rules", ""), ("schemas", "oneclimb/_schemas/"))
    expected = {
        under + path.relative_to(ROOT / part).as_posix()
        for part, under in parts
        for path in (ROOT / part).rglob("*")
        if path.is_file() and path.suffix != ".pyc"
    }
    assert names(installed.wheel) == expected
    assert {
        "oneclimb/py.typed",
        "oneclimb_local/py.typed",
        "oneclimb_rules/py.typed",
        "oneclimb/_schemas/plan-1.schema.json",
    } <= expected
    assert sum(name.endswith(".md") for name in expected) == len(kit.packs().rules)


def test_the_wheel_built_from_the_source_archive_holds_the_same(installed: Installed, tmp_path: Path) -> None:
    with tarfile.open(installed.sdist) as archive:
        archive.extractall(tmp_path, filter="data")
    (source,) = tmp_path.iterdir()
    build(source, tmp_path / "again", "wheel")
    assert names(next((tmp_path / "again").glob("*.whl"))) == names(installed.wheel)
    assert (source / "tests" / "outside" / Path(__file__).name).is_file(), "the archive carries its tests"


def test_the_installed_command_finds_what_the_checkout_finds(installed: Installed) -> None:
    done = installed.run("oneclimb", "check", "--format", "json", "cottage.plan.yaml")
    assert done.returncode in (0, 1), done.stderr
    (told,) = json.loads(done.stdout)["plans"]
    found = kit.look(PLAN.read_text("utf-8")).findings
    assert found
    assert sorted((f["code"], f["level"]) for f in told["findings"]) == sorted((f.code, f.level) for f in found)


def test_the_installed_command_writes_a_page_with_its_looks(installed: Installed) -> None:
    done = installed.run("oneclimb", "report", "cottage.plan.yaml")
    assert (done.returncode, done.stdout.strip()) == (0, "cottage.html"), done.stderr
    page = (installed.home / "cottage.html").read_text(encoding="utf-8")
    web = ROOT / "linter" / "oneclimb" / "web"
    for part in ("page.css", "page.js"):
        assert (web / part).read_text(encoding="utf-8").strip() in page


def test_the_wheels_own_code_and_data_are_what_runs(installed: Installed) -> None:
    script = "import oneclimb.kit as k, oneclimb_rules as r; print(k.__file__, r.__file__)"
    files = [Path(file).resolve() for file in installed.run("python", "-c", script).stdout.split()]
    assert [file.name for file in files] == ["kit.py", "__init__.py"]
    assert all(installed.home.resolve() in file.parents for file in files)
    held = installed.run(
        "python", "-c", "from oneclimb import kit\nfor r in kit.packs().rules.values(): kit.page_path(r)"
    )
    assert held.returncode == 0, held.stderr


def test_schema_rules_and_pages_come_out_of_the_wheel(installed: Installed) -> None:
    assert json.loads(installed.run("oneclimb", "schema").stdout) == json.loads(json.dumps(kit.schemas().whole()))
    listed = installed.run("oneclimb", "rules").stdout
    assert all(code in listed for code in kit.packs().rules)
    page = installed.run("oneclimb", "explain", "GLARE-01")
    assert page.returncode == 0, page.stderr
    assert all(heading in page.stdout for heading in kit.HEADINGS)


def test_what_a_check_imports_is_declared(installed: Installed) -> None:
    """Every distribution it takes from the environment is among the wheel's requirements, or theirs."""
    imported = json.loads(installed.run("python", "-c", IMPORTED, "cottage.plan.yaml").stdout.splitlines()[-1])
    needed, tops = json.loads(installed.run("python", "-c", CLOSURE).stdout)
    foreign = {
        dist for name, file in imported.items() if file for dist in tops.get(name, ()) if "site-packages" in file
    }
    assert {"numpy", "click", "jsonschema-rs", "pluggy", "pyyaml", "shapely"} <= foreign
    assert foreign <= set(needed)


def test_a_rule_author_has_types(installed: Installed, tmp_path: Path) -> None:
    """The example passes ``mypy --strict`` on the installed wheel, and each wrong line of another is found."""
    wrong = tmp_path / "wrong.py"
    wrong.write_text(WRONG, encoding="utf-8")
    shutil.copy(TYPED, tmp_path / "pack.py")
    python = str(installed.bin / "python")
    flags = [
        "--strict",
        "--config-file=",
        f"--cache-dir={tmp_path / 'cache'}",
        "--no-color-output",
        "--no-error-summary",
    ]
    said, errors, _ = mypy.run([*flags, f"--python-executable={python}", str(tmp_path / "pack.py"), str(wrong)])
    assert not errors
    found = {(line.split(":")[1], line.rpartition("[")[2].rstrip("]")) for line in said.splitlines() if "error" in line}
    assert found == {("5", "arg-type"), ("6", "arg-type"), ("7", "arg-type"), ("9", "return-value"), ("10", "arg-type")}
    assert "pack.py" not in said
