"""A camera from the side: to scale, every label its own room, the same figures as the study in picture and words."""

from __future__ import annotations

import itertools
import math
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Patch, Polygon, Rectangle
from matplotlib.text import Text
from numpy.typing import NDArray

from oneclimb import kit
from oneclimb.api import Ref
from oneclimb.draw import Picture, Sitting, ink, pictures
from oneclimb.draw.callouts import GAP, Callout, rows
from oneclimb.draw.overlay import TALL
from oneclimb.plan.units import FOOT
from oneclimb.review import check, world_of
from oneclimb.study import SIDE
from oneclimb.study.side import Side

EXAMPLES = Path(__file__).parents[2] / "examples"
COTTAGE = EXAMPLES / "two-cameras/cottage.plan.yaml"
ODD = """
site: {name: Odd, stage: design}
buildings:
  - {id: hall, front: {faces: 180, width: 12 m}, depth: 8 m, height: 4 m, eave: {height: 4 m, depth: 0.5 m},
     surface: red brick}
objects:
  - {id: wall, kind: garden-wall, points: [[-3, -8], [15, -8]], tall: 1.8 m}
areas:
  - {id: door, for: identify, wall: front, along: 5 to 7, out: 0.5 to 3}
  - {id: lot, for: detect, wall: front, along: 0 to 12, out: 3 to 12}
types:
  any: {shape: turret, pixels: 2560 x 1440, view: 90 deg, night: infrared, infrared: 20 m}
cameras:
  - {id: down-eye, type: any, mount: {wall: front, along: 6 m, height: 3.6 m}, aim: {bearing: 180, tilt: 90}}
  - {id: fish, type: any, pixels: 2880 x 2880, view: {across: 180 deg, down: 180 deg},
     mount: {at: [5, -5], height: 3.5 m, to: pole}, aim: {bearing: 180, tilt: 90}}
  - {id: up-eye, type: any, night: none, mount: {at: [2, -5], height: 3.5 m, to: pole}, aim: {bearing: 180, tilt: -90}}
  - {id: mute, shape: turret, pixels: 2560 x 1440, view: 90 deg, night: infrared,
     mount: {wall: front, along: 2 m, height: 3 m}, aim: {bearing: 180, tilt: 25}}
  - {id: rolled, type: any, turned: 30 deg, mount: {wall: front, along: 9 m, height: 3 m},
     aim: {bearing: 180, tilt: 25}}
  - {id: near, type: any, mount: {at: [3, -7], height: 1.2 m, to: pole}, aim: {bearing: 180, tilt: 0}}
"""
AWAY = "view: 40 deg, mount: {at: [3, -7], height: 2.4 m, to: pole}, aim: {bearing: 0, tilt: 0}"


def odd() -> Sitting:
    review = kit.look(ODD)
    assert not review.loaded.faults, review.loaded.faults
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


@pytest.fixture(scope="module")
def strange() -> Sitting:
    return odd()


@pytest.fixture(scope="module")
def cottage() -> Sitting:
    review = check(str(COTTAGE), kit.packs(), kit.schemas(), today=kit.DAY)
    return Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY))


def drawn(one: Sitting, camera: str) -> tuple[Picture, Figure, Side]:
    picture = next(one for one in pictures(one, ["side"]) if one.about == Ref("camera", camera))
    return picture, ink.drawn(picture), one.world.of(SIDE, one.world.get(Ref("camera", camera)))


def named(figure: Figure, gid: str, of: int = 0) -> list[Patch]:
    return [patch for patch in figure.axes[of].patches if patch.get_gid() == gid]


def line(figure: Figure, gid: str) -> NDArray[np.float64]:
    return next(np.asarray(one.get_xydata(), dtype=np.float64) for one in figure.axes[0].lines if one.get_gid() == gid)


def said(figure: Figure) -> list[str]:
    return [text.get_text() for text in figure.axes[0].texts]


def spread(patch: Patch) -> NDArray[np.float64]:
    """How far a patch goes each way, in its axes' units."""
    assert isinstance(patch, Polygon)
    return np.asarray(np.ptp(np.asarray(patch.get_xy()), axis=0))


