"""Packs come in by one door, are checked as they load, and cannot stop one another."""

from __future__ import annotations

import subprocess
import sys
import types
from collections.abc import Iterable, Iterator
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

import oneclimb_rules
from oneclimb import kit
from oneclimb.api import (
    Figure,
    Info,
    Later,
    Limits,
    PackError,
    Query,
    Reading,
    Ref,
    Rule,
    Settings,
    Told,
    Trial,
    pack_hook,
    setting,
)
from oneclimb.packs import load_packs
from oneclimb.plan.schema import Schemas
from oneclimb.register import Register, page_path
from oneclimb.review import check

PACK = Path(__file__).parents[2] / "examples" / "pack"
TWO = PACK.parent / "two-cameras" / "cottage.plan.yaml"
GOOD = Info("GLARE-90", "a rule", ("invented for this test",), "glint.md")


class Glint(Rule[Any]):
    info = GOOD
    subject = "camera"

    def measure(self, subject: Any, q: Query, settings: Settings) -> Iterable[Reading]:
        del subject, q, settings
        return ()

    def tell(self, reading: Reading, q: Trial, settings: Settings) -> Told:
        del reading, q, settings
        return Told("")


@pytest.fixture(autouse=True)
def page(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A page beside the rule of this test."""
    (tmp_path / "glint.md").write_text("# GLARE-90: a rule\n", encoding="utf-8")
    monkeypatch.setattr(sys.modules[__name__], "__file__", str(tmp_path / "module.py"))


@pytest.fixture
def example_pack(monkeypatch: pytest.MonkeyPatch) -> Iterator[metadata.EntryPoint]:
    monkeypatch.syspath_prepend(str(PACK))
    yield metadata.EntryPoint("flood", "oneclimb_flood", "oneclimb")
    for name in [name for name in sys.modules if name.startswith("oneclimb_flood")]:
        del sys.modules[name]


def entry(name: str, monkeypatch: pytest.MonkeyPatch, **what: Any) -> metadata.EntryPoint:
    """An entry point to a module made here."""
    module = types.ModuleType(f"pack_{name}")
    vars(module).update(what)
    monkeypatch.setitem(sys.modules, module.__name__, module)
    return metadata.EntryPoint(name, module.__name__, "oneclimb")


def bringing(*rules: type[Rule[Any]]) -> Any:
    @pack_hook
    def oneclimb_pack(into: Register) -> None:
        for rule in rules:
            into.rule(rule)

    return oneclimb_pack


def own() -> metadata.EntryPoint:
    return next(e for e in metadata.entry_points(group="oneclimb") if e.name == "trade")


def test_the_built_in_rules_come_in_by_the_same_door() -> None:
    packs = load_packs([own()])
    assert packs.crashes == ()
    pages = set(Path(oneclimb_rules.__file__).parent.glob("*/*.md"))
    assert {page_path(type(rule)) for rule in packs.rules.values()} == pages
    assert len(pages) == len(packs.rules) >= 8


def later(at: str, code: str = GOOD.code, subject: str = "camera", *needs: str) -> Any:
    """A pack that registers one rule for later."""

    @pack_hook
    def oneclimb_pack(into: Register) -> None:
        into.rule(Later(code, at, subject, frozenset(needs)))

    return oneclimb_pack


@pytest.mark.parametrize(
    ("subjects", "words", "needs", "called"),
    [
        ({"camera"}, {"panel"}, ("panel", "battery"), True),
        ({"camera"}, set(), (), True),
        ({"cable"}, {"panel"}, ("panel",), False),
        ({"camera"}, {"lamps"}, ("panel",), False),
    ],
)
def test_a_rule_for_later_is_imported_only_for_a_plan_it_speaks_of(
    subjects: set[str], words: set[str], needs: tuple[str, ...], called: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    packs = load_packs(
        [entry("late", monkeypatch, oneclimb_pack=later("late_rules:Glint", "GLARE-90", "camera", *needs))]
    )
    assert packs.crashes == ()
    module = types.ModuleType("late_rules")
    vars(module)["Glint"] = Glint
    monkeypatch.setitem(sys.modules, "late_rules", module)
    rules, crashes = packs.called_for(subjects, words)
    assert crashes == ()
    assert [rule.info.code for rule in rules] == (["GLARE-90"] if called else [])
    assert packs.rules["GLARE-90"].info.code == "GLARE-90"
    assert packs.rules.about(subjects, words) == (("GLARE-90",) if called else ()), "as before it was imported"


@pytest.mark.parametrize(
    ("registered", "word"),
    [
        (("nowhere_at_all:Glint", "GLARE-90", "camera"), "cannot be imported"),
        ((f"{__name__}:Nobody", "GLARE-90", "camera"), "cannot be imported"),
        ((f"{__name__}:Glint", "GLARE-91", "camera"), "not as registered"),
        ((f"{__name__}:Glint", "GLARE-90", "cable"), "not as registered"),
    ],
)
def test_a_rule_for_later_that_is_not_as_registered_is_a_crash_of_the_review(
    registered: tuple[str, str, str], word: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    packs = load_packs([own(), entry("late", monkeypatch, oneclimb_pack=later(*registered))])
    assert packs.crashes == ()
    review = check(str(TWO), packs, Schemas(packs.kinds, packs.rules))
    assert [(crash.code, word in crash.text) for crash in review.crashes] == [(registered[1], True)]
    assert review.rules


def test_a_list_the_plan_leaves_out_is_asked_for_where_a_rule_is_about_it(monkeypatch: pytest.MonkeyPatch) -> None:
    packs = load_packs([own(), entry("late", monkeypatch, oneclimb_pack=later("nowhere:Nobody", "GLARE-91", "switch"))])
    review = check(str(TWO), packs, Schemas(packs.kinds, packs.rules))
    assert review.crashes == ()
    (asked,) = [item for item in review.cannot_tell if item.code == "GLARE-91"]
    assert asked.ref == Ref("site", "site", "switches")
    assert asked.asks == "what do the cables come to (a switch, a recorder's own ports), and what do its ports give?"


def test_a_check_imports_no_rule_a_plan_does_not_call_for(tmp_path: Path) -> None:
    plan = tmp_path / "one.plan.yaml"
    plan.write_text("cameras: [{id: cam, mount: {at: [0, 0], height: 3}, aim: {bearing: 0, tilt: 10}}]\n", "utf-8")
    code = (
        "import sys; from oneclimb.cli import main; main(['check', sys.argv[1]]); "
        "print(sorted(m for m in sys.modules if m.startswith('oneclimb_rules.')))"
    )
    done = subprocess.run([sys.executable, "-c", code, str(plan)], capture_output=True, text=True, check=True)
    assert "oneclimb_rules.glare.infrared_bounce" in done.stdout.splitlines()[-1]
    assert "oneclimb_rules.cable" not in done.stdout.splitlines()[-1]


def test_an_example_pack_brings_a_noun_and_a_rule_and_its_page_holds(
    example_pack: metadata.EntryPoint, tmp_path: Path
) -> None:
    packs = load_packs([own(), example_pack])
    assert packs.crashes == ()
    assert packs.origin["FLOOD-01"].name == "flood"
    schemas = Schemas(packs.kinds, packs.rules)
    failing, passing = kit.plans(packs.page("FLOOD-01"))
    for text in (failing, passing):
        path = tmp_path / "page.plan.yaml"
        path.write_text(text, encoding="utf-8")
        review = check(str(path), packs, schemas, today=kit.DAY)
        assert review.loaded.faults == ()
        assert kit.found(review) == kit.marks(text)
    assert kit.marks(failing)


def test_a_plan_with_a_pack_s_noun_is_refused_where_the_pack_is_not_there(
    example_pack: metadata.EntryPoint,
) -> None:
    failing, _ = kit.plans(load_packs([example_pack]).page("FLOOD-01"))
    (fault,) = kit.look(failing).loaded.faults
    assert fault.span.line == 1
    assert "floods" in fault.text


def test_a_noun_that_raises_is_the_pack_s_fault_and_the_plan_s_neighbours_are_still_reviewed(
    example_pack: metadata.EntryPoint, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    packs = load_packs([own(), example_pack])
    failing, _ = kit.plans(packs.page("FLOOD-01"))

    def fall_over(self: object, entry: object, context: object) -> None:
        del self, context
        raise ZeroDivisionError(entry)

    monkeypatch.setattr(type(packs.kinds["floods"]), "read", fall_over)
    path = tmp_path / "page.plan.yaml"
    path.write_text(failing, encoding="utf-8")
    review = check(str(path), packs, Schemas(packs.kinds, packs.rules))
    assert [(crash.code, "ZeroDivisionError" in crash.text) for crash in review.crashes] == [("floods", True)]
    assert review.findings == ()


def test_a_pack_that_cannot_load_is_reported_and_the_others_are_there() -> None:
    packs = load_packs([metadata.EntryPoint("gone", "no_such_pack_at_all", "oneclimb"), own()])
    assert [(crash.pack, "no_such_pack_at_all" in crash.text) for crash in packs.crashes] == [("gone", True)]
    assert "GLARE-01" in packs.rules


def test_a_pack_without_the_hook_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    (crash,) = load_packs([entry("empty", monkeypatch)]).crashes
    assert "oneclimb_pack" in crash.text


def test_two_packs_cannot_bring_the_same_code(monkeypatch: pytest.MonkeyPatch) -> None:
    entries = [entry(name, monkeypatch, oneclimb_pack=bringing(Glint)) for name in ("a", "b")]
    packs = load_packs(entries)
    assert [p.name for p in packs.packs] == ["a"]
    assert ["GLARE-90" in crash.text for crash in packs.crashes] == [True]


def test_a_rule_about_something_no_pack_brings_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    class Odd(Glint):
        subject = "drone"

    (crash,) = load_packs([entry("odd", monkeypatch, oneclimb_pack=bringing(Odd))]).crashes
    assert "drone" in crash.text


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"code": "glare-1"}, "code"),
        ({"code": "PLAN-01"}, "code"),
        ({"title": ""}, "title"),
        ({"sources": ()}, "sources"),
        ({"page": "missing.md"}, "page"),
    ],
)
def test_metadata_is_checked_at_load(change: dict[str, Any], word: str) -> None:
    class Changed(Glint):
        info = replace(GOOD, **change)

    with pytest.raises(PackError, match=word):
        Register().rule(Changed)


def test_a_rule_must_measure_and_tell() -> None:
    class Half(Rule[Any]):
        info = GOOD
        subject = "camera"

        def measure(self, subject: Any, q: Query, settings: Settings) -> Iterable[Reading]:
            del q, settings
            yield Reading(Figure("x", 0.0, ""), subject)

    half: Any = Half
    with pytest.raises(PackError, match="tell"):
        Register().rule(half)


def test_settings_must_be_frozen_and_say_what_they_are() -> None:
    class Loose:
        limits: Limits = Limits()

    class Mute(Settings, frozen=True):
        arm: float = 2.5

    class Clear(Settings, frozen=True):
        arm: float = setting(2.5, "how far an arm reaches", unit="m")

    for settings, word in ((Loose, "not on"), (Mute, "does not say")):

        class Wrong(Glint):
            pass

        wrong: Any = Wrong
        wrong.settings = settings
        with pytest.raises(PackError, match=word):
            Register().rule(wrong)

    class Right(Glint):
        settings = Clear

    register = Register()
    register.rule(Right)
    assert set(register.rules) == {"GLARE-90"}
