"""``oneclimb guide``: the field guide, a small site to be read from a folder."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from oneclimb.cli.write import folder, say

if TYPE_CHECKING:
    from oneclimb.web.guide import Book

ENDINGS = """\b
Exit status:
  0  the whole book is written
  2  this call can't be used
  3  a rule or a pack failed, or oneclimb itself did; the page says so
"""
PAGE = re.compile(r"index\.html|[A-Z]+-\d\d\.html")
"""what a page of the book may be called"""
OURS = b'<meta name="generator" content="oneclimb '
HEAD = 2000
"""bytes of a page in which that stands"""


@click.command(name="guide", epilog=ENDINGS)
@click.argument("where", metavar="FOLDER")
def command(*, where: str) -> int:
    """Write the field guide: common mistakes with cameras, before and after.

    A page for every rule, with pictures computed from that page's own two plans: what the cameras would have seen.
    Begin at FOLDER/index.html; it needs no network. FOLDER is new, or a guide written before, which is replaced whole.
    """
    from oneclimb.report.quote import quote

    target = Path(where).resolve()
    _refuse_foreign(target, where)
    _refuse_closed(target, where)
    made = _book()
    folder(target.parent)
    try:
        _replace(target, made.files, where)
    except OSError as error:
        raise click.ClickException(f"cannot write {where!r}: {error.strerror}") from None
    for fault in made.faults:
        click.echo(f"oneclimb: {quote(fault)}", err=True)
    say(f"{quote(str(Path(where) / 'index.html'))}\n")
    return 3 if made.faults else 0


def _refuse_foreign(target: Path, where: str) -> None:
    """Stop where anything would be lost that is no page of such a book."""
    if not target.exists():
        return
    if not target.is_dir():
        raise click.ClickException(f"{where!r} is a file, and a folder is to be written")
    for one in sorted(target.iterdir()):
        if not _ours(one):
            raise click.ClickException(
                f"{where!r} holds what is no page of a field guide: {one.name!r}; name a folder that is new"
            )


def _refuse_closed(target: Path, where: str) -> None:
    """Stop before work is done where nothing can be written."""
    above = next(one for one in target.parents if one.exists())
    if not (above.is_dir() and os.access(above, os.W_OK | os.X_OK)):
        raise click.ClickException(f"cannot write {where!r}: {str(above)!r} is no folder that can be written in")


def _ours(page: Path) -> bool:
    if not PAGE.fullmatch(page.name) or page.is_symlink() or not page.is_file():
        return False
    with page.open("rb") as file:
        return OURS in file.read(HEAD)


def _book() -> Book:
    from oneclimb.cli.progress import Progress
    from oneclimb.engine.hands import hands
    from oneclimb.packs import load_packs
    from oneclimb.web.guide import book

    packs = load_packs()
    progress = Progress(1, "pages begun")
    try:
        return book(packs, packs.rules, hands(), progress.step)
    finally:
        progress.end()


def _replace(target: Path, files: Mapping[str, str], where: str) -> None:
    """A folder of these files in the place of what was there: it is whole before it gets its name."""
    aside = Path(tempfile.mkdtemp(dir=target.parent, prefix=f".{target.name}."))
    new, old = aside / "new", aside / "old"
    try:
        new.mkdir()
        for name, text in files.items():
            (new / name).write_bytes(text.encode())
        _refuse_foreign(target, where)
        _swap(new, target, old)
    finally:
        shutil.rmtree(new, ignore_errors=True)
        with contextlib.suppress(OSError):
            aside.rmdir()


def _swap(new: Path, target: Path, old: Path) -> None:
    """The new folder in the place of the old, of which only pages of a guide are thrown away."""
    if not target.exists():
        new.rename(target)
        return
    target.rename(old)
    try:
        new.rename(target)
    except BaseException:
        old.rename(target)
        raise
    for one in old.iterdir():
        if _ours(one):
            one.unlink()
        else:
            one.rename(target / one.name)
    old.rmdir()
