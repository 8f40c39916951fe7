"""``oneclimb schema``: the JSON Schemas, for editors and other programs."""

from __future__ import annotations

import json
from typing import Any

import click

from oneclimb.cli.write import say


@click.command(name="schema")
@click.option(
    "--which",
    type=click.Choice(["plan", "owner", "report"]),
    default="plan",
    show_default=True,
    help="plan: what a plan may hold, with the installed packs' parts; owner: the owner's file; "
    "report: what check --format json writes.",
)
def command(which: str) -> int:
    """Print the JSON Schema of plans.

    Editors that know JSON Schema (2020-12) complete and explain a plan with it.
    """
    say(json.dumps(_schema(which), indent=2) + "\n")
    return 0


def _schema(which: str) -> Any:
    from oneclimb.packs import load_packs
    from oneclimb.plan import schema

    if which == "report":
        return json.loads(schema.schema_text("report-1.schema.json"))
    packs = load_packs()
    return schema.Schemas(packs.kinds, packs.rules, schema.PLAN if which == "plan" else schema.OWNER).whole()
