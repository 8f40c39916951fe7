"""The report of a plan as one page, read from a file: no network, a phone on a ladder, paper."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from oneclimb import __version__
from oneclimb.api import Unknown
from oneclimb.draw import named
from oneclimb.draw.frames import comes_to
from oneclimb.report import facts, words
from oneclimb.report.assumed import assumed
from oneclimb.report.quote import quote
from oneclimb.study import ALL, DARK
from oneclimb.web import paper, told
from oneclimb.web.cards import Card, cards
from oneclimb.web.plate import Maker, Plate, linked, plate
from oneclimb.web.rule_pages import rule_pages
from oneclimb.web.tables import tables

if TYPE_CHECKING:
    from oneclimb.api import Ref
    from oneclimb.draw import Picture, Sitting
    from oneclimb.packs import Packs
    from oneclimb.plan.model import Camera
    from oneclimb.review import Review

DRAWING = "site"
"""the kind of picture that stands in the page itself, its marks leading to the findings"""
SECTIONS = {"site": "drawing", "recorder": "storage", "access-point": "links", "camera": "cameras"}
"""by kind of thing: the section where pictures of it are; those of anything else, or of the power of any, are with the
power
"""
USUAL = 16
"""pictures of a camera that every page can switch"""
STYLES, SCRIPTS = ("page.css",), ("page.js",)


class Hung(Struct, frozen=True):
    """Every picture's plate by where it hangs: in which section, or at which finding."""

    drawings: tuple[Plate, ...] = ()
    plates: tuple[Plate, ...] = ()

    def of(self, section: str) -> list[Plate]:
        """The plates of a section that explain no one finding."""
        return [one for one in self.plates if not one.finding and _section(one.about) == section]

    @property
    def marks(self) -> frozenset[int]:
        """The findings that have a mark on a drawing."""
        return frozenset(number for one in self.drawings for number in one.marks)


def _section(about: Ref) -> str:
    return "power" if about.field == "power" else SECTIONS.get(about.kind, "power")


def hung(sitting: Sitting, pictures: Sequence[Picture], make: Maker) -> Hung:
    """Pictures, made."""
    names = told.mark_words(sitting.numbered)
    drawings = tuple(linked(one, names) for one in pictures if one.kind == DRAWING)
    return Hung(drawings, tuple(make(one) for one in pictures if one.kind != DRAWING))


def page(
    review: Review,
    packs: Packs,
    sitting: Sitting | None = None,
    pictures: Sequence[Picture] = (),
    make: Maker = plate,
    *,
    scripts: Sequence[str] = (),
    connect: str = "",
) -> str:
    """The page's text. ``sitting`` and its ``pictures`` where the plan can be used; ``make`` makes plates of them.

    ``scripts``, ``connect``: what a page that is kept up to date needs besides (``paper.Outfit``).
    """
    plan = review.loaded.plan
    name = Path(review.path).name
    head = {
        "title": (plan.site.name if plan else "") or name,
        "file": name,
        "stage": plan.site.stage if plan else "",
        "counts": [(level, number) for level, number in facts.counts([review]).items() if number],
        "summary": words.summary(review),
        "broken": facts.crash_lines([review]),
        "versions": _versions(packs),
    }
    outfit = paper.Outfit(STYLES, (*SCRIPTS, *scripts), connect=connect)
    if plan is None or sitting is None:
        return paper.written("faults.html.j2", outfit, faults=told.faults(review), **head)
    all_hung = hung(sitting, pictures, make)
    found = told.findings(review, sitting.numbered, all_hung.plates, all_hung.marks)
    shown = cards(plan, found, all_hung.of("cameras"))
    rules = rule_pages((one.code for one in found), packs)
    return paper.written(
        "report.html.j2",
        replace(outfit, rules=_switching(max((len(card.shown) for card in shown), default=0))),
        hung=all_hung,
        found=found,
        by_level=told.by_level(found),
        glance=told.glance(review, found),
        nights=_nights(sitting, shown),
        cards=shown,
        tables=tables(review, sitting.world),
        rules=rules,
        codes={one.code for one in rules},
        leading=told.leading(review),
        also=told.also_open(review),
        accords=told.accords(review),
        assumed=assumed(review, whole=False)[0],
        neutral=_neutral(review),
        air=words.AIR,
        later=words.to_show(review),
        law=words.law(review),
        caution=words.CAUTION,
        unproved=words.UNPROVED,
        **head,
    )


def _nights(sitting: Sitting, shown: Sequence[Card]) -> dict[str, list[str]]:
    """What each camera's night comes to, by its card: of those states of the lamps that have a picture."""
    cameras = sitting.world.plan.cameras
    return {card.anchor: list(_night(sitting, camera, card)) for card, camera in zip(shown, cameras, strict=True)}


def _night(sitting: Sitting, camera: Camera, card: Card) -> Iterator[str]:
    lit = named("night", camera.id, "lit")
    for _, one in card.shown:
        with contextlib.suppress(Unknown):  # an edit may have left its old picture behind
            if one.kind == "night":
                yield quote(comes_to(sitting, camera, ALL if one.name == lit else DARK))


def _switching(most: int) -> str:
    """The style by which the choice of one of several pictures shows that one: the same for as many as are usual, so
    that a page kept up to date keeps the digest of its style.
    """
    last = max(USUAL, most)
    pairs = (f".switch > input:nth-of-type({n}):checked ~ figure:nth-of-type({n})" for n in range(1, last + 1))
    return f".switch > figure {{ display: none; }}\n{', '.join(pairs)} {{ display: block; }}"


def _neutral(review: Review) -> list[tuple[str, list[str]]]:
    """The defaults that go without saying, by kind of thing."""
    told = dict(assumed(review, whole=False)[0])
    every = assumed(review, whole=True)[0]
    rest = [(kind, [one for one in defaults if one not in told.get(kind, ())]) for kind, defaults in every]
    return [(kind, defaults) for kind, defaults in rest if defaults]


def _versions(packs: Packs) -> list[str]:
    named = [
        f"pack {one.name}" + (f" ({one.distribution} {one.version})" if one.distribution else "") for one in packs.packs
    ]
    return [f"oneclimb {__version__}", *named]
