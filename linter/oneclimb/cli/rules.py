"""``oneclimb rules``: every rule that is loaded."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from oneclimb.cli.write import say

if TYPE_CHECKING:
    from oneclimb.api import Limits, Rule
    from oneclimb.packs import Packs


@click.command(name="rules")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="text: a table; json: a list.",
)
def command(form: str) -> int:
    """List every rule that is loaded.

    Each with its code, its title, where each level begins, and the pack it is from.
    """
    from oneclimb.packs import load_packs
    from oneclimb.report.quote import quote

    packs = load_packs()
    say(_json(packs) if form == "json" else _table(packs))
    for crash in packs.crashes:
        click.echo(f"oneclimb: {quote(crash.text)}", err=True)
    return 3 if packs.crashes else 0


def _json(packs: Packs) -> str:
    from oneclimb.report.quote import quote_json

    return quote_json([_entry(packs, rule) for rule in packs.rules.values()])


def _entry(packs: Packs, rule: Rule[Any]) -> dict[str, Any]:
    info, limits = rule.info, rule.settings().limits
    return {
        "code": info.code,
        "title": info.title,
        "subject": rule.subject,
        "limits": {"note": limits.note, "warning": limits.warning, "error": limits.error},
        "pack": packs.origin[info.code].name,
        "preview": info.preview,
        "safety": info.safety,
        "sources": list(info.sources),
    }


def _table(packs: Packs) -> str:
    from oneclimb.report.look import Look

    look = Look.of(sys.stdout)
    rows = [
        (code, rule.info.title, _levels(rule.settings().limits), _pack(packs, rule))
        for code, rule in packs.rules.items()
    ]
    code, title, levels = (max((len(row[n]) for row in rows), default=0) for n in range(3))
    lines = [f"{look.paint(f'{a:{code}}', 'head')}  {b:{title}}  {c:{levels}}  {d}" for a, b, c, d in rows]
    lines.append("PLAN-NN are faults of the plan itself. `oneclimb explain CODE` shows what a rule finds, how it is")
    lines.append("computed and how to put it right; there the limits stand with their units.")
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _pack(packs: Packs, rule: Rule[Any]) -> str:
    marks = "".join(f", {mark}" for mark in ("preview", "safety") if getattr(rule.info, mark))
    return f"{packs.origin[rule.info.code].name}{marks}"


def _levels(limits: Limits) -> str:
    """``note 0.05, error 0.5``: where each level begins, as the rule's figure has it."""
    known = [(name, getattr(limits, name)) for name in ("note", "warning", "error")]
    return ", ".join(f"{name} {limit:g}" for name, limit in known if limit is not None) or "set by the rule"
