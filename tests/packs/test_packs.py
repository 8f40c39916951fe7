"""Packs come in by one door, are checked as they load, and cannot stop one another."""

from __future__ import annotations

import sys
import types
from collections.abc import Iterable, Iterator
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from oneclimb import kit
from oneclimb.api import (
    Figure,
    Info,
    Limits,
    PackError,
    Query,
    Reading,
    Rule,
    Settings,
    Told,
    Trial,
    pack_hook,
    setting,
)
from oneclimb.packs import Register, load_packs, page_path
from oneclimb.plan.schema import compose
from oneclimb.review import check

PACK = Path(__file__).parents[2] / "examples" / "pack"
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
    assert set(packs.rules) == {
        "CABLE-01", "GLARE-01", "GLARE-02", "GLARE-03", "LINK-01", "SEAL-01", "VIEW-01", "VIEW-02",
    }  # fmt: skip
    assert all(page_path(type(rule)).is_file() for rule in packs.rules.values())


def test_an_example_pack_brings_a_noun_and_a_rule_and_its_page_holds(
    example_pack: metadata.EntryPoint, tmp_path: Path
) -> None:
    packs = load_packs([own(), example_pack])
    assert packs.crashes == ()
    assert packs.origin["FLOOD-01"].name == "flood"
    schema = compose(packs.kinds, packs.rules.values())
    failing, passing = kit.plans(packs.page("FLOOD-01"))
    for text in (failing, passing):
        path = tmp_path / "page.plan.yaml"
        path.write_text(text, encoding="utf-8")
        review = check(str(path), packs, schema, today=kit.DAY)
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
    review = check(str(path), packs, compose(packs.kinds, packs.rules.values()))
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
