"""What cameras see, drawn to go with their findings in a SARIF log."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from oneclimb.cli import judged
from oneclimb.cli.draw import write
from oneclimb.cli.write import beside, folder

if TYPE_CHECKING:
    from oneclimb.draw import Picture
    from oneclimb.packs import Packs
    from oneclimb.report.sarif import Frame
    from oneclimb.review import Review

KINDS = ("night", "day")
"""of a camera's pictures, those that are attached: what spoils it by night comes first"""


def attached(reviews: Sequence[Review], packs: Packs, where: str) -> dict[tuple[str, str], list[Frame]]:
    """The pictures of every camera with a finding, written into a folder, by plan and camera."""
    from oneclimb.report.sarif import Frame

    target, taken = Path(where), set[str]()
    frames: dict[tuple[str, str], list[Frame]] = {}
    files: list[tuple[Picture, str]] = []
    for review in reviews:
        for one in _pictures(review, packs):
            files.append((one, str(target / _name(review, one, taken))))
            frames.setdefault((review.path, one.about.id), []).append(Frame(files[-1][1], one.words))
    folder(target)
    write(files)
    return frames


def _pictures(review: Review, packs: Packs) -> Iterator[Picture]:
    """What the cameras of a plan with a finding see; those with none are not drawn."""
    from oneclimb.draw import pictures
    from oneclimb.report import facts

    findings = (*review.findings, *(item.finding for item in facts.accepted(review)))
    cameras = {one.at.id for one in findings if one.at.kind == "camera"}
    if cameras:
        sitting = judged.sitting(review, packs)
        for kind in KINDS:
            yield from (one for one in pictures(sitting, [kind]) if one.about.id in cameras)


def _name(review: Review, picture: Picture, taken: set[str]) -> str:
    """A file's name, after the picture and the plan; where two would share one, with a number."""
    from oneclimb.draw import named

    stem = named(picture.name, Path(beside(review.path, ".png")).stem)
    number, name = 1, f"{stem}.png"
    while name.casefold() in taken:
        number += 1
        name = f"{stem}-{number}.png"
    taken.add(name.casefold())
    return name
