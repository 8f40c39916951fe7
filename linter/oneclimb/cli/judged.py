"""What verbs that review plans share: the packs, the limits, the owner's file, the review itself."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

from oneclimb.cli.write import say

if TYPE_CHECKING:
    from oneclimb.draw import Sitting
    from oneclimb.packs import Packs
    from oneclimb.plan.limits import Limits
    from oneclimb.plan.owner import Owner
    from oneclimb.plan.schema import Schemas
    from oneclimb.review import Review

F = TypeVar("F", bound=Callable[..., Any])


def owner_option(command: F) -> F:
    """``--owner FILE``."""
    words = "The owner's settings and deviations; a plan cannot loosen them."
    return click.option("--owner", metavar="FILE", help=words)(command)


def limit_option(command: F) -> F:
    """``--limit NAME=VALUE``, as often as wanted."""
    words = "Raise or lower a limit on what a plan may hold, such as cameras=3000."
    return click.option("--limit", "limits", multiple=True, metavar="NAME=VALUE", help=words)(command)


def bounds(given: Sequence[str]) -> Limits:
    """The limits as the call has them."""
    from oneclimb.plan.limits import Limits

    found = Limits()
    for text in given:
        try:
            found = found.with_setting(text)
        except ValueError as error:
            raise click.UsageError(f"--limit: {error}") from None
    return found


def load() -> tuple[Packs, Schemas]:
    """The packs, and the schemas composed with them; the engine's own imports are part of loading."""
    from oneclimb.packs import load_packs
    from oneclimb.plan.schema import Schemas

    importlib.import_module("oneclimb.review")
    packs = load_packs()
    return packs, Schemas(packs.kinds, packs.rules)


def owner_file(path: str | None, packs: Packs, limits: Limits) -> Owner | None:
    """The owner's file; one that can't be used stops the call, since nothing could be judged by it."""
    from oneclimb.plan.owner import Owner, load_owner
    from oneclimb.plan.schema import OWNER, Schemas
    from oneclimb.report.quote import quote

    if path is None:
        return None
    owner = load_owner(path, Schemas({}, packs.rules, OWNER), limits)
    if isinstance(owner, Owner):
        return owner
    for fault in owner:
        hint = f" ({fault.hint})" if fault.hint else ""
        place = f"{quote(path)}:{fault.span.line}:{fault.span.column}"
        click.echo(f"{place}: error: {fault.code} {quote(fault.text + hint)}", err=True)
    raise click.ClickException("the owner's file can't be used, so no plan was reviewed")


def reviews(files: Sequence[str], packs: Packs, schemas: Schemas, owner: Owner | None, limits: Limits) -> list[Review]:
    """Each plan reviewed, with a counter for who waits."""
    from oneclimb.cli.progress import Progress
    from oneclimb.engine.hands import hands
    from oneclimb.review import check

    progress = Progress(len(files))
    done = []
    try:
        for file in files:
            progress.begin()
            done.append(check(file, packs, schemas, owner, limits=limits, progress=progress.step, hands=hands()))
    finally:
        progress.end()
    return done


def sitting(review: Review, packs: Packs) -> Sitting:
    """What pictures of a reviewed plan are drawn from."""
    import datetime as dt

    from oneclimb.draw import Sitting
    from oneclimb.review import world_of

    return Sitting(review, world_of(review.loaded, packs, dt.datetime.now().astimezone().date()))


def tell_faults(review: Review) -> None:
    """Why a plan can't be used, as ``check`` says it."""
    from oneclimb.report.look import Look
    from oneclimb.report.text import text

    say(text([review], Look.of(sys.stdout)))
