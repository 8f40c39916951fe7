"""The field guide: every rule's page as a small site, with what the cameras would have seen of its two plans."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from oneclimb import __version__
from oneclimb.engine.hands import shared_out
from oneclimb.plan.schema import Schemas
from oneclimb.report import facts, words
from oneclimb.web import guide_words, paper, told
from oneclimb.web.guide_leaves import Leaf, leaves
from oneclimb.web.guide_pictures import Pair, extra, pairs
from oneclimb.web.guide_plans import Line, bare, compared, marked, said
from oneclimb.web.guide_seen import Judges, Seen, figures, seen
from oneclimb.web.guide_text import plans
from oneclimb.web.told import Told

if TYPE_CHECKING:
    from oneclimb.packs import Packs
    from oneclimb.web.plate import Plate

INDEX = "index.html"
COVER = "GLARE-01"
"""the rule whose pictures stand on the first page"""
FAILS, PASSES = "before.plan.yaml", "after.plan.yaml"
OUTFIT = paper.Outfit(("page.css", "guide.css"))


class Side(Struct, frozen=True):
    """One of a page's two plans: its lines, what was found and the rule's figure, what it comes to, what the command
    says of it.
    """

    lines: tuple[Line, ...]
    told: tuple[Told, ...]
    figure: str
    summary: str
    said: tuple[str, ...]


class Shown(Struct, frozen=True):
    """What a page shows of its two plans."""

    before: Side
    after: Side
    pairs: tuple[Pair, ...] = ()
    extra: tuple[Plate, ...] = ()


class Made(Struct, frozen=True):
    """One page's file, the faults of its making, and the pair of pictures it begins with, for the cover."""

    html: str
    faults: tuple[str, ...]
    pair: Pair | None


class Book(Struct, frozen=True):
    """The files by name, and what went wrong in the making."""

    files: Mapping[str, str]
    faults: tuple[str, ...]


def book(packs: Packs, codes: Iterable[str], many: int = 1, step: Callable[[int, int], None] | None = None) -> Book:
    """The pages of these rules, by so ``many`` processes; ``step`` is told how many of how many pages are begun."""
    pages, faults = leaves(codes, packs)
    by = Judges(replace(packs, crashes=()), Schemas(packs.kinds, packs.rules))

    def work(i: int) -> Made:
        return _page(pages, i, by)

    made = shared_out(len(pages), work, many, (lambda n: step(n, len(pages))) if step else None)
    files = {_file(leaf): one.html for leaf, one in zip(pages, made, strict=True)}
    cover = next((one.pair for leaf, one in zip(pages, made, strict=True) if leaf.code == COVER), None)
    faults += dict.fromkeys(fault for one in made for fault in one.faults)
    return Book({INDEX: _index(pages, cover, faults), **files}, tuple(faults))


def _file(leaf: Leaf) -> str:
    return f"{leaf.code}.html"


def _index(pages: Sequence[Leaf], cover: Pair | None, faults: Sequence[str]) -> str:
    chapters = [
        (family, *guide_words.chapter(family), [leaf for leaf in pages if leaf.family == family])
        for family in dict.fromkeys(leaf.family for leaf in pages)
    ]
    return paper.written(
        "guide-index.html.j2",
        OUTFIT,
        chapters=chapters,
        cover=cover,
        cover_leaf=next((leaf for leaf in pages if leaf.code == COVER), None),
        faults=faults,
        words=guide_words,
        unproved=words.UNPROVED,
        versions=_versions(),
    )


def _page(pages: Sequence[Leaf], i: int, by: Judges) -> Made:
    """One rule's page; where it hasn't two plans, or they can't be used, it does without what they would have shown."""
    leaf = pages[i]
    shown, faults = _shown(leaf, by)
    html = paper.written(
        "guide-rule.html.j2",
        OUTFIT,
        leaf=leaf,
        chapter=guide_words.chapter(leaf.family)[0],
        back=pages[i - 1] if i else None,
        on=pages[i + 1] if i + 1 < len(pages) else None,
        shown=shown,
        faults=faults,
        caution=words.CAUTION,
        versions=_versions(),
    )
    return Made(html, faults, shown.pairs[0] if leaf.code == COVER and shown and shown.pairs else None)


def _shown(leaf: Leaf, by: Judges) -> tuple[Shown | None, tuple[str, ...]]:
    """What is shown of a page's two plans, None where it hasn't two; and the faults of showing it."""
    both = plans(leaf.written)
    if both is None:
        return None, ()
    fails, passes = map(bare, both)
    before, after = seen(fails, FAILS, by), seen(passes, PASSES, by)
    left, right = compared(fails, passes)
    figure = figures(leaf.code, before, after)
    sides = _side(before, left, figure.before), _side(after, right, figure.after)
    faults = tuple(facts.crash_lines([before.review, after.review]))
    if before.sitting is None or after.sitting is None:
        return Shown(*sides), faults
    about = figure.of.at.thing if figure.of else None
    drawn = pairs(leaf.code, about, before.sitting, after.sitting)
    return Shown(*sides, drawn, extra(leaf.code, before.sitting)), faults


def _side(of: Seen, lines: Sequence[Line], figure: str) -> Side:
    found = tuple(told.findings(of.review, list(enumerate(facts.alike(of.review), 1)), (), frozenset()))
    return Side(marked(lines, found), found, figure, words.summary(of.review), said(of.review))


def _versions() -> list[str]:
    return [f"oneclimb {__version__}"]
