"""``oneclimb explain``: the page of a rule, or what a fault of the plan means."""

from __future__ import annotations

import difflib
import sys

import click

from oneclimb.cli.write import say


@click.command(name="explain")
@click.argument("code")
def command(code: str) -> int:
    """Show the page of a rule or a fault.

    CODE is as the report gives it: GLARE-01, PLAN-11.
    """
    from oneclimb.report.look import Look
    from oneclimb.report.page import page

    look = Look.of(sys.stdout)
    text = _text(code.upper())
    say(page(text, look) if look.people else text)
    return 0


def _text(code: str) -> str:
    from oneclimb.plan.faults import FAULTS

    if code in FAULTS:
        info = FAULTS[code]
        return f"# {code}: {info.title}\n\n{info.explain}\n"
    from oneclimb.packs import load_packs
    from oneclimb.report.quote import quote

    packs = load_packs()
    for crash in packs.crashes:
        click.echo(f"oneclimb: {quote(crash.text)}", err=True)
    if code in packs.rules:
        return packs.page(code)
    near = difflib.get_close_matches(code, [*packs.rules, *FAULTS], n=3)
    hint = f" Near it: {', '.join(near)}." if near else ""
    raise click.ClickException(f"there is no rule {code}.{hint} `oneclimb rules` lists them all")
