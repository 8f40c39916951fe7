"""The top of the command: its verbs, imported when called for."""

from __future__ import annotations

import importlib

import click

from oneclimb import __version__

VERBS = ("check", "report", "draw", "guide", "explain", "rules", "schema", "new")
DEBUG = "--debug"


class Verbs(click.Group):
    """A group whose commands live in modules of the same name, as ``command``."""

    def list_commands(self, _: click.Context) -> list[str]:
        """The verbs in the order of their use."""
        return list(VERBS)

    def get_command(self, _: click.Context, cmd_name: str) -> click.Command | None:
        """One verb, imported now."""
        if cmd_name not in VERBS:
            return None
        command: click.Command = importlib.import_module(f"oneclimb.cli.{cmd_name}").command
        return command


@click.group(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="oneclimb", message="%(prog)s %(version)s")
@click.option(DEBUG, is_flag=True, help="On an internal fault, show where it happened.")
def root(**_: bool) -> None:
    """Get the camera install right on paper, before the ladder goes up.

    oneclimb reads a written plan (YAML), works out what each camera will see by day and by
    night, and says what will go wrong, with its line, its figure and what to do.
    """
