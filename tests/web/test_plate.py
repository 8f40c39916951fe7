"""Pictures on a page: no style of their own, words for who can't see them, marks that lead somewhere."""

from __future__ import annotations

import base64
import io
import re
from typing import TYPE_CHECKING

import html5lib
import pytest
from PIL import Image

from oneclimb.api import Ref
from oneclimb.draw import Picture, ink
from oneclimb.web.plate import Plate, linked, plate

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SAID = 'a "quoted" <b>word</b> & \u202eturned'
SHOWN = "a &#34;quoted&#34; &lt;b&gt;word&lt;/b&gt; &amp; \\u{202e}turned"
CAMERA = Ref("camera", "drive-cam")


def lines() -> Figure:
    sheet = ink.sheet(100, 80)
    axes = sheet.add_subplot()
    axes.plot([0, 1], [0, 1], linestyle="--", alpha=0.5)
    axes.fill_between([0, 1], [0, 1], hatch="///", facecolor="none")
    for number in (3, 12, 3):
        axes.text(0.05 * number, 0.5, f"<{number}>", url=f"#finding-{number}")
    axes.plot([0.5], [0.5], "o", url="#elsewhere")
    return sheet


def dots() -> Figure:
    sheet = ink.sheet(100, 80)
    sheet.add_subplot().imshow([[0.0, 1.0]])
    return sheet


def picture(make: object) -> Picture:
    return Picture("kind-x", "kind", "Title", SAID, CAMERA, make if callable(make) else lines)


def decoded(made: Plate, kind: str) -> bytes:
    (data,) = re.findall(rf'src="data:image/{re.escape(kind)};base64,([^"]*)"', made.html)
    return base64.b64decode(data)


def test_lines_stay_lines_and_dots_become_a_png_twice_as_fine_as_a_plain_screen() -> None:
    made, image = plate(picture(lines)), plate(picture(dots))
    svg = decoded(made, "svg+xml").decode()
    assert svg.startswith("<?xml")
    assert "style=" not in svg
    assert "<style" not in svg
    assert 'stroke-dasharray="' in svg
    assert Image.open(io.BytesIO(decoded(image, "png"))).size == (int(100 / 25.4 * 144), int(80 / 25.4 * 144))
    for one in (made, image):
        assert f'width="{round(100 / 25.4 * 96)}"' in one.html
        assert f'alt="{SHOWN}"' in one.html


def test_looks_are_the_same_as_attributes() -> None:
    with_styles, without = ink.svg(picture(lines)), decoded(plate(picture(lines)), "svg+xml").decode()
    for style in set(re.findall(r'style="([^"]*)"', with_styles)):
        for name, value in (part.split(":", 1) for part in style.split(";")):
            assert f'{name.strip()}="{value.strip()}"' in without


def test_marks_lead_to_their_findings_once_each_by_name() -> None:
    made = linked(picture(lines), {3: SAID, 12: "finding 12"})
    assert made.marks == {3, 12}
    assert made.html.count('id="mark-3"') == made.html.count('id="mark-12"') == 1
    assert made.html.count('href="#finding-3"') == 2
    assert f'href="#finding-3" aria-label="{SHOWN}"' in made.html
    assert re.findall(r"<a [^>]*(?:target|elsewhere)[^>]*>", made.html) == []
    assert re.findall(r'\bstyle="', made.html) == []
    html5lib.HTMLParser(strict=True).parseFragment(made.html)


def test_a_drawing_is_no_single_image_so_that_its_marks_are_heard() -> None:
    html = linked(picture(lines), {3: "", 12: ""}).html
    assert 'role="presentation"' in html
    assert 'role="img"' not in html


def test_a_mark_of_a_finding_that_is_not_told_is_a_fault() -> None:
    with pytest.raises(KeyError):
        linked(picture(lines), {3: "finding 3"})
