"""The field guide: every rule's page as a small site, with what the cameras would have seen of its two plans."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from oneclimb import __version__, kit
from oneclimb.draw import Sitting
from oneclimb.engine.hands import shared_out
from oneclimb.report import facts, words
from oneclimb.review import Review, world_of
from oneclimb.web import guide_words, paper, told
from oneclimb.web.guide_pictures import Pair, extra, pairs
from oneclimb.web.guide_plans import Line, bare, compared, marked, said
from oneclimb.web.guide_text import Text, text
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
    """One of a page's two plans: its lines, what was found, what it comes to, what the command says of it."""

    lines: tuple[Line, ...]
    told: tuple[Told, ...]
    summary: str
    said: tuple[str, ...]


class Shown(Struct, frozen=True):
    """What a page shows of its two plans."""

    before: Side
    after: Side
    pairs: tuple[Pair, ...]
    extra: tuple[Plate, ...]


class Leaf(Struct, frozen=True):
    """A page of the book: a rule's code, title and text; the law it is of; whose pack it is."""

    code: str
    title: str
    text: Text
    instrument: str
    pack: str

    @property
    def family(self) -> str:
        """The chapter it is in."""
        return self.code.partition("-")[0]


class Made(Struct, frozen=True):
    """One page's file, the faults of its making, and the pair of pictures it begins with."""

    html: str
    faults: tuple[str, ...] = ()
    pair: Pair | None = None


class Book(Struct, frozen=True):
    """The files by name, and what went wrong in the making."""

    files: Mapping[str, str]
    faults: tuple[str, ...]


def book(packs: Packs, many: int = 1, step: Callable[[int, int], None] | None = None) -> Book:
    """The whole book, by so ``many`` processes; ``step`` is told how many of how many pages are begun."""
    leaves = [_leaf(code, packs) for code in packs.rules]
    plans = [packs.page(leaf.code) for leaf in leaves]

    def work(i: int) -> Made:
        return _page(leaves, i, plans[i])

    made = shared_out(len(leaves), work, many, (lambda n: step(n, len(leaves))) if step else None)
    files = {_file(leaf): one.html for leaf, one in zip(leaves, made, strict=True)}
    cover = next((one.pair for leaf, one in zip(leaves, made, strict=True) if leaf.code == COVER), None)
    return Book({INDEX: _index(leaves, cover), **files}, tuple(fault for one in made for fault in one.faults))


def _leaf(code: str, packs: Packs) -> Leaf:
    info = packs.rules[code].info
    return Leaf(code, info.title, text(packs.page(code), packs.rules, code), info.instrument, packs.origin[code].name)


def _file(leaf: Leaf) -> str:
    return f"{leaf.code}.html"


def _index(leaves: Sequence[Leaf], cover: Pair | None) -> str:
    chapters = [
        (family, *guide_words.chapter(family), [leaf for leaf in leaves if leaf.family == family])
        for family in dict.fromkeys(leaf.family for leaf in leaves)
    ]
    return paper.written(
        "guide-index.html.j2",
        OUTFIT,
        chapters=chapters,
        cover=cover,
        cover_leaf=next((leaf for leaf in leaves if leaf.code == COVER), None),
        words=guide_words,
        unproved=words.UNPROVED,
        versions=_versions(),
    )


def _page(leaves: Sequence[Leaf], i: int, page: str) -> Made:
    """One rule's page; where it has no pair of plans, or they don't do what it says, that stands in their place."""
    leaf = leaves[i]
    fails, passes = map(bare, kit.plans(page))
    before, after = _seen(fails, FAILS), _seen(passes, PASSES)
    faults = tuple(facts.crash_lines([before.review, after.review]))
    shown = _shown(leaf.code, fails, passes, before, after)
    html = paper.written(
        "guide-rule.html.j2",
        OUTFIT,
        leaf=leaf,
        chapter=guide_words.chapter(leaf.family)[0],
        back=leaves[i - 1] if i else None,
        on=leaves[i + 1] if i + 1 < len(leaves) else None,
        shown=shown,
        faults=faults,
        caution=words.CAUTION,
        versions=_versions(),
    )
    return Made(html, faults, shown.pairs[0] if leaf.code == COVER and shown.pairs else None)


def _seen(plan: str, name: str) -> Sitting:
    """A plan reviewed on the day on which pages are, under a name of its own."""
    review = replace(kit.look(plan), path=name)
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def _shown(code: str, fails: str, passes: str, before: Sitting, after: Sitting) -> Shown:
    left, right = compared(fails, passes)
    sides = _side(before, left), _side(after, right)
    return Shown(*sides, pairs(code, before, after), extra(code, before))


def _side(sitting: Sitting, lines: Sequence[Line]) -> Side:
    review: Review = sitting.review
    found = tuple(told.findings(review, sitting.numbered, (), frozenset()))
    return Side(marked(lines, found), found, words.summary(review), said(review))


def _versions() -> list[str]:
    return [f"oneclimb {__version__}"]
