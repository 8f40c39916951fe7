"""The rules' pages as parts of a page: their Markdown made HTML, without the plans that are there to be run."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from markdown_it import MarkdownIt
from markupsafe import Markup
from msgspec import Struct

from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from collections.abc import Iterable

    from markdown_it.token import Token

    from oneclimb.packs import Packs

_PLANS = re.compile(r"^## A plan that (?:fails|passes)$.*?(?=^## |\Z)", re.MULTILINE | re.DOTALL)


class RulePage(Struct, frozen=True):
    """A rule's page: its code, its title, its text."""

    code: str
    title: str
    html: Markup


def rule_pages(codes: Iterable[str], packs: Packs) -> list[RulePage]:
    """The pages of the rules of these codes, in order of code."""
    rules = [(code, packs.rules[code]) for code in sorted(set(codes)) if code in packs.rules]
    return [RulePage(code, rule.info.title, as_html(packs.page(code), 2)) for code, rule in rules]


def as_html(text: str, below: int) -> Markup:
    """A rule's page without its title and plans; its headings ``below`` levels further down."""
    body = _PLANS.sub("", text.partition("\n")[2])
    tokens = parsed(body)
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(6, int(token.tag[1:]) + below)}"
        elif token.type == "table_open":
            token.attrSet("class", "plain")
    return Markup(markdown().renderer.render(tokens, markdown().options, {}))  # noqa: S704 - no HTML is passed on


def parsed(text: str) -> list[Token]:
    """The tokens of a page's text, every word of which has gone through ``quote``."""
    tokens = markdown().parse(text)
    for token in tokens:
        for one in (token, *(token.children or ())):
            if one.type != "inline":
                one.content = "\n".join(map(quote, one.content.split("\n")))
            one.info = quote(one.info)
            one.attrs = {name: quote(str(value)) for name, value in one.attrs.items()}
    return tokens


@cache
def markdown() -> MarkdownIt:
    """CommonMark with tables; HTML in the text is shown as text, pictures from elsewhere are left out."""
    return MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")
