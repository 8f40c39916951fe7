"""Pictures made fit for a page: sharp where they are lines, small where they are dots, bare of styles of their own."""

from __future__ import annotations

import base64
import io
import itertools
import re
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from markupsafe import Markup, escape
from matplotlib.contour import ContourSet
from msgspec import Struct
from msgspec.structs import replace
from PIL import Image

from oneclimb.draw import ink
from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from oneclimb.api import Ref
    from oneclimb.draw import Picture

BROAD = 200.0
"""mm of a picture's width from which it is broad"""
COLOURS = 256
"""of a picture that is dots: as many as a palette holds"""
_LINK = re.compile(r'<a xlink:href="(?:#[^"]*?finding-(\d+)"|[^"]*")[^>]*>')
_STYLE = re.compile(r' style="([^"]*)"')
_SHEET = re.compile(r"<metadata>.*?</metadata>|<style\b.*?</style>", re.DOTALL)
_FINE = re.compile(r"(?<![\w.#])-?\d+\.\d{3,}(?![\w.])")
"""numbers finer than a hundredth of a point: two thirds of a drawing's bytes, and nothing to be seen"""

_LINES = re.compile(r"(?<=[ML]) -?[\d.]+ -?[\d.]+(?:\s+L -?[\d.]+ -?[\d.]+)+")
"""points of a path joined by straight lines: what comes after a first one needs no letter of its own"""

_IDLE = re.compile(r'(?m)^ +|(?<=<g) id="[a-z0-9]+_\d+"| transform="rotate\(-0 [^)]*\)"')
"""what a drawing says and nobody reads: its indents, its groups' numbers, turns by nothing"""


class Plate(Struct, frozen=True):
    """A picture as a page shows it. ``html`` is one image or drawing, words included; ``broad``: too wide to be made as
    narrow as a phone; ``marks`` the numbers of the findings that have a mark on it which leads to them.
    """

    name: str
    kind: str
    title: str
    words: str
    about: Ref
    finding: int
    html: Markup
    broad: bool
    marks: frozenset[int] = frozenset()


Maker = Callable[["Picture"], Plate]
"""how a page gets its plates: ``plate``, or something that keeps what it made"""


def plate(picture: Picture) -> Plate:
    """A picture drawn for a page, as an image of its own; panels that stand side by side as one each."""
    figure = ink.drawn(picture)
    once = replace(picture, make=lambda: figure)
    high = round(figure.get_figheight() * 96)
    said = escape(quote(picture.words))
    parts = [
        f'<img src="data:image/{kind};base64,{base64.b64encode(content).decode()}" width="{wide}" height="{high}"'
        for kind, wide, content in _contents(once, figure)
    ]
    html = f'{parts[0]} alt="{said}">'
    if len(parts) > 1:
        panels = "".join(f'{one} alt="">' for one in parts)
        html = f'<div class="panels" role="img" aria-label="{said}">{panels}</div>'
    made = _plate(picture, figure, Markup(html))  # noqa: S704 - made above, words escaped
    return replace(made, broad=made.broad and len(parts) == 1)


def _contents(picture: Picture, figure: Figure) -> Iterator[tuple[str, int, bytes]]:
    """What form each part of a picture takes, its width in px of a page, and its bytes."""
    wide = round(figure.get_figwidth() * 96)
    if not any(map(_shaded, figure.axes)):
        yield "svg+xml", wide, _plain(ink.svg(picture)).encode()
        return
    dots = ink.dots(picture)
    edges = [round(share * dots.width) for share in (0.0, *_between(figure), 1.0)]
    for left, right in itertools.pairwise(edges):
        few = dots.crop((left, 0, right, dots.height))
        few = few.quantize(COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
        lean = io.BytesIO()
        few.save(lean, "PNG")
        yield "png", round(wide * (right - left) / dots.width), lean.getvalue()


def _between(figure: Figure) -> list[float]:
    """Where, as shares of the width, the panels of a picture part that stand side by side."""
    spans = sorted((box.x0, box.x1) for box in (axes.get_position() for axes in figure.axes))
    return [(end + start) / 2 for (_, end), (start, _) in itertools.pairwise(spans) if start > end]


def _shaded(axes: Axes) -> bool:
    """Whether a picture's axes hold dots, or so many lines that dots are fewer."""
    return bool(axes.images) or any(isinstance(one, ContourSet) for one in axes.collections)


def linked(picture: Picture, told: Mapping[int, str]) -> Plate:
    """A drawing that stands in the page itself, so that its marks lead to what they stand for.

    ``told``: what a finding's mark is called where it can't be seen, by the finding's number.
    """
    marks: set[int] = set()

    def link(found: re.Match[str]) -> str:
        if not found[1]:
            return "<a>"
        number = int(found[1])
        own = "" if number in marks else f' id="mark-{number}"'
        marks.add(number)
        return f'<a class="mark"{own} href="#finding-{number}" aria-label="{escape(quote(told[number]))}">'

    figure = ink.drawn(picture)
    text = _plain(ink.svg(replace(picture, make=lambda: figure), within=True))
    text = _LINK.sub(link, text).replace('role="img"', 'role="presentation"', 1)
    text = re.sub(r"<title>.*?</title>\s*<desc>.*?</desc>", "", text, count=1, flags=re.DOTALL)
    made = _plate(picture, figure, Markup(text))  # noqa: S704 - drawn by ourselves
    return replace(made, marks=frozenset(marks))


def _plate(picture: Picture, figure: Figure, html: Markup) -> Plate:
    one, broad = picture, figure.get_figwidth() * 25.4 > BROAD
    return Plate(one.name, one.kind, one.title, one.words, one.about, one.finding, html, broad)


def _plain(svg: str) -> str:
    """An SVG whose looks are attributes: a page's policy allows no style that is written into an element."""
    svg = _FINE.sub(lambda found: f"{float(found[0]):.2f}".rstrip("0").rstrip("."), _SHEET.sub("", svg))
    svg = _IDLE.sub("", svg)
    svg = _LINES.sub(lambda found: f" {' '.join(found[0].replace('L', '').split())}", svg)
    svg = _STYLE.sub(lambda found: "".join(_attributes(found[1])), svg)
    return svg.replace("<svg ", '<svg stroke-linejoin="round" stroke-linecap="butt" ', 1)


def _attributes(style: str) -> list[str]:
    pairs = [part.partition(":") for part in style.split(";") if part.strip()]
    return [f' {name.strip()}="{value.strip()}"' for name, _, value in pairs]
