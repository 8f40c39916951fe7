"""Field guides for the tests: a few real rules once, and packs made of a page."""

from __future__ import annotations

import sys
import types
from collections.abc import Iterable, Iterator
from functools import cache
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest

from oneclimb import kit
from oneclimb.api import Figure, Info, Limits, Query, Reading, Ref, Rule, Settings, Told, Trial, pack_hook
from oneclimb.packs import Packs, load_packs
from oneclimb.register import Register
from oneclimb.web import guide
from oneclimb.web.guide import Book

CODES = ("CABLE-01", "GLARE-03", "POWER-03", "SEAL-02")
"""rules with a drawing of the site twice, the night with a lamp lit, none as yet or a chart, a drawing once"""
COVER = "GLARE-03"
MODULE = "guide_pack"


@cache
def real() -> Book:
    """The guide to a few of our own rules, one of them on its cover."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(guide, "COVER", COVER)
        return guide.book(kit.packs(), CODES)


class Wide(Settings, frozen=True):
    limits: Limits = Limits(note=0.5, warning=0.9)


def pack(
    monkeypatch: pytest.MonkeyPatch, folder: Path, page: str | bytes, code: str = "SEAL-90", words: str = "a rule"
) -> Packs:
    """The packs there would be with one rule of this page, which finds cameras that look up, and says these words."""

    class Looking(Rule[Any]):
        info = Info(code, words, ("invented for this test",), "page.md")
        subject = "camera"
        settings = Wide

        def measure(self, subject: Any, q: Query, settings: Any) -> Iterable[Reading]:
            del q, settings
            yield Reading(Figure(words, float(subject.aim.tilt < 0), ""), Ref("camera", subject.id))

        def tell(self, reading: Reading, q: Trial, settings: Any) -> Told:
            del reading, q, settings
            return Told(words)

    @pack_hook
    def oneclimb_pack(into: Register) -> None:
        into.rule(Looking)

    module = types.ModuleType(MODULE)
    module.__file__ = str(folder / "module.py")
    Looking.__module__ = MODULE
    vars(module)["oneclimb_pack"] = oneclimb_pack
    monkeypatch.setitem(sys.modules, MODULE, module)
    (folder / "page.md").write_bytes(page if isinstance(page, bytes) else page.encode())
    packs = load_packs([metadata.EntryPoint("mine", MODULE, "oneclimb")])
    assert packs.crashes == ()
    return packs


def plan(name: str = "Heron Cottage", tilt: int = -5) -> str:
    """A plan that the rule of ``pack`` finds something in where its camera looks up."""
    return (
        f"site: {{name: '{name}'}}\n"
        "house: {front: {faces: 200, width: 10}, depth: 7, height: 5}\n"
        f"cameras: [{{id: cam, mount: {{wall: front, along: 5, height: 2.5}}, aim: {{bearing: 200, tilt: {tilt}}}}}]\n"
    )


def page_of(before: str, after: str, more: str = "") -> str:
    """A rule's page with two plans."""
    return (
        f"# SEAL-90: a rule\n\n## What it finds\n\nA camera that looks up. And more.\n\n{more}\n\n"
        f"## A plan that fails\n\n```yaml\n{before}```\n\n## A plan that passes\n\n```yaml\n{after}```\n"
    )


def elements(tree: Any, *names: str) -> Iterator[Any]:
    """The elements of these names, whatever their namespace."""
    return (one for one in tree.iter() if isinstance(one.tag, str) and one.tag.rpartition("}")[2] in names)
