"""What packs register, checked as it comes: rules (some imported only when a plan needs them), nouns, studies."""

from __future__ import annotations

import importlib
import re
import sys
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

from oneclimb.api import API_VERSION, Info, Kind, Later, PackError, Rule, Settings, Study

CODE = re.compile(r"[A-Z]{3,8}-\d{2}")
KEYS = frozenset({
    "version", "units", "site", "house", "buildings", "boundary", "beyond", "neighbours", "objects", "areas", "lamps",
    "types", "cameras", "cables", "conduits", "boxes", "switches", "injectors", "supplies", "recorders", "ups",
    "access-points", "proofs", "materials", "model", "settings", "deviations",
})  # fmt: skip
"""the plan's own keys, which no pack may take"""
SUBJECTS = frozenset({
    "site", "building", "land", "object", "area", "lamp", "camera", "cable", "connector", "conduit", "box", "switch",
    "injector", "supply", "recorder", "ups", "access-point", "proof",
})  # fmt: skip


class Rules(Mapping[str, Rule[Any]]):
    """Rules by code, in order; one that was registered for later is imported when it is asked for."""

    def __init__(self, listed: Mapping[str, Rule[Any] | Later]) -> None:
        self._listed = dict(sorted(listed.items()))
        self._made: dict[str, Rule[Any]] = {}

    def __getitem__(self, code: str) -> Rule[Any]:
        """The rule of a code. Raises ``KeyError``; ``PackError`` where it cannot be imported or isn't fit."""
        if code not in self._made:
            rule = self._listed[code]
            self._made[code] = _imported(rule) if isinstance(rule, Later) else rule
        return self._made[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._listed)

    def __len__(self) -> int:
        return len(self._listed)

    def subject(self, code: str) -> str:
        """What a rule is about."""
        return self._listed[code].subject

    def about(self, subjects: Collection[str], words: Collection[str]) -> tuple[str, ...]:
        """Codes of the rules that may have something to say of a plan with these subjects and keys."""
        return tuple(
            code
            for code, rule in self._listed.items()
            if rule.subject in subjects
            and not (isinstance(rule, Later) and rule.needs and rule.needs.isdisjoint(words))
        )


def _imported(later: Later) -> Rule[Any]:
    """The rule, imported and checked."""
    module, _, name = later.at.partition(":")
    try:
        rule = getattr(importlib.import_module(module), name)
    except (ImportError, AttributeError) as error:
        raise PackError(f"{later.code} cannot be imported from {later.at}: {error}") from error
    check_rule(rule)
    if (rule.info.code, rule.subject) != (later.code, later.subject):
        raise PackError(f"{later.at} is {rule.info.code} about a {rule.subject}, not as registered")
    made: Rule[Any] = rule()
    return made


def page_path(rule: type[Rule[Any]]) -> Path:
    """Where a rule's page lies: beside its module."""
    module = sys.modules[rule.__module__]
    return Path(str(module.__file__)).with_name(rule.info.page)


class Register:
    """What a pack's hook is handed (``api.Into``): checks each thing as it comes."""

    api = API_VERSION

    def __init__(self) -> None:
        self.rules: dict[str, Rule[Any] | Later] = {}
        self.kinds: dict[str, Kind[Any]] = {}
        self.studies: dict[str, Study[Any, Any]] = {}

    def rule(self, rule: type[Rule[Any]] | Later) -> None:
        """Register a rule, its metadata and settings checked: now, or when it is imported."""
        if isinstance(rule, Later):
            check_code(rule.code, rule.at)
            code = rule.code
        else:
            check_rule(rule)
            code = rule.info.code
        if code in self.rules:
            raise PackError(f"two rules have the code {code}")
        self.rules[code] = rule if isinstance(rule, Later) else rule()

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
    check_code(info.code, rule.__name__)
    if not info.title or not info.sources:
        raise PackError(f"{info.code} has no {'title' if not info.title else 'sources'}")
    if not getattr(rule, "subject", None):
        raise PackError(f"{info.code} names no subject")
    if getattr(rule, "__abstractmethods__", None):
        raise PackError(f"{info.code} has no {', no '.join(sorted(rule.__abstractmethods__))}")
    if not page_path(rule).is_file():
        raise PackError(f"{info.code}: its page {info.page!r} is not beside the rule")
    check_settings(info.code, rule.settings)


def check_code(code: str, whose: str) -> None:
    """Refuse a code that is not a rule's."""
    if not CODE.fullmatch(code) or code.startswith("PLAN-"):
        raise PackError(f"{whose}: {code!r} is not a rule's code (FAMILY-NN; PLAN is the plan's own)")


def check_settings(code: str, settings: type[Settings]) -> None:
    """Refuse settings that could change under way, or that say nothing of themselves."""
    if not (isinstance(settings, type) and issubclass(settings, Settings)):
        raise PackError(f"{code}: its settings are not on oneclimb.api.Settings")
    if not settings.__struct_config__.frozen:
        raise PackError(f"{code}: its settings are not frozen")
    for field in settings.__struct_fields__:
        if field != "limits" and not (field in settings.described and settings.described[field].about):
            raise PackError(f"{code}: the setting {field!r} does not say what it is (use oneclimb.api.setting)")
