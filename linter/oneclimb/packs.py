"""Rule packs: found by entry point, asked through one hook, checked as they load.

The built-in rules come in by the same door as anyone else's. A pack that cannot load does
not stop the others: what went wrong is kept, reported, and makes the run an internal fault.
"""

from __future__ import annotations

import re
import sys
import traceback
from collections.abc import Iterable, Mapping
from importlib import metadata
from pathlib import Path
from typing import Any

import pluggy
from msgspec import Struct

from oneclimb.api import API_VERSION, ENTRY_POINTS, Info, Kind, PackError, PackSpec, Rule, Settings, Study

CODE = re.compile(r"[A-Z]{3,8}-\d{2}")
KEYS = frozenset({
    "version", "units", "site", "house", "buildings", "boundary", "beyond", "neighbours", "objects", "areas", "lamps",
    "types", "cameras", "cables", "materials", "model", "settings", "deviations",
})  # fmt: skip
"""the plan's own keys, which no pack may take"""
SUBJECTS = frozenset({"site", "building", "land", "object", "area", "lamp", "camera", "cable", "connector"})


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

    rules: Mapping[str, Rule[Any]]
    kinds: Mapping[str, Kind[Any]]
    studies: Mapping[str, Study[Any, Any]]
    packs: tuple[PackInfo, ...]
    crashes: tuple[PackCrash, ...]
    origin: Mapping[str, PackInfo]
    """rule code → the pack it came from"""

    def page(self, code: str) -> str:
        """The Markdown page of a rule, read now."""
        return page_path(type(self.rules[code])).read_text(encoding="utf-8")


def page_path(rule: type[Rule[Any]]) -> Path:
    """Where a rule's page lies: beside its module."""
    module = sys.modules[rule.__module__]
    return Path(str(module.__file__)).with_name(rule.info.page)


class Register:
    """What a pack's hook is handed (``api.Into``): checks each thing as it comes."""

    api = API_VERSION

    def __init__(self) -> None:
        self.rules: dict[str, Rule[Any]] = {}
        self.kinds: dict[str, Kind[Any]] = {}
        self.studies: dict[str, Study[Any, Any]] = {}

    def rule(self, rule: type[Rule[Any]]) -> None:
        """Register a rule, its metadata and settings checked."""
        check_rule(rule)
        if rule.info.code in self.rules:
            raise PackError(f"two rules have the code {rule.info.code}")
        self.rules[rule.info.code] = rule()

    def kind(self, kind: type[Kind[Any]]) -> None:
        """Register a noun under its key."""
        for name in ("key", "type", "schema"):
            if not getattr(kind, name, None):
                raise PackError(f"{kind.__name__} has no {name}")
        taken = {other.type for other in self.kinds.values()}
        if kind.key in KEYS or kind.key in self.kinds or kind.type in SUBJECTS | taken:
            raise PackError(f"the noun {kind.key!r} ({kind.type}) is there already")
        self.kinds[kind.key] = kind()

    def study(self, study: Study[Any, Any]) -> None:
        """Register a study by name."""
        if study.name in self.studies:
            raise PackError(f"two studies are called {study.name!r}")
        self.studies[study.name] = study


def check_rule(rule: type[Rule[Any]]) -> None:
    """Refuse a rule whose metadata, settings or page are not fit to be shown."""
    info = getattr(rule, "info", None)
    if not isinstance(info, Info):
        raise PackError(f"{rule.__name__} has no info")
    if not CODE.fullmatch(info.code) or info.code.startswith("PLAN-"):
        raise PackError(f"{rule.__name__}: {info.code!r} is not a rule's code (FAMILY-NN; PLAN is the plan's own)")
    if not info.title or not info.sources:
        raise PackError(f"{info.code} has no {'title' if not info.title else 'sources'}")
    if not getattr(rule, "subject", None):
        raise PackError(f"{info.code} names no subject")
    if getattr(rule, "__abstractmethods__", None):
        raise PackError(f"{info.code} has no {', no '.join(sorted(rule.__abstractmethods__))}")
    if not page_path(rule).is_file():
        raise PackError(f"{info.code}: its page {info.page!r} is not beside the rule")
    check_settings(info.code, rule.settings)


def check_settings(code: str, settings: type[Settings]) -> None:
    """Refuse settings that could change under way, or that say nothing of themselves."""
    if not (isinstance(settings, type) and issubclass(settings, Settings)):
        raise PackError(f"{code}: its settings are not on oneclimb.api.Settings")
    if not settings.__struct_config__.frozen:
        raise PackError(f"{code}: its settings are not frozen")
    for field in settings.__struct_fields__:
        if field != "limits" and not (field in settings.described and settings.described[field].about):
            raise PackError(f"{code}: the setting {field!r} does not say what it is (use oneclimb.api.setting)")


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
    rules: dict[str, Rule[Any]] = {}
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
    return Packs(dict(sorted(rules.items())), kinds, studies, tuple(packs), tuple(crashes), origin)
