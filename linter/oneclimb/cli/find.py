"""Which plans a call means: files as named, folders searched."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

import click

from oneclimb.cli.write import PLAN_NAMES


def plans(named: Iterable[str]) -> list[str]:
    """Each file as it was named; for a folder every plan below it, in order of path.

    Folders whose name begins with a dot are passed over, links to folders are not followed.
    """
    found: list[str] = []
    for name in named:
        if not Path(name).is_dir():
            found.append(name)
            continue
        below = sorted(_below(name))
        if not below:
            raise click.ClickException(f"no *{PLAN_NAMES[0]} in or below {name!r}")
        found += below
    return list(dict.fromkeys(found))


def _below(folder: str) -> Iterable[str]:
    for here, folders, files in os.walk(folder):
        folders[:] = [one for one in folders if not one.startswith(".")]
        yield from (os.path.join(here, one) for one in files if one.endswith(PLAN_NAMES))  # noqa: PTH118 - keeps `./`
