"""Pictures on a page: no style of their own, words for who can't see them, marks that lead somewhere."""

from __future__ import annotations

import base64
import io
import re
from typing import TYPE_CHECKING

import html5lib
import numpy as np
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


def contours() -> Figure:
    sheet = ink.sheet(100, 80)
    sheet.add_subplot().contour([[0.0, 1.0], [1.0, 3.0]])
    return sheet


def picture(make: object) -> Picture:
    return Picture("kind-x", "kind", "Title", SAID, CAMERA, make if callable(make) else lines)


def decoded(made: Plate, kind: str) -> bytes:
    (data,) = re.findall(rf'src="data:image/{re.escape(kind)};base64,([^"]*)"', made.html)
    return base64.b64decode(data)


def test_lines_stay_lines_without_a_style_of_their_own() -> None:
    made = plate(picture(lines))
    svg = decoded(made, "svg+xml").decode()
    assert svg.startswith("<?xml")
    assert "style=" not in svg
    assert "<style" not in svg
    assert 'stroke-dasharray="' in svg
    assert max(len(number) for number in re.findall(r"\.(\d+)", svg.partition("<defs>")[2])) <= 2
    html5lib.HTMLParser(strict=True).parseFragment(made.html)


@pytest.mark.parametrize("shaded", [dots, contours])
def test_what_is_shaded_becomes_dots_fine_enough_for_paper_on_white(shaded: object) -> None:
    made = plate(picture(shaded))
    image = Image.open(io.BytesIO(decoded(made, "png")))
    assert image.size == (int(100 / 25.4 * ink.FINE), int(80 / 25.4 * ink.FINE))
    assert np.asarray(image.convert("RGB"))[0, 0].tolist() == [255, 255, 255]


def test_the_colours_of_a_frame_are_kept_to_the_eye() -> None:
    whole = Image.open(io.BytesIO(ink.png(picture(dots)))).convert("RGB")
    few = Image.open(io.BytesIO(decoded(plate(picture(dots)), "png"))).convert("RGB")
    apart = np.abs(np.asarray(whole, float) - np.asarray(few, float))
    assert np.quantile(apart, 0.999) <= 3


@pytest.mark.parametrize("make", [lines, dots])
def test_an_image_has_its_size_and_its_words(make: object) -> None:
    html = plate(picture(make)).html
    assert f'width="{round(100 / 25.4 * 96)}" height="{round(80 / 25.4 * 96)}"' in html
    assert f'alt="{SHOWN}"' in html


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


def test_a_drawing_is_told_in_fewer_letters_and_draws_the_same_points() -> None:
    """Read by SVG's rule: what follows a first point without a letter is a line (SVG 1.1, 8.3.2)."""
    whole, lean = ink.svg(picture(lines)), decoded(plate(picture(lines)), "svg+xml").decode()
    found = [[points(path) for path in re.findall(r' d="([^"]*)"', text)] for text in (whole, lean)]
    assert len(found[0]) == len(found[1]) > 4
    for before, after in zip(*found, strict=True):
        assert np.asarray(after) == pytest.approx(np.asarray(before), abs=0.006)
    assert "rotate(-0" not in lean
    assert not re.search(r"^ ", lean, re.MULTILINE)


def points(path: str) -> list[tuple[float, float]]:
    """The points of a path of moves, lines and curves, all absolute."""
    numbers = [float(one) for one in re.findall(r"-?\d+\.?\d*(?:e-?\d+)?", path)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))
