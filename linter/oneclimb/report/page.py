"""A rule's page for reading on a terminal: headings set off, paragraphs filled, examples left as they are."""

from __future__ import annotations

import re
from collections.abc import Iterator

from oneclimb.report.look import Look, wrap

_CODE = re.compile(r"`([^`]+)`")
_LINK = re.compile(r"\[([^\]]+)\]\(([^)\s]+)\)")
_STRONG = re.compile(r"\*\*([^*]+)\*\*|(?<![\w*])\*([^*\s][^*]*)\*(?![\w*])")
_ITEM = re.compile(r"(\s*)([-*]|\d+\.)\s+(.*)")
_MARGIN = "  "


def page(text: str, look: Look) -> str:
    """The Markdown ``text`` as lines of at most the look's width (examples and tables keep theirs)."""
    return "".join(f"{line}\n" for line in _lines(text, look))


def _lines(text: str, look: Look) -> Iterator[str]:
    paragraph: list[str] = []
    fenced = False
    for line in [*text.splitlines(), ""]:
        if line.startswith("```"):
            yield from _filled(paragraph, look)
            fenced = not fenced
        elif fenced:
            yield f"{_MARGIN * 2}{line}".rstrip()
        elif line.startswith("#"):
            yield from _filled(paragraph, look)
            yield look.paint(_plain(line.lstrip("# ")), "head")
        elif not line.strip() or line.startswith("|"):
            yield from _filled(paragraph, look)
            yield f"{_MARGIN}{line}".rstrip()
        else:
            if _ITEM.match(line):
                yield from _filled(paragraph, look)
            paragraph.append(line)


def _filled(paragraph: list[str], look: Look) -> Iterator[str]:
    """A paragraph or list item, filled; ``paragraph`` is emptied."""
    if not paragraph:
        return
    item = _ITEM.match(paragraph[0])
    first = f"{item[1]}{item[2]} " if item else ""
    body = " ".join([item[3] if item else paragraph[0].strip(), *(line.strip() for line in paragraph[1:])])
    paragraph.clear()
    lines = wrap(_plain(body), look.width - len(_MARGIN) - len(first))
    yield from (f"{_MARGIN}{first if not number else ' ' * len(first)}{line}" for number, line in enumerate(lines))


def _plain(text: str) -> str:
    """The words without Markdown's marks; a link's address follows its words."""
    text = _LINK.sub(r"\1 (\2)", text)
    return _CODE.sub(r"\1", _STRONG.sub(lambda m: m[1] or m[2], text))
