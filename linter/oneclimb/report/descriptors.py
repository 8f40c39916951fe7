"""The rules as SARIF lists them: every one that was asked, and the codes of the plan's own faults."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Any

from oneclimb.api import Rule
from oneclimb.packs import Packs
from oneclimb.plan.faults import FAULTS, FaultInfo

POLICY = "PLAN-90"
"""from here on the codes are about settings and deviations; the plan can be used"""


def descriptors(packs: Packs, codes: Collection[str]) -> list[dict[str, Any]]:
    """One reporting descriptor a code, in order of code; the rules' pages are read here."""
    rules = [_rule(packs.rules[code], packs.page(code)) for code in codes]
    faults = [_fault(code, info) for code, info in FAULTS.items()]
    return sorted([*rules, *faults], key=lambda one: str(one["id"]))


def section(page: str, heading: str) -> str:
    """The text under one heading of a rule's page."""
    found = re.search(rf"^## {re.escape(heading)}\s*\n(.*?)(?=^## |\Z)", page, re.MULTILINE | re.DOTALL)
    return found[1].strip() if found else ""


def _rule(rule: Rule[Any], page: str) -> dict[str, Any]:
    info = rule.info
    full = " ".join(section(page, "What it finds").split()) or info.title
    return _descriptor(info.code, info.title, full, page) | {
        "properties": {
            "subject": rule.subject,
            "preview": info.preview,
            "safety": info.safety,
            "sources": list(info.sources),
        },
    }


def _fault(code: str, info: FaultInfo) -> dict[str, Any]:
    page = f"# {code}: {info.title}\n\n{info.explain}\n"
    return _descriptor(code, info.title, info.explain, page)


def _descriptor(code: str, title: str, full: str, page: str) -> dict[str, Any]:
    return {
        "id": code,
        "name": "".join(word.capitalize() for word in re.findall(r"[A-Za-z0-9]+", title)),
        "shortDescription": {"text": _sentence(title)},
        "fullDescription": {"text": _sentence(full)},
        "help": {"text": page, "markdown": page},
        "defaultConfiguration": {"level": "error" if code.startswith("PLAN-") and code < POLICY else "warning"},
    }


def _sentence(text: str) -> str:
    shown = text[:1].upper() + text[1:]
    return shown if shown.endswith((".", "!", "?")) else f"{shown}."
