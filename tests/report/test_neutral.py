"""Which defaults are shown: every one that a plan can leave to be assumed is in one of two lists."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import FrameType
from unittest.mock import patch

import pytest

import oneclimb.plan
from examples.expected import PLANS
from oneclimb.plan.here import Here
from oneclimb.plan.model import Assumed
from oneclimb.plan.read import load
from oneclimb.report.look import Look
from oneclimb.report.neutral import NEUTRAL, SHOWN, Field, general, is_neutral
from oneclimb.report.text import text
from report.reviews import Folder, schemas

ROOM = Path(oneclimb.plan.__path__[0])
NOTING = {"note", "absent", "word", "flag", "size", "surface"}
"""methods of ``Here`` that put a default on record"""
PLACING = {"spot", "patch"}
"""functions that do so for whatever is placed with them"""
SPARSE = Path(__file__).with_name("sparse.plans.yaml").read_text(encoding="utf-8").split("\n---\n")
"""plans that leave out whatever can be left out, one way or another"""

Site = tuple[str, int, int]
"""a call in the plan's room: module, and the line and column it ends at"""


def calls() -> Iterator[Site]:
    """Every call by which a plan's own nouns can put a default on record.

    Not `own.surface(name, …) if own.has(name) else …`, which is asked only for what is written.
    """
    for module in ROOM.glob("*.py"):
        if module.stem in ("here", "read_packs"):
            continue
        tree = ast.parse(module.read_text(encoding="utf-8"))
        written = {id(node.body) for node in ast.walk(tree) if isinstance(node, ast.IfExp) and _asks(node.test)}
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or id(node) in written:
                continue
            if (isinstance(node.func, ast.Attribute) and node.func.attr in NOTING and _has_default(node)) or (
                isinstance(node.func, ast.Name) and node.func.id in PLACING
            ):
                yield (module.stem, node.end_lineno or 0, node.end_col_offset or 0)


def _asks(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "has"


def _has_default(node: ast.Call) -> bool:
    return len(node.args) + len(node.keywords) > 1


def _site(frame: FrameType) -> Site:
    _, line, _, column = list(frame.f_code.co_positions())[frame.f_lasti // 2]
    return Path(frame.f_code.co_filename).stem, line or 0, column or 0


@cache
def recorded() -> tuple[frozenset[Site], tuple[Assumed, ...]]:
    """What is put on record while the examples and the sparse plans are read: by which calls, and what."""
    seen: set[Site] = set()
    note = Here.note

    def noticed(self: Here, key: str, taken: str) -> None:
        frame: FrameType | None = sys._getframe(1)
        while frame is not None:
            if Path(frame.f_code.co_filename).parent == ROOM:
                seen.add(_site(frame))
            frame = frame.f_back
        note(self, key, taken)

    with patch.object(Here, "note", noticed):
        taken = [item for plan in _plans() for item in plan]
    return frozenset(seen), tuple(taken)


def _plans() -> Iterator[tuple[Assumed, ...]]:
    texts = [*SPARSE, *(plan.read_text(encoding="utf-8") for plan in PLANS)]
    for at, written in enumerate(texts):
        path = Path(f"{at}.plan.yaml")
        path.write_text(written, encoding="utf-8")
        loaded = load(str(path), {}, schemas())
        faults = [fault for fault in loaded.faults if at < len(SPARSE)]
        assert not faults, (at, faults)
        yield loaded.plan.assumed if loaded.plan else ()


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def fields() -> set[Field]:
    return {general(item) for item in recorded()[1]}


def test_every_call_that_takes_a_default_is_made_for_the_plans_here() -> None:
    """A new default is not seen by the tests below until a plan here leaves it out."""
    missing = sorted(set(calls()) - recorded()[0])
    assert not missing, f"leave these out in sparse.plans.yaml: {missing}"


def test_every_default_is_in_one_of_the_two_lists() -> None:
    assert not set(SHOWN) & NEUTRAL
    assert fields() - set(SHOWN) - NEUTRAL == set()


def test_the_lists_hold_nothing_that_is_never_assumed() -> None:
    assert (set(SHOWN) | NEUTRAL) - fields() == set()
    met = {(general(item), item.taken) for item in recorded()[1]}
    quiet = {(field, taken) for field, neutral in SHOWN.items() for taken in neutral}
    assert quiet - met == set()


@pytest.mark.parametrize(
    ("item", "field", "neutral"),
    [
        (Assumed("object", "there", "sometimes", ("car",)), ("object", "there"), False),
        (Assumed("object", "there", "always", ("post",)), ("object", "there"), True),
        (Assumed("object", "height", "0 in", ("post",)), ("object", "height"), True),
        (Assumed("object", "height", "1 ft 8 in", ("meter",)), ("object", "height"), False),
        (Assumed("camera", "behind", "no pane in front of it", ("cam",)), ("camera", "behind"), True),
        (Assumed("camera", "night", "infrared", ("cam",)), ("camera", "night"), False),
        (Assumed("cable", "route.12.cover", "nothing", ("run",)), ("cable", "route.*.cover"), False),
        (
            Assumed("building", "windows.a.b.surface", "window glass", ("house",)),
            ("building", "windows.*.surface"),
            False,
        ),
        (Assumed("gutter", "depth", "80 mm", ("north",)), ("gutter", "depth"), False),
    ],
)
def test_a_default_is_neutral_by_its_field_or_by_what_is_taken(item: Assumed, field: Field, neutral: bool) -> None:
    assert general(item) == field
    assert is_neutral(item) is neutral


@pytest.mark.parametrize("look", [Look(), Look(people=True, width=100)])
def test_neutral_defaults_are_counted_and_shown_on_request(look: Look) -> None:
    review = Folder(Path()).review()
    assert review.loaded.plan is not None
    neutral = {(general(item), item.taken) for item in review.loaded.plan.assumed if is_neutral(item)}
    short = text([review], look)
    assert f"and {len(neutral)} neutral ones (--steps shows them)\n" in short
    assert "no pane" not in short
    assert "night: infrared" in short
    whole = text([review], Look(people=look.people, width=look.width, steps=True))
    assert "--steps" not in whole
    assert "behind: no pane in front of it" in " ".join(whole.split())


def test_one_field_s_values_stand_together_each_with_whose_it_is() -> None:
    lines = text([Folder(Path()).review(SPARSE[0])], Look()).splitlines()
    objects = next(line for line in lines if ": assumed: object: " in line)
    assert objects.count("deep: ") == 1
    assert "0.6 m (hedge)" in objects
    assert "50 mm (fence, screen)" in objects
    buildings = next(line for line in lines if ": assumed: building: " in line)
    assert ": no eave (shed); eave depth: 0.45 m (house); " in buildings
    cables = next(line for line in lines if ": assumed: cable: " in line)
    assert "route cover: nothing (run)" in cables
