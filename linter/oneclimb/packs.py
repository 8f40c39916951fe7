"""Rule packs: found by entry point, asked through one hook, checked as they load.

The built-in rules come in by the same door as anyone else's. A pack that cannot load does
not stop the others: what went wrong is kept, reported, and makes the run an internal fault.
"""

from __future__ import annotations

import traceback
from collections.abc import Collection, Iterable, Mapping
from importlib import metadata
from typing import Any

import pluggy
from msgspec import Struct

from oneclimb.api import ENTRY_POINTS, Kind, Later, PackError, PackSpec, Rule, Study
from oneclimb.register import SUBJECTS, Register, Rules, page_path


class PackInfo(Struct, frozen=True):
    """A pack as it was found: entry-point name, distribution and version."""

    name: str
    distribution: str
    version: str


class PackCrash(Struct, frozen=True):
    """A pack that could not be loaded."""

    pack: str
    text: str
    trace: str


class Packs(Struct, frozen=True):
    """Everything the packs brought, by code, key and name."""

    rules: Rules
    kinds: Mapping[str, Kind[Any]]
    studies: Mapping[str, Study[Any, Any]]
    packs: tuple[PackInfo, ...]
    crashes: tuple[PackCrash, ...]
    origin: Mapping[str, PackInfo]
    """rule code → the pack it came from"""

    def page(self, code: str) -> str:
        """The Markdown page of a rule, read now."""
        return page_path(type(self.rules[code])).read_text(encoding="utf-8")

    def called_for(
        self, subjects: Collection[str], words: Collection[str]
    ) -> tuple[tuple[Rule[Any], ...], tuple[PackCrash, ...]]:
        """The rules that may have something to say of a plan with these subjects and keys, imported now; and
        those that can't be.
        """
        rules: list[Rule[Any]] = []
        crashes: list[PackCrash] = []
        for code in self.rules.about(subjects, words):
            try:
                rules.append(self.rules[code])
            except Exception as error:
                crashes.append(PackCrash(code, str(error), traceback.format_exc()))
        return tuple(rules), tuple(crashes)


def gather(plugin: object) -> Register:
    """Everything one pack registers; ``PackError`` where it is not fit."""
    manager = pluggy.PluginManager(ENTRY_POINTS)
    manager.add_hookspecs(PackSpec)
    manager.register(plugin)
    manager.check_pending()
    register = Register()
    if not manager.hook.oneclimb_pack.get_hookimpls():
        raise PackError("it has no function oneclimb_pack marked with oneclimb.api.pack_hook")
    manager.hook.oneclimb_pack(into=register)
    return register


def load_packs(entries: Iterable[metadata.EntryPoint] | None = None) -> Packs:
    """Load every pack installed under the entry-point group, the built-in one first, then in order of name."""
    found = metadata.entry_points(group=ENTRY_POINTS) if entries is None else entries
    rules: dict[str, Rule[Any] | Later] = {}
    kinds: dict[str, Kind[Any]] = {}
    studies: dict[str, Study[Any, Any]] = {}
    packs: list[PackInfo] = []
    crashes: list[PackCrash] = []
    origin: dict[str, PackInfo] = {}
    for entry in sorted(found, key=lambda e: (e.name != "trade", e.name)):
        info = PackInfo(entry.name, entry.dist.name if entry.dist else "", entry.dist.version if entry.dist else "")
        try:
            got = gather(entry.load())
            taken = [
                k
                for new, old in ((got.rules, rules), (got.kinds, kinds), (got.studies, studies))
                for k in new
                if k in old
            ]
            if taken:
                raise PackError(f"another pack already brings {', '.join(taken)}")
            types = {kind.type for kind in kinds.values()} & {kind.type for kind in got.kinds.values()}
            if types:
                raise PackError(f"another pack already brings the noun {', '.join(sorted(types))}")
            foreign = [
                c
                for c, r in got.rules.items()
                if r.subject not in SUBJECTS | {k.type for k in (*kinds.values(), *got.kinds.values())}
            ]
            if foreign:
                raise PackError(f"{foreign[0]} is about a {got.rules[foreign[0]].subject!r}, which no pack brings")
        except Exception as error:
            crashes.append(
                PackCrash(entry.name, f"the pack {entry.name!r} cannot be loaded: {error}", traceback.format_exc())
            )
            continue
        rules |= got.rules
        kinds |= got.kinds
        studies |= got.studies
        packs.append(info)
        origin |= dict.fromkeys(got.rules, info)
    return Packs(Rules(rules), kinds, studies, tuple(packs), tuple(crashes), origin)
