"""The text of a rule's page as parts of the field guide: its sections, and links that lead somewhere."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from markdown_it.token import Token
from markupsafe import Markup
from msgspec import Struct

from oneclimb import kit
from oneclimb.report.look import tied
from oneclimb.web.rule_pages import markdown, parsed

FIRST, PLANS = "What it finds", ("A plan that fails", "A plan that passes")
ORDER = ("Why it matters", "How to put it right", "How it is computed", "Levels and settings", "How sure it is")
"""what a learner wants to know, in this order; anything else after it"""
_CODE = re.compile(r"\b([A-Z]{3,8}-\d{2})\b")
_SENTENCE = re.compile(r"(.+?[.!?])(?:\s|$)", re.DOTALL)


class Part(Struct, frozen=True):
    """One section of a page."""

    title: str
    html: Markup


class Text(Struct, frozen=True):
    """A page's text: its first section, of that the first sentence, and the others."""

    finds: Markup
    brief: Markup
    parts: tuple[Part, ...]


def text(page: str, known: Collection[str], own: str = "") -> Text:
    """A rule's page, its plans left out; codes of rules that are ``known`` lead to their pages, its ``own`` doesn't."""
    sections = kit.sections(page)
    finds = sections.pop(FIRST, "") or _opening(page)
    left = PLANS if plans(page) else ()
    rest = {title: body for title, body in sections.items() if title not in left}
    ordered = sorted(rest, key=lambda title: ORDER.index(title) if title in ORDER else len(ORDER))
    linked = frozenset(known) - {own}
    first = _SENTENCE.match(finds)
    return Text(
        html(finds, linked, 2),
        html(first[1] if first else finds, ()),
        tuple(Part(title, html(rest[title], linked)) for title in ordered),
    )


def plans(page: str) -> tuple[str, str] | None:
    """A page's plan that fails and the one that passes; None where it hasn't one of each."""
    try:
        return kit.plans(page)
    except (KeyError, AssertionError):
        return None


def _opening(page: str) -> str:
    """What a page says before its first section, without its title."""
    before = re.split(r"^## ", page, maxsplit=1, flags=re.MULTILINE)[0]
    return re.sub(r"\A# .*", "", before).strip()


def html(body: str, known: Collection[str], heading: int = 3) -> Markup:
    """Markdown as HTML, every ``heading`` of one level. A link goes to another page of the book or out into the
    network; others are only words.
    """
    made = markdown()
    tokens = parsed(body)
    for token in tokens:
        if token.type in {"heading_open", "heading_close"}:
            token.tag = f"h{heading}"
        elif token.type == "table_open":
            token.attrSet("class", "plain")
        elif token.children:
            token.children = list(_linked(token.children, known))
    return Markup(made.renderer.render(tokens, made.options, {}))  # noqa: S704 - no HTML is passed on


def _linked(tokens: list[Token], known: Collection[str]) -> Iterator[Token]:
    within = leads = False
    for token in tokens:
        if token.type == "link_open":
            within, leads = True, str(token.attrGet("href")).startswith(("http://", "https://"))
        if token.type in {"link_open", "link_close"}:
            if leads:
                yield token
            within = within and token.type == "link_open"
        elif token.type == "text" and not within:
            yield from _codes(token.content, known)
        else:
            yield token


def _codes(said: str, known: Collection[str]) -> Iterator[Token]:
    """Words, numbers tied to their units, with each known rule's code a link to its page."""
    for number, part in enumerate(_CODE.split(said)):
        if number % 2 and part in known:
            yield Token("link_open", "a", 1, attrs={"href": f"{part}.html"})
            yield Token("text", "", 0, content=tied(part))
            yield Token("link_close", "a", -1)
        elif part:
            yield Token("text", "", 0, content=tied(part))
