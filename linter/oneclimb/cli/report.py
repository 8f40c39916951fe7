"""``oneclimb report``: a plan's findings, pictures and tables as one page for the browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from oneclimb.cli import judged
from oneclimb.cli.write import beside, put, refuse_over_plan, say

if TYPE_CHECKING:
    from oneclimb.packs import Packs
    from oneclimb.review import Review

ENDINGS = """\b
Exit status:
  0  the page is written, whatever the plan's findings
  2  the plan, or this call, can't be used; the page of a plan that can't be used shows why
  3  a rule or a pack failed, or oneclimb itself did
"""


@click.command(name="report", epilog=ENDINGS)
@click.argument("plan", metavar="PLAN")
@click.option("--output", metavar="FILE", help="Where the page goes; otherwise NAME.html beside NAME.plan.yaml.")
@click.option("--watch", is_flag=True, help="Show the page in a browser on this machine, and keep it up with the plan.")
@judged.owner_option
@judged.limit_option
def command(*, plan: str, output: str | None, watch: bool, owner: str | None, limits: tuple[str, ...]) -> int:
    """Write what the plan comes to as one page, to be read in a browser or printed.

    The site from above with its findings, each camera's frames by day and by night, power, links and storage, what was
    assumed and what could not be told. One file, which needs no network.
    """
    from oneclimb.cli.check import status
    from oneclimb.report.quote import quote

    if watch:
        if output:
            raise click.UsageError("--watch serves the page and writes no file: leave --output out")
        return _watch(plan, owner, limits)
    target = output or beside(plan, ".html")
    refuse_over_plan(target, [plan, *([owner] if owner else [])])
    bounds = judged.bounds(limits)
    packs, schemas = judged.load()
    (review,) = judged.reviews([plan], packs, schemas, judged.owner_file(owner, packs, bounds), bounds)
    if review.loaded.plan is None:
        judged.tell_faults(review)
    put(target, _page(review, packs))
    say(f"{quote(target)}\n")
    return status([review], "never")


def _watch(plan: str, owner: str | None, limits: tuple[str, ...]) -> int:
    from oneclimb.web.watch import watch
    from oneclimb.web.whole import Asked

    bounds = judged.bounds(limits)
    packs, schemas = judged.load()
    judge = judged.owner_file(owner, packs, bounds)
    asked = Asked(plan, judge, bounds)
    watch(asked, packs, schemas, lambda url: say(f"{url}\nopen it in a browser on this machine; Ctrl-C ends it\n"))
    return 0


def _page(review: Review, packs: Packs) -> str:
    from oneclimb.cli.progress import Progress
    from oneclimb.draw import pictures
    from oneclimb.engine.hands import hands, shared_out
    from oneclimb.web.page import DRAWING, page
    from oneclimb.web.plate import plate

    if review.loaded.plan is None:
        return page(review, packs)
    sitting = judged.sitting(review, packs)
    shown = list(pictures(sitting))
    apart = [one for one in shown if one.kind != DRAWING]
    progress = Progress(1, "pictures drawn")
    try:
        made = shared_out(len(apart), lambda i: plate(apart[i]), hands(), lambda n: progress.step(n, len(shown)))
    finally:
        progress.end()
    plates = {one.name: one for one in made}
    return page(review, packs, sitting, shown, lambda one: plates[one.name])
