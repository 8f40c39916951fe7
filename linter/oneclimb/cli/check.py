"""``oneclimb check``: review plans and report."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

from oneclimb.cli import judged
from oneclimb.cli.find import plans as find_plans
from oneclimb.cli.write import put, refuse_over_plan, say

if TYPE_CHECKING:
    from oneclimb.packs import Packs
    from oneclimb.report.sarif import Frames
    from oneclimb.review import Review

FAIL_AT = ("error", "warning", "note", "never")
"""the levels, worst first, and none of them"""
ENDINGS = """\b
Exit status:
  0  nothing at or above --fail-at
  1  findings at or above --fail-at
  2  a plan, or this call, can't be used
  3  a rule or a pack failed, or oneclimb itself did
"""


@click.command(name="check", epilog=ENDINGS)
@click.argument("plans", nargs=-1, required=True, metavar="PLAN…")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "sarif", "json"]),
    default="text",
    show_default=True,
    help="text: a sheet on a terminal, one line a finding in a pipe; sarif: SARIF 2.1.0 for CI; "
    "json: everything (oneclimb schema --which report).",
)
@click.option("--output", metavar="FILE", help="Write the report to FILE, whole or not at all; never over a plan.")
@click.option(
    "--frames",
    metavar="FOLDER",
    help="With --format sarif: draw what each camera with a finding sees, by night and by day, into FOLDER (a PNG "
    "each), and attach the pictures to its findings.",
)
@click.option(
    "--fail-at",
    type=click.Choice(FAIL_AT),
    default="warning",
    show_default=True,
    help="The mildest finding that makes the exit status 1.",
)
@judged.owner_option
@click.option("--steps", is_flag=True, help="Show how each figure was computed, and every default that was assumed.")
@click.option("--timing", is_flag=True, help="Say on standard error where the time went.")
@judged.limit_option
def command(
    *,
    plans: tuple[str, ...],
    form: str,
    output: str | None,
    frames: str | None,
    fail_at: str,
    owner: str | None,
    steps: bool,
    timing: bool,
    limits: tuple[str, ...],
) -> int:
    """Say what will go wrong with the planned installs.

    A PLAN is a file, or a folder: then every *.plan.yaml below it, in order of path.
    """
    clock = Clock()
    if frames is not None and form != "sarif":
        raise click.UsageError("--frames: pictures are attached to findings in SARIF only: give --format sarif")
    files = find_plans(plans)
    if output:
        refuse_over_plan(output, [*files, *([owner] if owner else [])])
    bounds = judged.bounds(limits)
    packs, schemas = judged.load()
    rules = judged.owner_file(owner, packs, bounds)
    clock.mark("load")
    reviews = judged.reviews(files, packs, schemas, rules, bounds)
    clock.mark("plans", sum((Counter(dict(review.timing)) for review in reviews), Counter()))
    shown: Frames = {}
    if frames is not None:
        from oneclimb.cli.attached import attached

        shown = attached(reviews, packs, frames)
        clock.mark("frames")
    text = _report(reviews, packs, form, shown, plain=output is not None, steps=steps)
    if output:
        put(output, text)
    else:
        say(text)
    clock.mark("report")
    if timing:
        clock.tell()
    return status(reviews, fail_at)


def status(reviews: Sequence[Review], fail_at: str) -> int:
    """The exit status: the worst thing that happened."""
    if any(review.crashes for review in reviews):
        return 3
    if any(review.loaded.faults for review in reviews):
        return 2
    failing = FAIL_AT[: FAIL_AT.index(fail_at) + 1] if fail_at != "never" else ()
    return int(any(finding.level in failing for review in reviews for finding in review.findings))


def _report(reviews: Sequence[Review], packs: Packs, form: str, frames: Frames, *, plain: bool, steps: bool) -> str:
    if form == "sarif":
        from oneclimb.report.sarif import sarif

        return sarif(reviews, packs, frames)
    if form == "json":
        from oneclimb.report.record import record

        return record(reviews, packs)
    from oneclimb.report.look import Look
    from oneclimb.report.text import text

    return text(reviews, Look(steps=steps) if plain else Look.of(sys.stdout, steps=steps))


class Clock:
    """Where the time of a call went."""

    def __init__(self) -> None:
        self.last = time.perf_counter()
        self.stages: list[tuple[str, float, Mapping[str, float]]] = []

    def mark(self, stage: str, inside: Mapping[str, float] | None = None) -> None:
        """A stage has ended; ``inside`` are its own parts, in seconds."""
        now = time.perf_counter()
        self.stages.append((stage, now - self.last, inside or {}))
        self.last = now

    def tell(self) -> None:
        """The table, on standard error."""
        for stage, seconds, inside in self.stages:
            click.echo(f"{seconds * 1000:9.1f} ms  {stage}", err=True)
            for part, took in inside.items():
                click.echo(f"{took * 1000:9.1f} ms    {part}", err=True)
        click.echo(f"{sum(seconds for _, seconds, _ in self.stages) * 1000:9.1f} ms  in all", err=True)
