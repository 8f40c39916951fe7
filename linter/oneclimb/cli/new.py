"""``oneclimb new``: ask what a tape and a compass can answer, and write a plan."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from oneclimb.cli.answers import Question, Spotted
    from oneclimb.plan.units import Units

NAMES = (
    "units",
    "name",
    "country",
    "coast",
    "faces",
    "width",
    "depth",
    "eave-height",
    "eave-depth",
    "boundary",
    "pixels",
    "view",
    "infrared",
)
MOST = 32


def _options(function: Callable[..., Any]) -> Callable[..., Any]:
    for name in reversed(NAMES):
        function = click.option(f"--{name}", name.replace("-", "_"), metavar="TEXT", help=_HELP[name])(function)
    return function


_HELP = {
    "units": "metres or feet",
    "name": "what the place is called",
    "country": "the country it is in",
    "coast": "how far off salt water is, such as 400 m",
    "faces": "which way the front faces: degrees clockwise from north",
    "width": "width of the front wall",
    "depth": "depth of the house",
    "eave-height": "height of the eave's underside, or of the wall without one",
    "eave-depth": "how far the eave stands out; 0 where there is none",
    "boundary": "distances to the boundary: front, right, back, left",
    "pixels": "the cameras' pixels, such as 2560 x 1440",
    "view": "their angle of view across, in degrees",
    "infrared": "their rated infrared range",
}


@click.command(name="new")
@click.argument("file", metavar="FILE")
@_options
@click.option(
    "--camera",
    "cameras",
    multiple=True,
    metavar="WALL,ALONG,HEIGHT,SHOWS,ALONG,OUT",
    help="One camera and what it shows, such as 'front, 11.2, 2.6, gate, 9.5, 9'; once for each.",
)
def command(file: str, cameras: tuple[str, ...], **given: str | None) -> int:
    """Write a short plan to start from.

    On a terminal it asks for whatever the options leave open. An existing FILE is never
    touched. The plan is read back before it is written, so that it can be checked at once.
    """
    name = file if file.endswith(".plan.yaml") else f"{file}.plan.yaml"
    if Path(name).exists() or Path(name).is_symlink():
        raise click.ClickException(f"{name!r} is there already, and is left as it is")
    from oneclimb.cli.draft import draft

    answers, spotted = _answers({key.replace("_", "-"): value for key, value in given.items()}, cameras)
    text = draft(answers, spotted)
    _hold(text)
    try:
        with Path(name).open("x", encoding="utf-8", newline="\n") as out:
            out.write(text)
    except OSError as error:
        raise click.ClickException(f"cannot write {name!r}: {error.strerror}") from None
    click.echo(f"{name} is written. Next: oneclimb check {name}")
    return 0


def _answers(given: Mapping[str, str | None], cameras: tuple[str, ...]) -> tuple[dict[str, str], list[Spotted]]:
    from oneclimb.cli import answers as a

    asking = sys.stdin.isatty() and sys.stdout.isatty()
    missing = [q.option for q in a.QUESTIONS if given[q.name] is None and not q.open]
    if not asking and (missing or not cameras):
        wanted = [*missing, *([] if cameras else ["--camera"])]
        raise click.UsageError(f"there is no terminal to ask on, so these are needed: {', '.join(wanted)}")
    done: dict[str, str] = {}
    for question in a.QUESTIONS:
        done[question.name] = _answer(question, given[question.name], _units(done), asking=asking)
    units = _units(done)
    try:
        spotted = [a.camera(one.split(","), done, units) for one in cameras]
    except a.BadAnswerError as error:
        raise click.UsageError(f"--camera: {error}") from None
    return done, spotted or _ask_cameras(done, units)


def _units(done: Mapping[str, str]) -> Units:
    return "feet" if done.get("units") == "feet" else "metres"


def _answer(question: Question, given: str | None, units: Units, *, asking: bool) -> str:
    from oneclimb.cli.answers import BadAnswerError, checked

    if given is not None:
        try:
            return checked(question, given, units)
        except BadAnswerError as error:
            raise click.UsageError(f"{question.option}: {error}") from None
    if not asking:
        return ""
    usual = question.usual or ("" if question.open else None)
    return _ask(question.asks, usual, lambda text: checked(question, text, units))


def _ask_cameras(done: Mapping[str, str], units: Units) -> list[Spotted]:
    from oneclimb.cli.answers import CAMERA_QUESTIONS, Spotted, camera_part

    many = click.prompt("How many cameras?", type=click.IntRange(1, MOST), prompt_suffix=" ")
    spotted = []
    for number in range(1, many + 1):
        parts: list[str] = []
        for name, asks in CAMERA_QUESTIONS:
            wall = parts[0] if parts else ""
            check = partial(camera_part, name, wall=wall, given=done, units=units)
            parts.append(_ask(f"Camera {number}: {asks}", None, check))
        spotted.append(Spotted(*parts))
    return spotted


def _ask(asks: str, usual: str | None, check: Callable[[str], str]) -> str:
    """Ask until the answer will do."""
    from oneclimb.cli.answers import BadAnswerError

    def held(text: str) -> str:
        try:
            return check(text)
        except BadAnswerError as error:
            raise click.UsageError(str(error)) from None

    answer: str = click.prompt(asks, default=usual, value_proc=held, prompt_suffix=" ", show_default=bool(usual))
    return answer


def _hold(text: str) -> None:
    """Refuse a plan that can't be read back, with its faults in plain words."""
    from oneclimb.packs import load_packs
    from oneclimb.plan.read import load
    from oneclimb.plan.schema import Schemas

    packs = load_packs()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "draft.plan.yaml"
        path.write_text(text, encoding="utf-8")
        loaded = load(str(path), packs.kinds, Schemas(packs.kinds, packs.rules))
    if loaded.faults:
        said = "; ".join(f"{fault.text} (line {fault.span.line})" for fault in loaded.faults[:3])
        raise click.ClickException(f"these answers don't fit together: {said}")
