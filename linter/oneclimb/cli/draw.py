"""``oneclimb draw``: the pictures of a plan, a file each."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from oneclimb.cli import judged
from oneclimb.cli.write import beside, folder, put, refuse_over_plan, say

if TYPE_CHECKING:
    from oneclimb.draw import Picture, Sitting

ENDINGS = """\b
Exit status:
  0  every picture is written, whatever the plan's findings
  2  the plan, or this call, can't be used
  3  a rule or a pack failed, or oneclimb itself did
"""


@click.command(name="draw", epilog=ENDINGS)
@click.argument("plan", metavar="PLAN")
@click.option("--kind", "kinds", multiple=True, metavar="KIND", help="Only pictures of this kind; may be repeated.")
@click.option("--about", "ids", multiple=True, metavar="ID", help="Only pictures of this thing; may be repeated.")
@click.option(
    "--form",
    "forms",
    type=click.Choice(["svg", "png", "both"]),
    default="svg",
    show_default=True,
    help="svg: lines and words, sharp at any size; png: dots, for where SVG is not shown.",
)
@click.option("--to", metavar="FOLDER", help="Where they go; otherwise NAME-pictures beside NAME.plan.yaml.")
@judged.owner_option
@judged.limit_option
def command(
    *,
    plan: str,
    kinds: tuple[str, ...],
    ids: tuple[str, ...],
    forms: str,
    to: str | None,
    owner: str | None,
    limits: tuple[str, ...],
) -> int:
    """Draw what the plan comes to: the site, each camera's frames, power and time.

    Every picture is computed from the plan, named after what it shows, and carries its words. The names of the files
    are listed on standard output.
    """
    from oneclimb.cli.check import status
    from oneclimb.report.quote import quote

    wanted = _kinds(kinds)
    bounds = judged.bounds(limits)
    packs, schemas = judged.load()
    (review,) = judged.reviews([plan], packs, schemas, judged.owner_file(owner, packs, bounds), bounds)
    if review.loaded.plan is None:
        judged.tell_faults(review)
        return status([review], "never")
    chosen = _chosen(judged.sitting(review, packs), wanted, ids)
    target = Path(to or beside(plan, "-pictures"))
    endings = ("svg", "png") if forms == "both" else (forms,)
    files = [(picture, str(target / f"{picture.name}.{ending}")) for picture in chosen for ending in endings]
    for _, file in files:
        refuse_over_plan(file, [plan, *([owner] if owner else [])])
    folder(target)
    write(files)
    say("".join(f"{quote(file)}\n" for _, file in files))
    return status([review], "never")


def _kinds(given: Sequence[str]) -> Sequence[str]:
    from oneclimb.draw import KINDS

    for kind in given:
        if kind not in KINDS:
            raise click.UsageError(f"--kind: there is no kind {kind!r}; there are: {', '.join(KINDS)}")
    return given


def _chosen(sitting: Sitting, kinds: Sequence[str], ids: Sequence[str]) -> list[Picture]:
    from oneclimb.draw import pictures

    found = [one for one in pictures(sitting, kinds) if not ids or one.about.id in ids]
    missing = [one for one in ids if one not in {picture.about.id for picture in found}]
    if missing:
        raise click.ClickException(f"--about: there is no picture of {missing[0]!r}")
    return found


def write(files: Sequence[tuple[Picture, str]]) -> None:
    """Each picture in its file, drawn by as many hands as there are."""
    from oneclimb.cli.progress import Progress
    from oneclimb.draw import ink
    from oneclimb.engine.hands import hands, shared_out

    def put_one(i: int) -> None:
        picture, file = files[i]
        put(file, ink.svg(picture) if file.endswith(".svg") else ink.png(picture))

    progress = Progress(1, "pictures drawn")
    try:
        shared_out(len(files), put_one, hands(), lambda n: progress.step(n, len(files)))
    finally:
        progress.end()