def test_lengths_and_heights_are_on_paper_as_the_scale_bar_says(cottage: Sitting) -> None:
    _, figure, side = drawn(cottage, "front-cam")
    axes = figure.axes[0]
    dots = axes.transData.transform([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
    assert dots[1, 0] - dots[0, 0] == pytest.approx(dots[2, 1] - dots[0, 1], rel=1e-6)
    bar = next(text for text in said(figure) if re.fullmatch(r"\d+ ft", text))
    parts = [patch for n in range(4) for patch in named(figure, f"scale-{n}")]
    assert sum(spread(part)[0] for part in parts) == pytest.approx(int(bar.split()[0]) * FOOT)
    assert all(spread(person)[1] == pytest.approx(TALL) for person in named(figure, "person"))
    (blind,) = named(figure, "blind")
    assert spread(blind)[0] == pytest.approx(side.blind)


def test_lines_of_sight_leave_the_lens_and_end_where_they_meet_something(cottage: Sitting) -> None:
    _, figure, side = drawn(cottage, "front-cam")
    for name, ray in (("axis", side.axis), ("lower edge", side.lower), ("upper edge", side.upper)):
        start, end = line(figure, name)
        assert tuple(start) == (0.0, side.height)
        assert tuple(end) == pytest.approx((ray.along, side.at(ray)), abs=1e-6)
    start, end = line(figure, "steep")
    down = math.degrees(math.atan2(start[1] - end[1], end[0] - start[0]))
    assert down == pytest.approx(30.0)
    assert end[1] == 1.6


def test_what_is_shaded_is_what_the_lines_of_sight_pass_through(strange: Sitting) -> None:
    _, figure, side = drawn(strange, "rolled")
    rings = [ring for patch in named(figure, "seen") for ring in patch.get_path().to_polygons()]
    shaded = shapely.union_all([shapely.Polygon(ring) for ring in rings])
    wall = next(cut for cut in side.cut if cut.ref.id == "wall").lines
    behind = float(wall[..., 0].max()) + 0.3
    assert not shaded.contains(shapely.Point(behind, 0.5))
    assert shaded.contains(shapely.Point(behind, 1.9))
    assert shaded.contains(shapely.Point(5.0, 0.1))
    assert not shaded.contains(shapely.Point(side.blind - 0.2, 0.05))


def test_bars_and_curve_are_the_studys(cottage: Sitting) -> None:
    _, figure, side = drawn(cottage, "front-cam")
    curve = next(axes for axes in figure.axes if any(one.get_gid() == "light" for one in axes.lines))
    (most,) = [one for one in curve.lines if one.get_gid() == "brightest"]
    assert side.brightest is not None
    assert tuple(np.asarray(most.get_xydata())[0]) == (side.brightest.along, side.brightest.light)
    usable = [patch for axes in figure.axes for patch in axes.patches if patch.get_gid() == "usable"]
    filled = [one for one in usable if isinstance(one, Rectangle) and one.get_linestyle() == "solid"]
    spans = [(one.get_x(), one.get_x() + one.get_width()) for one in filled]
    np.testing.assert_allclose(spans, side.usable)


def test_picture_title_and_words_tell_the_same_figures(cottage: Sitting) -> None:
    picture, figure, side = drawn(cottage, "front-cam")
    assert side.brightest is not None
    assert "brightest here: 2 ft 8 in, not shown" in said(figure)
    assert "at 2 ft 8 in (not shown): 150 times what it gives straight ahead" in picture.words
    assert side.brightest.along / FOOT == pytest.approx(2 + 8 / 12, abs=1 / 24)
    assert "a person is likely usable from 3 ft 7 in to 23 ft 9 in." in picture.words
    assert side.usable[0][0] / FOOT == pytest.approx(3 + 7 / 12, abs=1 / 24)
    assert side.usable[-1][1] / FOOT == pytest.approx(23 + 9 / 12, abs=1 / 24)
    assert "too steep for a face (over 30°) nearer than 5 ft 1 in" in said(figure)
    assert f"sky: {side.sky.share:.0%}".replace("%", " %") in picture.words
    assert picture.title.startswith(
        "front-cam from the side: likely usable by night 4 to 24 ft out, not all that shows of step"
    )
    assert figure.axes[0].get_title(loc="left").replace("\n", " ") == picture.title


def test_who_is_not_shown_or_lost_is_dotted_and_said_to_be(cottage: Sitting) -> None:
    _, figure, side = drawn(cottage, "front-cam")
    dotted = {round(float(one.get_xy()[0][0]), 2): one.get_linestyle() != "solid" for one in people(figure)}
    near, far = side.watched[0].near, side.watched[-1].far
    assert side.brightest is not None
    assert dotted == {round(side.brightest.along, 2): True, round(near, 2): False, round(far, 2): True}
    assert any(text.startswith("far edge of front-yard") and text.endswith(", lost by night") for text in said(figure))


def people(figure: Figure) -> list[Polygon]:
    return [one for one in named(figure, "person") if isinstance(one, Polygon)]


def test_no_face_is_called_too_steep_where_nobody_shows() -> None:
    text = ODD.replace("mount: {at: [3, -7], height: 1.2 m, to: pole}, aim: {bearing: 180, tilt: 0}", AWAY)
    review = kit.look(text)
    assert not review.loaded.faults, review.loaded.faults
    picture, figure, side = drawn(Sitting(review, world_of(review.loaded, kit.packs(), kit.DAY)), "near")
    assert side.steep_within(30.0) < side.stood[0][0]
    assert "no face too steep" in picture.title
    assert not any("too steep" in text for text in said(figure))


def test_every_camera_has_one_whichever_way_it_looks(strange: Sitting) -> None:
    made = list(pictures(strange, ["side"]))
    assert [one.about.id for one in made] == [camera.id for camera in strange.world.plan.cameras]
    titles = {one.about.id: one.title for one in made}
    assert "nobody shows along this line" in titles["up-eye"]
    assert "too steep for a face nearer than 3.45 m in door" in titles["down-eye"]
    assert "all that shows of lot on this line likely usable by night" in titles["fish"]
    words = {one.about.id: one.words for one in made}
    assert "usable from 5.10 m behind it to 2.80 m and from" in words["fish"]
    assert "It watches along this line lot (detect) from 2.10 m behind it to 6.90 m." in words["fish"]


def test_without_the_cameras_light_the_rest_is_drawn_and_the_question_put(strange: Sitting) -> None:
    picture, figure, side = drawn(strange, "mute")
    assert side.night is None
    heads = [axes.get_title(loc="left") for axes in figure.axes]
    assert any(head.startswith("By night cannot tell: ") and side.unknown in head for head in heads)
    assert not [one for axes in figure.axes for one in axes.lines if one.get_gid() == "light"]
    assert not [one for axes in figure.axes for one in axes.patches if one.get_gid() == "usable"]
    assert side.unknown in picture.words
    assert "by night cannot tell" in picture.title
    assert len(named(figure, "person")) == 2


@pytest.mark.parametrize("camera", ["down-eye", "fish", "up-eye", "mute", "rolled", "near"])
def test_no_words_lie_over_others_or_off_the_sheet(strange: Sitting, camera: str) -> None:
    _clear(drawn(strange, camera)[1])


@pytest.mark.parametrize("camera", ["front-cam", "yard-cam"])
def test_nor_do_a_house_s(cottage: Sitting, camera: str) -> None:
    _clear(drawn(cottage, camera)[1])


def _titles(axes: Axes) -> list[Text]:
    """What stands over axes at their left."""
    title = axes.get_title(loc="left")
    return [text for text in axes.get_children() if isinstance(text, Text) and title and text.get_text() == title]


def _clear(figure: Figure) -> None:
    figure.draw_without_rendering()
    texts = [text for axes in figure.axes for text in (*axes.texts, *_titles(axes)) if text.get_text()]
    boxes = [shapely.box(*text.get_window_extent().extents) for text in texts]
    for (a, one), (b, other) in itertools.combinations(zip(boxes, texts, strict=True), 2):
        shared = a.intersection(b).area
        assert shared <= 0.12 * min(a.area, b.area), (one.get_text(), other.get_text())
    sheet = shapely.box(*figure.bbox.extents)
    for box, text in zip(boxes, texts, strict=True):
        assert box.difference(sheet).area < 0.02 * box.area, text.get_text()


@given(st.lists(st.tuples(st.floats(0.0, 20.0), st.integers(1, 60)), max_size=9), st.floats(2.0, 25.0))
@settings(deadline=None, max_examples=100)
def test_callouts_keep_off_one_another_and_their_lines_off_all_words(
    asked: list[tuple[float, int]], scale: float
) -> None:
    placed = rows([Callout(at, "x" * letters) for at, letters in asked], scale)
    assert len(placed) == len(asked)
    words = [(row, one.at * scale + GAP, one.at * scale + one.wide - GAP) for one, row in placed]
    for (a, left, right), (b, other, end) in itertools.combinations(words, 2):
        assert a != b or right < other or end < left
    for one, row in placed:
        x = one.at * scale
        assert not any(a < row and left < x < right for a, left, right in words)


def test_the_same_plan_draws_the_same_bytes() -> None:
    one, two = (next(iter(pictures(odd(), ["side"]))) for _ in range(2))
    assert ink.svg(one) == ink.svg(two)
    assert ink.png(one) == ink.png(two)
    assert one.words == two.words


def test_a_check_imports_none_of_it() -> None:
    code = (
        "import sys\nfrom oneclimb import kit\n"
        f"kit.look(open({str(COTTAGE)!r}, encoding='utf-8').read())\n"
        "print([name for name in sys.modules if name.startswith(('oneclimb.draw', 'oneclimb.study.side', 'matpl'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
