"""The look of every picture, and how one becomes bytes: the same picture and versions give the same.

Shapes and lines carry the meaning, so that a picture says the same in greyscale and on paper; where a
figure is shown by shade, the map is perceptually uniform (cividis, made for the colour-blind) and its
contours are labelled.
"""

from __future__ import annotations

import io
import logging
import re
from typing import TYPE_CHECKING, Any

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from oneclimb.report.quote import quote

if TYPE_CHECKING:
    from oneclimb.draw import Picture

PAPER, INK, GREY, PALE, WASH = "#ffffff", "#1d2327", "#5d666d", "#b9c0c4", "#eceef0"
"""the paper; lines and words; what is second to them; hatching and grids; filled ground"""
MARK = "#0b4f8a"
"""the one colour that calls: cameras and what is theirs"""
SHADES = "cividis"
"""the map of every shaded figure"""
THIN, LINE, BOLD = 0.5, 0.9, 1.8
"""line weights, points: what is about; what is there; what it is about"""
FINE = 160
"""dots an inch of a PNG"""
STYLE: dict[Any, Any] = {
    "font.family": ["DejaVu Sans"],
    "font.size": 8.0,
    "axes.titlesize": 9.0,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.edgecolor": GREY,
    "axes.labelcolor": INK,
    "axes.linewidth": THIN,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": GREY,
    "ytick.color": GREY,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "text.color": INK,
    "text.parse_math": False,
    "hatch.linewidth": THIN,
    "hatch.color": GREY,
    "lines.linewidth": LINE,
    "legend.frameon": False,
    "figure.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "image.cmap": SHADES,
    "svg.fonttype": "none",
    "svg.hashsalt": "oneclimb",
}

logging.getLogger("matplotlib").setLevel(logging.ERROR)


def sheet(wide: float, high: float) -> Figure:
    """An empty sheet of some mm; make its axes and artists within ``mpl.rc_context(STYLE)`` (``drawn`` does)."""
    return Figure(figsize=(wide / 25.4, high / 25.4), layout="constrained")


def drawn(picture: Picture) -> Figure:
    """A picture's figure, in the house's style."""
    with mpl.rc_context(STYLE):
        return picture.make()


def svg(picture: Picture, *, within: bool = False) -> str:
    """A picture as SVG with its title and words. ``within``: fit to stand in a page, without XML head, ids its own."""
    out = io.StringIO()
    with mpl.rc_context(STYLE):
        picture.make().savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    text = out.getvalue()
    start = text.index("<svg")
    head, body = text[:start], text[start:]
    opening, rest = body.split(">", 1)
    said = f"<title>{_escaped(picture.title)}</title>\n <desc>{_escaped(picture.words)}</desc>"
    body = f'{opening} role="img">\n {said}{rest}'
    return _apart(body, picture.name) if within else head + body


def png(picture: Picture, dots: int = FINE) -> bytes:
    """A picture as PNG."""
    out, about = io.BytesIO(), PngInfo()
    about.add_text("Title", quote(picture.title))
    _rendered(drawn(picture), dots).save(out, "PNG", pnginfo=about, dpi=(dots, dots))
    return out.getvalue()


def dots(picture: Picture) -> Image.Image:
    """A picture's dots, as fine as a PNG's, for who goes on with them."""
    return _rendered(drawn(picture), FINE).convert("RGB")


def _rendered(figure: Figure, fine: int) -> Image.Image:
    """A figure in dots, ``fine`` an inch: drawn once, where saving it would draw it twice."""
    before = figure.dpi
    with mpl.rc_context(STYLE):
        figure.set_dpi(fine)
        canvas: Any = FigureCanvasAgg(figure)
        canvas.draw()
        figure.set_dpi(before)
    return Image.fromarray(np.asarray(canvas.buffer_rgba()))


def _escaped(text: str) -> str:
    return quote(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _apart(body: str, name: str) -> str:
    """Ids, and what refers to them, set apart from those of other pictures on a page."""
    body = re.sub(r'\bid="', f'id="{name}.', body)
    body = re.sub(r'xlink:href="#', f'xlink:href="#{name}.', body)
    return re.sub(r"url\(#", f"url(#{name}.", body)
