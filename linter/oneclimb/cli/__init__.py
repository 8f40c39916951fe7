"""The command: one small file a verb, each imported only when it is called for.

Exit status: 0 clean, 1 findings at or above the chosen level, 2 a plan or the call can't be
used, 3 an internal fault, 130 stopped with Ctrl-C.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import click

from oneclimb.cli.root import DEBUG, root
from oneclimb.cli.write import deaf

UNUSABLE, FAULT, STOPPED = 2, 3, 130


def main(args: Sequence[str] | None = None) -> int:
    """Run the command and give its exit status; the only place that catches everything."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    given = list(sys.argv[1:] if args is None else args)
    try:
        return _run([arg for arg in given if arg != DEBUG])
    except (KeyboardInterrupt, click.Abort):
        click.echo("oneclimb: stopped", err=True)
        return STOPPED
    except BrokenPipeError:
        deaf(sys.stdout)
        return 0
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        return UNUSABLE
    except click.ClickException as error:
        _refuse(error)
        return UNUSABLE
    except Exception as error:  # noqa: BLE001 - whatever it is, an installer gets one line, not a trace
        if DEBUG in given:
            import traceback

            traceback.print_exc()
        _sorry(error)
        return FAULT


def _run(given: list[str]) -> int:
    result = root.main(args=given, prog_name="oneclimb", standalone_mode=False)
    sys.stdout.flush()
    return result if isinstance(result, int) else 0


def _refuse(error: click.ClickException) -> None:
    """Why the call can't be used, in one line."""
    from oneclimb.report.quote import quote

    said = quote(error.format_message()).rstrip(".")
    context = error.ctx if isinstance(error, click.UsageError) else None
    hint = f". `{context.command_path} --help` shows how" if context else ""
    click.echo(f"oneclimb: {said}{hint}", err=True)


def _sorry(error: Exception) -> None:
    from oneclimb.report.quote import quote

    said = quote(f"{type(error).__name__}: {error}")
    click.echo(f"oneclimb: internal fault: {said}. Please report it with the plan and what {DEBUG} prints.", err=True)
