"""Writing: to standard output, quietly when nobody reads on; to a file, whole or not at all."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import IO

import click

PLAN_NAMES = (".plan.yaml", ".plan.yml")


def say(text: str) -> None:
    """Text to standard output; a reader who has left (``| head``) is no fault."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        deaf(sys.stdout)


def deaf(stream: IO[str]) -> None:
    """Point a stream whose reader has gone at nothing, so that closing it can't fail either."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def refuse_over_plan(output: str, plans: Iterable[str]) -> None:
    """Stop before work is done where a report would go over a plan or an owner's file."""
    if output.lower().endswith(PLAN_NAMES):
        raise click.ClickException(f"oneclimb never writes over a plan, and {output!r} is named like one")
    for plan in plans:
        if Path(output).exists() and Path(plan).exists() and Path(output).samefile(plan):
            raise click.ClickException(f"oneclimb never writes over what is read: {plan!r}")
    if Path(output).is_dir():
        raise click.ClickException(f"{output!r} is a folder, and a file is to be written")


def beside(plan: str, ending: str) -> str:
    """The usual name of what is made of a plan: in its folder, its name with another ending."""
    path = Path(plan)
    name = next((path.name[: -len(end)] for end in PLAN_NAMES if path.name.lower().endswith(end)), path.stem)
    return str(path.with_name(f"{name}{ending}"))


def folder(target: Path) -> None:
    """Make a folder, and those it is in, where there is none."""
    try:
        target.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise click.ClickException(f"cannot make the folder {str(target)!r}: {error.strerror}") from None


def put(output: str, content: str | bytes) -> None:
    """Write a file so that at every moment it is either as it was or complete."""
    import tempfile

    target = Path(output)
    name = ""
    try:
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(content.encode() if isinstance(content, str) else content)
        Path(name).chmod(_mode(target))
        Path(name).replace(target)
    except OSError as error:
        if name:
            Path(name).unlink(missing_ok=True)
        raise click.ClickException(f"cannot write {output!r}: {error.strerror}") from None


def _mode(target: Path) -> int:
    """The old file's permissions, or a new file's usual ones."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
